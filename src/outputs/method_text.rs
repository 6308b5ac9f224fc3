//! The method in the summary for the terminal, and how much hangs on its readings.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::summary_text::{amount, attribute, decimals, percent, wrap};
use crate::agronomy::MethodCard;
use crate::summary::{
    CreditPart, DoubtPart, Interpolation, IntervalPart, MethodPart, Quantity, RangePart, SoilPart,
    Summary, TableLimits,
};
use crate::units::{counted, ph_words, plain};

pub(super) fn write_method(out: &mut String, summary: &Summary) -> std::fmt::Result {
    let method = &summary.method;
    writeln!(out, "\nHow the need was found")?;
    writeln!(out, "  {}: {}", method.id, method.title)?;
    wrap(out, "  ", &method.source)?;
    // A basis that is assumed is told below, with what else is.
    let assumed = method.assumptions.iter().any(|told| told == MethodCard::BASIS_NOT_STATED);
    let basis = if assumed {
        String::new()
    } else {
        format!("; material basis of the table: {}", method.basis)
    };
    let aim = match method.treat_below {
        Some(trigger) => format!(
            "To {} where {} is below {} ({}){basis}",
            method.target,
            if method.target_ph.is_some() { "it" } else { "the pH" },
            ph_words(trigger),
            method.ph_medium,
        ),
        None if method.target_ph.is_none() => format!("To {}{basis}", method.target),
        None => format!("To {} ({}){basis}", method.target, method.ph_medium),
    };
    wrap(out, "  ", &aim)?;
    let depth = |depth: &Quantity| format!("{} {}", plain(depth.value, 0, 2), depth.unit);
    let counted = match &method.counted_depth {
        Some(counted) if *counted != method.limed_depth => {
            format!(", of which {} count", depth(counted))
        }
        _ => String::new(),
    };
    let depths = format!(
        "Sampled {}, table depth {}, limed {}{counted} ({}): need x {}",
        method.sampled_depth,
        method.table_depth,
        depth(&method.limed_depth),
        method.placement,
        decimals(method.depth_factor, 3)
    );
    wrap(out, "  ", &depths)?;
    write_fitting(out, method)?;
    if summary.layers.is_empty() {
        let limits = &summary.table_limit_area;
        return write_soil(out, "  ", &summary.soil, &summary.interpolation, limits);
    }
    for layer in &summary.layers {
        let share =
            layer.need_share.map_or_else(String::new, |share| format!(", {}", percent(share)));
        let told = format!(
            "Layer {}, which counts with {}: need x {}, in all {} of CaCO3{share}",
            layer.depth,
            layer.part,
            decimals(layer.depth_factor, 3),
            amount(&layer.need_total, 2),
        );
        wrap(out, "  ", &told)?;
        write_soil(out, "    ", &layer.soil, &layer.interpolation, &layer.table_limit_area)?;
    }
    Ok(())
}

/// What the samples of one layer read, and how its map was drawn.
fn write_soil(
    out: &mut String,
    head: &str,
    soil: &BTreeMap<String, SoilPart>,
    map: &Interpolation,
    limits: &TableLimits,
) -> std::fmt::Result {
    for (key, soil) in soil {
        writeln!(
            out,
            "{head}{} ({}): samples: {}, {} to {}, mean {:.2}",
            attribute(key),
            soil.measured_in,
            soil.samples,
            ph_words(soil.min),
            ph_words(soil.max),
            soil.mean
        )?;
    }
    let way = format!(
        "{}; {} of the field lies beyond the samples, at most {}",
        map.method,
        percent(map.beyond_share),
        amount(&map.beyond_max_distance, 0)
    );
    wrap(out, head, &way)?;
    for (key, check) in &map.cross_check {
        let told = format!(
            "Leaving one sample out, the map misses its {} by {:.3}, the mean of the others by \
             {:.3}{}",
            attribute(key),
            check.rmse,
            check.mean_rmse,
            if check.rmse < check.mean_rmse { "" } else { ": one rate may serve as well" }
        );
        wrap(out, head, &told)?;
    }
    for (words, area) in [("below", &limits.below), ("above", &limits.above)] {
        if area.value > 0.0 {
            let told = format!(
                "On {} the reading lies {words} the method's rows and its end value was taken",
                amount(area, 2)
            );
            wrap(out, head, &told)?;
        }
    }
    Ok(())
}

/// What fitted the method to the job: columns, credit, and what is taken for granted.
fn write_fitting(out: &mut String, method: &MethodPart) -> std::fmt::Result {
    if let Some(columns) = &method.columns {
        let (low, high) = (ph_words(columns.low), ph_words(columns.high));
        let told = format!(
            "Between the printed targets: {} x the need to {low} + {} x the need to {high}",
            plain(1.0 - columns.high_share, 0, 4),
            plain(columns.high_share, 0, 4),
        );
        wrap(out, "  ", &told)?;
    }
    if let Some(credit) = &method.credit {
        wrap(out, "  ", &credit_in_words(credit))?;
    }
    for assumption in &method.assumptions {
        wrap(out, "  ", assumption)?;
    }
    Ok(())
}

