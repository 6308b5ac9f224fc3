//! What a gain of pH is worth by someone's own figures.

use super::candidate::Ground;
use crate::inputs::ResponsePart;
use crate::roster::ph_m2_of;
use crate::summary::{GainAtPart, Quantity};

/// What the gain of some ground is worth; ground above the last band gains nothing of worth.
pub(super) fn worth_of<'a>(
    ground: impl Iterator<Item = &'a Ground<'a>>,
    response: &ResponsePart,
) -> f64 {
    ground.flat_map(|ground| ground.by_ph).map(|gain| of_tenth(gain, response)).sum()
}

fn of_tenth(gain: &GainAtPart, response: &ResponsePart) -> f64 {
    let tenth = (gain.ph * 10.0).round() as i32;
    let band = response.bands.iter().find(|band| tenth < band.below_tenths);
    let gained = ph_m2_of(&gain.ph_gain).unwrap_or_default();
    band.map_or(0.0, |band| band.per_ph_m2 * gained)
}

/// An amount of the money of the figures.
pub(super) fn money(response: &ResponsePart, units: f64) -> Quantity {
    Quantity { value: units, unit: response.currency.words().to_owned().into() }
}
