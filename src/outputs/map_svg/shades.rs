//! One fill for each rate: white with hatching for nothing, then from light to dark.

use std::ops::Range;

use crate::summary::RatePart;

/// More rates than this share their shades with the rates beside them: more shades than about ten
/// cannot be told apart (common practice in map making).
const MOST_SHADES: usize = 10;

/// Rates side by side in the summary that are drawn alike.
#[derive(Debug, PartialEq)]
pub(super) struct Shade {
    /// Their places among the rates of the summary.
    pub(super) rates: Range<usize>,
    /// Red, green and blue; `None` where nothing is spread.
    pub(super) colour: Option<[u8; 3]>,
}

/// The shades of `rates`, which rise from nothing.
pub(super) fn shades_of(rates: &[RatePart]) -> Vec<Shade> {
    let values: Vec<f64> = rates.iter().map(|part| part.rate.value).collect();
    shades_of_values(&values)
}

/// The shades of rates, which rise from nothing.
pub(super) fn shades_of_values(rates: &[f64]) -> Vec<Shade> {
    let nothing = rates.iter().take_while(|rate| **rate <= 0.0).count();
    let spread = rates.len() - nothing;
    let mut shades = Vec::new();
    if nothing > 0 {
        shades.push(Shade { rates: 0..nothing, colour: None });
    }
    if spread > 0 {
        let together = spread.div_ceil(MOST_SHADES);
        let count = spread.div_ceil(together);
        shades.extend((0..count).map(|number| {
            let first = nothing + number * together;
            let rates = first..(first + together).min(rates.len());
            Shade { rates, colour: Some(colour(number, count)) }
        }));
    }
    shades
}

/// Nine stops of the colour map "viridis", evenly spaced, from dark to light; red, green and blue.
///
/// Source: "viridis" of the matplotlib project, 2015, which its authors gave to the public domain
/// (CC0 1.0); values as matplotlib 3.11 gives them at multiples of 1/8, rounded. Its lightness
/// rises evenly, so it can be read in grey and by readers who see few colours.
const STOPS: [[u8; 3]; 9] = [
    [0x44, 0x01, 0x54],
    [0x47, 0x2d, 0x7b],
    [0x3b, 0x52, 0x8b],
    [0x2c, 0x72, 0x8e],
    [0x21, 0x91, 0x8c],
    [0x28, 0xae, 0x80],
    [0x5e, 0xc9, 0x62],
    [0xad, 0xdc, 0x30],
    [0xfd, 0xe7, 0x25],
];
/// Where the least and the greatest rate stand between the first stop and the last.
const LEAST_AT: f64 = 0.98;
const GREATEST_AT: f64 = 0.04;
/// Where a single rate stands.
const SINGLE_AT: f64 = 0.5;

fn colour(number: usize, count: usize) -> [u8; 3] {
    if count == 1 {
        return between_stops(SINGLE_AT);
    }
    let share = number as f64 / (count - 1) as f64;
    between_stops(LEAST_AT + (GREATEST_AT - LEAST_AT) * share)
}

fn between_stops(at: f64) -> [u8; 3] {
    let place = at * (STOPS.len() - 1) as f64;
    let below = (place as usize).min(STOPS.len() - 2);
    let share = place - below as f64;
    std::array::from_fn(|part| {
        let (a, b) = (f64::from(STOPS[below][part]), f64::from(STOPS[below + 1][part]));
        (a + (b - a) * share).round() as u8
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::summary::Quantity;

    fn rates(values: impl IntoIterator<Item = f64>) -> Vec<RatePart> {
        let quantity = |value, unit| Quantity { value, unit: std::borrow::Cow::Borrowed(unit) };
        values
            .into_iter()
            .map(|value| RatePart {
                rate: quantity(value, "t/ha"),
                area: quantity(1.0, "ha"),
                product: quantity(value, "t"),
            })
            .collect()
    }

    /// The grey that a colour is copied as: the luma of ITU-R Recommendation BT.601-7, 2011,
    /// section 2.5.1.
    fn grey([red, green, blue]: [u8; 3]) -> f64 {
        0.299 * f64::from(red) + 0.587 * f64::from(green) + 0.114 * f64::from(blue)
    }

    #[test]
    fn shades_grow_darker_with_the_rate_also_in_grey() {
        for count in 2..40 {
            let shades = shades_of(&rates((0..count).map(f64::from)));
            assert_eq!(shades[0].colour, None);
            let greys: Vec<f64> = shades[1..].iter().filter_map(|s| s.colour).map(grey).collect();
            assert!(greys.len() <= MOST_SHADES, "{count}");
            // Two shades side by side differ by a twenty-fifth of the way from white to black.
            assert!(greys.windows(2).all(|pair| pair[0] - pair[1] > 10.2), "{count}: {greys:?}");
            assert!(greys[0] < 250.0, "the least rate is too near to white");
        }
    }

    #[test]
    fn every_rate_has_one_shade() {
        for count in 0..60 {
            let shades = shades_of(&rates((0..count).map(|rate| f64::from(rate) + 0.5)));
            let all: Vec<usize> = shades.iter().flat_map(|shade| shade.rates.clone()).collect();
            assert_eq!(all, (0..count as usize).collect::<Vec<_>>());
            assert!(shades.iter().all(|shade| shade.colour.is_some()));
        }
    }

    #[test]
    fn few_rates_have_a_shade_each() {
        assert_eq!(shades_of(&rates([0.0, 2.0, 3.0, 4.0])).len(), 4);
        assert_eq!(shades_of(&rates([0.0])), [Shade { rates: 0..1, colour: None }]);
        assert_eq!(shades_of(&rates([2.0]))[0].colour, Some(STOPS[4]));
    }
}
