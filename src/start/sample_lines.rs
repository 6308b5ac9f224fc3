//! The keys of a job that say what the samples are.

use super::compose::{Known, OfMany, could_be, of_rows, others, quoted};
use super::lines::Lines;
use crate::agronomy::{Reads, method};
use crate::inputs::{Recognised, toml_text};
use crate::units::{SoilValue, counted};

/// The keys of the samples but for their columns.
pub(super) fn sample_lines(lines: &mut Lines<'_>, known: &Known<'_>) {
    let found = known.found;
    file_lines(lines, known);
    key_line(lines, known);
    depth_lines(lines, found);
    medium_line(lines, found);
    buffer_lines(lines, known);
    way_lines(lines, known);
    unit_lines(lines, found);
    missing_line(lines, known);
    let limits: usize =
        [found.ph, found.buffer_ph].into_iter().flatten().map(|column| column.limits).sum();
    if limits > 0 {
        let says = format!(
            "`limit` or `half`; without it these are refused: {limits} readings known only by a \
             limit, such as `<5.0`"
        );
        lines.offered("samples.censored", "\"limit\"".to_owned(), says);
    }
}

fn file_lines(lines: &mut Lines<'_>, known: &Known<'_>) {
    let about = |at: usize| known.about.get(at).cloned().unwrap_or_default();
    if let Some(samples) = known.samples {
        lines.known("samples.file", toml_text(samples), about(1));
    }
    if let Some(OfMany { column, .. }) = known.of_many {
        lines.chosen("samples.select", format!("by the column `{column}`"));
    }
    if let Some(lab) = &known.gathered.lab {
        lines.chosen("samples.lab", lab.about.clone());
        lines.known("samples.lab_key", toml_text(&lab.key), "the ids of the samples in it");
    }
    let Some(zones) = &known.gathered.zones else { return };
    lines.chosen("samples.zones", zones.about.clone());
    match zones.keys.as_slice() {
        [only] => lines.known("samples.zone_key", toml_text(only), zones.key_from),
        keys => {
            let more = if keys.is_empty() { quoted(&zones.attributes) } else { quoted(keys) };
            lines.blank("samples.zone_key", vec![format!("One of {more}?")]);
        }
    }
}

fn key_line(lines: &mut Lines<'_>, known: &Known<'_>) {
    let found = known.found;
    match found.candidates("samples.key") {
        // Areas that carry the results are named by their own key.
        _ if known.samples.is_none() => {}
        [] if known.settings.are_composites => {
            lines.blank("samples.key", vec![others(found)]);
        }
        [] => {}
        [only] => lines.known("samples.key", toml_text(only), "recognised by its header"),
        several => lines.blank("samples.key", vec![could_be(several)]),
    }
}

fn missing_line(lines: &mut Lines<'_>, known: &Known<'_>) {
    let without_ph = known.found.ph.map_or(0, |ph| ph.without);
    let without_result = known.gathered.lab.as_ref().map_or(0, |lab| lab.points_without.len());
    let refused = match (without_ph, without_result) {
        (0, 0) => return,
        (0, points) => {
            format!("{} without a result", counted(points as u64, "point", "points"))
        }
        (rows, 0) => format!("{} without a pH", of_rows(rows)),
        (rows, points) => format!(
            "{} without a pH, and {} without a result",
            of_rows(rows),
            counted(points as u64, "point", "points")
        ),
    };
    let says = format!("without it these are refused: {refused}");
    lines.offered("samples.missing", "\"leave out\"".to_owned(), says);
}

