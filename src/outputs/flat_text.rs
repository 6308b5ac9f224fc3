//! The two flat rates in words, for the terminal.

use super::number::money;
use super::order_text::ordered;
use super::summary_text::{amount, decimals, wrap};
use crate::summary::{FlatRatePart, Quantity, Summary};

/// What one rate for the whole field would do in place of the map.
pub(super) fn write_flat_rates(out: &mut String, summary: &Summary) -> std::fmt::Result {
    let flat = &summary.flat_rate;
    out.push_str("\nAgainst one rate for the whole field\n");
    let covers = summary.haul.as_ref().map(|haul| haul.cost_covers.join(" + ")).unwrap_or_default();
    let cost = |rate: &FlatRatePart| {
        let cost = rate.cost.as_ref();
        cost.map_or_else(String::new, |cost| format!(", {} ({covers})", money(cost)))
    };
    let same = &flat.same_tons;
    if same.product.value > 0.0 {
        let even = format!(
            "The same tons spread evenly, {} everywhere, {} to order{}, {}",
            amount(&same.rate, 3),
            ordered(&same.to_order),
            cost(same),
            misses(same)
        );
        wrap(out, "  ", &even)?;
    }
    let composite = &flat.composite;
    let asked = if composite.product.value > 0.0 {
        format!(
            "A composite sample of the whole field would have asked for {} everywhere: {} to \
             spread, {} to order{}. It {}",
            amount(&composite.rate, 3),
            amount(&composite.product, 2),
            ordered(&composite.to_order),
            cost(composite),
            misses(composite)
        )
    } else {
        format!(
            "A composite sample of the whole field would have asked for no lime at all. It {}",
            misses(composite)
        )
    };
    wrap(out, "  ", &asked)?;
    let more = summary.product_total.value - composite.product.value;
    let unit = &summary.product_total.unit;
    let shown = decimals(more.abs(), 2);
    let told = if shown == decimals(0.0, 2) {
        format!("The map uses as much lime as the composite would, to 0.01 {unit}.")
    } else if more > 0.0 {
        format!(
            "The map uses {shown} {unit} MORE than the composite would: it does not save lime \
             here, it puts it where the need is."
        )
    } else {
        format!("The map uses {shown} {unit} less than the composite would.")
    };
    wrap(out, "  ", &told)?;
    let map_cost = summary.haul.as_ref().and_then(|haul| haul.cost_total.as_ref());
    let Some((map, other)) = map_cost.zip(composite.cost.as_ref()) else { return Ok(()) };
    let less = Quantity { value: (other.value - map.value).abs(), unit: map.unit.clone() };
    let (shown, word) = (money(&less), if other.value > map.value { "less" } else { "MORE" });
    if decimals(less.value, 2) == decimals(0.0, 2) {
        return wrap(out, "  ", &format!("Both cost the same ({covers})."));
    }
    wrap(out, "  ", &format!("The map costs {shown} {word} than the composite would ({covers})."))
}

/// What a flat rate gives too much and too little, and where.
fn misses(rate: &FlatRatePart) -> String {
    format!(
        "would put {} of CaCO3 beyond the need on {}, and leave {} of the need unmet on {}.",
        amount(&rate.excess, 2),
        amount(&rate.over_limed_area, 2),
        amount(&rate.shortfall, 2),
        amount(&rate.under_limed_area, 2)
    )
}
