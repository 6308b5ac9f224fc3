//! Readings as they could have been: what the laboratory would not repeat, and what the map misses.

use std::borrow::Cow;

use super::needs::SiteReadings;
use crate::agronomy::{Given, Prepared};
use crate::surfaces::Weights;
use crate::units::{Area, SoilAttribute};

/// Where the random numbers begin; any number serves, and the same job has the same totals.
const SEED: u64 = 0x6C69_6D65;

/// The uniform numbers, all from the bits of one random number, whose sum is taken for a normal
/// one: no function is needed that another machine rounds differently, and a total is the sum of
/// the errors of many places.
const UNIFORMS: u32 = 4;

/// How many values each of them has.
const PIECE_VALUES: u64 = 1 << (u64::BITS / UNIFORMS);

/// How far one attribute may be off at the places where it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Doubt {
    /// The attribute.
    pub attribute: SoilAttribute,
    /// The standard deviation of what the laboratory finds in one sample, read anew.
    pub laboratory: f64,
    /// The root of the mean square of what the map misses over the field, beyond the laboratory's
    /// part; 0 where a value holds for a whole zone.
    pub between: f64,
    /// How many samples of each place were read; a place with none keeps what it stands for.
    pub read: Vec<usize>,
}

/// Places of one kind that tell of a layer, with their doubts.
#[derive(Clone, Debug)]
pub struct PartInDoubt<'a> {
    /// What they read.
    pub sites: &'a SiteReadings,
    /// Their weights at each cell.
    pub weights: Cow<'a, Weights>,
    /// What tells one place from another, whatever their sequence; the same in all layers.
    pub keys: Vec<u64>,
    /// The attributes that may be off.
    pub doubts: Vec<Doubt>,
}

/// One layer of the soil with its doubts.
#[derive(Clone, Debug)]
pub struct LayerInDoubt<'a> {
    /// The places that tell of it.
    pub parts: Vec<PartInDoubt<'a>>,
    /// What the laboratory measured.
    pub given: &'a Given,
    /// The method.
    pub prepared: &'a Prepared,
}

impl<'a> LayerInDoubt<'a> {
    /// The same at some of the cells.
    pub(super) fn picked(&self, cells: &[usize]) -> Self {
        let part = |part: &PartInDoubt<'a>| PartInDoubt {
            sites: part.sites,
            weights: Cow::Owned(part.weights.picked(cells)),
            keys: part.keys.clone(),
            doubts: part.doubts.clone(),
        };
        Self { parts: self.parts.iter().map(part).collect(), ..*self }
    }
}

impl PartInDoubt<'_> {
    /// The mean over the field of the sum of the squares of the weights: how much of the variance
    /// of the places is left in the cells between them.
    pub(super) fn left_between(&self, areas: &[Area]) -> f64 {
        let (mut sum, mut whole) = (0.0, 0.0);
        for (cell, area) in areas.iter().enumerate() {
            let area = area.to_square_metres();
            let squares: f64 = self.weights.entries(cell).map(|(_, weight)| weight * weight).sum();
            sum += squares * area;
            whole += area;
        }
        if sum > 0.0 { sum / whole } else { 1.0 }
    }

    /// The readings of one draw: each with an error of the laboratory, which is its own, and one of
    /// the map, which the weights carry to all ground around the place.
    ///
    /// The map's errors are made larger by what the weights level out, so that over the field their
    /// mean square is that of [`Doubt::between`].
    pub(super) fn drawn(&self, draw: u64, layer: u64, left_between: f64) -> SiteReadings {
        let mut drawn = self.sites.clone();
        for doubt in &self.doubts {
            let between = doubt.between / left_between.sqrt();
            let (of_laboratory, of_map) = streams(doubt.attribute, layer);
            let error = |place: usize| {
                let (key, samples) = (self.keys[place], doubt.read[place]);
                if samples == 0 {
                    return 0.0;
                }
                doubt.laboratory / (samples as f64).sqrt() * normal([draw, key, of_laboratory])
                    + between * normal([draw, key, of_map])
            };
            shift(&mut drawn, doubt.attribute, error);
        }
        drawn
    }
}

/// The numbers of the random numbers of an attribute: those of the laboratory, and of the map.
///
/// Ground that is more acid than the map says is so by its pH and by its buffer pH, and in all
/// layers: these share their errors, which widens what comes of them and never narrows it.
fn streams(attribute: SoilAttribute, layer: u64) -> (u64, u64) {
    let number = SoilAttribute::all().position(|other| other == attribute).unwrap_or_default();
    let number = number as u64 + 1;
    let of_map = if attribute == SoilAttribute::BufferPh { 1 } else { number };
    (number + (layer + 1) * 1_000, of_map)
}

