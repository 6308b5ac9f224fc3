//! How far the readings of a field may be off, and what its totals then come to.

use super::layers::Stratum;
use super::reading::{PlacedSamples, ReadLayer};
use super::soils::{LayerSoils, Soils};
use crate::agronomy::{Missing, Prepared};
use crate::inputs::{Job, Repeatability};
use crate::prescription::{
    DRAWS, Doubt, Intervals, LayerInDoubt, Orders, PartInDoubt, Prescription, intervals, key_of,
};
use crate::summary::DoubtPart;
use crate::surfaces::Sites;
use crate::units::{SoilAttribute, SoilValue};
use std::borrow::Cow;

/// How sure the totals of a field are, and what each reading was taken to be off by.
pub(super) fn doubted(
    job: &Job,
    layers: &[ReadLayer],
    soils: &Soils,
    field: &Prescription,
    orders: &Orders<'_>,
) -> Result<(Intervals, Vec<DoubtPart>), Missing> {
    let pairs = || soils.layers.iter().zip(layers);
    let in_doubt: Vec<LayerInDoubt<'_>> =
        pairs().map(|(soils, layer)| layer_in_doubt(job, soils, layer)).collect();
    let effective = job.material.effective;
    let found = intervals(&in_doubt, field, orders, effective, &job.machine, DRAWS)?;
    let told =
        in_doubt.iter().zip(pairs()).flat_map(|(layer, (soils, ReadLayer { stratum, .. }))| {
            layer.parts.iter().flat_map(|part| &part.doubts).map(|doubt| DoubtPart {
                reading: doubt.attribute.key().to_owned(),
                layer: stratum.as_ref().map(|Stratum { words, .. }| words.clone()),
                laboratory: known_of_laboratory(job.samples.repeatability, doubt.attribute),
                map: error_of_map(soils, doubt.attribute).is_some().then_some(doubt.between),
            })
        });
    let told = told.collect();
    Ok((found, told))
}

fn layer_in_doubt<'a>(job: &Job, soils: &'a LayerSoils, layer: &'a ReadLayer) -> LayerInDoubt<'a> {
    let ReadLayer { samples, by_zone, given, prepared, .. } = layer;
    let repeats = job.samples.repeatability;
    let groups = soils.places.groups();
    let mut parts = vec![PartInDoubt {
        sites: &soils.sites,
        weights: Cow::Borrowed(&soils.weights),
        keys: keys_of(&soils.places, samples),
        doubts: doubts_of(samples, prepared, |attribute| {
            doubt(soils, repeats, attribute, read_at(groups, samples, attribute))
        }),
    }];
    parts.extend(by_zone.as_ref().zip(soils.by_zone.as_ref()).map(|(zones, held)| {
        let results = &zones.results;
        let alone: Vec<Vec<usize>> = (0..results.ids.len()).map(|zone| vec![zone]).collect();
        PartInDoubt {
            sites: &held.sites,
            weights: Cow::Borrowed(&held.weights),
            keys: results.ids.iter().map(|id| key_of(id)).collect(),
            doubts: doubts_of(results, prepared, |attribute| Doubt {
                attribute,
                laboratory: of_laboratory(repeats, attribute),
                between: 0.0,
                read: read_at(&alone, results, attribute),
            }),
        }
    }));
    LayerInDoubt { parts, given, prepared }
}

/// The doubts of each attribute that was read and decides the need.
fn doubts_of(
    samples: &PlacedSamples,
    prepared: &Prepared,
    doubt: impl Fn(SoilAttribute) -> Doubt,
) -> Vec<Doubt> {
    let ph = samples.ph.is_some() && prepared.goes_by_ph();
    let ph = ph.then_some(SoilAttribute::Ph);
    let buffer = samples.buffer.is_some() && prepared.reads_buffer();
    let buffer = buffer.then_some(SoilAttribute::BufferPh);
    let values = samples.values.numbers.iter().map(|(value, _)| *value);
    let values = values.filter(|&value: &SoilValue| prepared.reads_value(value));
    ph.into_iter().chain(buffer).chain(values.map(SoilAttribute::Value)).map(doubt).collect()
}

/// The error of the map beyond that of the laboratory, which its cross-check holds as well.
fn doubt(
    soils: &LayerSoils,
    repeats: Repeatability,
    attribute: SoilAttribute,
    read: Vec<usize>,
) -> Doubt {
    let laboratory = of_laboratory(repeats, attribute);
    let error = error_of_map(soils, attribute).unwrap_or_default();
    let between = (error.powi(2) - laboratory.powi(2)).max(0.0).sqrt();
    Doubt { attribute, laboratory, between, read }
}

fn error_of_map(soils: &LayerSoils, attribute: SoilAttribute) -> Option<f64> {
    let mut spreads = soils.spreads.iter().filter(|spread| !spread.by_zone);
    let spread = spreads.find(|spread| spread.key == attribute.key())?;
    spread.cross_check.map(|check| check.rmse)
}

/// A value that is no pH has the laboratory's part in its cross-check alone.
fn of_laboratory(repeats: Repeatability, attribute: SoilAttribute) -> f64 {
    known_of_laboratory(repeats, attribute).unwrap_or_default()
}

/// The laboratory's part where it is known.
fn known_of_laboratory(repeats: Repeatability, attribute: SoilAttribute) -> Option<f64> {
    match attribute {
        SoilAttribute::Ph => Some(repeats.ph),
        SoilAttribute::BufferPh => Some(repeats.buffer_ph),
        SoilAttribute::Value(_) | SoilAttribute::Texture => None,
    }
}

/// How many samples of each place were read; a blank was not.
fn read_at(groups: &[Vec<usize>], samples: &PlacedSamples, attribute: SoilAttribute) -> Vec<usize> {
    let buffer = samples.buffer.as_ref().filter(|_| attribute == SoilAttribute::BufferPh);
    let is_read = |&&sample: &&usize| buffer.is_none_or(|buffer| !buffer.blank[sample]);
    groups.iter().map(|group| group.iter().filter(is_read).count()).collect()
}

/// A place goes by the first name among its samples, so that the order of the rows counts nothing.
fn keys_of(places: &Sites, samples: &PlacedSamples) -> Vec<u64> {
    let name = |group: &Vec<usize>| group.iter().map(|&at| samples.ids[at].as_str()).min();
    places.groups().iter().map(|group| key_of(name(group).unwrap_or_default())).collect()
}
