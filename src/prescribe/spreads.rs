//! What the samples of a layer read, and how well the map tells it.

use super::by_zone::ByZone;
use super::reading::{PlacedSamples, ReadLayer};
use crate::agronomy::Given;
use crate::field::Point;
use crate::prescription::{BufferReadings, SiteReadings};
use crate::summary::Spread;
use crate::surfaces::{CrossCheck, Sites, leave_one_out, merge_coincident};
use crate::units::{SoilAttribute, SoilValue};

/// One attribute at the places where it was read, each beside what the map of the others says.
#[derive(Debug)]
pub(super) struct LeftOut {
    /// The attribute, keyed as in `[samples.columns]`.
    pub(super) key: &'static str,
    /// The numbers of the places in `LayerSoils::places`.
    pub(super) numbers: Vec<usize>,
    /// The places themselves.
    pub(super) places: Sites,
    /// What they read.
    pub(super) values: Vec<f64>,
    /// What the others say.
    pub(super) estimates: Vec<f64>,
}

/// What the samples read, as measured, and the error of leaving one out; and what the others say
/// at each place, where there are others enough.
pub(super) fn spreads_of(
    samples: &PlacedSamples,
    readings: &SiteReadings,
    sites: &Sites,
    ReadLayer { by_zone, given, prepared, .. }: &ReadLayer,
) -> (Vec<Spread>, Vec<LeftOut>) {
    let decides =
        |key: &str| SoilValue::of_key(key).is_none_or(|value| prepared.reads_value(value));
    let (mut spreads, mut left_out) = (Vec::new(), Vec::new());
    let mut add = |key, measured_in: &str, measured: Vec<f64>, values: Vec<Option<f64>>| {
        let (numbers, values): (Vec<usize>, Vec<f64>) =
            values.iter().enumerate().filter_map(|(at, value)| Some((at, (*value)?))).unzip();
        // Where every place has a value, these are the places themselves.
        let points: Vec<Point> = numbers.iter().map(|&at| sites.points()[at]).collect();
        let places = merge_coincident(&points);
        // What one zone reads says nothing of another.
        let estimates =
            samples.of_zone.is_none().then(|| leave_one_out(&places, &values)).flatten();
        spreads.push(Spread {
            key,
            measured_in: measured_in.to_owned(),
            readings: measured,
            by_zone: false,
            cross_check: estimates.as_ref().map(|found| CrossCheck::of(&values, found)),
        });
        // What decides nothing needs no second look at its odd readings.
        let estimates = estimates.filter(|_| decides(key));
        left_out.extend(estimates.map(|estimates| LeftOut {
            key,
            numbers,
            places,
            values,
            estimates,
        }));
    };
    let all = |values: &[f64]| values.iter().copied().map(Some).collect();
    if let (Some(measured), Some(at_sites)) = (&samples.ph, &readings.ph) {
        add("ph", given.ph_medium.words(), measured.clone(), all(at_sites));
    }
    if let (Some(buffer), Some(values)) = (&samples.buffer, &readings.buffer_ph) {
        let measured = buffer.measured();
        if !measured.is_empty() {
            let words = given.buffer.map_or("not stated", |buffer| buffer.words());
            add("buffer_ph", words, measured, values.clone());
        }
    }
    let pairs = samples.values.numbers.iter().zip(&readings.values.numbers);
    for ((value, measured), (_, at_sites)) in pairs {
        let unit = given.units.get(*value).unwrap_or_default();
        add(value.key(), unit, measured.clone(), all(at_sites));
    }
    spreads.extend(by_zone.iter().flat_map(|zones| spreads_of_zones(zones, given)));
    spreads.sort_by_key(|spread| SoilAttribute::of_key(spread.key));
    (spreads, left_out)
}

/// What zones give, each with its readings.
fn spreads_of_zones(zones: &ByZone, given: &Given) -> Vec<Spread> {
    let results = &zones.results;
    let buffer = results.buffer.as_ref().map(BufferReadings::measured);
    let buffer = buffer.filter(|measured| !measured.is_empty());
    let buffer_words = given.buffer.map_or("not stated", |buffer| buffer.words());
    let ph = results.ph.clone().map(|all| ("ph", given.ph_medium.words(), all));
    let buffer = buffer.map(|all| ("buffer_ph", buffer_words, all));
    let values = results.values.numbers.iter().map(|(value, all)| {
        (value.key(), given.units.get(*value).unwrap_or_default(), all.clone())
    });
    ph.into_iter()
        .chain(buffer)
        .chain(values)
        .map(|(key, measured_in, readings)| Spread {
            key,
            measured_in: measured_in.to_owned(),
            readings,
            by_zone: true,
            cross_check: None,
        })
        .collect()
}
