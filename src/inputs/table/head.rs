//! Where a table begins: its header, the lines above it, and the units below it.

use std::collections::BTreeMap;

use super::split::Record;
use super::style::{Promise, TableStyle};
use super::unit_words::is_unit;

/// Records among which a header is looked for.
pub(super) const LOOKED_AT: usize = 50;

/// How surely one of the first records is the header.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Head {
    /// Which record it is.
    pub(super) at: usize,
    /// How many of its cells promise something.
    pub(super) known: usize,
}

/// The record that is most like a header: the first of those in which the most cells promise
/// something; where none promises two things, the first that is as wide as most records and holds
/// texts only; else the first.
pub(super) fn find_head(records: &[Record], how: &TableStyle) -> Head {
    let looked_at = &records[..records.len().min(LOOKED_AT)];
    let mut best = Head { at: 0, known: 0 };
    for (at, record) in looked_at.iter().enumerate() {
        let promises = record.cells.iter().map(|cell| how.promise_of(cell));
        let known = promises.filter(|&promise| promise != Promise::Nothing).count();
        if known > best.known {
            best = Head { at, known };
        }
    }
    if best.known >= 2 {
        return best;
    }
    let (width, _) = usual_width(looked_at);
    let texts_only =
        |record: &Record| record.cells.iter().all(|cell| !cell.is_empty() && !is_number(cell));
    let at = looked_at.iter().position(|record| record.cells.len() == width && texts_only(record));
    Head { at: at.unwrap_or(0), ..best }
}

/// How many cells most records have, and how many records have so many; the wider of two.
pub(super) fn usual_width(records: &[Record]) -> (usize, usize) {
    let mut counts = BTreeMap::new();
    for record in records {
        *counts.entry(record.cells.len()).or_insert(0) += 1;
    }
    counts.into_iter().max_by_key(|&(width, count)| (count, width)).unwrap_or((0, 0))
}

/// Whether a record above the header looks like a row of the table: as wide, full, and half of it
/// numbers. Such a one is never skipped.
pub(super) fn looks_like_a_row(record: &Record, width: usize) -> bool {
    let numbers = record.cells.iter().filter(|cell| is_number(cell)).count();
    record.cells.len() == width
        && record.cells.iter().all(|cell| !cell.is_empty())
        && numbers * 2 >= width
}

/// Whether a record below the header holds units: at least one, and nothing else.
pub(super) fn is_unit_row(record: &Record, width: usize) -> bool {
    record.cells.len() <= width
        && record.cells.iter().all(|cell| cell.is_empty() || cell == "-" || is_unit(cell))
        && record.cells.iter().any(|cell| is_unit(cell))
}

fn is_number(cell: &str) -> bool {
    cell.chars().any(|c| c.is_ascii_digit())
        && cell.chars().all(|c| c.is_ascii_digit() || "+-.,".contains(c))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inputs::table::split::split;
    use crate::inputs::table::tests::style;

    fn head_of(text: &str) -> usize {
        find_head(&split(text, ',', "t.csv", None).unwrap(), &style()).at
    }

    #[test]
    fn the_header_is_found_below_titles_and_metadata() {
        assert_eq!(head_of("Lab report 1234\n\nsample_id,lat,lon,ph\nS1,1,2,5\n"), 1);
        assert_eq!(head_of("Report,12,,\nDepth,0-6,,\nsample_id,lat,lon,ph\nS1,1,2,5\n"), 2);
        assert_eq!(head_of("a,b\n1,2\n"), 0, "headers that promise nothing");
        assert_eq!(head_of("Report\nA,B,C\n1,2,3\n4,5,6\n"), 1);
        assert_eq!(head_of("sample_id,lat,lon,ph\nS1,n/a,n/a,n/a\n"), 0);
    }

    #[test]
    fn units_are_told_from_a_row() {
        let unit_row = |text: &str| is_unit_row(&split(text, ',', "t.csv", None).unwrap()[0], 4);
        assert!(unit_row(",deg,deg,1:1 water"));
        assert!(unit_row("-,[m],(ft),cmol(+)/kg"));
        for row in ["S1,deg,deg,5.2", "S1,39.9,-89,", "-,-,-,-", "a,,,", ",,,5.2"] {
            assert!(!unit_row(row), "{row}");
        }
    }
}
