//! A text cut into records and cells: quotes honoured, every size bounded.
//!
//! It is ours because every problem names its line, and the `csv` package names a wrong one behind
//! blank lines.

use crate::findings::{Place, Problem};
use crate::units::LIMITS;

/// A record as it stands in the text: its cells without the blanks around them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Record {
    /// The line that it begins in, from 1.
    pub(super) line: usize,
    pub(super) cells: Vec<String>,
}

impl Record {
    pub(super) fn is_blank(&self) -> bool {
        self.cells.iter().all(String::is_empty)
    }
}

/// The records of `text`, blank ones left out; at most `most` of them where it is given.
///
/// A cell is quoted where its first character is a double quote; two of them stand for one.
///
/// # Errors
/// Refuses a quote that is never closed, text behind a closing quote, and cells, records and
/// tables beyond the limits, as soon as they are.
pub(super) fn split(
    text: &str,
    delimiter: char,
    given: &str,
    most: Option<usize>,
) -> Result<Vec<Record>, Problem> {
    let mut cutter = Cutter { rest: text, line: 1, delimiter, given };
    let mut records = Vec::new();
    let mut cells = 0;
    while most.is_none_or(|most| records.len() < most)
        && let Some(record) = cutter.record()?
    {
        cells += record.cells.len();
        if cells > LIMITS.table_cells {
            return Err(cutter
                .problem(record.line, "the table has more cells than this program takes on")
                .allowed(format!("{} cells", LIMITS.table_cells))
                .hint("export only the rows and columns of the field"));
        }
        if !record.is_blank() {
            records.push(record);
        }
    }
    Ok(records)
}

/// Blanks, and marks without width that come with pasted text.
pub(super) fn is_blank(c: char) -> bool {
    c.is_whitespace() || matches!(c, '\u{feff}' | '\u{200b}')
}

struct Cutter<'t> {
    rest: &'t str,
    line: usize,
    delimiter: char,
    given: &'t str,
}

impl<'t> Cutter<'t> {
    /// The next record; `None` at the end of the text.
    fn record(&mut self) -> Result<Option<Record>, Problem> {
        if self.rest.is_empty() {
            return Ok(None);
        }
        let line = self.line;
        let mut cells = Vec::new();
        loop {
            cells.push(self.cell()?);
            if cells.len() > LIMITS.columns {
                return Err(self
                    .problem(line, &format!("the row has more than {} cells", LIMITS.columns))
                    .allowed(format!("{} columns", LIMITS.columns))
                    .hint("check that it is the right file, and that its rows stand in lines"));
            }
            match self.rest.chars().next() {
                Some(c) if c == self.delimiter => self.rest = &self.rest[c.len_utf8()..],
                _ => {
                    self.end_line();
                    return Ok(Some(Record { line, cells }));
                }
            }
        }
    }

    fn end_line(&mut self) {
        if let Some(rest) = ["\r\n", "\n", "\r"].iter().find_map(|end| self.rest.strip_prefix(end))
        {
            self.rest = rest;
            self.line += 1;
        }
    }

    fn cell(&mut self) -> Result<String, Problem> {
        let delimiter = self.delimiter;
        let ends = |c: char| c == delimiter || c == '\n' || c == '\r';
        let inner = self.rest.trim_start_matches(|c| is_blank(c) && !ends(c));
        if let Some(quoted) = inner.strip_prefix('"') {
            return self.quoted(quoted);
        }
        let end = self.rest.find(ends).unwrap_or(self.rest.len());
        let (cell, rest) = self.rest.split_at(end);
        self.rest = rest;
        let cell = cell.trim_matches(is_blank);
        if cell.len() > LIMITS.cell_characters && cell.chars().nth(LIMITS.cell_characters).is_some()
        {
            return Err(self.too_long(self.line));
        }
        Ok(cell.to_owned())
    }

