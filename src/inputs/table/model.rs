//! A table as every reader of tables gives it: a header, and rows of cells as texts.

use crate::findings::Place;
use crate::inputs::{CoordinateSystem, RawPoint};

/// A table. Cells are texts with the blanks around them taken off; numbers stand in them with a
/// decimal point and without marks between thousands, whatever the file has.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// The file, as the user named it.
    pub file: String,
    /// The names of the columns, without the blanks around them.
    pub headers: Vec<String>,
    /// The line of the header in the file, from 1; `None` where the table came from a map file.
    pub header_line: Option<usize>,
    /// The rows, in the order of the file; each has one cell for each header.
    pub rows: Vec<TableRow>,
    /// Where each row lies, for tables that came from a map file, with the system.
    pub points: Option<(CoordinateSystem, Vec<RawPoint>)>,
}

/// A row of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TableRow {
    /// Its line in the file, or the number of its feature, from 1.
    pub number: usize,
    /// Its cells.
    pub cells: Vec<String>,
}

impl Table {
    /// The place of a row, and of one of its cells where `column` is given.
    pub fn place(&self, row: &TableRow, column: Option<usize>) -> Place {
        let column = column.and_then(|at| self.headers.get(at)).cloned();
        let mut place = Place { column, ..Place::in_file(self.file.clone()) };
        if self.points.is_some() {
            place.feature = Some(row.number);
        } else {
            place.line = Some(row.number);
        }
        place
    }
}
