//! Many fields as a table for programs: one row a field, numbers in full.

use super::csv_text::{LINE_END, write_text};
use crate::roster::{Column, ColumnValue, Comparison, SortBy, head_of};
use crate::units::UnitSystem;

/// The table of the fields (RFC 4180), in the order that is asked for; heads name the units. Numbers
/// have their full precision, so that others can add them up; a cell without a value is empty.
pub fn fields_csv(comparison: &Comparison, system: UnitSystem, order: SortBy) -> Vec<u8> {
    let mut out = Vec::with_capacity(512 * (comparison.fields.len() + 1));
    let heads: Vec<String> = Column::ALL.iter().map(|column| head_of(*column, system)).collect();
    out.extend(heads.join(",").bytes());
    out.extend(LINE_END);
    for field in order.sorted(comparison) {
        for (at, column) in Column::ALL.iter().enumerate() {
            if at > 0 {
                out.push(b',');
            }
            match column.value(field) {
                None => {}
                Some(ColumnValue::Text(text)) => write_text(&mut out, &text),
                Some(ColumnValue::Amount(quantity)) => {
                    out.extend(quantity.value.to_string().bytes());
                }
                Some(ColumnValue::Count(count)) => out.extend(count.to_string().bytes()),
                Some(ColumnValue::Number(number)) => out.extend(number.to_string().bytes()),
            }
        }
        out.extend(LINE_END);
    }
    out
}
