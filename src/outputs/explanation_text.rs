//! One place of a map in words: from the samples to what lies on the ground.

use std::fmt::Write as _;

use super::summary_text::{attribute, decimals, wrap};
use crate::summary::{Explanation, Quantity};
use crate::units::plain;

/// The explanation as people read it.
pub fn explanation_text(told: &Explanation) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = write_all(&mut out, told);
    out
}

fn write_all(out: &mut String, told: &Explanation) -> std::fmt::Result {
    writeln!(
        out,
        "{}, {} lies in cell {} ({})",
        told.lon_deg,
        told.lat_deg,
        told.cell,
        exact(&told.area, 4)
    )?;
    writeln!(out, "Its soil is read at {:.7}, {:.7}", told.value_lon_deg, told.value_lat_deg)?;
    if let Some(zone) = &told.zone {
        let text = match &told.beyond {
            None => format!("It lies in the sample zone {zone}, which has one value."),
            Some(beyond) => format!(
                "It lies in no sample zone; the value of {zone}, {} away, is taken.",
                exact(beyond, 1)
            ),
        };
        wrap(out, "", &text)?;
    } else if let Some(beyond) = &told.beyond {
        let text = format!(
            "That is {} beyond the outline of the samples: the value at the nearest point of the \
             outline is taken, linear between the samples on it.",
            exact(beyond, 1)
        );
        wrap(out, "", &text)?;
    }
    write_samples(out, told)?;
    write_need(out, told)?;
    write_rate(out, told)?;
    out.push_str("\nSources\n");
    for source in &told.sources {
        wrap(out, "  - ", source)?;
    }
    Ok(())
}

fn write_samples(out: &mut String, told: &Explanation) -> std::fmt::Result {
    out.push_str("\n1. The samples that count there\n");
    write!(out, "{:>16}{:>10}{:>14}", "sample", "weight", "distance")?;
    for soil in &told.soil {
        write!(out, "{:>12}", attribute(soil.key))?;
    }
    out.push('\n');
    for sample in &told.samples {
        write!(
            out,
            "{:>16}{:>10.4}{:>14}",
            sample.name,
            sample.weight,
            exact(&sample.distance, 0)
        )?;
        for reading in &sample.readings {
            let absent = if sample.note.is_some() { "blank" } else { "-" };
            let shown = reading.map_or_else(|| absent.to_owned(), |r| decimals(r, 2));
            write!(out, "{shown:>12}")?;
        }
        out.push('\n');
    }
    for sample in &told.samples {
        if let Some(note) = &sample.note {
            wrap(out, "  ", &format!("{}: {note}", sample.name))?;
        }
    }
    out.push_str("\n2. The soil: the weighted mean\n");
    for soil in &told.soil {
        let value = soil.value.map_or_else(|| "none".to_owned(), |value| decimals(value, 4));
        writeln!(out, "  {} ({}): {value}", attribute(soil.key), soil.measured_in)?;
    }
    Ok(())
}

fn write_need(out: &mut String, told: &Explanation) -> std::fmt::Result {
    out.push_str("\n3. The need\n");
    for step in &told.need_steps {
        wrap(out, "  ", &step.words)?;
    }
    wrap(out, "  ", &format!("= {} pure CaCO3: {}", exact(&told.need, 4), told.why))
}

fn write_rate(out: &mut String, told: &Explanation) -> std::fmt::Result {
    out.push_str("\n4. The rate, as spread (wet)\n");
    for step in &told.material_steps {
        wrap(out, "  ", &step.words)?;
    }
    writeln!(
        out,
        "  {} / {} effective = {}",
        exact(&told.need, 4),
        plain(told.effective_as_spread, 4, 6),
        exact(&told.asked_rate, 4)
    )?;
    let limit = &told.limit_in_words;
    let fitted = told.overrides.first().map_or(&told.rate, |first| &first.before);
    wrap(out, "  ", &format!("{limit}: {}", exact(fitted, 4)))?;
    for step in &told.overrides {
        let line = format!(
            "overridden, {}: {} (reason: {})",
            step.order,
            exact(&step.after, 4),
            step.reason
        );
        wrap(out, "  ", &line)?;
    }
    writeln!(out, "  x {} = {} on this cell", exact(&told.area, 4), exact(&told.product, 1))?;
    if told.unmet.value > 0.0 {
        writeln!(out, "  unmet: {} CaCO3", exact(&told.unmet, 4))?;
    }
    if told.excess.value > 0.0 {
        writeln!(out, "  beyond the need: {} CaCO3", exact(&told.excess, 4))?;
    }
    Ok(())
}

fn exact(quantity: &Quantity, places: usize) -> String {
    format!("{} {}", decimals(quantity.value, places), quantity.unit)
}
