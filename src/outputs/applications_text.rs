//! Each of several applications in the summary for the terminal.

use std::fmt::Write as _;

use super::number::money;
use super::order_text::loads_in_words;
use super::summary_text::{amount, decimals};
use crate::summary::Summary;

/// A line for each application and what it takes; nothing where there is one.
pub(super) fn write_applications(out: &mut String, summary: &Summary) -> std::fmt::Result {
    let [first, ..] = summary.applications.as_slice() else { return Ok(()) };
    writeln!(
        out,
        "\nApplications, whose sum is the map\n{:>4}{:>12}{:>14}{:>14}{:>14}{:>16}",
        "",
        "Day",
        format!("Treated, {}", first.treated_area.unit),
        format!("Spread, {}", first.product_total.unit),
        format!("Order, {}", first.to_order.unit),
        format!("Most, {}", first.rates.first().map_or("", |rate| &rate.rate.unit)),
    )?;
    for one in &summary.applications {
        let day = one.date.as_deref().unwrap_or("-");
        writeln!(
            out,
            "{:>4}{day:>12}{:>14.2}{:>14.2}{:>14.2}{:>16}",
            one.number,
            one.treated_area.value,
            one.product_total.value,
            one.to_order.value,
            one.rates.last().map_or_else(String::new, |most| decimals(most.rate.value, 3)),
        )?;
    }
    for one in &summary.applications {
        let trucks = one.loads.truck.as_ref();
        let trucks = trucks
            .map_or_else(String::new, |trucks| format!("; trucks {}", loads_in_words(trucks)));
        let haul = one.haul_cost.as_ref();
        let haul = haul.map_or_else(String::new, |cost| format!("; haul {}", money(cost)));
        let unmet = amount(&one.ledger.unmet(), 2);
        let words = format!(
            "{}: spreader loads {}{trucks}{haul}; {unmet} CaCO3 of its part of the need unmet",
            one.number,
            loads_in_words(&one.loads.spreader),
        );
        super::summary_text::wrap(out, "  ", &words)?;
    }
    Ok(())
}
