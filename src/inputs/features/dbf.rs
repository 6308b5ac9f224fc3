//! The table of a shapefile: its `.dbf` file (dBase III and what came of it; layout from memory,
//! common practice), every length held against the bytes.

use super::choose::refuse_too_many_attributes;
use super::codepage::CodePage;
use super::model::MapFile;
use crate::findings::{Finding, Place, Problem, Refusal, clean};

const HEADER_BYTES: usize = 32;
const FIELD_BYTES: usize = 32;
const END_OF_FIELDS: u8 = 0x0d;
const DELETED: u8 = b'*';

/// The rows of a table as texts.
#[derive(Debug)]
pub(super) struct DbfTable {
    /// The names of the columns that are read.
    pub(super) columns: Vec<String>,
    /// The rows, in their order; none for a row that is marked as deleted.
    pub(super) rows: Vec<Option<Vec<String>>>,
    /// What was found.
    pub(super) findings: Vec<Finding>,
}

/// One column, as the head of the file describes it.
struct Column {
    name: String,
    kind: u8,
    /// Where it starts in a row, and how many bytes it has.
    at: usize,
    length: usize,
}

/// Reads the table; `cpg` is the text of the `.cpg` file, which goes before the table's own byte.
///
/// # Errors
/// Refuses a table whose lengths do not agree with its bytes, and too many columns.
pub(super) fn read_dbf(file: &MapFile, cpg: Option<&str>) -> Result<DbfTable, Refusal> {
    let place = Place::in_file(&file.name);
    let bytes = &file.bytes;
    let damaged = |what: String| -> Refusal {
        Problem::at(place.clone(), format!("the table of the shapefile is damaged: {what}"))
            .allowed("a complete .dbf file")
            .hint("copy or export the shapefile again, all its files together")
            .into()
    };
    let two = |at: usize| Some(u16::from_le_bytes(bytes.get(at..at + 2)?.try_into().ok()?));
    let four = |at: usize| Some(u32::from_le_bytes(bytes.get(at..at + 4)?.try_into().ok()?));
    let (Some(count), Some(head), Some(row_bytes), Some(&language)) =
        (four(4), two(8), two(10), bytes.get(29))
    else {
        return Err(damaged("its head is cut off".into()));
    };
    let (count, head, row_bytes) = (count as usize, usize::from(head), usize::from(row_bytes));
    let mut columns = read_columns(bytes, head).map_err(&damaged)?;
    let needed = columns.last().map_or(1, |column| column.at + column.length);
    if needed > row_bytes {
        return Err(damaged(format!("its columns take {needed} bytes, its rows have {row_bytes}")));
    }
    let rows = count.checked_mul(row_bytes).and_then(|all| bytes.get(head..head.checked_add(all)?));
    let Some(rows) = rows else {
        return Err(damaged(format!(
            "its head says that it has {count} rows of {row_bytes} bytes, more than there are"
        )));
    };
    let mut findings = Vec::new();
    let left_out: Vec<String> = columns
        .iter()
        .filter(|column| !is_read(column.kind))
        .map(|column| clean(&column.name))
        .collect();
    if !left_out.is_empty() {
        let text =
            format!("Columns of a kind that is not read were left out: {}.", left_out.join(", "));
        findings.push(Finding::at("columns_left_out", place.clone(), text));
    }
    columns.retain(|column| is_read(column.kind));
    refuse_too_many_attributes(count, columns.len(), &place)?;
    let page = code_page(cpg, language, rows, &place, &mut findings);
    let mut all_clean = true;
    let rows = rows
        .chunks_exact(row_bytes.max(1))
        .map(|row| {
            let texts = columns.iter().map(|column| {
                let (text, clean) =
                    text_of(column, &row[column.at..column.at + column.length], page);
                all_clean &= clean;
                text
            });
            let texts = texts.collect();
            (row.first() != Some(&DELETED)).then_some(texts)
        })
        .collect();
    if !all_clean {
        let text =
            "Some characters of the table are not in its code page and were replaced by \u{fffd}.";
        findings.push(Finding::at("characters_replaced", place, text));
    }
    Ok(DbfTable {
        columns: columns.into_iter().map(|column| column.name).collect(),
        rows,
        findings,
    })
}

fn read_columns(bytes: &[u8], head: usize) -> Result<Vec<Column>, String> {
    let mut columns = Vec::new();
    // A row starts with the byte that marks it as deleted.
    let mut at = 1;
    let mut field_at = HEADER_BYTES;
    loop {
        let field = bytes.get(field_at..(field_at + FIELD_BYTES).min(bytes.len()));
        match field {
            Some([END_OF_FIELDS, ..]) => return Ok(columns),
            Some(field) if field.len() == FIELD_BYTES && field_at + FIELD_BYTES <= head => {
                let name = field[..11].split(|&byte| byte == 0).next().unwrap_or_default();
                let name = String::from_utf8_lossy(name).trim().to_owned();
                let (kind, length) = (field[11], usize::from(field[16]));
                columns.push(Column { name, kind, at, length });
                at += length;
            }
            _ => return Err("the list of its columns does not end".into()),
        }
        field_at += FIELD_BYTES;
    }
}

/// Texts, numbers as text, dates, yes and no, and whole numbers of four bytes.
fn is_read(kind: u8) -> bool {
    matches!(kind, b'C' | b'N' | b'F' | b'D' | b'L' | b'I')
}

fn text_of(column: &Column, bytes: &[u8], page: CodePage) -> (String, bool) {
    if column.kind == b'I' {
        let four = bytes.try_into().map(i32::from_le_bytes);
        return (four.map(|number| number.to_string()).unwrap_or_default(), true);
    }
    let end = bytes.iter().rposition(|byte| !matches!(byte, b' ' | 0)).map_or(0, |last| last + 1);
    let (text, clean) = page.decode(&bytes[..end]);
    let text = text.trim();
    let blank = match column.kind {
        // What does not fit its column is written as asterisks.
        b'N' | b'F' => text.bytes().all(|byte| byte == b'*'),
        b'D' => text.bytes().all(|byte| byte == b'0'),
        b'L' => text == "?",
        _ => false,
    };
    (if blank { String::new() } else { text.to_owned() }, clean)
}

/// The code page that is stated, or else the one that fits.
fn code_page(
    cpg: Option<&str>,
    language: u8,
    rows: &[u8],
    place: &Place,
    findings: &mut Vec<Finding>,
) -> CodePage {
    let stated = cpg.and_then(CodePage::of_cpg);
    let stated = stated.or_else(|| CodePage::of_language_byte(language));
    let utf8 = CodePage::Standard(encoding_rs::UTF_8);
    if let Some(stated) = stated {
        return stated;
    }
    if rows.is_ascii() {
        return utf8;
    }
    let (page, name) = if std::str::from_utf8(rows).is_ok() {
        (utf8, "UTF-8")
    } else {
        (CodePage::Standard(encoding_rs::WINDOWS_1252), "Windows-1252")
    };
    let said = match cpg {
        Some(cpg) => format!("names the code page `{}`, which is not known", clean(cpg.trim())),
        None => "does not name its code page".to_owned(),
    };
    let text = format!("The table {said}; its texts were read as {name}.");
    findings.push(Finding::at("code_page_assumed", place.clone(), text));
    page
}
