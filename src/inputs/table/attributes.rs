//! The attributes of a map file as a table with a point for each row.

use std::collections::BTreeSet;

use super::long::widened;
use super::model::{Table, TableRow};
use super::numbers::{Separated, settle_numbers};
use super::read::{name_the_nameless, refuse_doubled};
use super::style::TableStyle;
use crate::findings::{Finding, Place, Refusal};
use crate::inputs::ids::trimmed;
use crate::inputs::{CoordinateSystem, RawPoint};

/// A sampled place: the number of its feature, where it lies, and its attributes.
pub(in crate::inputs) type Located = (usize, RawPoint, Vec<String>);

/// The table, with what was found.
///
/// # Errors
/// Refuses attributes of the same name; and as tables of text do, features that are each a value of
/// a sample and do not come together.
pub(in crate::inputs) fn table_of_attributes(
    file: &str,
    system: CoordinateSystem,
    headers: &[String],
    located: Vec<Located>,
    how: &TableStyle,
) -> Result<(Table, Vec<Finding>), Refusal> {
    let headers: Vec<String> = headers.iter().map(|header| trimmed(header)).collect();
    refuse_doubled(&headers, &Place::in_file(file))?;
    let width = headers.len();
    let (mut rows, mut points) = (Vec::with_capacity(located.len()), Vec::new());
    for (number, point, attributes) in located {
        let mut cells: Vec<String> = attributes.iter().map(|cell| trimmed(cell)).collect();
        cells.resize(width, String::new());
        rows.push(TableRow { number, cells, joined_line: None });
        points.push(point);
    }
    let mut table = Table {
        file: file.to_owned(),
        headers,
        header_line: None,
        rows,
        in_doubt: BTreeSet::new(),
        points: Some((system, points)),
        joined: None,
    };
    let mut findings: Vec<Finding> = name_the_nameless(&mut table).into_iter().collect();
    findings.extend(settle_numbers(&mut table, how, Separated::AsAttributes));
    let (table, told) = widened(table, how)?;
    findings.extend(told);
    Ok((table, findings))
}
