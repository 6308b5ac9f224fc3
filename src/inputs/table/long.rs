//! Long tables, with a row for each sample and analyte, made wide.

use std::collections::{BTreeMap, BTreeSet};

use super::model::{Table, TableRow};
use super::read::keep;
use super::repeats::no_mean;
use super::style::{Promise, TableStyle};
use crate::findings::{Finding, Place, Problem, Refusal, clean};
use crate::inputs::ids::bare;
use crate::units::LIMITS;

/// Headers in use for what was measured; common practice.
const ANALYTE: &[&str] =
    &["analyte", "parameter", "test", "testname", "determinand", "determination", "property"];
/// Headers in use for what was found.
const VALUE: &[&str] = &["value", "result", "reading", "testresult", "resultvalue", "finding"];
/// Headers in use for the unit.
const UNIT: &[&str] = &["unit", "units", "uom", "resultunit", "resultunits"];
/// Headers of columns that tell samples of one name apart.
const LAYER: &[&str] = &["depth", "layer", "horizon", "top", "bottom", "upper", "lower"];

/// Where a long table has its parts.
struct Parts {
    name: usize,
    analyte: usize,
    value: usize,
    unit: Option<usize>,
    /// Columns that belong to the sample.
    others: Vec<usize>,
}

impl Parts {
    fn find(table: &Table, how: &TableStyle) -> Option<Self> {
        let find = |known: &[&str]| {
            table.headers.iter().position(|header| known.contains(&bare(header).as_str()))
        };
        let (analyte, value, unit) = (find(ANALYTE)?, find(VALUE)?, find(UNIT));
        let name =
            table.headers.iter().position(|header| how.promise_of(header) == Promise::Names)?;
        let taken = [Some(name), Some(analyte), Some(value), unit];
        let others = (0..table.headers.len()).filter(|at| !taken.contains(&Some(*at))).collect();
        Some(Self { name, analyte, value, unit, others })
    }

    /// The columns that tell samples of one name apart.
    fn apart(&self, table: &Table, how: &TableStyle) -> Vec<usize> {
        let is_one = |at: &usize| {
            let header = &table.headers[*at];
            how.promise_of(header) == Promise::Labels
                || LAYER.iter().any(|word| bare(header).contains(word))
        };
        self.others.iter().copied().filter(is_one).collect()
    }
}

/// Whether a header belongs to a long table.
pub(super) fn is_part_of_long_tables(header: &str) -> bool {
    let name = bare(header);
    [ANALYTE, VALUE, UNIT].iter().any(|known| known.contains(&name.as_str()))
}

