//! Finished maps that were read, for the terminal and for programs.

use super::number::grouped;
use super::summary_text::{percent_off, wrap};
use crate::findings::clean;
use crate::summary::Quantity;
use crate::verify::{AgainstPart, ExportReading, MapReading, Readings};

/// Rates of one map that are listed before the rest is only counted.
const RATES_SHOWN: usize = 24;

/// The readings as JSON, indented, with a line feed at its end.
///
/// # Errors
/// Returns the serialiser's error; readings have none, so it is a fault of the program.
pub fn readings_json(readings: &Readings) -> Result<String, serde_json::Error> {
    Ok(serde_json::to_string_pretty(readings)? + "\n")
}

/// The readings as people read them.
pub fn readings_text(readings: &Readings) -> String {
    let texts: Vec<String> = readings.exports.iter().map(export_text).collect();
    texts.join("\n")
}

fn export_text(export: &ExportReading) -> String {
    let mut out = format!("{}: {}\n", clean(&export.file), export.format);
    for map in &export.maps {
        map_text(&mut out, map);
    }
    for fault in &export.faults {
        // Writing to a String cannot fail.
        let _ = wrap(&mut out, "  ! ", &clean_words(&fault.text));
    }
    out
}

/// A text without control characters, whole.
fn clean_words(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect()
}

fn map_text(out: &mut String, map: &MapReading) {
    let unit = map.unit.as_deref().map_or_else(String::new, |unit| format!(", {unit}"));
    let counts = [(map.polygons, "polygons"), (map.cells, "cells"), (map.rows, "rows")];
    let counts = counts
        .iter()
        .filter_map(|(count, word)| Some(format!("{} {word}", grouped((*count)? as f64, 0))));
    let mut counts: Vec<String> = counts.collect();
    counts.extend(map.vertices.map(|count| format!("{} vertices", grouped(count as f64, 0))));
    *out += &format!("  {}{unit}: {}\n", clean(&map.name), counts.join(", "));
    let line = |words: &str, value: String| format!("    {words:<14}{value}\n");
    *out += &line("Area", amount(&map.area));
    if map.area_without_rate.value > 0.0 {
        *out += &line("Without rate", amount(&map.area_without_rate));
    }
    if let Some(product) = &map.product {
        *out += &line("Product", amount(product));
    }
    if let Some(against) = &map.against {
        *out += &line("Meant", against_text(against));
    }
    rates_text(out, map);
}

fn against_text(against: &AgainstPart) -> String {
    let word = if against.within { "within" } else { "beyond" };
    format!(
        "{} ({}), off by {}, {word} {} %",
        amount(&against.product),
        clean(&against.file),
        percent_off(against.difference),
        against.tolerance * 100.0
    )
}

/// A table of the rates; of numbers too many to be rates, their range.
fn rates_text(out: &mut String, map: &MapReading) {
    let (Some(first), Some(least), Some(greatest)) = (map.rates.first(), map.least, map.greatest)
    else {
        if let (Some(least), Some(greatest)) = (map.least, map.greatest) {
            *out += &format!("    From {} to {}\n", short(least), short(greatest));
        }
        return;
    };
    if map.unit.is_none() && map.rates.len() > RATES_SHOWN {
        *out += &format!("    From {} to {}\n", short(least), short(greatest));
        return;
    }
    let unit = map.unit.as_deref().map_or_else(String::new, |unit| format!(", {unit}"));
    let product = first.product.as_ref().map(|product| format!("Product, {}", product.unit));
    let heads = [format!("Rate{unit}"), format!("Area, {}", first.area.unit)];
    *out += &format!("{:>18}{:>16}{:>16}", heads[0], heads[1], product.unwrap_or_default());
    *out = out.trim_end().to_owned() + "\n";
    for rate in map.rates.iter().take(RATES_SHOWN) {
        let product = rate.product.as_ref();
        let product = product.map_or_else(String::new, |product| grouped(product.value, 2));
        let row =
            format!("{:>18}{:>16}{product:>16}", short(rate.rate), grouped(rate.area.value, 2));
        *out += row.trim_end();
        out.push('\n');
    }
    if let Some(more) = map.rates.len().checked_sub(RATES_SHOWN).filter(|&more| more > 0) {
        *out += &format!("    and {more} more rates up to {}\n", short(greatest));
    }
}

/// A number without the digits that a shorter type left over.
fn short(number: f64) -> String {
    let text = format!("{number:.5}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn amount(quantity: &Quantity) -> String {
    format!("{} {}", grouped(quantity.value, 2), quantity.unit)
}
