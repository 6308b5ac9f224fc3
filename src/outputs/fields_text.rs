//! Many fields on the terminal: tables of at most 100 columns, then what they come to together.

use std::fmt::Write as _;

use super::fields_cells::{heads, is_told, short_names, shown};
use super::fields_totals_text::write_totals;
use super::summary_text::wrap;
use crate::findings::clean;
use crate::roster::{Column, FieldsResult, SortBy};
use crate::units::counted;

/// The width of a table.
const WIDTH: usize = 100;
/// Letters of a field's name.
const MOST_LETTERS: usize = 24;
/// White between two columns.
const BETWEEN: usize = 2;

/// What each table is called, and its columns beside the names of the fields.
const TABLES: [(&str, &[Column]); 4] = [
    (
        "CaCO3 needed and left unmet; product as spread (wet)",
        &[
            Column::Id,
            Column::Area,
            Column::MappedArea,
            Column::TreatedArea,
            Column::Ph,
            Column::Need,
            Column::Unmet,
            Column::Prescribed,
            Column::ToLoad,
            Column::ToOrder,
        ],
    ),
    (
        "Loads of spreaders and trucks, haul one way, cost; per area is per mapped area",
        &[
            Column::SpreaderLoads,
            Column::TruckLoads,
            Column::Distance,
            Column::Hauled,
            Column::HaulCost,
            Column::Cost,
            Column::CostPerArea,
        ],
    ),
    (
        "Rates as spread (wet) of all applications together, mean over mapped area; what to look at",
        &[
            Column::LeastRate,
            Column::MeanRate,
            Column::GreatestRate,
            Column::Applications,
            Column::UnmetShare,
            Column::AluminiumRiskArea,
            Column::MapGain,
            Column::Findings,
        ],
    ),
    (
        "The map against one rate from a composite sample of the field",
        &[Column::SavingPrescribed, Column::SavingToOrder, Column::SavingCost],
    ),
];

/// The result as people read it on a terminal, the fields in the order that is asked for.
pub fn fields_text(result: &FieldsResult, order: SortBy) -> String {
    let mut text = String::new();
    // Writing to a String cannot fail.
    let _ = write_fields(&mut text, result, order);
    text
}

fn write_fields(out: &mut String, result: &FieldsResult, order: SortBy) -> std::fmt::Result {
    let comparison = &result.comparison;
    let system = result.system();
    let fields = order.sorted(comparison);
    let count = counted(fields.len() as u64, "field", "fields");
    let failed = match result.failed.len() {
        0 => String::new(),
        failed => format!(", and {failed} failed"),
    };
    writeln!(out, "{count} compared{failed}; sorted by {}", order.in_words())?;
    let names = short_names(&fields, MOST_LETTERS);
    for (title, columns) in TABLES {
        let columns: Vec<Vec<String>> = columns
            .iter()
            // A column that says nothing is left out.
            .filter(|&&column| is_told(column, &fields))
            .map(|&column| {
                let cells = fields.iter().map(|field| shown(column, field));
                heads(column, system).into_iter().chain(cells).collect()
            })
            .collect();
        write_table(out, title, &names, &columns)?;
    }
    write_totals(out, &comparison.totals)?;
    if !result.failed.is_empty() {
        writeln!(out, "\nFailed")?;
        for failed in &result.failed {
            let why = failed.reasons.join("; ");
            wrap(out, "  - ", &format!("{} ({}): {why}", clean(&failed.id), clean(&failed.job)))?;
        }
    }
    Ok(())
}

/// A table, in several parts where it is too wide; each column begins with the lines of its head.
fn write_table(
    out: &mut String,
    title: &str,
    names: &[String],
    columns: &[Vec<String>],
) -> std::fmt::Result {
    if names.is_empty() || columns.is_empty() {
        return Ok(());
    }
    let width = |cells: &[String]| cells.iter().map(|cell| cell.chars().count()).max().unwrap_or(0);
    let first = width(names).max("Field".len());
    writeln!(out, "\n{title}")?;
    let mut from = 0;
    while from < columns.len() {
        let mut upto = from;
        let mut taken = first;
        while upto < columns.len() {
            let more = BETWEEN + width(&columns[upto]);
            if upto > from && taken + more > WIDTH {
                break;
            }
            taken += more;
            upto += 1;
        }
        for row in 0..names.len() + 2 {
            let name = match row {
                0 => "Field",
                1 => "",
                _ => &names[row - 2],
            };
            let mut line = format!("{name:<first$}");
            for cells in &columns[from..upto] {
                let wide = width(cells) + BETWEEN;
                write!(line, "{:>wide$}", cells[row])?;
            }
            writeln!(out, "{}", line.trim_end())?;
        }
        from = upto;
        if from < columns.len() {
            out.push('\n');
        }
    }
    Ok(())
}