/// The table with a column for each analyte, if it has a row for each sample and analyte; else the
/// table as it is.
///
/// # Errors
/// Refuses a value that stands there twice without a rule for it, an analyte in several units, rows without a sample or
/// an analyte, and a sample whose rows contradict each other in a column that is read.
pub(super) fn widened(table: Table, how: &TableStyle) -> Result<(Table, Vec<Finding>), Refusal> {
    let Some(parts) = Parts::find(&table, how) else { return Ok((table, Vec::new())) };
    let mut problems = Vec::new();
    let analytes = analytes_of(&table, &parts, &mut problems);
    let known = parts.others.len() + 1;
    let width = known + analytes.len();
    if width > LIMITS.columns {
        let place = Place::in_file(table.file.clone());
        let what = format!("the table speaks of {} analytes", analytes.len());
        problems.push(Problem::at(place, what).allowed(format!("{} columns", LIMITS.columns)));
        return Refusal::unless_clean(problems, (table, Vec::new()));
    }
    let layers = parts.apart(&table, how);
    let mut wide: Vec<TableRow> = Vec::new();
    let mut firsts: Vec<Vec<Option<&TableRow>>> = Vec::new();
    let mut several: BTreeMap<(usize, usize), Vec<&TableRow>> = BTreeMap::new();
    let mut found: BTreeMap<Vec<&str>, usize> = BTreeMap::new();
    let mut varies = vec![false; known];
    // Where each sample lies, for tables that came from a map file.
    let mut places = Vec::new();
    for (number, row) in table.rows.iter().enumerate() {
        let cell = |at: usize| row.cells[at].as_str();
        let Some(analyte) = analytes.get(&cell(parts.analyte).to_lowercase()) else { continue };
        let key = std::iter::once(parts.name).chain(layers.iter().copied()).map(cell).collect();
        let at = *found.entry(key).or_insert_with(|| {
            let own = std::iter::once(parts.name).chain(parts.others.iter().copied());
            let mut cells: Vec<String> = own.map(|at| cell(at).to_owned()).collect();
            cells.resize(width, String::new());
            firsts.push(vec![None; analytes.len()]);
            wide.push(TableRow { number: row.number, cells, joined_line: row.joined_line });
            places.extend(table.points.as_ref().map(|(_, points)| points[number]));
            wide.len() - 1
        });
        if let Some((_, points)) = &table.points
            && places.get(at) != points.get(number)
        {
            problems.push(moved(&table, row, parts.name, &wide[at]));
        }
        if wide.len() * width > LIMITS.table_cells {
            let place = Place::in_file(table.file.clone());
            let what = "the table has too many samples for its many analytes";
            let limit = format!("{} cells", LIMITS.table_cells);
            return Err(Problem::at(place, what).allowed(limit).into());
        }
        for (own, &at_long) in parts.others.iter().enumerate() {
            if wide[at].cells[own + 1] != cell(at_long) {
                varies[own + 1] = true;
                if how.promise_of(&table.headers[at_long]) != Promise::Nothing {
                    problems.push(contradicts(&table, row, at_long, parts.name, &wide[at]));
                }
            }
        }
        if let Some(first) = firsts[at][analyte.at] {
            several.entry((at, analyte.at)).or_insert_with(|| vec![first]).push(row);
        } else {
            firsts[at][analyte.at] = Some(row);
            cell(parts.value).clone_into(&mut wide[at].cells[known + analyte.at]);
        }
    }
    let mut repeated = BTreeSet::new();
    for ((at, analyte), rows) in several {
        let Some(rule) = how.repeats else {
            problems.extend(rows[1..].iter().map(|row| twice(&table, row, &parts, rows[0])));
            continue;
        };
        let texts: Vec<&str> = rows.iter().map(|row| row.cells[parts.value].as_str()).collect();
        let name = rows[0].cells[parts.name].as_str();
        repeated.insert(name);
        if let Some(value) = rule.of_cells(&texts) {
            wide[at].cells[known + analyte] = value;
        } else {
            let place = table.place(rows[0], Some(parts.value));
            problems.push(no_mean(Place { sample: Some(name.to_owned()), ..place }, &texts));
        }
    }
    let repeated: Vec<&str> = repeated.into_iter().collect();
    let repeated =
        how.repeats.filter(|_| !repeated.is_empty()).map(|rule| rule.told(&repeated, &table.file));
    let mut headers: Vec<String> = std::iter::once(parts.name)
        .chain(parts.others.iter().copied())
        .map(|at| table.headers[at].clone())
        .collect();
    headers.resize(width, String::new());
    for analyte in analytes.values() {
        headers[known + analyte.at].clone_from(&analyte.header);
    }
    let mut kept = vec![true; width];
    varies.iter().zip(&mut kept).for_each(|(varies, kept)| *kept = !varies);
    let left: Vec<&str> =
        (0..known).filter(|&at| varies[at]).map(|at| headers[at].as_str()).collect();
    let told = told(&table, wide.len(), &headers[known..], &left);
    keep(&mut headers, &kept);
    for row in &mut wide {
        keep(&mut row.cells, &kept);
    }
    let in_doubt = doubts(&table, &parts, &kept);
    let points = table.points.as_ref().map(|(system, _)| (system.clone(), places));
    let wide = Table { headers, rows: wide, in_doubt, points, ..table };
    Refusal::unless_clean(problems, (wide, std::iter::once(told).chain(repeated).collect()))
}

