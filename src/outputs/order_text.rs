//! The order in the summary for the terminal: from prescribed to ordered, the haul and the money.

use super::summary_text::{amount, decimals, row};
use crate::summary::{Quantity, Summary};

/// Prescribed, to load, to order, and each thing that stands between them.
pub(super) fn write_order(out: &mut String, summary: &Summary) -> std::fmt::Result {
    let order = &summary.order;
    row(out, "Prescribed", &amount(&summary.product_total, 2))?;
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
    format!("{} {unit}", decimals(quantity.value, 2))
}

/// The haul and what all of it costs.
pub(super) fn write_haul(out: &mut String, summary: &Summary) -> std::fmt::Result {
    let Some(haul) = &summary.haul else { return Ok(()) };
    if let (Some(work), Some(distance)) = (&haul.ton_miles, &haul.one_way_distance) {
        row(out, "Haul", &format!("{} over {} one way", amount(work, 0), amount(distance, 1)))?;
    }
    if let Some(time) = &haul.truck_time {
        row(out, "Truck time", &amount(time, 1))?;
    }
    if let Some(cost) = &haul.cost {
        let charge = haul.charge.as_ref().map_or_else(String::new, |charge| format!(", {charge}"));
        let minimum = haul.minimum_charge.as_ref().zip(haul.loads_at_minimum);
        let minimum = minimum.map_or_else(String::new, |(minimum, loads)| {
            format!(", at least {}: holds for {loads} loads", amount(minimum, 2))
        });
        row(out, "Haul cost", &format!("{}{charge}{minimum}", amount(cost, 2)))?;
    }
    if let (Some(cost), Some(at)) = (&haul.product_cost, &haul.price_at) {
        row(out, "Product cost", &format!("{}, price at: {at}", amount(cost, 2)))?;
    }
    if let Some(cost) = &haul.spreading_cost {
        row(out, "Spreading cost", &amount(cost, 2))?;
    }
    if let (Some(total), Some(area)) = (&haul.cost_total, &haul.cost_per_area) {
        let covers = haul.cost_covers.join(" + ");
        row(out, "Cost", &format!("{} ({covers}), {}", amount(total, 2), amount(area, 2)))?;
    }
    if let Some(cost) = &haul.cost_per_effective {
        let delivered: Vec<&str> = haul
            .cost_covers
            .iter()
            .map(String::as_str)
            .filter(|name| *name != "spreading")
            .collect();
        let covers = delivered.join(" + ");
        row(out, "Per effective", &format!("{} ordered ({covers})", amount(cost, 2)))?;
    }
    Ok(())
}
