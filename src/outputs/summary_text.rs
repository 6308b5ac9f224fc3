//! The summary for the terminal: the answer first, then where it comes from. Every number is
//! rounded once, from its exact value.

use std::fmt::Write as _;

use super::{
    applications_text, areas_text, exports_text, flat_text, machine_text, material_text,
    method_text, order_text, reaction_text, risk_text, upkeep_text, work_text,
};
use crate::findings::{clean, harmless};
use crate::summary::{Quantity, Summary};

/// The summary as people read it.
pub fn summary_text(summary: &Summary) -> String {
    let mut text = String::new();
    // Writing to a String cannot fail.
    let _ = write_summary(&mut text, summary);
    text
}

fn write_summary(out: &mut String, summary: &Summary) -> std::fmt::Result {
    let material = &summary.material;
    if let Some(unmet) = &summary.unmet {
        wrap(out, "", &unmet.text)?;
        out.push('\n');
    }
    writeln!(out, "{}: lime prescription", clean(&summary.field.name))?;
    let kind = if material.name == material.kind {
        String::new()
    } else {
        format!(" ({})", material.kind)
    };
    writeln!(
        out,
        "{}{kind}, rates as spread (wet), {} effective",
        clean(&material.name),
        percent(material.effective_as_spread)
    )?;
    out.push('\n');
    row(out, "Field", &amount(&summary.area, 2))?;
    if summary.keep_out_area.value > 0.0 {
        row(out, "Keep-out", &amount(&summary.keep_out_area, 2))?;
    }
    write_keep_out(out, summary)?;
    row(out, "Treated", &amount(&summary.treated_area, 2))?;
    order_text::write_order(out, summary)?;
    if summary.product_total.value > 0.0 {
        row(out, "Mean rate", &amount(&summary.mean_rate, 3))?;
        row(out, "Spreader loads", &order_text::loads_in_words(&summary.loads.spreader))?;
        if let Some(trucks) = &summary.loads.truck {
            row(out, "Truck loads", &order_text::loads_in_words(trucks))?;
        }
        if let Some(work) = &summary.work {
            work_text::write_work(out, work)?;
        }
        order_text::write_haul(out, summary)?;
    }
    out.push('\n');
    write_rates(out, summary)?;
    applications_text::write_applications(out, summary)?;
    write_ledger(out, summary)?;
    write_overrides(out, summary)?;
    machine_text::write_machine(out, &summary.machine)?;
    if let Some(areas) = &summary.rate_areas {
        areas_text::write_areas(out, areas)?;
    }
    risk_text::write_risk(out, summary)?;
    flat_text::write_flat_rates(out, summary)?;
    material_text::write_material(out, material)?;
    method_text::write_method(out, summary)?;
    method_text::write_sensitivity(out, summary)?;
    if let Some(reaction) = &summary.reaction {
        reaction_text::write_reaction(out, reaction)?;
    }
    if let Some(upkeep) = &summary.upkeep {
        upkeep_text::write_upkeep(out, upkeep)?;
    }
    exports_text::write_exports(out, summary)?;
    out.push_str("\nMind\n");
    for caution in &summary.cautions {
        wrap(out, "  - ", caution)?;
    }
    Ok(())
}

/// What each of several files keeps out.
fn write_keep_out(out: &mut String, summary: &Summary) -> std::fmt::Result {
    let Some(overlap) = &summary.keep_out_overlap else { return Ok(()) };
    for part in &summary.keep_out {
        let layer = part.layer.as_ref().map_or_else(String::new, |layer| format!(", {layer}"));
        let around = if part.setback.value > 0.0 {
            format!(", {} around", amount(&part.setback, 1))
        } else {
            String::new()
        };
        let words = format!("{}{layer}{around}: {}", part.file, amount(&part.area, 2));
        wrap(out, "    ", &clean(&words))?;
    }
    if overlap.value > 0.0 {
        let words = format!("{} of it in more than one file, counted once", amount(overlap, 2));
        wrap(out, "    ", &words)?;
    }
    Ok(())
}

