//! Reading a table of text: from bytes to rows of plain cells under a header.

use std::collections::{BTreeMap, BTreeSet};

use super::decode::decode;
use super::head::{LOOKED_AT, find_head, is_unit_row, looks_like_a_row, usual_width};
use super::long::widened;
use super::model::{Table, TableRow};
use super::numbers::{Separated, settle_numbers};
use super::split::{Record, split};
use super::style::{Promise, TableStyle};
use crate::findings::{Finding, Place, Problem, Refusal, clean};
use crate::inputs::InputFile;
use crate::inputs::features::Among;
use crate::inputs::job::NamedFile;
use crate::inputs::open::read_bytes;
use crate::units::LIMITS;

/// A table, what was found while reading it, and the file it came from.
#[derive(Debug)]
pub struct ReadTable {
    /// The table.
    pub table: Table,
    /// What was found.
    pub findings: Vec<Finding>,
    /// The file.
    pub file: InputFile,
}

/// Reads a table of text in any of the code pages, delimiters and ways to write numbers in use.
///
/// # Errors
/// Refuses what is no table of text or beyond the limits, headers that are doubled, and every row
/// that is longer or shorter than the header.
pub fn read_table(
    named: &NamedFile,
    role: &'static str,
    how: &TableStyle,
) -> Result<ReadTable, Refusal> {
    let (bytes, file) = read_bytes(&named.path, &named.given, role, LIMITS.data_file_bytes)?;
    let (table, findings) = table_of_bytes(bytes, &named.given, how)?;
    Ok(ReadTable { table, findings, file })
}

pub(in crate::inputs) fn table_of_bytes(
    bytes: Vec<u8>,
    given: &str,
    how: &TableStyle,
) -> Result<(Table, Vec<Finding>), Refusal> {
    let (text, mut findings) = decode(bytes, how.encoding, given)?;
    let delimiter = delimiter_of(&text, how);
    let mut records = split(&text, delimiter, given, None)?;
    drop(text);
    let head = find_head(&records, how).at;
    let Some(header) = records.get(head).cloned() else {
        let problem = Problem::at(Place::in_file(given), "the table is empty");
        return Err(problem.allowed("a header and one row for each sample").into());
    };
    if delimiter != ',' {
        let name = if delimiter == ';' { "semicolons" } else { "tabs" };
        findings.push(Finding::at(
            "table_delimiter",
            Place::in_file(given),
            format!("The columns are separated by {name}."),
        ));
    }
    findings.extend(skipped(&records[..head], &header, given)?);
    let mut headers = header.cells;
    let mut body = records.split_off(head + 1);
    if body.first().is_some_and(|first| is_unit_row(first, headers.len())) {
        let units = body.remove(0);
        findings.push(units_told(&units, given));
        for (header, unit) in headers.iter_mut().zip(units.cells) {
            if !(header.is_empty() || unit.is_empty() || unit == "-") {
                *header = format!("{header} ({})", unit.trim_matches(['(', ')', '[', ']']));
            }
        }
    }
    refuse_doubled(&headers, &Place { line: Some(header.line), ..Place::in_file(given) })?;
    let rows = as_wide_as(&headers, body, how, given)?;
    let mut table = Table {
        file: given.to_owned(),
        headers,
        header_line: Some(header.line),
        rows,
        in_doubt: BTreeSet::new(),
        points: None,
        joined: None,
    };
    findings.extend(name_the_nameless(&mut table));
    // The rows of other fields say nothing of how the numbers of these are written.
    let said = "`select` in [samples]";
    let among = Among { file: given, columns: &table.headers, kind: "rows", said };
    table.rows = among.chosen(table.rows, &how.select, |row| &row.cells)?;
    let separated = if delimiter == ',' { Separated::ByCommas } else { Separated::Otherwise };
    findings.extend(settle_numbers(&mut table, how, separated));
    let (table, told) = widened(table, how)?;
    findings.extend(told);
    Ok((table, findings))
}

/// The delimiter by which the header is found most surely, and after that by which most of the
/// first records are as wide as one another.
fn delimiter_of(text: &str, how: &TableStyle) -> char {
    let score = |delimiter: char| {
        // What cannot be split so far is refused when all of it is.
        let records = split(text, delimiter, "", Some(LOOKED_AT)).unwrap_or_default();
        let (width, count) = usual_width(&records);
        let alike = if width > 1 { (count, width) } else { (0, 0) };
        (find_head(&records, how).known, alike)
    };
    let mut best = (',', score(','));
    for delimiter in [';', '\t'] {
        let found = score(delimiter);
        if found > best.1 {
            best = (delimiter, found);
        }
    }
    best.0
}

