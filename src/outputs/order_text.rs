//! The order in the summary for the terminal: from prescribed to ordered, the haul and the money.

use super::number::{grouped, money};
use super::summary_text::{amount, row};
use crate::summary::{LoadPart, Quantity, Summary};
use crate::units::counted;

/// Prescribed, to load, to order, and each thing that stands between them.
pub(super) fn write_order(out: &mut String, summary: &Summary) -> std::fmt::Result {
    let order = &summary.order;
    row(out, "Prescribed", &amount(&summary.product_total, 2))?;
    if summary.to_order.value <= 0.0 {
        return row(out, "To order", "nothing");
    }
    row(out, "  overlap", &added(&order.overlap))?;
    row(out, "To load", &amount(&summary.to_load, 2))?;
    row(out, "  pile loss", &added(&order.pile_loss))?;
    row(out, "  truck fill", &added(&order.truck_fill))?;
    row(out, "To order", &ordered(&summary.to_order))
}

fn added(quantity: &Quantity) -> String {
    format!("+ {}", amount(quantity, 2))
}

/// On an order the short ton is spelled out, whoever reads it.
pub(super) fn ordered(quantity: &Quantity) -> String {
    let unit = if quantity.unit == "ton" { "short ton" } else { &quantity.unit };
    format!("{} {unit}", grouped(quantity.value, 2))
}

/// Loads, and the last one where it is not full.
pub(super) fn loads_in_words(loads: &LoadPart) -> String {
    let binds = loads.binds.as_ref().map_or_else(String::new, |binds| format!(", {binds} binds"));
    let full = amount(&loads.full, 2);
    let Some(last) = &loads.last else {
        let each = format!("{} of up to {full}{binds}", loads.count);
        return format!("{each}, each application with a last one of its own");
    };
    let last = amount(last, 2);
    match loads.count {
        0 => "none".to_owned(),
        1 if last == full => format!("1 of {full}{binds}"),
        1 => format!("1 of {last}; a full one is {full}{binds}"),
        count if last == full => format!("{count} of {full}{binds}"),
        count => format!("{count} of {full}, the last {last}{binds}"),
    }
}

/// The haul and what all of it costs.
pub(super) fn write_haul(out: &mut String, summary: &Summary) -> std::fmt::Result {
    let Some(haul) = summary.haul.as_ref().filter(|_| summary.to_order.value > 0.0) else {
        return Ok(());
    };
    if let (Some(work), Some(distance)) = (&haul.ton_miles, &haul.one_way_distance) {
        let (hauled, unit) = (grouped(work.value, 0), &work.unit);
        row(out, "Haul", &format!("{hauled} {unit} over {} one way", amount(distance, 1)))?;
    }
    if let Some(time) = &haul.truck_time {
        row(out, "Truck time", &amount(time, 1))?;
    }
    if let Some(cost) = &haul.cost {
        let charge = haul.charge.as_ref().map_or_else(String::new, |charge| format!(", {charge}"));
        let minimum = haul.minimum_charge.as_ref().zip(haul.loads_at_minimum);
        let minimum = minimum.map_or_else(String::new, |(minimum, loads)| {
            let loads = counted(loads, "load", "loads");
            format!(", at least {}: holds for {loads}", money(minimum))
        });
        let counts = haul.cost_covers.iter().any(|name| name == "haul");
        let apart = if counts { "" } else { "; in the price, not added" };
        row(out, "Haul cost", &format!("{}{charge}{minimum}{apart}", money(cost)))?;
    }
    if let (Some(cost), Some(at)) = (&haul.product_cost, &haul.price_at) {
        row(out, "Product cost", &format!("{}, price at: {at}", money(cost)))?;
    }
    if let Some(cost) = &haul.spreading_cost {
        row(out, "Spreading cost", &money(cost))?;
    }
    if let (Some(total), Some(area)) = (&haul.cost_total, &haul.cost_per_area) {
        let covers = haul.cost_covers.join(" + ");
        let ground = if summary.keep_out_area.value > 0.0 {
            "of the field less keep-out"
        } else {
            "of the field"
        };
        row(out, "Cost", &format!("{} ({covers}), {} {ground}", money(total), money(area)))?;
    }
    if let Some(cost) = &haul.cost_per_effective {
        let delivered: Vec<&str> = haul
            .cost_covers
            .iter()
            .map(String::as_str)
            .filter(|name| *name != "spreading")
            .collect();
        let covers = delivered.join(" + ");
        row(out, "Per effective", &format!("{} ordered ({covers})", money(cost)))?;
    }
    Ok(())
}