fn credit_in_words(credit: &CreditPart) -> String {
    let each: Vec<String> = credit
        .each
        .iter()
        .map(|lime| {
            format!(
                "{} of {}, {}, {} left: {}",
                amount(&lime.rate, 2),
                lime.applied,
                counted(lime.months.into(), "month", "months"),
                plain(lime.left, 2, 4),
                amount(&lime.credit, 2)
            )
        })
        .collect();
    format!(
        "Credit for earlier lime on {} soil, off the need of every cell: {} ({}). {}",
        credit.soil_class,
        amount(&credit.total, 2),
        each.join("; "),
        credit.source
    )
}

pub(super) fn write_sensitivity(out: &mut String, summary: &Summary) -> std::fmt::Result {
    let hanging = &summary.sensitivity;
    out.push_str("\nHow much hangs on it\n");
    let step = hanging
        .machine_step
        .as_ref()
        .map_or_else(String::new, |step| format!("; the spreader's step is {}", amount(step, 3)));
    let name = attribute(&hanging.reading);
    let article = if name.starts_with(['a', 'e', 'i', 'o']) { "An" } else { "A" };
    let unit = hanging.step.unit.as_ref();
    let reading = format!(
        "{article} {name} that is {}{}{unit} {}",
        plain(hanging.step.value.abs(), 0, 4),
        if unit.is_empty() { "" } else { " " },
        if hanging.step.value < 0.0 { "lower" } else { "higher" }
    );
    if hanging.needing_area.value > 0.0 {
        let told = format!(
            "{reading} asks for {} of CaCO3 more, {} as spread, on average over the {} that need \
             lime{step}.",
            amount(&hanging.need_per_tenth, 3),
            amount(&hanging.rate_per_tenth, 3),
            amount(&hanging.needing_area, 2)
        );
        wrap(out, "  ", &told)?;
    }
    let (below, above) = (&hanging.below_trigger, &hanging.above_trigger);
    let part = |limed: &Quantity, all: &Quantity| {
        format!("{} of {}", decimals(limed.value, 2), amount(all, 2))
    };
    if below.area.value > 0.0 {
        let told = format!(
            "Within 0.1 pH below the trigger, {} are limed, with {} of product, which a pH 0.1 \
             higher would spare.",
            part(&hanging.below_trigger_limed_area, &below.area),
            amount(&below.product, 2)
        );
        wrap(out, "  ", &told)?;
    }
    if above.area.value > 0.0 {
        let told = format!(
            "Within 0.1 pH above the trigger, a pH 0.1 lower would lime {}, with {} of product.",
            part(&hanging.above_trigger_limed_area, &above.area),
            amount(&above.product, 2)
        );
        wrap(out, "  ", &told)?;
    }
    let has_trigger = summary.method.treat_below.is_some();
    if has_trigger && below.area.value <= 0.0 && above.area.value <= 0.0 {
        wrap(out, "  ", "No ground lies within 0.1 pH of the trigger.")?;
    }
    write_interval(out, &summary.interval)
}

/// How sure the totals are.
fn write_interval(out: &mut String, interval: &IntervalPart) -> std::fmt::Result {
    if interval.readings.iter().all(|part| part.laboratory.is_none() && part.map.is_none()) {
        let told = "How sure the totals are is not told: of no reading that decides the need is it \
                    known how well a laboratory repeats it, or what the map misses between the \
                    samples.";
        return wrap(out, "  ", told);
    }
    if interval.need_total.high.value <= 0.0 {
        let told = format!(
            "With every sample read anew, nothing is needed in at least {} of {} draws.",
            plain((1.0 - interval.tail) * interval.draws as f64, 0, 0),
            interval.draws,
        );
        return wrap(out, "  ", &told);
    }
    let range = |range: &RangePart| {
        format!("{} to {}", decimals(range.low.value, 2), amount(&range.high, 2))
    };
    let told = format!(
        "With every sample read anew, the need comes to {} of CaCO3 and the product to {} as \
         spread in {} of {} draws.",
        range(&interval.need_total),
        range(&interval.product_total),
        plain((1.0 - 2.0 * interval.tail) * interval.draws as f64, 0, 0),
        interval.draws,
    );
    wrap(out, "  ", &told)?;
    let of_reading = |part: &DoubtPart| {
        let layer =
            part.layer.as_ref().map_or_else(String::new, |layer| format!(" of the layer {layer}"));
        let map = part.map.map_or_else(
            || "no figure for the map".to_owned(),
            |map| format!("{} between the samples", decimals(map, 3)),
        );
        let laboratory = part.laboratory.map_or_else(
            || "(repeatability in the laboratory not known, left out)".to_owned(),
            |laboratory| format!("by {} in the laboratory", decimals(laboratory, 3)),
        );
        format!("{}{layer} {laboratory}, {map}", attribute(&part.reading))
    };
    let each: Vec<String> = interval.readings.iter().map(of_reading).collect();
    let told = format!(
        "Each is off by chance: {}. What one laboratory reads wrong everywhere, and how far the \
         method itself is off, comes on top.",
        each.join("; ")
    );
    wrap(out, "  ", &told)
}
