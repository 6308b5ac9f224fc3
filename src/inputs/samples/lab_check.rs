//! Pairs of what a field meter and a laboratory read of the same samples.

use std::collections::BTreeSet;

use super::cell::Cell;
use super::columns::{missing, other_medium};
use super::header::{Role, find_column, quoted};
use super::table::Samples;
use crate::findings::{Finding, Place, Problem, Refusal, clean};
use crate::inputs::ids::{bare, folded};
use crate::inputs::job::LabCheckPart;
use crate::inputs::open::InputFile;
use crate::inputs::{Table, TableRow, read_table};
use crate::units::{PhMedium, bound};

/// Headers in use, folded; common practice.
const LAB_PH: &[&str] = &["labph", "phlab", "laboratoryph", "phlaboratory"];
const METER_PH: &[&str] = &["meterph", "phmeter", "fieldph", "phfield"];

/// Pairs, what was found while reading them, and their file.
#[derive(Debug)]
pub struct LabPairs {
    /// The meter's reading and the laboratory's, in the order of the file.
    pub pairs: Vec<[f64; 2]>,
    /// What was found.
    pub findings: Vec<Finding>,
    /// The file.
    pub file: InputFile,
}

/// Reads the pairs, all of pH in `medium`; a meter's reading that the file lacks is the sample's
/// own, by its name.
///
/// # Errors
/// Lists columns that name another medium, and every row with a cell that is no pH, or of a sample
/// that has a pair already, or that names no sample, or several, where the sample's own reading is
/// to be taken.
pub fn read_lab_pairs(
    part: &LabCheckPart,
    samples: &Samples,
    medium: PhMedium,
) -> Result<LabPairs, Refusal> {
    let read = read_table(&part.file, "paired readings", &part.style)?;
    let table = &read.table;
    let head = Place { line: table.header_line, ..Place::in_file(&table.file) };
    let mut problems = Vec::new();
    let mut need = |found: Result<Option<usize>, Problem>| {
        found.unwrap_or_else(|problem| {
            problems.push(problem);
            None
        })
    };
    let id =
        find_column(&table.headers, Role::LabId, part.key.as_deref(), &head).map_err(|found| {
            Problem { hint: "name it with samples.lab_check.key".to_owned(), ..found }
        });
    let id = need(id);
    let lab = need(column(table, part.lab_ph.as_deref(), LAB_PH, "lab_ph", &head));
    let meter = need(column(table, part.meter_ph.as_deref(), METER_PH, "meter_ph", &head));
    if lab.is_none() && problems.is_empty() {
        let what = "no column is known to hold the laboratory's pH";
        problems.push(
            Problem::at(head.clone(), what)
                .allowed(quoted(table.headers.iter().map(String::as_str)))
                .hint("say which column it is with `samples.lab_check.lab_ph`"),
        );
    }
    if id.is_none() && meter.is_none() && problems.is_empty() {
        let hint = "name it with samples.lab_check.key";
        problems.push(missing(Role::LabId, &table.headers, &head, false).hint(hint));
    }
    for at in [lab, meter].into_iter().flatten() {
        problems.extend(other_medium(table, at, medium).map(in_pairs));
    }
    let mut pairs = Vec::new();
    if let Some(lab) = lab {
        problems.extend(id.map_or_else(Vec::new, |id| repeated(table, id)));
        for row in &table.rows {
            let name = id.map_or("", |at| row.cells[at].as_str());
            let meter_ph = match meter {
                Some(at) => ph_of(table, row, at),
                None => own_reading(table, row, id, name, samples),
            };
            match (meter_ph, ph_of(table, row, lab)) {
                (Ok(meter), Ok(lab)) => pairs.push([meter, lab]),
                (meter, lab) => problems.extend([meter.err(), lab.err()].into_iter().flatten()),
            }
        }
    }
    let (findings, file) = (read.findings, read.file);
    Refusal::unless_clean(problems, LabPairs { pairs, findings, file })
}

/// What is said of a column of the samples, said of one of the pairs.
fn in_pairs(found: Problem) -> Problem {
    found.hint(
        "have the pairs read in the medium of the samples: what lies between two media is no fault \
         of a meter; or correct samples.ph_measured_in",
    )
}

/// Every row of a sample that has a pair above it: a sample read again says nothing more of how far
/// samples differ.
fn repeated(table: &Table, id: usize) -> Vec<Problem> {
    let mut seen = BTreeSet::new();
    let again = |row: &&TableRow| {
        let name = folded(&row.cells[id]);
        !name.is_empty() && !seen.insert(name)
    };
    let problem = |row: &TableRow| {
        let what = format!("`{}` has a pair already", clean(&row.cells[id]));
        Problem::at(table.place(row, Some(id)), what)
            .allowed("one pair for each sample")
            .hint("take the mean of its readings as one pair, or correct the name")
    };
    table.rows.iter().filter(again).map(problem).collect()
}

fn column(
    table: &Table,
    mapped: Option<&str>,
    known: &[&str],
    key: &str,
    head: &Place,
) -> Result<Option<usize>, Problem> {
    let key = format!("samples.lab_check.{key}");
    let named = |wanted: &str| table.headers.iter().position(|header| bare(header) == wanted);
    if let Some(wanted) = mapped {
        let exact = table.headers.iter().position(|header| header == wanted.trim());
        return exact.or_else(|| named(&bare(wanted))).map(Some).ok_or_else(|| {
            Problem::at(head.clone(), format!("there is no column `{wanted}`, which `{key}` names"))
                .allowed(quoted(table.headers.iter().map(String::as_str)))
                .hint("copy the name from the head of the table")
        });
    }
    let found: Vec<usize> = known.iter().filter_map(|name| named(name)).collect();
    match found.as_slice() {
        [] => Ok(None),
        [only] => Ok(Some(*only)),
        several => {
            let names = quoted(several.iter().map(|&at| table.headers[at].as_str()));
            Err(Problem::at(head.clone(), format!("several columns could be meant: {names}"))
                .allowed("one column for each")
                .hint(format!("say which one with `{key}`")))
        }
    }
}

fn ph_of(table: &Table, row: &TableRow, at: usize) -> Result<f64, Problem> {
    let text = row.cells[at].as_str();
    let place = table.place(row, Some(at));
    match Cell::read(text) {
        Cell::Number(number) => bound::SOIL_PH
            .check(number, &format!("`{text}`"))
            .map_err(|misread| Problem::misread(place, bound::SOIL_PH.words, misread)),
        _ => Err(Problem::at(place, format!("`{}` is no pH", clean(text)))
            .allowed("a pH in every row of the pairs")
            .hint("fill it in, or take the row out")),
    }
}

/// The reading of the one sample of that name.
fn own_reading(
    table: &Table,
    row: &TableRow,
    id: Option<usize>,
    name: &str,
    samples: &Samples,
) -> Result<f64, Problem> {
    let same = |sample: &usize| folded(&samples.ids[*sample]) == folded(name);
    let found: Vec<usize> = (0..samples.ids.len()).filter(same).collect();
    let refuse = |what: String| {
        Problem::at(table.place(row, id), what)
            .allowed("the name of one sample, or a column with the meter's pH")
            .hint("correct the name, or name the column with samples.lab_check.meter_ph")
    };
    match (found.as_slice(), &samples.ph) {
        (_, None) => Err(refuse("no pH is read of the samples".to_owned())),
        ([only], Some(ph)) => Ok(ph[*only]),
        ([], _) => Err(refuse(format!("no sample is called `{}`", clean(name)))),
        (several, _) => {
            Err(refuse(format!("{} samples are called `{}`", several.len(), clean(name))))
        }
    }
}
