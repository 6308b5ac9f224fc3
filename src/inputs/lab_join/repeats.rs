//! Several results of one sample: a stated rule, or refused.

use std::collections::BTreeMap;

use super::{LabJoin, listed};
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::table::TableRow;

/// What becomes of several results of one sample.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RepeatRule {
    /// Their mean.
    Mean,
    /// The last in the order of the file: a re-run stands for the first.
    Last,
    /// The first.
    First,
}

impl RepeatRule {
    /// All of them, in the order in which they are listed to a user.
    pub const ALL: [Self; 3] = [Self::Mean, Self::Last, Self::First];

    /// As it is written in job files.
    pub fn words(self) -> &'static str {
        match self {
            Self::Mean => "mean",
            Self::Last => "last",
            Self::First => "first",
        }
    }

    /// The rule written so.
    pub fn from_words(words: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|rule| rule.words() == words.trim())
    }
}

/// The results, one for each sample and depth.
///
/// # Errors
/// Refuses repeated results where there is no rule for them, listing all; and a mean of cells that
/// are no numbers.
pub(super) fn settle_repeats(join: &LabJoin<'_>) -> Result<(Vec<TableRow>, Vec<Finding>), Refusal> {
    let LabJoin { lab, lab_key, lab_depth, .. } = *join;
    let mut groups: BTreeMap<(&str, &str), Vec<&TableRow>> = BTreeMap::new();
    let mut order: Vec<(&str, &str)> = Vec::new();
    let mut problems = Vec::new();
    for row in &lab.rows {
        let id = row.cells[lab_key].as_str();
        if id.is_empty() {
            problems.push(
                Problem::at(lab.place(row, Some(lab_key)), "the result has no sample id")
                    .allowed("the id of a point in every row")
                    .hint("fill it in, or take the row out"),
            );
            continue;
        }
        let name = (id, lab_depth.map_or("", |at| row.cells[at].as_str()));
        let group = groups.entry(name).or_default();
        if group.is_empty() {
            order.push(name);
        }
        group.push(row);
    }
    let repeated: Vec<&(&str, &str)> =
        order.iter().filter(|name| groups[*name].len() > 1).collect();
    if join.repeats.is_none() {
        problems.extend(repeated.iter().map(|name| refuse(join, name.0, &groups[*name])));
    }
    let mut settled = Vec::with_capacity(order.len());
    for name in &order {
        let group = &groups[name];
        match (group.as_slice(), join.repeats) {
            ([], _) => {}
            ([only], _) => settled.push((*only).clone()),
            ([first, ..], None | Some(RepeatRule::First)) => settled.push((*first).clone()),
            ([.., last], Some(RepeatRule::Last)) => settled.push((*last).clone()),
            (rows, Some(RepeatRule::Mean)) => match mean_of(join, rows) {
                Ok(row) => settled.push(row),
                Err(problem) => problems.push(problem),
            },
        }
    }
    let mut findings = Vec::new();
    if let Some(rule) = join.repeats
        && !repeated.is_empty()
    {
        let names: Vec<&str> = repeated.iter().map(|name| name.0).collect();
        let text = format!(
            "{} samples have several results; the {} of each was taken, as the job says: {}.",
            names.len(),
            rule.words(),
            listed(&names)
        );
        findings.push(Finding::at("results_repeated", Place::in_file(lab.file.clone()), text));
    }
    Refusal::unless_clean(problems, (settled, findings))
}

fn refuse(join: &LabJoin<'_>, id: &str, rows: &[&TableRow]) -> Problem {
    let lines: Vec<String> = rows.iter().map(|row| row.number.to_string()).collect();
    let place = Place { sample: Some(id.to_owned()), ..Place::in_file(join.lab.file.clone()) };
    Problem::at(
        place,
        format!("the sample has {} results, in rows {}", rows.len(), lines.join(", ")),
    )
    .allowed("one result for each sample, unless samples.repeats says which counts")
    .hint("state samples.repeats = \"mean\", \"last\" or \"first\", or take the others out")
}

/// The mean of each column of numbers; a column whose cells are all the same stays as it is.
fn mean_of(join: &LabJoin<'_>, rows: &[&TableRow]) -> Result<TableRow, Problem> {
    let mut mean = rows[0].clone();
    for (column, cell) in mean.cells.iter_mut().enumerate() {
        let texts: Vec<&str> = rows.iter().map(|row| row.cells[column].as_str()).collect();
        if texts.iter().all(|text| *text == texts[0]) {
            continue;
        }
        let numbers: Option<Vec<f64>> = texts
            .iter()
            .filter(|text| !text.is_empty())
            .map(|text| text.parse().ok().filter(|number: &f64| number.is_finite()))
            .collect();
        let is_reading = join.lab.headers.get(column).is_some_and(|header| !header.is_empty());
        match numbers {
            Some(numbers) if !numbers.is_empty() => {
                *cell = (numbers.iter().sum::<f64>() / numbers.len() as f64).to_string();
            }
            // What differs and is no number, such as the laboratory's own number, has no mean.
            _ if texts.iter().any(|text| text.starts_with(['<', '>'])) && is_reading => {
                let place = join.lab.place(rows[0], Some(column));
                let what = format!("the results {} have no mean", texts.join(", "));
                return Err(Problem::at(place, what)
                    .allowed("numbers, where samples.repeats is \"mean\"")
                    .hint("take \"last\" or \"first\", or correct the results"));
            }
            _ => cell.clear(),
        }
    }
    Ok(mean)
}
