//! Made fields for tests.

use serde_json::json;

use super::row::{FieldRow, RowApplication, RowHaul};
use super::{FailedField, Fields};
use crate::summary::{DeliveryPart, Order, Quantity};

pub(in crate::roster) fn quantity(value: f64, unit: &'static str) -> Quantity {
    Quantity { value, unit: unit.into() }
}

/// A field of 100 acres that loads so many tons and orders them in trucks of 25, where `trucks`.
pub(in crate::roster) fn made(id: &str, tons: f64, trucks: bool) -> FieldRow {
    let of = |value: f64, unit: &str| json!({ "value": value, "unit": unit });
    let count = (tons / 25.0 - 1e-9).ceil();
    let to_order = if trucks { count * 25.0 } else { tons };
    let mut row = json!({
        "id": id,
        "field": { "name": format!("Field {id}") },
        "units": "us",
        "dates": {},
        "place_deg": [-93.0, 42.0],
        "area": of(100.0, "ac"),
        "keep_out_area": of(0.0, "ac"),
        "treated_area": of(100.0, "ac"),
        "need_total": of(tons * 0.6, "ton"),
        "supplied_total": of(tons * 0.6, "ton"),
        "excess_total": of(0.0, "ton"),
        "unmet_total": of(0.0, "ton"),
        "product_total": of(tons, "ton"),
        "to_load": of(tons, "ton"),
        "pile_loss": of(0.0, "ton"),
        "truck_fill": of(to_order - tons, "ton"),
        "to_order": of(to_order, "ton"),
        "mean_rate": of(tons / 100.0, "ton/ac"),
        "spreader_loads": { "count": (tons / 16.0).ceil() as u64, "full": of(16.0, "ton") },
        "composite": { "rate": of(1.0, "ton/ac"), "product": of(1.0, "ton"), "to_order": of(1.0, "ton") },
        "benefit": { "acid_area": of(100.0, "ac") },
        "leading_reading": "buffer_ph",
        "method": "smp-iowa",
        "target": "pH 6.5",
        "target_medium": "water",
        "material": {
            "name": "Pit 4",
            "kind": "calcitic limestone",
            "supplier": "Quarry",
            "effective_as_spread": 0.6,
            "moisture": 0.05,
            "price": of(14.0, "$/ton"),
            "price_at": "plant",
        },
        "machine": { "pass_spacing": of(40.0, "ft"), "passes": 20, "turns": 19 },
        "findings": 0,
        "job_effective_sha256": "",
    });
    if trucks {
        row["truck_loads"] = json!({ "count": count as u64, "full": of(25.0, "ton") });
    }
    serde_json::from_value(row).unwrap()
}

pub(in crate::roster) fn at_site(mut row: FieldRow, site: &str) -> FieldRow {
    row.delivery = Some(DeliveryPart { pile_deg: None, drop_site: Some(site.to_owned()) });
    row
}

/// With so many hours of one spreader.
pub(in crate::roster) fn with_hours(mut row: FieldRow, hours: f64) -> FieldRow {
    let one = json!({ "number": 1, "hours": { "value": hours, "unit": "h" } });
    let work = json!({
        "hours": { "value": hours, "unit": "h" },
        "covers": ["driving"],
        "leaves_out": ["turning"],
        "applications": [one],
    });
    row.work = Some(serde_json::from_value(work).unwrap());
    row
}

/// With a haul of so much for a ton or a load, and so many hours for each trip.
pub(in crate::roster) fn with_haul(
    mut row: FieldRow,
    per_mass: Option<f64>,
    per_load: Option<f64>,
    trip_hours: f64,
) -> FieldRow {
    let trucks = row.truck_loads.as_ref().map_or(0, |loads| loads.count) as f64;
    row.haul = Some(RowHaul {
        one_way_distance: None,
        ton_miles: None,
        truck_time: Some(quantity(trucks * trip_hours, "h")),
        charge_per_mass: per_mass.map(|amount| quantity(amount, "$/ton")),
        charge_per_load: per_load.map(|amount| quantity(amount, "$/load")),
        minimum_charge: None,
        haul_cost: None,
        product_cost: None,
        spreading_cost: None,
        cost_total: None,
        cost_covers: Vec::new(),
        cost_per_area: None,
    });
    row
}

/// Twice, each time as much.
pub(in crate::roster) fn twice(mut row: FieldRow) -> FieldRow {
    let half = |number| RowApplication {
        number,
        date: None,
        product_total: row.product_total.clone(),
        to_load: row.to_load.clone(),
        to_order: row.to_order.clone(),
        order: Order {
            overlap: quantity(0.0, "ton"),
            pile_loss: row.pile_loss.clone(),
            truck_fill: row.truck_fill.clone(),
        },
        treated_area: row.treated_area.clone(),
        spreader_loads: row.spreader_loads.count,
        truck_loads: row.truck_loads.as_ref().map(|loads| loads.count),
    };
    let each = vec![half(1), half(2)];
    row.applications = each;
    row
}

pub(in crate::roster) fn fields(rows: Vec<FieldRow>) -> Fields {
    let none = Fields::default();
    rows.into_iter().fold(none, |all, row| all.merge(Fields::done(row)).unwrap())
}

pub(in crate::roster) fn failed(id: &str) -> Fields {
    let (id, job, reasons) = (id.to_owned(), String::new(), Vec::new());
    Fields::failed(FailedField { id, job, reasons })
}
