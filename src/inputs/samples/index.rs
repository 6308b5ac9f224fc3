//! Buffer readings that a laboratory prints as an index: the buffer pH times ten.

use super::cell::{Cell, stands_for_no_reading};
use super::header::names_an_index;
use crate::findings::{Finding, Place, Problem};
use crate::inputs::{Table, TableRow};
use crate::units::bound;

/// Values that can only be an index; no buffer pH is as high, and no index in use lies beyond
/// (common practice: laboratories print 58 to 70).
const INDEX: std::ops::RangeInclusive<f64> = 50.0..=80.0;

/// A column of indexes.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct IndexColumn {
    place: Place,
    least: f64,
    most: f64,
}

impl IndexColumn {
    pub(super) fn told(self) -> Finding {
        let Self { place, least, most } = self;
        let text = format!(
            "The column holds indexes, which are a buffer pH times ten: {least} to {most} were read \
             as {} to {}.",
            least / 10.0,
            most / 10.0
        );
        Finding::at("buffer_index", place, text)
    }
}

/// Whether a buffer column holds indexes: its header says so, or all its values can be nothing
/// else.
///
/// # Errors
/// Refuses a column that holds both indexes and pH, and one that is called an index and holds pH.
pub(super) fn index_of(table: &Table, at: usize) -> Result<Option<IndexColumn>, Problem> {
    let ph = bound::BUFFER_PH.least..=bound::BUFFER_PH.most;
    let (mut an_index, mut a_ph) = (None, None);
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    let mut all_are = true;
    for row in &table.rows {
        let number = match Cell::read(&row.cells[at]) {
            Cell::Number(number) if !stands_for_no_reading(number) => number,
            Cell::Below(number) | Cell::Above(number) => number,
            _ => continue,
        };
        (least, most) = (least.min(number), most.max(number));
        if INDEX.contains(&number) {
            an_index.get_or_insert(row);
        } else {
            all_are = false;
        }
        if ph.contains(&number) {
            a_ph.get_or_insert(row);
        }
    }
    let said = names_an_index(&table.headers[at]);
    let column = table.place_of_column(at);
    let line = |row: &TableRow| {
        let place = table.place(row, Some(at));
        place.line.or(place.feature).unwrap_or(row.number)
    };
    match (an_index, a_ph) {
        (Some(index), Some(ph)) => Err(Problem::at(
            column,
            format!(
                "the column mixes indexes and buffer pH: `{}` in line {}, `{}` in line {}",
                index.cells[at],
                line(index),
                ph.cells[at],
                line(ph)
            ),
        )
        .allowed("a buffer pH in every row, or an index (buffer pH times ten) in every row")
        .hint("write all rows in one way")),
        (None, Some(ph)) if said => Err(Problem::at(
            table.place(ph, Some(at)),
            format!("the column is called an index and holds `{}`, a buffer pH", ph.cells[at]),
        )
        .allowed("an index (buffer pH times ten) under such a header")
        .hint("call the column `buffer pH` if that is what it holds")),
        (Some(_), None) if said || all_are => Ok(Some(IndexColumn { place: column, least, most })),
        _ => Ok(None),
    }
}
