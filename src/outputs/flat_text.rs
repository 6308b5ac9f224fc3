//! The two flat rates in words, for the terminal.

use super::order_text::ordered;
use super::summary_text::{amount, decimals, wrap};
use crate::summary::{FlatRatePart, Summary};

/// What one rate for the whole field would do in place of the map.
pub(super) fn write_flat_rates(out: &mut String, summary: &Summary) -> std::fmt::Result {
    let flat = &summary.flat_rate;
    out.push_str("\nAgainst one rate for the whole field\n");
    let even = format!(
        "The same tons spread evenly, {} everywhere, {}",
        amount(&flat.same_tons.rate, 3),
        misses(&flat.same_tons)
    );
    wrap(out, "  ", &even)?;
    let composite = &flat.composite;
    let cost = composite.cost.as_ref();
    let cost = cost.map_or_else(String::new, |cost| format!(" ({})", amount(cost, 2)));
    let asked = format!(
        "A composite sample of the whole field would have asked for {} everywhere: {} to spread{cost}, \
         {} to order. It {}",
        amount(&composite.rate, 3),
        amount(&composite.product, 2),
        ordered(&composite.to_order),
        misses(composite)
    );
    wrap(out, "  ", &asked)?;
    let more = summary.product_total.value - composite.product.value;
    let unit = &summary.product_total.unit;
    let shown = decimals(more.abs(), 2);
    let told = if shown == decimals(0.0, 2) {
        format!("The map uses as many {unit} as the composite would.")
    } else if more > 0.0 {
        format!(
            "The map uses {shown} {unit} MORE than the composite would: it does not save lime \
             here, it puts it where the need is."
        )
    } else {
        format!("The map uses {shown} {unit} less than the composite would.")
    };
    wrap(out, "  ", &told)
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