/// The columns of the wide table that are in doubt: what is so of the values is so of every analyte.
fn doubts(table: &Table, parts: &Parts, kept: &[bool]) -> BTreeSet<usize> {
    let own = std::iter::once(parts.name).chain(parts.others.iter().copied());
    let mut doubts: Vec<bool> = own.map(|at| table.in_doubt.contains(&at)).collect();
    doubts.resize(kept.len(), table.in_doubt.contains(&parts.value));
    keep(&mut doubts, kept);
    (0..doubts.len()).filter(|&at| doubts[at]).collect()
}

/// An analyte: its place among the others, in the order of the file, and its header with its unit.
struct Analyte {
    at: usize,
    header: String,
    unit: String,
}

fn analytes_of(
    table: &Table,
    parts: &Parts,
    problems: &mut Vec<Problem>,
) -> BTreeMap<String, Analyte> {
    let mut analytes: BTreeMap<String, Analyte> = BTreeMap::new();
    for row in &table.rows {
        let name = &row.cells[parts.analyte];
        for (at, words) in [(parts.name, "sample"), (parts.analyte, "analyte")] {
            if row.cells[at].is_empty() {
                problems.push(
                    Problem::at(table.place(row, Some(at)), format!("the row names no {words}"))
                        .allowed("a sample and an analyte in each row of a long table"),
                );
            }
        }
        if name.is_empty() {
            continue;
        }
        let unit = parts.unit.map_or("", |at| row.cells[at].as_str());
        let at = analytes.len();
        let analyte = analytes.entry(name.to_lowercase()).or_insert_with(|| Analyte {
            at,
            header: if unit.is_empty() { name.clone() } else { format!("{name} ({unit})") },
            unit: unit.to_owned(),
        });
        if analyte.unit.to_lowercase() != unit.to_lowercase() {
            let what = format!("`{name}` is in `{unit}` here and in `{}` above", analyte.unit);
            problems.push(
                Problem::at(table.place(row, parts.unit), what)
                    .allowed("one unit for each analyte")
                    .hint("have the laboratory report it in one unit"),
            );
        }
    }
    analytes
}

fn twice(table: &Table, row: &TableRow, parts: &Parts, first: &TableRow) -> Problem {
    let name = row.cells[parts.name].clone();
    let first = row_in_words(table, first);
    let what = format!("`{}` stands in {first} already", row.cells[parts.analyte]);
    let place = Place { sample: Some(name), ..table.place(row, None) };
    Problem::at(place, what).allowed("one value for each sample and analyte").hint(
        "state samples.repeats = \"mean\", \"last\" or \"first\", or keep the value that holds",
    )
}

fn contradicts(table: &Table, row: &TableRow, at: usize, name: usize, first: &TableRow) -> Problem {
    let first = row_in_words(table, first);
    let what = format!("`{}` is not what {first} says of the sample", row.cells[at]);
    let place = Place { sample: Some(row.cells[name].clone()), ..table.place(row, Some(at)) };
    Problem::at(place, what).allowed("the same in each row of a sample")
}

/// Values of one sample belong to one place.
fn moved(table: &Table, row: &TableRow, name: usize, first: &TableRow) -> Problem {
    let place = Place { sample: Some(row.cells[name].clone()), ..table.place(row, None) };
    let what = format!("the sample lies at another place than in {}", row_in_words(table, first));
    Problem::at(place, what)
        .allowed("one place for all values of a sample, where each has a feature of its own")
        .hint("give each sample a name of its own, or correct its place")
}

fn row_in_words(table: &Table, row: &TableRow) -> String {
    let kind = if table.header_line.is_some() { "line" } else { "feature" };
    format!("{kind} {}", row.number)
}

fn told(table: &Table, samples: usize, analytes: &[String], left: &[&str]) -> Finding {
    let quoted = |names: &mut dyn Iterator<Item = &str>| {
        names.map(|name| format!("`{}`", clean(name))).collect::<Vec<_>>().join(", ")
    };
    let mut text = format!(
        "The table has a row for each sample and analyte; it was turned into {samples} rows with \
         the columns {}.",
        quoted(&mut analytes.iter().map(String::as_str))
    );
    if !left.is_empty() {
        let names = quoted(&mut left.iter().copied());
        text = format!("{text} These differ within a sample and were left aside: {names}.");
    }
    Finding::at("long_table", Place::in_file(table.file.clone()), text)
}
