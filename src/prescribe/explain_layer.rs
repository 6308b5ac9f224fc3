//! One layer of the soil of one place: its samples, its reading and its need, worked out anew.

use super::Prescribed;
use super::need_steps::{blank_note, need_steps};
use super::reading::ReadLayer;
use super::soils::LayerSoils;
use crate::error::Error;
use crate::field::{Cell, Point};
use crate::prescription::{CellReadings, soil_of_cells};
use crate::summary::{ExplainedLayer, Quantity, SoilValue, WeighedSample};
use crate::surfaces::{Interpolator, Sites, Standing, Weights, merge_coincident};
use crate::units::{self, Length, LimeNeed, tidy};

impl Prescribed {
    /// Each layer of a cell, from the top down, with its need.
    ///
    /// # Errors
    /// Returns a fault of the program where a layer cannot be worked out.
    pub(super) fn explain_layers(
        &self,
        cell: &Cell,
    ) -> Result<(Vec<LimeNeed>, Vec<ExplainedLayer>), Error> {
        let layers = self.work.layers.iter().zip(&self.work.soils.layers);
        let explained: Vec<(LimeNeed, ExplainedLayer)> = layers
            .map(|(layer, soils)| self.explain_layer(cell, layer, soils))
            .collect::<Result<_, Error>>()?;
        Ok(explained.into_iter().unzip())
    }

    fn explain_layer(
        &self,
        cell: &Cell,
        layer: &ReadLayer,
        soils: &LayerSoils,
    ) -> Result<(LimeNeed, ExplainedLayer), Error> {
        let job = &self.work.job;
        let (system, card) = (job.units, self.work.method.card());
        let ReadLayer { stratum, samples, given, prepared, .. } = layer;
        let sites = merge_coincident(&samples.points);
        let weights = self.weigh_anew(cell, layer, &sites)?;
        let own_zone = self.own_zone(cell, layer)?;
        let of_zone =
            own_zone.map(|(_, site, standing)| Weights::of_single_sites([(site, standing)]));
        let mut parts = vec![(&soils.sites, &weights)];
        parts.extend(soils.by_zone.as_ref().map(|zones| &zones.sites).zip(of_zone.as_ref()));
        let readings = CellReadings::of(&parts);
        let readings = readings.ok_or_else(|| Error::Fault("the place has no pH".to_owned()))?;
        let anew = soil_of_cells(&readings, given, prepared)
            .map_err(|missing| Error::Fault(format!("the place has {missing}")))?;
        let soil = &anew[0];
        let values = readings.values.at(0);
        let (need_steps, why) = need_steps(layer, job, soil, &values)?;
        let attributes = attributes(soils);
        let value_of = |key: &str| match key {
            "ph" => Some(soil.ph),
            "buffer_ph" => soil.buffer_ph,
            key => units::SoilValue::of_key(key).and_then(|value| values.get(value)),
        };
        let soil_values = attributes
            .iter()
            .map(|Attribute { key, measured_in, by_zone, .. }| SoilValue {
                key,
                measured_in: measured_in.clone(),
                value: value_of(key),
                zone: own_zone.filter(|_| *by_zone).map(|(zone, ..)| self.zone_name(zone)),
                note: own_zone.filter(|_| *key == "buffer_ph" && *by_zone).and_then(
                    |(_, site, _)| {
                        let results = &layer.by_zone.as_ref()?.results;
                        blank_note(job, results, &[site]).map(|(note, _)| note)
                    },
                ),
            })
            .collect();
        let at_table_depth = if soil.tested > 0.0 && prepared.reads_buffer() {
            soil.need / (prepared.depth_factor() * soil.tested)
        } else {
            soil.need / prepared.depth_factor()
        };
        let explained = ExplainedLayer {
            depth: stratum.as_ref().map(|stratum| stratum.words.clone()),
            part: stratum.as_ref().map(|stratum| system.depths(stratum.part)),
            beyond: match weights.standing(0) {
                Standing::Inside => None,
                Standing::Beyond { distance } => Some(system.length(distance).into()),
            },
            samples: self.weighed_samples(layer, &attributes, &weights, &sites, cell.value_point),
            soil: soil_values,
            ph_in_method_medium: prepared.to_method_medium(soil.ph),
            why: why.to_owned(),
            need_steps,
            need_at_table_depth: Quantity {
                value: tidy(card.need_unit.number(at_table_depth) / card.basis.carbonate_share()),
                unit: card.need_unit.words().into(),
            },
            depth_factor: prepared.depth_factor(),
            tested_share: if prepared.reads_buffer() { soil.tested } else { 1.0 },
            need: system.need(soil.need).into(),
            share: None,
        };
        Ok((soil.need, explained))
    }

