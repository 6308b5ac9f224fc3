//! One layer of the soil of one place: its samples, its reading and its need, worked out anew.

use super::Prescribed;
use super::need_steps::{blank_note, need_steps};
use super::reading::ReadLayer;
use super::soils::LayerSoils;
use crate::error::Error;
use crate::field::{Cell, Point};
use crate::prescription::soil_of_cells;
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
        let ReadLayer { stratum, samples, given, prepared } = layer;
        let sites = merge_coincident(&samples.points);
        let weights = self.weigh_anew(cell, layer, &sites)?;
        let columns = soils.sites.values.weighed(&weights);
        let anew = soil_of_cells(&weights, &soils.sites, &columns, None, given, prepared)
            .map_err(|missing| Error::Fault(format!("the place has {missing}")))?;
        let soil = &anew[0];
        let (need_steps, why) = need_steps(layer, job, soil, &columns.at(0))?;
        let attributes = attributes(soils);
        let values = columns.at(0);
        let value_of = |key: &str| match key {
            "ph" => Some(soil.ph),
            "buffer_ph" => soil.buffer_ph,
            key => units::SoilValue::of_key(key).and_then(|value| values.get(value)),
        };
        let soil_values = attributes
            .iter()
            .map(|(key, measured_in, _)| SoilValue {
                key,
                measured_in: measured_in.clone(),
                value: value_of(key),
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
                    .map(|(key, _, values)| values[site].filter(|_| !never_made(key)))
                    .collect(),
                taken_as: attributes.iter().map(|(_, _, values)| values[site]).collect(),
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
        let (zone, standing) = self.zone_at(cell);
        let site = zone.and_then(|zone| of_zone[zone]);
        let site = site.ok_or_else(|| Error::Fault("a zone has no sample".to_owned()))?;
        Ok(Weights::of_single_sites([(site, standing)]))
    }
}

/// An attribute of the samples: its key, what it was measured in, and its value at each site.
type Attribute = (&'static str, String, Vec<Option<f64>>);

fn attributes(soils: &LayerSoils) -> Vec<Attribute> {
    let some = |values: &[f64]| values.iter().copied().map(Some).collect::<Vec<_>>();
    soils
        .spreads
        .iter()
        .map(|spread| {
            let values = match spread.key {
                "buffer_ph" => soils.sites.buffer_ph.clone().unwrap_or_default(),
                key => match units::SoilValue::of_key(key) {
                    Some(value) => some(soils.sites.values.column(value).unwrap_or_default()),
                    None => some(&soils.sites.ph),
                },
            };
            (spread.key, spread.measured_in.clone(), values)
        })
        .collect()
}
