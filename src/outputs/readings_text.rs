//! Finished maps that were read, for the terminal and for programs.

use std::fmt::Write as _;

use super::number::grouped;
use super::summary_text::{percent_off, wrap};
use crate::findings::{clean, harmless};
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
        // Writing to a String cannot fail.
        let _ = write_map(&mut out, map);
    }
    for fault in &export.faults {
        let _ = wrap(&mut out, "  ! ", &clean_words(&fault.text));
    }
    out
}

/// A text without control characters, whole.
fn clean_words(text: &str) -> String {
    text.chars().map(harmless).collect()
}

fn write_map(out: &mut String, map: &MapReading) -> std::fmt::Result {
    let unit = map.unit.as_deref().map_or_else(String::new, |unit| format!(", {unit}"));
    let counts = [
        (map.polygons, "polygons"),
        (map.cells, "cells"),
        (map.rows, "rows"),
        (map.vertices, "vertices"),
    ];
    let counts = counts.iter().filter_map(|(count, word)| {
        let count = grouped((*count)? as f64, 0);
        Some(format!("{count} {word}"))
    });
    let counts: Vec<String> = counts.collect();
    writeln!(out, "  {}{unit}: {}", clean(&map.name), counts.join(", "))?;
    let mut line = |words: &str, value: String| writeln!(out, "    {words:<14}{value}");
    line("Area", amount(&map.area))?;
    if map.area_without_rate.value > 0.0 {
        line("Without rate", amount(&map.area_without_rate))?;
    }
    if let Some(product) = &map.product {
        line("Product", amount(product))?;
    }
    if let Some(against) = &map.against {
        line("Meant", against_text(against))?;
    }
    write_rates(out, map)
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
fn write_rates(out: &mut String, map: &MapReading) -> std::fmt::Result {
    let (Some(least), Some(greatest)) = (map.least, map.greatest) else { return Ok(()) };
    let too_many = map.unit.is_none() && map.rates.len() > RATES_SHOWN;
    let Some(first) = map.rates.first().filter(|_| !too_many) else {
        return writeln!(out, "    From {} to {}", short(least), short(greatest));
    };
    let unit = map.unit.as_deref().map_or_else(String::new, |unit| format!(", {unit}"));
    let mut row = |rate: String, area: String, product: Option<String>| {
        let row = format!("{rate:>18}{area:>16}{:>16}", product.unwrap_or_default());
        writeln!(out, "{}", row.trim_end())
    };
    let product = first.product.as_ref().map(|product| format!("Product, {}", product.unit));
    row(format!("Rate{unit}"), format!("Area, {}", first.area.unit), product)?;
    for rate in map.rates.iter().take(RATES_SHOWN) {
        let product = rate.product.as_ref().map(|product| grouped(product.value, 2));
        row(short(rate.rate), grouped(rate.area.value, 2), product)?;
    }
    match map.rates.len().checked_sub(RATES_SHOWN).filter(|&more| more > 0) {
        Some(more) => writeln!(out, "    and {more} more rates up to {}", short(greatest)),
        None => Ok(()),
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
