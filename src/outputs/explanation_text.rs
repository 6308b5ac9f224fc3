//! One place of a map in words: from the samples to what lies on the ground.

use std::fmt::Write as _;

use super::summary_text::{attribute, decimals, percent, wrap};
use crate::findings::clean;
use crate::summary::{ExplainedLayer, Explanation, Quantity};
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
        let gives = told.zone_gives.as_ref();
        let gives = gives.map_or_else(String::new, |gives| format!(" of {gives}"));
        let text = match &told.zone_distance {
            None => format!("It lies in the sample zone {zone}, which has one value{gives}."),
            Some(distance) => format!(
                "It lies in no sample zone; the value{gives} of {zone}, {} away, is taken.",
                exact(distance, 1)
            ),
        };
        wrap(out, "", &text)?;
    }
    if told.layers.iter().any(|layer| layer.depth.is_some()) {
        write_layers(out, told)?;
    } else {
        for layer in &told.layers {
            write_outside(out, told, layer)?;
            out.push_str("\n1. The samples that count there\n");
            write_samples(out, layer)?;
            let or_zone = if told.zone_gives.is_some() { ", or the value of the zone" } else { "" };
            writeln!(out, "\n2. The soil: the weighted mean{or_zone}")?;
            write_soil(out, layer)?;
            out.push_str("\n3. The need\n");
            write_need(out, layer)?;
        }
    }
    write_rate(out, told)?;
    if let Some(risk) = told.risk.as_ref().filter(|risk| *risk != "none") {
        wrap(out, "", &format!("\nAt risk there before liming: {risk}"))?;
    }
    out.push_str("\nSources\n");
    for source in &told.sources {
        wrap(out, "  - ", source)?;
    }
    Ok(())
}

/// Where the value of the nearest point of the outline is taken.
fn write_outside(out: &mut String, told: &Explanation, layer: &ExplainedLayer) -> std::fmt::Result {
    let of_points = told.zone.is_none() || told.zone_gives.is_some();
    let Some(beyond) = layer.beyond.as_ref().filter(|_| of_points) else { return Ok(()) };
    let text = format!(
        "That is {} beyond the outline of the samples: the value at the nearest point of the \
         outline is taken, linear between the samples on it.",
        exact(beyond, 1)
    );
    wrap(out, "", &text)
}

/// Each layer by itself, and their sum.
fn write_layers(out: &mut String, told: &Explanation) -> std::fmt::Result {
    out.push_str("\n1. The layers of soil, each at its own reading\n");
    for layer in &told.layers {
        let (depth, part) = (layer.depth.as_deref(), layer.part.as_deref());
        let (depth, part) = (depth.unwrap_or_default(), part.unwrap_or_default());
        writeln!(out, "\n{depth}, which counts with {part}")?;
        write_outside(out, told, layer)?;
        write_samples(out, layer)?;
        write_soil(out, layer)?;
        write_need(out, layer)?;
    }
    out.push_str("\n2. The need: the sum over the layers\n");
    for layer in &told.layers {
        let share = layer.share.map_or_else(String::new, |share| format!(", {}", percent(share)));
        let depth = layer.depth.as_deref().unwrap_or_default();
        writeln!(out, "  {depth}: {}{share}", exact(&layer.need, 4))?;
    }
    writeln!(out, "  = {} pure CaCO3", exact(&told.need, 4))
}

fn write_samples(out: &mut String, told: &ExplainedLayer) -> std::fmt::Result {
    write!(out, "{:>16}{:>10}{:>14}", "sample", "weight", "distance")?;
    for soil in told.soil.iter().filter(|soil| soil.zone.is_none()) {
        write!(out, "{:>12}", attribute(soil.key))?;
    }
    out.push('\n');
    for sample in &told.samples {
        write!(
            out,
            "{:>16}{:>10.4}{:>14}",
            clean(&sample.name),
            sample.weight,
            exact(&sample.distance, 0)
        )?;
        for (reading, soil) in sample.readings.iter().zip(&told.soil) {
            if soil.zone.is_some() {
                continue;
            }
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
    Ok(())
}

/// The weighted mean of the samples.
fn write_soil(out: &mut String, told: &ExplainedLayer) -> std::fmt::Result {
    for soil in &told.soil {
        let value = soil.value.map_or_else(|| "none".to_owned(), |value| decimals(value, 4));
        let zone = soil.zone.as_ref();
        let zone = zone.map_or_else(String::new, |zone| format!(", the zone {zone}"));
        writeln!(out, "  {} ({}): {value}{zone}", attribute(soil.key), soil.measured_in)?;
        if let Some(note) = &soil.note {
            wrap(out, "    ", note)?;
        }
    }
    Ok(())
}

fn write_need(out: &mut String, told: &ExplainedLayer) -> std::fmt::Result {
    for step in &told.need_steps {
        wrap(out, "  ", &step.words)?;
    }
    wrap(out, "  ", &format!("= {} pure CaCO3: {}", exact(&told.need, 4), told.why))
}

fn write_rate(out: &mut String, told: &Explanation) -> std::fmt::Result {
    let number = if told.layers.iter().any(|layer| layer.depth.is_some()) { 3 } else { 4 };
    writeln!(out, "\n{number}. The rate, as spread (wet)")?;
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
    if let Some(area) = &told.rate_area {
        let (number, size) = (area.number, exact(&area.area, 4));
        let line = format!("in rate area {number}, of {size}: {}", exact(&area.rate, 4));
        wrap(out, "  ", &line)?;
    }
    if !told.applications.is_empty() {
        let each: Vec<String> = told.applications.iter().map(|rate| exact(rate, 4)).collect();
        let count = each.len();
        wrap(out, "  ", &format!("in {count} applications: {}", each.join(" + ")))?;
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