fn depth_lines(lines: &mut Lines<'_>, found: &Recognised) {
    let has = |key| !found.candidates(key).is_empty();
    let in_two = has("samples.columns.depth_top") && has("samples.columns.depth_bottom");
    let where_it_stands =
        if in_two { "the columns of the depth" } else { "the column of the depth" };
    let say = if in_two { "say" } else { "says" };
    let have_units =
        found.depths.iter().all(|depth| depth.ends_with("in") || depth.ends_with("cm"));
    match found.depths.as_slice() {
        [] if in_two => lines.blank(
            "samples.sampled_depth",
            vec![
                "The table has columns with the upper and lower end of the depth. Where they hold \
                 several depths, take this line out and list them as `layers = [\"0-6 in\", \
                 \"6-12 in\"]`."
                    .to_owned(),
            ],
        ),
        [] => lines.blank("samples.sampled_depth", Vec::new()),
        [only] if have_units && only.contains('-') => {
            let from = format!("as {where_it_stands} {say}");
            lines.known("samples.sampled_depth", toml_text(only), from);
        }
        [only] => {
            let says = format!("T{} {say} `{only}`, not in full.", &where_it_stands[1..]);
            lines.blank("samples.sampled_depth", vec![says]);
        }
        several if have_units => {
            let mut several = several.to_vec();
            several.sort_by(|a, b| top_of(a).total_cmp(&top_of(b)));
            let list: Vec<String> = several.iter().map(|depth| toml_text(depth)).collect();
            let list = format!("[{}]", list.join(", "));
            lines.known("samples.layers", list, format!("as {where_it_stands} {say}"));
        }
        several => {
            let says = format!(
                "T{} have {}; write each with its unit, as in [\"0-6 in\", \"6-12 in\"].",
                &where_it_stands[1..],
                quoted(several)
            );
            let says = if in_two { says } else { says.replacen(" have ", " has ", 1) };
            lines.blank("samples.layers", vec![says]);
            lines.blank("samples.depth_unit", Vec::new());
        }
    }
}

fn top_of(depth: &str) -> f64 {
    let number: String = depth.chars().take_while(|c| c.is_ascii_digit() || *c == '.').collect();
    number.parse().unwrap_or(f64::INFINITY)
}

/// How the laboratory read what the chosen method goes by, which no header tells.
fn way_lines(lines: &mut Lines<'_>, known: &Known<'_>) {
    let Some(method) = known.settings.text("need.method").and_then(|id| method(&id).ok()) else {
        return;
    };
    for (value, key) in [
        (SoilValue::Aluminium, "samples.al_extract"),
        (SoilValue::BufferCapacity, "samples.buffer_capacity_read"),
    ] {
        if method.card().reads.has(Reads::Value(value)) {
            lines.blank(key, vec!["Ask the laboratory: the method reads it.".to_owned()]);
        }
    }
}

/// The units of what was recognised beside pH and buffer pH.
fn unit_lines(lines: &mut Lines<'_>, found: &Recognised) {
    for &(value, unit) in &found.units {
        let key = format!("samples.columns.{}", value.key());
        let (Some(header), None) = (found.header(&key), unit) else { continue };
        let example = value.bounded().limit_unit;
        let says = format!(
            "to read {} from `{header}`, whose header names no unit: ask the laboratory",
            value.words()
        );
        lines.offered(&format!("samples.units.{}", value.key()), toml_text(example), says);
    }
}

fn medium_line(lines: &mut Lines<'_>, found: &Recognised) {
    let header = found.header("samples.columns.ph").unwrap_or_default();
    match found.ph_medium {
        Some(medium) => {
            let from = format!("as the header `{header}` says");
            lines.known("samples.ph_measured_in", toml_text(medium), from);
        }
        None if found.in_water => {
            let says = format!("The header `{header}` says water; the laboratory knows how much.");
            lines.blank("samples.ph_measured_in", vec![says]);
        }
        None => lines.blank(
            "samples.ph_measured_in",
            vec!["Neither the header nor the numbers tell: ask the laboratory.".to_owned()],
        ),
    }
}

fn buffer_lines(lines: &mut Lines<'_>, known: &Known<'_>) {
    let found = known.found;
    if found.candidates("samples.columns.buffer_ph").is_empty() {
        return;
    }
    let set = known.settings.text("need.method").and_then(|id| method(&id).ok());
    if set.is_some_and(|method| method.card().buffer.is_none()) {
        return;
    }
    let header = found.header("samples.columns.buffer_ph").unwrap_or_default();
    match found.buffer {
        Some(buffer) => {
            let from = format!("as the header `{header}` says");
            lines.known("samples.buffer", toml_text(buffer), from);
        }
        None => lines.blank(
            "samples.buffer",
            vec![
                "The header does not tell. Take the line out where the method reads no buffer."
                    .to_owned(),
            ],
        ),
    }
    let Some((least_without, most_with)) = found.buffer_ends else { return };
    let without = found.buffer_ph.map_or(0, |column| column.without);
    lines.blank(
        "samples.buffer_blank_above",
        vec![format!(
            "{} without a buffer pH: the least acid of the tested ones has pH {most_with}, the most \
             acid of the others {least_without}. Take the line out where the method reads no \
             buffer, or where the blanks are no answer.",
            of_rows(without)
        )],
    );
}
