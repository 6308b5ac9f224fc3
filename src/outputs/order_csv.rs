//! The order of work of many fields as a table for programs and spreadsheets.

use super::csv_text::{LINE_END, write_text};
use super::number::write_value;
use crate::roster::{OrderSheet, OrderVisit};
use crate::summary::Quantity;
use crate::units::UnitSystem;

/// One row for each application of each field, in the order of work. A cell of what is not known is
/// empty.
pub fn order_csv(sheet: &OrderSheet, system: UnitSystem) -> Vec<u8> {
    let (mass, road) = match system {
        UnitSystem::Us => ("ton", "mi"),
        UnitSystem::Metric => ("t", "km"),
    };
    let heads = [
        "number".to_owned(),
        "id".to_owned(),
        "field".to_owned(),
        "application".to_owned(),
        "supplier".to_owned(),
        "material".to_owned(),
        "drop".to_owned(),
        "place".to_owned(),
        "stated_day".to_owned(),
        "begins".to_owned(),
        "ends".to_owned(),
        "trucks".to_owned(),
        format!("arrives_{mass}"),
        format!("spread_{mass}"),
        format!("lost_{mass}"),
        format!("short_{mass}"),
        format!("left_here_{mass}"),
        format!("balance_{mass}"),
        format!("move_{road}"),
        "hours_h".to_owned(),
    ];
    let mut out = Vec::new();
    write_row(&mut out, &heads.map(Cell::Text));
    for visit in &sheet.visits {
        write_visit(&mut out, sheet, visit);
    }
    out
}

fn write_visit(out: &mut Vec<u8>, sheet: &OrderSheet, visit: &OrderVisit) {
    let line = sheet.lines.get(visit.line - 1);
    let place = sheet.drops.get(visit.drop - 1).map(|drop| drop.place.as_str());
    let text = |cell: Option<&str>| Cell::Text(cell.unwrap_or_default().to_owned());
    let number =
        |quantity: Option<&Quantity>| quantity.map_or(Cell::Empty, |it| Cell::Number(it.value));
    let count = |count: u64| Cell::Text(count.to_string());
    let cells = [
        count(visit.number as u64),
        text(Some(&visit.id)),
        text(Some(&visit.field)),
        count(u64::from(visit.application)),
        text(line.and_then(|line| line.supplier.as_deref())),
        text(line.map(|line| line.material.as_str())),
        count(visit.drop as u64),
        text(place),
        text(visit.stated_day.as_deref()),
        text(visit.begins.as_deref()),
        text(visit.ends.as_deref()),
        visit.trucks.map_or(Cell::Empty, count),
        number(Some(&visit.arrives)),
        number(Some(&visit.spread)),
        number(Some(&visit.lost)),
        number(visit.short.as_ref()),
        number(Some(&visit.left_here)),
        number(Some(&visit.balance)),
        number(visit.move_distance.as_ref()),
        number(visit.hours.as_ref()),
    ];
    write_row(out, &cells);
}

/// The cells with commas between, and the end of the line.
pub(super) fn write_row(out: &mut Vec<u8>, cells: &[Cell]) {
    for (at, cell) in cells.iter().enumerate() {
        if at > 0 {
            out.push(b',');
        }
        match cell {
            Cell::Empty => {}
            Cell::Text(words) => write_text(out, words),
            Cell::Number(value) => write_value(out, *value),
        }
    }
    out.extend(LINE_END);
}

/// A cell of a table.
pub(super) enum Cell {
    Empty,
    Text(String),
    Number(f64),
}