    fn quoted(&mut self, mut rest: &'t str) -> Result<String, Problem> {
        let (opened, delimiter) = (self.line, self.delimiter);
        let mut cell = String::new();
        let mut characters = 0;
        loop {
            let Some(end) = rest.find('"') else {
                return Err(self
                    .problem(opened, "a quote is opened and never closed")
                    .allowed("a quote at both ends of a cell")
                    .hint("close it, or take it out; two quotes stand for one inside a cell"));
            };
            characters += rest[..end].chars().count() + 1;
            if characters > LIMITS.cell_characters {
                return Err(self.too_long(opened));
            }
            cell.push_str(&rest[..end]);
            rest = &rest[end + 1..];
            let Some(after) = rest.strip_prefix('"') else { break };
            cell.push('"');
            rest = after;
        }
        self.line += lines_ended(&cell);
        let ends = |c: char| c == delimiter || c == '\n' || c == '\r';
        self.rest = rest.trim_start_matches(|c| is_blank(c) && !ends(c));
        if self.rest.is_empty() || self.rest.starts_with(ends) {
            return Ok(cell.trim_matches(is_blank).to_owned());
        }
        Err(self
            .problem(opened, "text stands behind a closing quote")
            .allowed("a quote at both ends of a cell, and two for one inside it")
            .hint("double the quotes that belong to the cell, or take the outer ones off"))
    }

    fn too_long(&self, line: usize) -> Problem {
        self.problem(line, "a cell holds more text than this program takes on")
            .allowed(format!("{} characters in a cell", LIMITS.cell_characters))
            .hint("look for a quote that is opened in this line and never closed")
    }

    fn problem(&self, line: usize, what: &str) -> Problem {
        Problem::at(Place { line: Some(line), ..Place::in_file(self.given) }, what)
    }
}

/// How many lines end in `text`.
fn lines_ended(text: &str) -> usize {
    text.replace("\r\n", "\n").matches(['\r', '\n']).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(text: &str) -> Vec<(usize, Vec<String>)> {
        let records = split(text, ',', "t.csv", None).unwrap();
        records.into_iter().map(|record| (record.line, record.cells)).collect()
    }

    fn row(line: usize, cells: &[&str]) -> (usize, Vec<String>) {
        (line, cells.iter().map(|&cell| cell.to_owned()).collect())
    }

    #[test]
    fn quotes_newlines_and_line_ends_are_honoured_and_lines_counted() {
        assert_eq!(
            cells("a, \"b\"\"c\" ,d\r\n\n,,\r\"two\r\nlines\",x,\n\u{a0}e\u{a0},\"\",39°59'40\"N"),
            [
                row(1, &["a", "b\"c", "d"]),
                row(4, &["two\r\nlines", "x", ""]),
                row(6, &["e", "", "39°59'40\"N"]),
            ]
        );
        assert_eq!(cells(""), []);
        assert_eq!(cells("a,"), [row(1, &["a", ""])]);
    }

    #[test]
    fn quotes_that_do_not_pair_are_refused_with_their_line() {
        for (text, part) in [("a\nb,\"c\nd\n", "never closed"), ("a\n\"b\"c\n", "behind a closing")]
        {
            let problem = split(text, ',', "t.csv", None).unwrap_err();
            assert!(problem.what.contains(part), "{problem}");
            assert_eq!(problem.place.line, Some(2));
        }
    }

    #[test]
    fn absurd_sizes_are_refused_before_they_are_held() {
        let refused = |text: &str| split(text, ',', "t.csv", None).unwrap_err().what;
        assert!(refused(&"\"".repeat(100_000_001)).contains("more text"), "quotes");
        assert!(refused(&format!("a\n{}", "x".repeat(1_000_000))).contains("more text"), "a cell");
        assert!(
            refused(&format!("a\n{}", ",".repeat(5_000))).contains("more than 1000"),
            "columns"
        );
        let commas = format!("{}\n", ",".repeat(900)).repeat(LIMITS.table_cells / 900 + 1);
        assert!(refused(&commas).contains("more cells"), "cells");
    }
}
