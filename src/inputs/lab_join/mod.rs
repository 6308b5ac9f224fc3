//! Points and laboratory results brought together by the id of the sample.
//!
//! Ids are compared as texts. What does not match as it stands is matched without its case and
//! blanks, and then without leading zeros, only where that leaves one on each side, and it is told.

mod matching;

use std::collections::BTreeMap;

use super::table::{JoinedColumns, Promise, Repeats, Table, TableRow, TableStyle};
use crate::findings::{Finding, Place, Problem, Refusal, first_of};
use crate::units::counted;
use matching::{Matches, match_ids};

/// How a laboratory's table is joined to the table of the points.
#[derive(Clone, Copy, Debug)]
pub struct LabJoin<'t> {
    /// The points.
    pub points: &'t Table,
    /// The column of the points that names them.
    pub key: usize,
    /// The results.
    pub lab: &'t Table,
    /// The column of the results that names the samples.
    pub lab_key: usize,
    /// The columns of the results that hold the depth, where they have several layers.
    pub lab_depths: &'t [usize],
    /// How the results were read: what becomes of several of one sample (and one depth), and
    /// which columns hold readings.
    pub how: &'t TableStyle,
    /// Whether points without a result are left out, which the job must state.
    pub leave_out_missing: bool,
}

/// Names told in one finding before the rest is only counted.
const NAMED: usize = 20;

/// The table of the points with the columns of the results behind its own; a point whose results
/// have several depths has a row for each.
///
/// # Errors
/// Refuses ids that stand twice among the points, repeated results without a rule for them, ids
/// that could be matched in several ways, columns of readings that both tables have, and points
/// without a result unless they are to be left out; all of them are listed.
pub fn join_lab(join: &LabJoin<'_>) -> Result<(Table, Vec<Finding>), Refusal> {
    let LabJoin { points, key, lab, lab_key, .. } = *join;
    refuse_common_columns(join)?;
    refuse_doubled_points(points, key)?;
    let repeats = Repeats { table: lab, how: join.how, key: lab_key, depths: join.lab_depths };
    let (results, told) = repeats.settle()?;
    let mut findings: Vec<Finding> = told.into_iter().collect();
    let wanted = ids_of(&points.rows, key);
    let mut offered: Vec<&str> = ids_of(&results, lab_key);
    offered.sort_unstable();
    offered.dedup();
    let Matches { of_wanted, told, problems } = match_ids(&wanted, &offered, join);
    Refusal::unless_clean(problems, ())?;
    findings.extend(told);
    let mut rows_of: BTreeMap<&str, Vec<&TableRow>> = BTreeMap::new();
    for row in &results {
        rows_of.entry(row.cells[lab_key].as_str()).or_default().push(row);
    }
    let common = |header: &String| points.headers.iter().any(|own| same_name(own, header));
    let kept: Vec<usize> = (0..lab.headers.len())
        .filter(|&column| column != lab_key && !common(&lab.headers[column]))
        .collect();
    let (mut rows, mut places, mut without) = (Vec::new(), Vec::new(), Vec::new());
    for (index, row) in points.rows.iter().enumerate() {
        let Some(found) = of_wanted[index].and_then(|id| rows_of.remove(id)) else {
            without.push(row);
            continue;
        };
        for result in found {
            let mut cells = row.cells.clone();
            cells.extend(kept.iter().map(|&column| result.cells[column].clone()));
            rows.push(TableRow { number: row.number, cells, joined_line: Some(result.number) });
            places.push(index);
        }
    }
    findings.extend(tell_without_points(&rows_of, lab));
    tell_without_results(join, &without, &mut findings)?;
    let mut headers = points.headers.clone();
    headers.extend(kept.iter().map(|&column| lab.headers[column].clone()));
    let located = points
        .points
        .as_ref()
        .map(|(system, all)| (system.clone(), places.iter().map(|&index| all[index]).collect()));
    let from_lab = kept.iter().enumerate().filter(|(_, column)| lab.in_doubt.contains(column));
    let in_doubt =
        from_lab.map(|(at, _)| points.headers.len() + at).chain(points.in_doubt.clone()).collect();
    let joined = Some(JoinedColumns {
        file: lab.file.clone(),
        header_line: lab.header_line,
        from: points.headers.len(),
    });
    let table = Table {
        file: points.file.clone(),
        headers,
        header_line: points.header_line,
        rows,
        in_doubt,
        points: located,
        joined,
    };
    Ok((table, findings))
}

