//! In which order the fields are spread.

use std::collections::BTreeMap;

use super::parcels::Parcel;
use super::tour::short_way;

/// The order of work, and how it was found.
#[derive(Debug)]
pub(super) struct Sequence {
    /// Places of the parcels in their list.
    pub(super) order: Vec<usize>,
    /// In a sentence.
    pub(super) by: String,
    /// Names of the stated sequence that no field has which gets anything.
    pub(super) unknown: Vec<String>,
}

/// What is spread together before anything else is: by the stated sequence; else by day, days that
/// are not stated last; then by application and by material.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Block {
    application_first: u32,
    stated: usize,
    undated: bool,
    day: Option<crate::units::Day>,
    application: u32,
    line: usize,
}

/// Puts the parcels in order. Those that `stated` names come in that order, application by
/// application; all others by their stated days, and where these leave it open by a short way.
pub(super) fn sequence(parcels: &[Parcel<'_>], stated: &[String]) -> Sequence {
    let mut blocks: BTreeMap<Block, Vec<usize>> = BTreeMap::new();
    for (at, parcel) in parcels.iter().enumerate() {
        blocks.entry(block_of(parcel, stated)).or_default().push(at);
    }
    let mut order: Vec<usize> = Vec::new();
    for block in blocks.into_values() {
        let places: Vec<[f64; 2]> = block.iter().map(|&at| parcels[at].row.place_deg).collect();
        let from = order.last().map(|&last| parcels[last].row.place_deg);
        order.extend(short_way(&places, from).into_iter().map(|at| block[at]));
    }
    let is_known = |id: &&String| parcels.iter().any(|parcel| parcel.row.id == **id);
    Sequence {
        by: in_words(parcels, stated),
        unknown: stated.iter().filter(|id| !is_known(id)).cloned().collect(),
        order,
    }
}

fn block_of(parcel: &Parcel<'_>, stated: &[String]) -> Block {
    let place = stated.iter().position(|id| *id == parcel.row.id).unwrap_or(stated.len());
    let is_stated = place < stated.len();
    Block {
        application_first: if stated.is_empty() { 0 } else { parcel.application },
        stated: place,
        undated: parcel.day.is_none() && !is_stated,
        day: parcel.day.filter(|_| !is_stated),
        application: parcel.application,
        line: parcel.line,
    }
}

fn in_words(parcels: &[Parcel<'_>], stated: &[String]) -> String {
    let dated = parcels.iter().filter(|parcel| parcel.day.is_some()).count();
    let way = "a short way through the fields, in straight lines from the middle of one to that of \
               the next (the nearest next, then shortened by turning and moving parts; not proven \
               the shortest; where nothing comes before, it begins at the end whose id comes first)";
    if !stated.is_empty() {
        return format!(
            "By the sequence that the list states, application by application; fields that it does \
             not name come behind them, by their stated days and then by {way}."
        );
    }
    match dated {
        0 => format!(
            "No job states a day: application by application and material by material, by {way}."
        ),
        all if all == parcels.len() => {
            format!("By the days that the jobs state; on one day by material and then by {way}.")
        }
        _ => format!(
            "By the days that the jobs state; what has none comes behind, application by \
             application and material by material, by {way}."
        ),
    }
}
