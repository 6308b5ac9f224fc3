//! One material of a list, checked together with the job that may take it.

use std::ops::Range;
use std::path::Path;

use super::HaulPart;
use super::check::Checker;
use super::file::JobFile;
use super::haul_file::HaulTable;
use super::material_file::MaterialTable;
use super::material_list::MaterialList;
use super::parse::JobText;
use super::written::At;
use crate::findings::Problem;
use crate::material::{Chemistry, Kind, Lot, Material, PriceAt, find_kind};

/// Where a job's material is described.
#[derive(Clone, Copy, Debug)]
pub(super) enum MaterialFrom<'a> {
    /// In the job itself.
    Job,
    /// In this entry of a list.
    List(&'a MaterialList, &'a At<MaterialTable>),
    /// In a list that could not be read, which is told elsewhere.
    Unread,
}

/// The material of a job, and how it comes to the field.
#[derive(Clone, Debug)]
pub(super) struct Bought {
    pub(super) material: Material,
    pub(super) lot: Lot,
    pub(super) haul: Option<HaulPart>,
}

/// One entry of a list of materials.
#[derive(Clone, Debug)]
pub enum Listed {
    /// A material that may be chosen.
    Offer(Box<Offer>),
    /// One that does not lime.
    DoesNotLime {
        /// What the list calls it.
        name: String,
        /// Who sells it.
        supplier: Option<String>,
        /// Its kind.
        kind: &'static Kind,
        /// Why not, in one clause.
        why: &'static str,
    },
}

/// A material of a list, and how it would come to the field of a job.
#[derive(Clone, Debug)]
pub struct Offer {
    /// The material, over the horizon that the list states.
    pub material: Material,
    /// The same over each other horizon that its fineness scheme has; empty where there is none.
    pub over_other_horizons: Vec<Material>,
    /// Where it comes from, and what it brings beside lime.
    pub lot: Lot,
    /// Its haul: its own where it has one, and of the job what is left open there.
    pub haul: Option<HaulPart>,
}

impl Checker<'_> {
    /// The material of a job with what goes with it; `None` where something in it is wrong.
    pub(super) fn bought(&mut self, file: &JobFile, from: MaterialFrom<'_>) -> Option<Bought> {
        let empty = MaterialTable::default();
        let table = file.material.as_ref().map_or(&empty, |table| &table.value);
        let MaterialFrom::List(list, entry) = from else {
            if matches!(from, MaterialFrom::Unread) {
                // The haul of the job may be whole only together with that of the list.
                self.haul_in_part(file);
                return None;
            }
            let material = self.material(table);
            let lot = self.lot(table, material.as_ref().and_then(|it| it.moisture));
            let haul = self.haul(file);
            self.one_currency(file);
            return Some(Bought { material: material?, lot: lot?, haul: haul? });
        };
        if !self.haul_in_part(file) {
            return None;
        }
        let haul = file.haul.as_ref().map(|table| &table.value);
        check_entry(&list.text, entry, haul).map_err(|problems| self.problems.extend(problems)).ok()
    }

    /// Checks each key of the job's haul, and misses none; whether nothing was wrong.
    fn haul_in_part(&mut self, file: &JobFile) -> bool {
        let before = self.problems.len();
        let whole = std::mem::replace(&mut self.whole, false);
        // The values are taken from the merged haul.
        let _ = self.haul(file);
        self.whole = whole;
        self.problems.len() == before
    }
}

/// Checks an entry of a list for a job with this haul.
///
/// # Errors
/// Returns every problem of the entry.
pub(super) fn check_entry(
    text: &JobText,
    entry: &At<MaterialTable>,
    haul_of_job: Option<&HaulTable>,
) -> Result<Bought, Vec<Problem>> {
    let table = &entry.value;
    let mut checker = Checker::of(text, Path::new(""));
    let material = checker.material(table);
    let lot = checker.lot(table, material.as_ref().and_then(|it| it.moisture));
    let own = table.haul.as_ref().map(|haul| &haul.value);
    let is_spread =
        table.price_at.as_ref().is_some_and(|at| at.value.trim() == PriceAt::Spread.words());
    let merged = haul_beside(own, haul_of_job, is_spread, &entry.span);
    let haul = match &merged {
        None => Some(None),
        Some(haul) => checker.haul_of(haul, table.price_at.as_ref()).map(Some),
    };
    let worths: Vec<_> = table
        .nutrients
        .iter()
        .flat_map(|nutrients| nutrients.value.values())
        .map(|nutrient| ("the price of a nutrient", nutrient.value.price.as_ref()))
        .collect();
    let of_haul = merged.as_ref();
    let mut money = vec![
        ("the price", table.price.as_ref()),
        ("the haul cost", of_haul.and_then(|haul| haul.cost.as_ref())),
        ("the minimum charge", of_haul.and_then(|haul| haul.minimum_charge.as_ref())),
        ("the spreading cost", of_haul.and_then(|haul| haul.spreading_cost.as_ref())),
    ];
    money.extend(worths);
    checker.same_currency(&money);
    let problems = checker.into_problems();
    match (material, lot, haul) {
        (Some(material), Some(lot), Some(haul)) if problems.is_empty() => {
            Ok(Bought { material, lot, haul })
        }
        _ => Err(problems.into_iter().map(|problem| of_entry(text, entry, problem)).collect()),
    }
}