fn ids_of(rows: &[TableRow], key: usize) -> Vec<&str> {
    rows.iter().map(|row| row.cells[key].as_str()).collect()
}

fn same_name(one: &str, other: &str) -> bool {
    super::ids::folded(one) == super::ids::folded(other)
}

/// A column of readings or places that both tables have would say two things about one sample. One
/// that nobody reads counts as the points have it, and so does the id of the points, which may
/// stand in the results a second time.
fn refuse_common_columns(join: &LabJoin<'_>) -> Result<(), Refusal> {
    let LabJoin { points, lab, lab_key, key, how, .. } = *join;
    let problems: Vec<Problem> = lab
        .headers
        .iter()
        .enumerate()
        .filter(|&(column, header)| {
            column != lab_key && how.promise_of(header) == Promise::Something
        })
        .filter(|(_, header)| {
            points.headers.iter().position(|own| same_name(own, header)).is_some_and(|at| at != key)
        })
        .map(|(column, _)| {
            let what = format!("the points in {} have this column too", points.file);
            Problem::at(lab.place_of_header(column), what)
                .allowed("each column in one of the two tables")
                .hint("take it out of the one that is not to count, or rename it there")
        })
        .collect();
    Refusal::unless_clean(problems, ())
}

fn refuse_doubled_points(points: &Table, key: usize) -> Result<(), Refusal> {
    let mut first: BTreeMap<&str, usize> = BTreeMap::new();
    let mut problems = Vec::new();
    for row in &points.rows {
        let id = row.cells[key].as_str();
        if id.is_empty() {
            problems.push(
                Problem::at(points.place(row, Some(key)), "the point has no id")
                    .allowed("an id for every point, as the laboratory has it"),
            );
        } else if let Some(earlier) = first.insert(id, row.number) {
            let place = Place { sample: Some(id.to_owned()), ..points.place(row, Some(key)) };
            problems.push(
                Problem::at(place, format!("the id stands a second time; first in row {earlier}"))
                    .allowed("an id of its own for every point")
                    .hint("correct one of the two, or take it out"),
            );
        }
    }
    Refusal::unless_clean(problems, ())
}

/// Results that no point asked for, by name.
fn tell_without_points(left: &BTreeMap<&str, Vec<&TableRow>>, lab: &Table) -> Option<Finding> {
    let names: Vec<&str> = left.keys().copied().collect();
    if names.is_empty() {
        return None;
    }
    let text = format!(
        "{} of the laboratory that belong to no point, not used: {}.",
        counted(names.len() as u64, "sample", "samples"),
        listed(&names)
    );
    Some(Finding::at("results_without_points", Place::in_file(lab.file.clone()), text))
}

fn tell_without_results(
    join: &LabJoin<'_>,
    without: &[&TableRow],
    findings: &mut Vec<Finding>,
) -> Result<(), Refusal> {
    let LabJoin { points, key, lab, .. } = *join;
    if without.is_empty() {
        return Ok(());
    }
    if !join.leave_out_missing {
        let problems = without.iter().map(|row| {
            let id = row.cells[key].clone();
            let place = Place { sample: Some(id), ..points.place(row, None) };
            Problem::at(place, format!("{} has no result for this point", lab.file))
                .allowed("a result for every point")
                .hint("ask the laboratory, or state samples.missing = \"leave out\"")
        });
        return Refusal::unless_clean(problems.collect(), ());
    }
    let names: Vec<&str> = without.iter().map(|row| row.cells[key].as_str()).collect();
    let text = format!(
        "{} of {} points have no result and were left out, as the job says: {}.",
        names.len(),
        points.rows.len(),
        listed(&names)
    );
    findings.push(Finding::at("points_without_results", Place::in_file(points.file.clone()), text));
    Ok(())
}

/// The first names, and how many more there are.
fn listed(names: &[&str]) -> String {
    first_of(names, NAMED)
}

#[cfg(test)]
mod tests;