/// Tells what stands above the header; refuses what could be rows.
fn skipped(above: &[Record], header: &Record, given: &str) -> Result<Option<Finding>, Refusal> {
    let width = header.cells.len();
    let rows = above.iter().filter(|record| looks_like_a_row(record, width));
    let problems: Vec<Problem> = rows
        .map(|record| {
            let place = Place { line: Some(record.line), ..Place::in_file(given) };
            let what = format!("a row stands above the header, which is in line {}", header.line);
            Problem::at(place, what)
                .allowed("titles and notes above the header")
                .hint("put the header above all rows")
        })
        .collect();
    let told = above.first().map(|first| {
        let start: Vec<&str> =
            first.cells.iter().map(String::as_str).filter(|cell| !cell.is_empty()).collect();
        Finding::at(
            "rows_above_header",
            Place { line: Some(header.line), ..Place::in_file(given) },
            format!(
                "The header was found here; what stands above it was skipped (`{}` in line {}).",
                clean(&start.join(" ")),
                first.line
            ),
        )
    });
    Refusal::unless_clean(problems, told)
}

fn units_told(units: &Record, given: &str) -> Finding {
    let named: Vec<String> = units
        .cells
        .iter()
        .filter(|unit| !unit.is_empty())
        .map(|unit| format!("`{}`", clean(unit)))
        .collect();
    Finding::at(
        "unit_row",
        Place { line: Some(units.line), ..Place::in_file(given) },
        format!("This row holds units and no sample: {}.", named.join(", ")),
    )
}

/// The rows, each as wide as the header; blank cells behind its last column are taken off.
fn as_wide_as(
    headers: &[String],
    body: Vec<Record>,
    how: &TableStyle,
    given: &str,
) -> Result<Vec<TableRow>, Refusal> {
    let name = headers.iter().position(|header| how.promise_of(header) == Promise::Names);
    let mut problems = Vec::new();
    let mut rows = Vec::with_capacity(body.len());
    for Record { line, mut cells } in body {
        while cells.len() > headers.len() && cells.last().is_some_and(String::is_empty) {
            cells.pop();
        }
        if cells.len() == headers.len() {
            rows.push(TableRow { number: line, cells, joined_line: None });
            continue;
        }
        let sample = name.and_then(|at| cells.get(at)).filter(|name| !name.is_empty()).cloned();
        let place = Place { line: Some(line), sample, ..Place::in_file(given) };
        let what = format!("the row has {} cells and the header {}", cells.len(), headers.len());
        problems.push(
            Problem::at(place, what).allowed("one cell for each column").hint(
                "look for a comma inside a cell or in a number, and for notes below the rows",
            ),
        );
    }
    Refusal::unless_clean(problems, rows)
}

/// Takes out columns with nothing in them, and gives a name to those that only lack one.
pub(super) fn name_the_nameless(table: &mut Table) -> Option<Finding> {
    let mut named = Vec::new();
    let mut kept = vec![true; table.headers.len()];
    for (at, header) in table.headers.iter_mut().enumerate() {
        if !header.is_empty() {
            continue;
        }
        if table.rows.iter().all(|row| row.cells[at].is_empty()) {
            kept[at] = false;
        } else {
            *header = format!("column {}", at + 1);
            named.push(format!("`{header}`"));
        }
    }
    if kept.contains(&false) {
        keep(&mut table.headers, &kept);
        for row in &mut table.rows {
            keep(&mut row.cells, &kept);
        }
    }
    (!named.is_empty()).then(|| {
        Finding::at(
            "columns_without_names",
            Place { line: table.header_line, ..Place::in_file(table.file.clone()) },
            format!("Columns with values and no header go by their place: {}.", named.join(", ")),
        )
    })
}

/// Keeps the entries of `list` whose place is marked.
pub(super) fn keep<T>(list: &mut Vec<T>, kept: &[bool]) {
    let mut marks = kept.iter();
    list.retain(|_| marks.next().copied().unwrap_or(true));
}

pub(super) fn refuse_doubled(headers: &[String], place: &Place) -> Result<(), Refusal> {
    let mut seen = BTreeMap::new();
    for header in headers.iter().filter(|header| !header.is_empty()) {
        *seen.entry(header.to_lowercase()).or_insert(0) += 1;
    }
    let problems = seen
        .into_iter()
        .filter(|&(_, count)| count > 1)
        .map(|(header, count)| {
            Problem::at(place.clone(), format!("{count} columns are called `{header}`"))
                .allowed("a name of its own for each column")
                .hint("rename them so that each says what it holds")
        })
        .collect();
    Refusal::unless_clean(problems, ())
}
