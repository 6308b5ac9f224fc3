//! Which id of one table is which of the other.

use std::collections::BTreeSet;

use super::{LabJoin, listed};
use crate::findings::{Finding, Place, Problem};
use crate::inputs::ids::damage;
use crate::inputs::matching::{Differ, NameClash, match_names};
use crate::units::counted;

/// What came of matching.
pub(super) struct Matches<'o> {
    /// For each wanted id the offered one, where there is one.
    pub(super) of_wanted: Vec<Option<&'o str>>,
    /// What there is to tell of ids that did not match as they stand.
    pub(super) told: Vec<Finding>,
    /// Ids that cannot be told apart, and damaged ones.
    pub(super) problems: Vec<Problem>,
}

/// Matches each of `wanted` (all different) to one of `offered` (all different).
pub(super) fn match_ids<'o>(
    wanted: &[&str],
    offered: &[&'o str],
    join: &LabJoin<'_>,
) -> Matches<'o> {
    let found = match_names(wanted, offered);
    let of_wanted = found.of_wanted;
    let mut problems: Vec<Problem> =
        found.clashes.iter().map(|clash| not_one_to_one(join, wanted, clash)).collect();
    let told = found.respelled.iter().map(|(differ, pairs)| {
        let pairs: Vec<String> = pairs
            .iter()
            .filter_map(|&index| Some(format!("{} = {}", wanted[index], of_wanted[index]?)))
            .collect();
        let pairs: Vec<&str> = pairs.iter().map(String::as_str).collect();
        let text = format!(
            "{} that points and results write differently only by {}, matched: {}.",
            counted(pairs.len() as u64, "id", "ids"),
            differ.words(),
            listed(&pairs)
        );
        Finding::at(code_of(*differ), Place::in_file(join.lab.file.clone()), text)
    });
    let told = told.collect();
    let taken: BTreeSet<&str> = of_wanted.iter().flatten().copied().collect();
    if of_wanted.iter().any(Option::is_none) {
        problems.extend(damaged(offered, &taken, join));
    }
    if taken.is_empty() && problems.is_empty() && !wanted.is_empty() {
        problems.push(nothing_matches(wanted, offered, join));
    }
    Matches { of_wanted, told, problems }
}

fn code_of(differ: Differ) -> &'static str {
    match differ {
        Differ::CaseOrBlanks => "ids_matched_without_case",
        Differ::LeadingZeros => "ids_matched_without_zeros",
    }
}

fn not_one_to_one(join: &LabJoin<'_>, wanted: &[&str], clash: &NameClash<'_>) -> Problem {
    let here: Vec<&str> = clash.wanted.iter().map(|&index| wanted[index]).collect();
    let what = format!(
        "ids differ only by {} and cannot be told apart: {} among the points, {} among the \
         results",
        clash.differ.words(),
        listed(&here),
        listed(&clash.offered)
    );
    Problem::at(Place::in_file(join.lab.file.clone()), what)
        .allowed("ids that match as they stand, or one on each side")
        .hint("write the ids alike in both tables")
}

/// Results that no point asked for and whose ids a sheet seems to have changed.
fn damaged(offered: &[&str], taken: &BTreeSet<&str>, join: &LabJoin<'_>) -> Vec<Problem> {
    let LabJoin { lab, lab_key, .. } = *join;
    offered
        .iter()
        .filter(|id| !taken.contains(*id))
        .filter_map(|id| {
            let words = damage(id)?.words();
            let row = lab.rows.iter().find(|row| row.cells[lab_key] == **id);
            let place = row.map_or_else(
                || Place::in_file(lab.file.clone()),
                |row| lab.place(row, Some(lab_key)),
            );
            let problem = Problem::at(place, format!("`{id}` matches no point, and {words}"))
                .allowed("the ids as the points have them")
                .hint("open the laboratory's file again with the column of ids set to text");
            Some(problem)
        })
        .collect()
}

fn nothing_matches(wanted: &[&str], offered: &[&str], join: &LabJoin<'_>) -> Problem {
    let some = |ids: &[&str]| listed(&ids[..ids.len().min(5)]);
    let what = format!(
        "no id of the results is one of the points: the points have {}, the results {}",
        some(wanted),
        some(offered)
    );
    Problem::at(Place::in_file(join.lab.file.clone()), what)
        .allowed("results whose ids are those of the points")
        .hint(
            "check that both are of one field, and name the right columns with samples.key and \
             samples.lab_key (a laboratory's own number is another id)",
        )
}
