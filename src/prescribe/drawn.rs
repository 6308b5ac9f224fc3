//! The soil of every cell as the weights of the samples draw it, and its need by a method. The
//! weights hang on no method, so several methods may share them.

use super::by_zone::blank_zones_held;
use super::reading::{PlacedSamples, ReadLayer};
use super::soils::ZoneReadings;
use super::zones::weigh_zones;
use crate::agronomy::Missing;
use crate::error::Error;
use crate::field::{Cells, Partition, Point};
use crate::findings::Finding;
use crate::inputs::Job;
use crate::prescription::{CellReadings, CellSoil, SiteReadings, most_frequent, soil_of_cells};
use crate::surfaces::{Interpolator, Sites, Weights, merge_coincident};

/// One layer of the soil of every cell.
pub(super) struct Drawn {
    /// What is read of the cells.
    pub(super) of_cells: CellReadings,
    /// Their soil and need.
    pub(super) soil: Vec<CellSoil>,
    pub(super) findings: Vec<Finding>,
}

/// Draws one layer by the readings at the samples with their weights, and what zones give beside
/// them.
///
/// # Errors
/// Refuses blanks of zones that do not answer for their ground; returns a fault of the program
/// where a cell cannot be decided.
pub(super) fn draw(
    job: &Job,
    cells: &Cells,
    layer: &ReadLayer,
    (readings, weights): (&SiteReadings, &Weights),
    by_zone: Option<&ZoneReadings>,
) -> Result<Drawn, Error> {
    let mut parts = vec![(readings, weights)];
    parts.extend(by_zone.map(|zones| (&zones.sites, &zones.weights)));
    let of_cells = CellReadings::of(&parts);
    let of_cells = of_cells.ok_or_else(|| Error::Fault("no sample has a pH".to_owned()))?;
    let findings = blank_zones_held(job, cells, layer, by_zone, &of_cells.ph)?;
    let soil = soil_of_cells(&of_cells, &layer.given, &layer.prepared).map_err(cell_has)?;
    Ok(Drawn { of_cells, soil, findings })
}

/// The weights of the samples of one layer at the cells, and of zones beside them.
pub(super) struct Weighed {
    sites: Sites,
    weights: Weights,
    by_zone: Option<Weights>,
}

/// Weighs the samples of every layer at the cells, whatever the method.
///
/// # Errors
/// Returns a fault of the program where nothing can be weighed.
pub(super) fn weigh_layers(
    cells: &Cells,
    partition: &Partition,
    layers: &[ReadLayer],
) -> Result<Vec<Weighed>, Error> {
    let at: Vec<Point> = cells.list.iter().map(|cell| cell.value_point).collect();
    let weigh = |layer: &ReadLayer| {
        let sites = merge_coincident(&layer.samples.points);
        let weights = match &layer.samples.of_zone {
            Some(of_zone) => weigh_zones(partition, cells, of_zone).ok_or_else(no_sample)?,
            None => surface_through(&sites)?.weigh(&at),
        };
        let by_zone = weigh_by_zone(partition, cells, layer)?;
        Ok(Weighed { sites, weights, by_zone })
    };
    layers.iter().map(weigh).collect()
}

/// The soil of every cell, layer by layer, by weights that were found before.
///
/// # Errors
/// As [`draw`] does.
pub(super) fn draw_layers(
    job: &Job,
    cells: &Cells,
    layers: &[ReadLayer],
    weighed: &[Weighed],
) -> Result<Vec<Drawn>, Error> {
    let of_layer = |(layer, Weighed { sites, weights, by_zone }): (&ReadLayer, &Weighed)| {
        let readings = readings_at(sites, &layer.samples);
        let by_zone = layer.by_zone.as_ref().zip(by_zone.as_ref());
        let by_zone = by_zone.map(|(zones, weights)| ZoneReadings {
            sites: readings_of_zones(&zones.results),
            weights: weights.clone(),
        });
        draw(job, cells, layer, (&readings, weights), by_zone.as_ref())
    };
    layers.iter().zip(weighed).map(of_layer).collect()
}

/// Which zone's result holds at each cell, where zones give something beside the samples.
pub(super) fn weigh_by_zone(
    partition: &Partition,
    cells: &Cells,
    layer: &ReadLayer,
) -> Result<Option<Weights>, Error> {
    let Some(zones) = &layer.by_zone else { return Ok(None) };
    let of_zone = zones.results.of_zone.as_deref().unwrap_or_default();
    weigh_zones(partition, cells, of_zone).ok_or_else(no_sample).map(Some)
}

pub(super) fn no_sample() -> Error {
    Error::Fault("a zone has no sample".to_owned())
}

pub(super) fn cell_has(missing: Missing) -> Error {
    Error::Fault(format!("a cell has {missing}"))
}

pub(super) fn surface_through(sites: &Sites) -> Result<Interpolator, Error> {
    Interpolator::new(sites).ok_or_else(|| Error::Fault("there is no sample to map".to_owned()))
}

/// The readings at the sampled places: the means of the samples taken there.
pub(super) fn readings_at(sites: &Sites, samples: &PlacedSamples) -> SiteReadings {
    SiteReadings {
        ph: samples.ph.as_ref().map(|all| sites.mean_values(all)),
        buffer_ph: samples.buffer.as_ref().map(|buffer| mean_of_tested(sites, &buffer.readings)),
        values: samples.values.map(
            |all| sites.mean_values(all),
            |all| {
                let of_site = |group: &Vec<usize>| most_frequent(group.iter().map(|&at| all[at]));
                sites.groups().iter().map(of_site).collect()
            },
        ),
    }
}

/// What zones give beside samples, each by itself.
pub(super) fn readings_of_zones(results: &PlacedSamples) -> SiteReadings {
    SiteReadings {
        ph: results.ph.clone(),
        buffer_ph: results.buffer.as_ref().map(|buffer| buffer.readings.clone()),
        values: results.values.clone(),
    }
}

/// The mean reading of each place among its samples that have one.
fn mean_of_tested(sites: &Sites, readings: &[Option<f64>]) -> Vec<Option<f64>> {
    sites
        .groups()
        .iter()
        .map(|group| {
            let tested: Vec<f64> = group.iter().filter_map(|&sample| readings[sample]).collect();
            (!tested.is_empty()).then(|| tested.iter().sum::<f64>() / tested.len() as f64)
        })
        .collect()
}
