//! What is ordered of each material of each supplier, as a table for programs and spreadsheets.

use super::order_csv::{Cell, write_row};
use super::order_sheet_text::haul_is_in_price;
use crate::roster::{OrderLine, OrderSheet};
use crate::summary::Quantity;
use crate::units::UnitSystem;

/// One row for each material of each supplier that fields need, by the numbers of the order sheet.
/// A cell of what is not known is empty; parts are of 1.
pub fn order_lines_csv(sheet: &OrderSheet, system: UnitSystem) -> Vec<u8> {
    let (mass, area) = match system {
        UnitSystem::Us => ("ton", "ac"),
        UnitSystem::Metric => ("t", "ha"),
    };
    let heads = [
        "line".to_owned(),
        "material".to_owned(),
        "lot".to_owned(),
        "supplier".to_owned(),
        "kind".to_owned(),
        "fields".to_owned(),
        format!("needed_{mass}"),
        format!("to_order_{mass}"),
        "moisture".to_owned(),
        format!("dry_matter_{mass}"),
        "effective_as_spread".to_owned(),
        "trucks".to_owned(),
        "trucks_field_by_field".to_owned(),
        format!("field_by_field_{mass}"),
        format!("supplier_has_{mass}"),
        format!("left_{mass}"),
        "left_places".to_owned(),
        format!("left_{area}"),
        format!("short_{mass}"),
        format!("short_{area}"),
        format!("price_per_{mass}"),
        "price_at".to_owned(),
        "product_cost".to_owned(),
        "haul_cost".to_owned(),
        "haul_in_price".to_owned(),
        "cost".to_owned(),
        "currency".to_owned(),
    ];
    let mut out = Vec::new();
    write_row(&mut out, &heads.map(Cell::Text));
    for (at, line) in sheet.lines.iter().enumerate().filter(|(_, line)| line.fields > 0) {
        write_row(&mut out, &cells(at + 1, line));
    }
    out
}

fn cells(number: usize, line: &OrderLine) -> [Cell; 27] {
    let text = |cell: Option<&String>| cell.cloned().map_or(Cell::Empty, Cell::Text);
    let value = |it: Option<&Quantity>| it.map_or(Cell::Empty, |it| Cell::Number(it.value));
    let part = |it: Option<f64>| it.map_or(Cell::Empty, Cell::Number);
    let count = |it: Option<u64>| it.map_or(Cell::Empty, |it| Cell::Text(it.to_string()));
    let price_of = line.price.as_ref().and_then(|price| price.unit.split('/').next());
    let money = [&line.product_cost, &line.haul_cost, &line.cost];
    let currency = money.into_iter().flatten().map(|money| money.unit.as_ref()).next().or(price_of);
    let in_price = line.haul_cost.as_ref().map(|_| {
        let words = if haul_is_in_price(line) { "yes" } else { "no" };
        Cell::Text(words.to_owned())
    });
    [
        Cell::Text(number.to_string()),
        text(Some(&line.material)),
        text(line.lot.as_ref()),
        text(line.supplier.as_ref()),
        text(Some(&line.kind)),
        count(Some(line.fields as u64)),
        value(Some(&line.needed)),
        value(Some(&line.to_order)),
        part(line.moisture),
        value(line.dry_matter.as_ref()),
        part(Some(line.effective_as_spread)),
        count(line.trucks),
        count(line.trucks_alone),
        value(Some(&line.ordered_alone)),
        value(line.limit.as_ref()),
        value(Some(&line.left)),
        count(Some(line.left_places as u64)),
        value(line.left_area.as_ref()),
        value(Some(&line.short)),
        value(line.short_area.as_ref()),
        value(line.price.as_ref()),
        text(line.price_at.as_ref()),
        value(line.product_cost.as_ref()),
        value(line.haul_cost.as_ref()),
        in_price.unwrap_or(Cell::Empty),
        value(line.cost.as_ref()),
        currency.map_or(Cell::Empty, |currency| Cell::Text(currency.to_owned())),
    ]
}
