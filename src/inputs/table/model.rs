//! A table as every reader of tables gives it: a header, and rows of cells as texts.

use std::collections::BTreeSet;

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
    /// The columns whose cells look plain, and may have points between thousands.
    pub in_doubt: BTreeSet<usize>,
    /// Where each row lies, for tables that came from a map file, with the system.
    pub points: Option<(CoordinateSystem, Vec<RawPoint>)>,
    /// Where the last columns came from, for tables that a laboratory's results were joined to.
    pub joined: Option<JoinedColumns>,
}

/// Columns that came from another table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JoinedColumns {
    /// The file of that table, as the user named it.
    pub file: String,
    /// The line of its header.
    pub header_line: Option<usize>,
    /// The first of the columns; all after it are joined too.
    pub from: usize,
}

/// A row of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TableRow {
    /// Its line in the file, or the number of its feature, from 1.
    pub number: usize,
    /// Its cells.
    pub cells: Vec<String>,
    /// The line of the other file that its joined cells came from.
    pub joined_line: Option<usize>,
}

impl Table {
    /// The table with only those of its rows whose places in it are given.
    #[must_use]
    pub fn only(&self, rows: &[usize]) -> Self {
        Self {
            rows: rows.iter().map(|&at| self.rows[at].clone()).collect(),
            points: self.points.as_ref().map(|(system, points)| {
                (system.clone(), rows.iter().map(|&at| points[at]).collect())
            }),
            file: self.file.clone(),
            headers: self.headers.clone(),
            header_line: self.header_line,
            in_doubt: self.in_doubt.clone(),
            joined: self.joined.clone(),
        }
    }

    /// The file and line that a column's header stands in.
    fn header_of(&self, column: usize) -> (&String, Option<usize>) {
        match &self.joined {
            Some(joined) if column >= joined.from => (&joined.file, joined.header_line),
            _ => (&self.file, self.header_line),
        }
    }

    /// The file that a column came from, as the user named it.
    pub fn file_of(&self, column: usize) -> &str {
        self.header_of(column).0
    }

    /// The place of a column's header.
    pub fn place_of_header(&self, column: usize) -> Place {
        Place { line: self.header_of(column).1, ..self.place_of_column(column) }
    }

    /// A column as a whole.
    pub fn place_of_column(&self, column: usize) -> Place {
        Place { column: self.headers.get(column).cloned(), ..Place::in_file(self.file_of(column)) }
    }

    /// The place of a row, and of one of its cells where `column` is given.
    pub fn place(&self, row: &TableRow, column: Option<usize>) -> Place {
        let name = column.and_then(|at| self.headers.get(at)).cloned();
        if let (Some(joined), Some(at)) = (&self.joined, column)
            && at >= joined.from
        {
            let line = row.joined_line;
            return Place { column: name, line, ..Place::in_file(joined.file.clone()) };
        }
        let mut place = Place { column: name, ..Place::in_file(self.file.clone()) };
        if self.header_line.is_none() {
            place.feature = Some(row.number);
        } else {
            place.line = Some(row.number);
        }
        place
    }
}