    /// The samples that count at a place, as they were measured and as they were taken.
    fn weighed_samples(
        &self,
        layer: &ReadLayer,
        attributes: &[Attribute],
        weights: &Weights,
        sites: &Sites,
        at: Point,
    ) -> Vec<WeighedSample> {
        let sample = |(site, weight): (usize, f64)| {
            let group = &sites.groups()[site];
            let names: Vec<&str> =
                group.iter().map(|&sample| layer.samples.ids[sample].as_str()).collect();
            let distance = Length::from_metres(sites.points()[site].distance_m(at));
            let blank = blank_note(&self.work.job, &layer.samples, group);
            let never_made = |key: &str| key == "buffer_ph" && blank.as_ref().is_some_and(|b| b.1);
            WeighedSample {
                name: names.join(" and "),
                weight,
                distance: self.work.job.units.length(distance).into(),
                readings: attributes
                    .iter()
                    .map(|attribute| attribute.at(site).filter(|_| !never_made(attribute.key)))
                    .collect(),
                taken_as: attributes.iter().map(|attribute| attribute.at(site)).collect(),
                note: blank.map(|(note, _)| note),
            }
        };
        weights.entries(0).map(sample).collect()
    }

    /// The weights of the samples at the value point of a cell, worked out for it alone.
    fn weigh_anew(&self, cell: &Cell, layer: &ReadLayer, sites: &Sites) -> Result<Weights, Error> {
        let Some(of_zone) = &layer.samples.of_zone else {
            let interpolator = Interpolator::new(sites);
            let missing = || Error::Fault("there is no sample".to_owned());
            return Ok(interpolator.ok_or_else(missing)?.weigh(&[cell.value_point]));
        };
        let (_, site, standing) = self.site_of_zone(cell, of_zone)?;
        Ok(Weights::of_single_sites([(site, standing)]))
    }

    /// The zone beside the samples whose values a place has, the number of its result, and where
    /// the place lies to it; `None` where zones give nothing beside samples.
    fn own_zone(
        &self,
        cell: &Cell,
        layer: &ReadLayer,
    ) -> Result<Option<(usize, usize, Standing)>, Error> {
        let Some(zones) = &layer.by_zone else { return Ok(None) };
        let of_zone = zones.results.of_zone.as_deref().unwrap_or_default();
        self.site_of_zone(cell, of_zone).map(Some)
    }

    /// The zone of a place, its number among the samples, and where the place lies to it.
    fn site_of_zone(
        &self,
        cell: &Cell,
        of_zone: &[Option<usize>],
    ) -> Result<(usize, usize, Standing), Error> {
        let (zone, standing) = self.zone_at(cell);
        let found = zone.and_then(|zone| Some((zone, of_zone[zone]?)));
        let (zone, site) = found.ok_or_else(|| Error::Fault("a zone has no sample".to_owned()))?;
        Ok((zone, site, standing))
    }

    fn zone_name(&self, zone: usize) -> String {
        self.work.partition.zones[zone].name.clone()
    }
}

/// An attribute of the samples, or of zones beside them.
struct Attribute {
    key: &'static str,
    /// The medium, buffer or unit.
    measured_in: String,
    /// Whether zones give it.
    by_zone: bool,
    /// Its value at each sampled place; empty where zones give it.
    at_sites: Vec<Option<f64>>,
}

impl Attribute {
    fn at(&self, site: usize) -> Option<f64> {
        self.at_sites.get(site).copied().flatten()
    }
}

fn attributes(soils: &LayerSoils) -> Vec<Attribute> {
    let some = |values: &[f64]| values.iter().copied().map(Some).collect::<Vec<_>>();
    soils
        .spreads
        .iter()
        .map(|spread| {
            let at_sites = match spread.key {
                "buffer_ph" => soils.sites.buffer_ph.clone(),
                key => match units::SoilValue::of_key(key) {
                    Some(value) => soils.sites.values.column(value).map(some),
                    None => soils.sites.ph.as_deref().map(some),
                },
            };
            Attribute {
                key: spread.key,
                measured_in: spread.measured_in.clone(),
                by_zone: spread.by_zone,
                at_sites: at_sites.unwrap_or_default(),
            }
        })
        .collect()
}
