//! Finished fields, a short line each.

use std::fmt::Write as _;

use super::number::grouped;
use crate::findings::clean;
use crate::roster::FieldRow;
use crate::summary::Quantity;

/// A line for each of `rows`: what it is called, its area, what is prescribed and ordered, and how
/// many findings its summary has.
pub fn fields_lines<'r>(rows: impl IntoIterator<Item = &'r FieldRow>) -> String {
    let rows: Vec<&FieldRow> = rows.into_iter().collect();
    let widest = rows.iter().map(|row| row.id.chars().count()).max().unwrap_or(0);
    let amount = |quantity: &Quantity| format!("{} {}", grouped(quantity.value, 2), quantity.unit);
    let mut lines = String::new();
    for row in rows {
        let findings = match row.findings {
            1 => "1 finding".to_owned(),
            count => format!("{count} findings"),
        };
        // Writing to a String cannot fail.
        let _ = writeln!(
            lines,
            "{:widest$}  {}: {}, {} prescribed, {} to order, {findings}",
            row.id,
            clean(&row.field.name),
            amount(&row.area),
            amount(&row.product_total),
            amount(&row.to_order),
        );
    }
    lines
}
