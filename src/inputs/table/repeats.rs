//! Several rows of one sample: a stated rule, or refused.

use std::collections::BTreeMap;

use super::model::{Table, TableRow};
use super::style::{Promise, TableStyle};
use crate::findings::{Finding, Place, Problem, Refusal, clean, first_of};
use crate::units::counted;

/// Names told in one finding before the rest is only counted.
const NAMED: usize = 20;

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

    /// The one cell that comes of several, in the order of the file; `None` where they have no
    /// mean. Blank cells have no part in a mean.
    pub(in crate::inputs) fn of_cells(self, cells: &[&str]) -> Option<String> {
        match self {
            Self::First => cells.first().map(|&cell| cell.to_owned()),
            Self::Last => cells.last().map(|&cell| cell.to_owned()),
            Self::Mean if cells.iter().all(|cell| *cell == cells[0]) => {
                cells.first().map(|&cell| cell.to_owned())
            }
            Self::Mean => {
                let filled = cells.iter().filter(|cell| !cell.is_empty());
                let number = |cell: &&str| cell.parse().ok().filter(|n: &f64| n.is_finite());
                let numbers: Option<Vec<f64>> = filled.map(number).collect();
                let numbers = numbers.filter(|numbers| !numbers.is_empty())?;
                Some((numbers.iter().sum::<f64>() / numbers.len() as f64).to_string())
            }
        }
    }

    /// What is told where the rule was followed for these samples.
    pub(in crate::inputs) fn told(self, samples: &[&str], file: &str) -> Finding {
        let text = format!(
            "{} with several results: the {} of each was taken, as the job says: {}.",
            counted(samples.len() as u64, "sample", "samples"),
            self.words(),
            first_of(samples, NAMED)
        );
        Finding::at("results_repeated", Place::in_file(file), text)
    }
}

/// A table in which a sample may stand in several rows.
#[derive(Clone, Copy, Debug)]
pub(in crate::inputs) struct Repeats<'t> {
    pub(in crate::inputs) table: &'t Table,
    /// How it was read: its word on repeats, and which columns hold readings.
    pub(in crate::inputs) how: &'t TableStyle,
    /// The column that names the samples.
    pub(in crate::inputs) key: usize,
    /// The columns with the depth, where there are any: other depths are no repeats.
    pub(in crate::inputs) depths: &'t [usize],
}

impl Repeats<'_> {
    /// One row for each sample and depth, in the order of the file.
    ///
    /// # Errors
    /// Refuses rows without a name, repeated rows where there is no rule for them, listing all, and
    /// readings that have no mean.
    pub(in crate::inputs) fn settle(&self) -> Result<(Vec<TableRow>, Option<Finding>), Refusal> {
        let Self { table, how, key, depths } = *self;
        let mut groups: BTreeMap<(&str, Vec<&str>), Vec<&TableRow>> = BTreeMap::new();
        let mut order: Vec<(&str, Vec<&str>)> = Vec::new();
        let mut problems = Vec::new();
        for row in &table.rows {
            let id = row.cells[key].as_str();
            if id.is_empty() {
                problems.push(
                    Problem::at(table.place(row, Some(key)), "the row has no sample id")
                        .allowed("the id of a sample in every row")
                        .hint("fill it in, or take the row out"),
                );
                continue;
            }
            let name = (id, depths.iter().map(|&at| row.cells[at].as_str()).collect::<Vec<_>>());
            let group = groups.entry(name.clone()).or_default();
            if group.is_empty() {
                order.push(name);
            }
            group.push(row);
        }
        let mut settled = Vec::with_capacity(order.len());
        let mut repeated = Vec::new();
        for name in &order {
            let rows = groups[name].as_slice();
            match (rows, how.repeats) {
                ([], _) => {}
                ([only], _) => settled.push((*only).clone()),
                (_, None) => problems.push(self.refuse(name.0, rows)),
                ([first, .., last], Some(rule)) => {
                    repeated.push(name.0);
                    match rule {
                        RepeatRule::First => settled.push((*first).clone()),
                        RepeatRule::Last => settled.push((*last).clone()),
                        RepeatRule::Mean => settled.push(self.mean_of(rows, &mut problems)),
                    }
                }
            }
        }
        let told = how.repeats.filter(|_| !repeated.is_empty());
        let told = told.map(|rule| rule.told(&repeated, &table.file));
        Refusal::unless_clean(problems, (settled, told))
    }

    fn refuse(&self, id: &str, rows: &[&TableRow]) -> Problem {
        let numbers: Vec<String> = rows.iter().map(|row| row.number.to_string()).collect();
        let place = Place { sample: Some(id.to_owned()), ..Place::in_file(&self.table.file) };
        let what = format!("the sample has {} results, in rows {}", rows.len(), numbers.join(", "));
        Problem::at(place, what)
            .allowed("one result for each sample, unless samples.repeats says which counts")
            .hint("state samples.repeats = \"mean\", \"last\" or \"first\", or take the others out")
    }

    /// The mean of each column; what differs, is no number and is not read, such as the
    /// laboratory's own number, is left blank.
    fn mean_of(&self, rows: &[&TableRow], problems: &mut Vec<Problem>) -> TableRow {
        let mut mean = rows[0].clone();
        for (column, cell) in mean.cells.iter_mut().enumerate() {
            let texts: Vec<&str> = rows.iter().map(|row| row.cells[column].as_str()).collect();
            *cell = RepeatRule::Mean.of_cells(&texts).unwrap_or_default();
            let is_read = self.how.promise_of(&self.table.headers[column]) == Promise::Something;
            if cell.is_empty() && is_read && texts.iter().any(|text| !text.is_empty()) {
                let id = rows[0].cells[self.key].clone();
                let place = Place { sample: Some(id), ..self.table.place(rows[0], Some(column)) };
                problems.push(no_mean(place, &texts));
            }
        }
        mean
    }
}

/// The problem of readings of which one is no number.
pub(super) fn no_mean(place: Place, texts: &[&str]) -> Problem {
    let quoted: Vec<String> = texts.iter().map(|text| format!("`{}`", clean(text))).collect();
    Problem::at(place, format!("the results {} have no mean", quoted.join(", ")))
        .allowed("numbers, where samples.repeats is \"mean\"")
        .hint("take \"last\" or \"first\", or correct the results")
}
