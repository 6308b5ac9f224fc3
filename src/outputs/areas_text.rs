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
    let (area, width) = (amount(&areas.least_area, 2), amount(&areas.least_width, 1));
    wrap(
        out,
        "  ",
        &format!("patches below {area}, or nowhere {width} wide, merged where they can"),
    )?;
    if areas.small_areas > 0 {
        let (small, ground) = (areas.small_areas, amount(&areas.small_area, 2));
        let words = format!("{} of {ground} in all could not", count(small, "area", "areas"));
        wrap(out, "  ", &words)?;
    }
    if let Some(rounds) = areas.end_rows {
        let rounds = counted(rounds.into(), "end row", "end rows");
        wrap(out, "  ", &format!("{rounds} along the boundary, as areas of their own"))?;
    }
    row(out, "Each cell's own", &amount(&areas.product_before, 2))?;
    row(out, "Above its own", &change(&areas.over, '+'))?;
    row(out, "Below its own", &change(&areas.under, '-'))?;
    if let (Some(only), Some(held)) = (&areas.only, &areas.held_back) {
        row(out, "Held back", &change(held, '-'))?;
        let numbers: Vec<String> = only.iter().map(u32::to_string).collect();
        wrap(out, "  ", &format!("limed this time: {}", numbers.join(", ")))?;
    }
    row(out, "Prescribed", &amount(&areas.product_after, 2))
}

fn change(part: &ChangePart, sign: char) -> String {
    let (product, carbonate) = (amount(&part.product, 2), amount(&part.carbonate, 2));
    format!("{sign} {product} on {} ({carbonate} of CaCO3)", amount(&part.area, 2))
}