/// The material of an entry over the horizons of its scheme that it does not state; `stated` is what
/// it is over the one that it does.
///
/// # Errors
/// Returns every problem that another horizon brings.
pub(super) fn over_other_horizons(
    text: &JobText,
    entry: &At<MaterialTable>,
    stated: &Material,
) -> Result<Vec<Material>, Vec<Problem>> {
    let Some(analysis) = &stated.analysis else { return Ok(Vec::new()) };
    let counted = analysis.fineness.horizon.over.as_deref();
    let others = analysis.fineness.scheme.horizons().into_iter().filter(|&it| Some(it) != counted);
    let over = |horizon: &str| {
        let mut table = entry.value.clone();
        if let Some(fineness) = &mut table.fineness {
            let value = horizon.to_owned();
            fineness.value.horizon = Some(At { value, span: fineness.span.clone() });
        }
        let mut checker = Checker::of(text, Path::new(""));
        checker.material(&table).ok_or_else(|| checker.into_problems())
    };
    others.map(over).collect()
}

/// Where an entry does not lime: its kind, and why not.
pub(super) fn does_not_lime(table: &MaterialTable) -> Option<(&'static Kind, &'static str)> {
    let kind = find_kind(&table.kind.as_ref()?.value)?;
    match kind.chemistry {
        Chemistry::DoesNotLime(why) => Some((kind, why)),
        Chemistry::Limes(_) => None,
    }
}

/// A problem that knows no place stands in its entry.
fn of_entry(text: &JobText, entry: &At<MaterialTable>, problem: Problem) -> Problem {
    if problem.place.line.is_some() {
        return problem;
    }
    let name = entry.value.name.as_ref().map_or("without a name", |name| name.value.as_str());
    Problem {
        place: text.place(&entry.span),
        what: format!("of the material `{name}` {}", problem.what),
        hint: problem.hint.replace("`[material]`", "its `[[material]]`"),
        ..problem
    }
}

/// The haul of a material: what it says itself, and of the job what it leaves open. A trip of the
/// job is over the job's own distance, a minimum that of the job's haulier, and spreading is
/// not paid twice. What comes from the job stands at `entry`.
fn haul_beside(
    own: Option<&HaulTable>,
    of_job: Option<&HaulTable>,
    is_spread: bool,
    entry: &Range<usize>,
) -> Option<HaulTable> {
    if own.is_none() && of_job.is_none() {
        return None;
    }
    let (own, job) = (own.cloned().unwrap_or_default(), of_job.cloned().unwrap_or_default());
    let here = |value: Option<At<_>>| {
        value.map(|written: At<_>| At { value: written.value, span: entry.clone() })
    };
    let has_distance = own.one_way_distance.is_some();
    let has_trip = own.round_trip.is_some();
    let drives = own.road_speed.is_some() || own.load_time.is_some();
    let minimum_of_job = job.minimum_charge.filter(|_| own.cost.is_none());
    let trip_of_job = job.round_trip.filter(|_| !has_distance && !drives);
    let takes_trip = trip_of_job.is_some();
    let driven = |value: Option<At<_>>| here(value.filter(|_| !has_trip && !takes_trip));
    Some(HaulTable {
        one_way_distance: own.one_way_distance.or_else(|| here(job.one_way_distance)),
        truck_payload: own.truck_payload.or_else(|| here(job.truck_payload)),
        cost: own.cost.or_else(|| here(job.cost)),
        minimum_charge: own.minimum_charge.or_else(|| here(minimum_of_job)),
        round_trip: own.round_trip.or_else(|| here(trip_of_job)),
        road_speed: own.road_speed.or_else(|| driven(job.road_speed)),
        load_time: own.load_time.or_else(|| driven(job.load_time)),
        drop_site: own
            .drop_site
            .or_else(|| job.drop_site.map(|site| At { value: site.value, span: entry.clone() })),
        spreading_cost: own
            .spreading_cost
            .or_else(|| here(job.spreading_cost.filter(|_| !is_spread))),
    })
}
