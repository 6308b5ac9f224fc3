//! The summary for the terminal: the answer first, then where it comes from. Every number is
//! rounded once, from its exact value.

use std::fmt::Write as _;

use super::{flat_text, material_text, order_text};
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
    writeln!(out, "{}: lime prescription", summary.field.name)?;
    let kind = if material.name == material.kind {
        String::new()
    } else {
        format!(" ({})", material.kind)
    };
    writeln!(
        out,
        "{}{kind}, rates as spread (wet), {} effective",
        material.name,
        percent(material.effective_as_spread)
    )?;
    out.push('\n');
    row(out, "Field", &amount(&summary.area, 2))?;
    if summary.keep_out_area.value > 0.0 {
        row(out, "Keep-out", &amount(&summary.keep_out_area, 2))?;
    }
    row(out, "Treated", &amount(&summary.treated_area, 2))?;
    order_text::write_order(out, summary)?;
    row(out, "Mean rate", &amount(&summary.mean_rate, 3))?;
    let loads = &summary.loads.spreader;
    let binds = loads.binds.as_ref().map_or_else(String::new, |binds| format!(", {binds} binds"));
    row(
        out,
        "Spreader loads",
        &format!(
            "{} of {}, the last {}{binds}",
            loads.count,
            amount(&loads.full, 2),
            amount(&loads.last, 2)
        ),
    )?;
    if let Some(trucks) = &summary.loads.truck {
        row(out, "Truck loads", &format!("{} of {}", trucks.count, amount(&trucks.full, 2)))?;
    }
    order_text::write_haul(out, summary)?;
    out.push('\n');
    write_rates(out, summary)?;
    write_ledger(out, summary)?;
    write_overrides(out, summary)?;
    flat_text::write_flat_rates(out, summary)?;
    material_text::write_material(out, material)?;
    write_method(out, summary)?;
    write_sensitivity(out, summary)?;
    out.push_str("\nMind\n");
    for caution in &summary.cautions {
        wrap(out, "  - ", caution)?;
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
            order.order,
            amount(&order.area, 2),
            if change > 0.0 { "+" } else { "" },
            amount(&order.product_change, 2),
            order.reason
        );
        wrap(out, "  - ", &told)?;
    }
    Ok(())
}

fn write_sensitivity(out: &mut String, summary: &Summary) -> std::fmt::Result {
    let hanging = &summary.sensitivity;
    out.push_str("\nHow much hangs on it\n");
    let step = hanging
        .machine_step
        .as_ref()
        .map_or_else(String::new, |step| format!("; the spreader's step is {}", amount(step, 3)));
    let told = format!(
        "A reading that is 0.1 more acid asks for {} of CaCO3 more, {} as spread{step}.",
        amount(&hanging.need_per_tenth, 3),
        amount(&hanging.rate_per_tenth, 3)
    );
    wrap(out, "  ", &told)?;
    let (below, above) = (&hanging.below_trigger, &hanging.above_trigger);
    let told = format!(
        "Within 0.1 pH below the trigger lie {} with {} of product, which a pH 0.1 higher would \
         spare; within 0.1 above it {}, which a pH 0.1 lower would give {}.",
        amount(&below.area, 2),
        amount(&below.product, 2),
        amount(&above.area, 2),
        amount(&above.product, 2)
    );
    wrap(out, "  ", &told)
}

fn write_method(out: &mut String, summary: &Summary) -> std::fmt::Result {
    let method = &summary.method;
    writeln!(out, "\nHow the need was found")?;
    writeln!(out, "  {}: {}", method.id, method.title)?;
    wrap(out, "  ", &method.source)?;
    let aim = format!(
        "To pH {} where it is below {} ({}); material basis of the table: {}",
        method.target_ph, method.treat_below, method.ph_medium, method.basis
    );
    wrap(out, "  ", &aim)?;
    writeln!(
        out,
        "  Sampled {}, table depth {}, limed {} ({}): need x {}",
        method.sampled_depth,
        method.table_depth,
        amount(&method.limed_depth, 1),
        method.placement,
        decimals(method.depth_factor, 3)
    )?;
    for (key, soil) in &summary.soil {
        writeln!(
            out,
            "  {} ({}): samples: {}, {} to {}, mean {:.2}",
            attribute(key),
            soil.measured_in,
            soil.samples,
            soil.min,
            soil.max,
            soil.mean
        )?;
    }
    let map = &summary.interpolation;
    writeln!(
        out,
        "  {}; {} of the field lies beyond the samples, at most {}",
        map.method,
        percent(map.beyond_share),
        amount(&map.beyond_max_distance, 0)
    )?;
    for (key, check) in &map.cross_check {
        let told = format!(
            "Leaving one sample out, {} is missed by {:.3} by the map and {:.3} by the mean of \
             the others",
            attribute(key),
            check.rmse,
            check.mean_rmse
        );
        wrap(out, "  ", &told)?;
    }
    for (words, area) in
        [("below", &summary.table_limit_area.below), ("above", &summary.table_limit_area.above)]
    {
        if area.value > 0.0 {
            let told = format!(
                "On {} the reading lies {words} the method's rows and its end value was taken",
                amount(area, 2)
            );
            wrap(out, "  ", &told)?;
        }
    }
    Ok(())
}

/// An attribute in words, from its key.
pub(super) fn attribute(key: &str) -> String {
    key.replace("_ph", " pH").replace("ph", "pH").replace('_', " ")
}

/// Characters of a line, as on a terminal that nobody widened.
const LINE: usize = 79;

/// `text` broken between words; lines after the first stand below the first word.
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
        line.push_str(word);
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

pub(super) fn percent(share: f64) -> String {
    format!("{} %", decimals(share * 100.0, 1))
}
