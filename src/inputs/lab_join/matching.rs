//! Which id of one table is which of the other.

use std::collections::{BTreeMap, BTreeSet};

use super::{LabJoin, listed};
use crate::findings::{Finding, Place, Problem};
use crate::inputs::ids::{damage, folded, without_leading_zeros};
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

/// A way to write an id so that two ways of writing it come out alike.
type Spelling = fn(&str) -> String;

/// The ways in which ids may differ and be the same, in the order in which they are tried.
const SPELLINGS: [(&str, &str, Spelling); 2] = [
    ("ids_matched_without_case", "their case or blanks", folded),
    ("ids_matched_without_zeros", "leading zeros", without_leading_zeros),
];

/// Matches each of `wanted` (all different) to one of `offered` (all different).
pub(super) fn match_ids<'o>(
    wanted: &[&str],
    offered: &[&'o str],
    join: &LabJoin<'_>,
) -> Matches<'o> {
    let mut of_wanted: Vec<Option<&'o str>> =
        wanted.iter().map(|id| offered.binary_search(id).ok().map(|at| offered[at])).collect();
    let (mut told, mut problems) = (Vec::new(), Vec::new());
    let mut refused = BTreeSet::new();
    for (code, words, spell) in SPELLINGS {
        let mut here: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        let mut there: BTreeMap<String, Vec<&'o str>> = BTreeMap::new();
        for (index, id) in wanted.iter().enumerate() {
            here.entry(spell(id)).or_default().push(index);
        }
        for &id in offered {
            there.entry(spell(id)).or_default().push(id);
        }
        let taken: BTreeSet<&str> = of_wanted.iter().flatten().copied().collect();
        let mut pairs = Vec::new();
        for (spelling, indices) in &here {
            // Those that matched as they stand are not in doubt.
            let open: Vec<usize> =
                indices.iter().copied().filter(|&index| of_wanted[index].is_none()).collect();
            let Some(ids) = there.get(spelling) else { continue };
            match (open.as_slice(), indices.as_slice(), ids.as_slice()) {
                // Another spelling of an id that matched is a result that nobody would see.
                ([], _, ids) if ids.iter().all(|id| taken.contains(id)) => {}
                (&[index], [_], &[id]) => {
                    of_wanted[index] = Some(id);
                    pairs.push(format!("{} = {id}", wanted[index]));
                }
                _ if refused.insert(indices[0]) => {
                    problems.push(not_one_to_one(join, wanted, indices, ids, words));
                }
                _ => {}
            }
        }
        if !pairs.is_empty() {
            let pairs: Vec<&str> = pairs.iter().map(String::as_str).collect();
            let text = format!(
                "{} that points and results write differently only by {words}, matched: {}.",
                counted(pairs.len() as u64, "id", "ids"),
                listed(&pairs)
            );
            told.push(Finding::at(code, Place::in_file(join.lab.file.clone()), text));
        }
    }
    let taken: BTreeSet<&str> = of_wanted.iter().flatten().copied().collect();
    if of_wanted.iter().any(Option::is_none) {
        problems.extend(damaged(offered, &taken, join));
    }
    if taken.is_empty() && problems.is_empty() && !wanted.is_empty() {
        problems.push(nothing_matches(wanted, offered, join));
    }
    Matches { of_wanted, told, problems }
}

fn not_one_to_one(
    join: &LabJoin<'_>,
    wanted: &[&str],
    indices: &[usize],
    ids: &[&str],
    words: &str,
) -> Problem {
    let here: Vec<&str> = indices.iter().map(|&index| wanted[index]).collect();
    let what = format!(
        "ids differ only by {words} and cannot be told apart: {} among the points, {} among the \
         results",
        listed(&here),
        listed(ids)
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
