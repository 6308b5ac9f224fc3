//! Areas of one rate in the summary for the terminal.

use std::fmt::Write as _;

use super::summary_text::{amount, row, wrap};
use crate::summary::{ChangePart, RateAreasPart};
use crate::units::counted;

/// How many areas there are, and what they change.
pub(super) fn write_areas(out: &mut String, areas: &RateAreasPart) -> std::fmt::Result {
    writeln!(out, "\nRate areas")?;
    let count = |number: usize, one, many| counted(number as u64, one, many);
    let words = format!(
        "{} of {} above nothing: {} with {}",
        count(areas.areas, "area", "areas"),
        count(areas.rates, "rate", "rates"),
        count(areas.polygons, "polygon", "polygons"),
        count(areas.vertices, "vertex", "vertices")
    );
    wrap(out, "  ", &words)?;
    let rounds = areas.end_rows.map_or_else(String::new, |rounds| {
        format!("; {} of their own", counted(rounds.into(), "end row", "end rows"))
    });
    let (area, width) = (amount(&areas.least_area, 2), amount(&areas.least_width, 1));
    wrap(
        out,
        "  ",
        &format!("none smaller than {area} or nowhere as wide as {width} that could merge{rounds}"),
    )?;
    row(out, "Each cell's own", &amount(&areas.product_before, 2))?;
    row(out, "Above its own", &change(&areas.over, '+'))?;
    row(out, "Below its own", &change(&areas.under, '-'))?;
    row(out, "Prescribed", &amount(&areas.product_after, 2))
}

fn change(part: &ChangePart, sign: char) -> String {
    let (product, carbonate) = (amount(&part.product, 2), amount(&part.carbonate, 2));
    format!("{sign} {product} on {} ({carbonate} of CaCO3)", amount(&part.area, 2))
}