/// Adds to each reading of an attribute; what is measured as an amount stays at 0 or more.
fn shift(sites: &mut SiteReadings, attribute: SoilAttribute, error: impl Fn(usize) -> f64) {
    match attribute {
        SoilAttribute::Ph => {
            for (place, reading) in sites.ph.iter_mut().flatten().enumerate() {
                *reading += error(place);
            }
        }
        SoilAttribute::BufferPh => {
            for (place, reading) in sites.buffer_ph.iter_mut().flatten().enumerate() {
                *reading = reading.map(|reading| reading + error(place));
            }
        }
        SoilAttribute::Value(value) => {
            let columns = sites.values.numbers.iter_mut().filter(|(known, _)| *known == value);
            for (place, reading) in columns.flat_map(|(_, all)| all).enumerate() {
                *reading = (*reading + error(place)).max(0.0);
            }
        }
        // A class is not a number that could be a little off.
        SoilAttribute::Texture => {}
    }
}

/// A number with mean 0 and variance 1, nearly normal, that depends on its key alone.
fn normal(key: [u64; 3]) -> f64 {
    let bits = key.into_iter().fold(SEED, |state, part| mixed(state ^ part));
    let pieces = (0..UNIFORMS).map(|at| (bits >> (u64::BITS / UNIFORMS * at)) % PIECE_VALUES);
    let sum = pieces.map(|piece| (piece as f64 + 0.5) / PIECE_VALUES as f64).sum::<f64>();
    // A uniform number has a mean of a half and a variance of a twelfth.
    let count = f64::from(UNIFORMS);
    (sum - count / 2.0) * (12.0 / count).sqrt()
}

/// The odd number nearest to 2^64 over the golden ratio.
const STRIDE: u64 = 0x9E37_79B9_7F4A_7C15;

/// Mixes the bits of a number: the step of the generator `SplitMix64` (G. L. Steele, D. Lea,
/// C. H. Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014; from memory).
pub(super) fn mixed(number: u64) -> u64 {
    let mut bits = number.wrapping_add(STRIDE);
    bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    bits ^ (bits >> 31)
}

/// What tells a place from another by its name: the same name, the same errors.
pub fn key_of(name: &str) -> u64 {
    name.bytes().fold(SEED, |state, byte| mixed(state ^ u64::from(byte)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_random_numbers_are_nearly_normal_and_do_not_hang_together() {
        let draws: Vec<f64> = (0..20_000).map(|at| normal([at, 7, 1])).collect();
        let beside: Vec<f64> = (0..20_000).map(|at| normal([at, 8, 1])).collect();
        let count = draws.len() as f64;
        let mean = draws.iter().sum::<f64>() / count;
        let variance = draws.iter().map(|draw| draw * draw).sum::<f64>() / count;
        let together = draws.iter().zip(&beside).map(|(a, b)| a * b).sum::<f64>() / count;
        let beyond = draws.iter().filter(|draw| draw.abs() > 1.281_55).count() as f64 / count;
        // Four standard errors each.
        assert!(mean.abs() < 4.0 / count.sqrt(), "{mean}");
        assert!((variance - 1.0).abs() < 4.0 * (2.0 / count).sqrt(), "{variance}");
        assert!(together.abs() < 4.0 / count.sqrt(), "{together}");
        assert!((beyond - 0.2).abs() < 0.015, "{beyond}");
    }

    #[test]
    fn a_place_without_a_reading_keeps_what_it_stands_for() {
        let sites = SiteReadings {
            ph: Some(vec![5.0, 7.0]),
            buffer_ph: Some(vec![Some(6.0), None]),
            values: super::super::ValueColumns::default(),
        };
        let weights = Weights::of_single_sites([]);
        let doubt = |attribute, read: &[usize]| Doubt {
            attribute,
            laboratory: 0.1,
            between: 0.2,
            read: read.to_vec(),
        };
        let doubts =
            vec![doubt(SoilAttribute::Ph, &[1, 1]), doubt(SoilAttribute::BufferPh, &[1, 0])];
        let keys = vec![key_of("a"), key_of("b")];
        let part = PartInDoubt { sites: &sites, weights: Cow::Borrowed(&weights), keys, doubts };
        let drawn = part.drawn(3, 0, 1.0);
        let ph = drawn.ph.unwrap();
        assert!(ph[0] != 5.0 && ph[1] != 7.0 && ph[0] - 5.0 != ph[1] - 7.0, "{ph:?}");
        let buffer = drawn.buffer_ph.unwrap();
        assert!(buffer[0] != Some(6.0) && buffer[1].is_none(), "{buffer:?}");
    }
}