fn write_rates(out: &mut String, summary: &Summary) -> std::fmt::Result {
    let Some(first) = summary.rates.first() else { return Ok(()) };
    let heads = [
        format!("Rate, {}", first.rate.unit),
        format!("Area, {}", first.area.unit),
        format!("Product, {}", first.product.unit),
    ];
    writeln!(out, "{:>16}{:>16}{:>16}", heads[0], heads[1], heads[2])?;
    for rate in &summary.rates {
        writeln!(
            out,
            "{:>16}{:>16.2}{:>16.2}",
            decimals(rate.rate.value, 3),
            rate.area.value,
            rate.product.value
        )?;
    }
    Ok(())
}

fn write_ledger(out: &mut String, summary: &Summary) -> std::fmt::Result {
    let ledger = &summary.ledger;
    if ledger.need.value <= 0.0 && ledger.supplied.value <= 0.0 {
        return writeln!(out, "\nNo ground needs lime, and none gets any.");
    }
    writeln!(out, "\nLedger, {} of effective CaCO3", ledger.need.unit)?;
    for (words, quantity) in [
        ("Needed", &ledger.need),
        ("Supplied", &ledger.supplied),
        ("Unmet: rates below the least dropped", &ledger.dropped),
        ("Unmet: rates held to the greatest", &ledger.capped),
        ("Unmet: rounded down", &ledger.rounded_down),
        ("Excess: rates raised to the least", &ledger.raised),
        ("Excess: rounded up", &ledger.rounded_up),
    ] {
        writeln!(out, "  {words:<42}{:>10.2}", quantity.value)?;
    }
    for (words, quantity) in [
        ("Unmet: overridden", &ledger.overridden_down),
        ("Excess: overridden", &ledger.overridden_up),
        ("Unmet: rates of areas below a cell's own", &ledger.areas_down),
        ("Excess: rates of areas above a cell's own", &ledger.areas_up),
        ("Unmet: held back, not enough this time", &ledger.held_back),
    ] {
        if let Some(quantity) = quantity {
            writeln!(out, "  {words:<42}{:>10.2}", quantity.value)?;
        }
    }
    Ok(())
}

fn write_overrides(out: &mut String, summary: &Summary) -> std::fmt::Result {
    if summary.overrides.is_empty() {
        return Ok(());
    }
    out.push_str("\nOverrides\n");
    for order in &summary.overrides {
        let change = order.product_change.value;
        let told = format!(
            "{} on {}: {}{} of product (reason: {})",
            clean(&order.order),
            amount(&order.area, 2),
            if change > 0.0 { "+" } else { "" },
            amount(&order.product_change, 2),
            clean(&order.reason)
        );
        wrap(out, "  - ", &told)?;
    }
    Ok(())
}

/// An attribute in words, from its key.
pub(super) fn attribute(key: &str) -> String {
    match key {
        "cec" => "CEC".to_owned(),
        _ => key.replace("_ph", " pH").replace("ph", "pH").replace('_', " "),
    }
}

/// Characters of a line, as on a terminal that nobody widened.
const LINE: usize = 79;

/// `text` without what steers a terminal, broken between words; lines after the first stand below the
/// first word.
pub(super) fn wrap(out: &mut String, head: &str, text: &str) -> std::fmt::Result {
    let mut line = head.to_owned();
    let mut begun = false;
    for word in text.split_whitespace() {
        if begun && line.chars().count() + 1 + word.chars().count() > LINE {
            writeln!(out, "{line}")?;
            line = " ".repeat(head.len());
            begun = false;
        }
        if begun {
            line.push(' ');
        }
        line.extend(word.chars().map(harmless));
        begun = true;
    }
    writeln!(out, "{line}")
}

pub(super) fn row(out: &mut String, words: &str, value: &str) -> std::fmt::Result {
    writeln!(out, "  {words:<16}{value}")
}

pub(super) fn amount(quantity: &Quantity, places: usize) -> String {
    format!("{} {}", decimals(quantity.value, places), quantity.unit)
}

/// `value` with `places` decimals, and never a negative nothing.
pub(super) fn decimals(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    if text.trim_matches(['-', '0', '.']).is_empty() { text.replace('-', "") } else { text }
}

/// How far off something is, with its sign, and never a negative nothing.
pub(super) fn percent_off(share: f64) -> String {
    let text = decimals(share * 100.0, 2);
    if share > 0.0 && text != "0.00" { format!("+{text} %") } else { format!("{text} %") }
}

pub(super) fn percent(share: f64) -> String {
    format!("{} %", decimals(share * 100.0, 1))
}
