//! One place of a map, step by step, worked out anew: a second witness to the map.

use super::need_steps::{SAME_NEED, blank_note, need_steps};
use super::reading::ReadLayer;
use super::soils::LayerSoils;
use super::{Prescribed, Work};
use crate::error::Error;
use crate::field::{Cell, LonLat, Point, Whereabouts, whereabouts};
use crate::findings::{Place, Problem, Refusal};
use crate::inputs::Job;
use crate::machine::{BelowMin, Fitted, Limit};
use crate::prescription::{CellRate, soil_of_cells};
use crate::summary::{
    Explanation, OverrideStep, Quantity, SoilValue, WeighedSample, rate_as_written, written_rate,
};
use crate::surfaces::{Interpolator, Sites, Standing, Weights, merge_coincident};
use crate::units::{Length, LimeNeed, ProductMass, UnitSystem, plain, tidy};

impl Prescribed {
    /// How the place at `at` came to its rate.
    ///
    /// The weights, the need and the rate are worked out anew from the samples for this place
    /// alone and held against the map.
    ///
    /// # Errors
    /// Refuses a place that no cell holds; returns a fault of the program where the map says
    /// something else than the place worked out anew.
    pub fn explain(&self, at: LonLat) -> Result<Explanation, Error> {
        let Work { job, cells, soils, prescription, layers, method, .. } = &self.work;
        let (layer, of_layer) = (&layers[0], &soils.layers[0]);
        let ReadLayer { samples, given, prepared } = layer;
        let card = method.card();
        let Some(index) = cells.find(at) else { return Err(self.outside(at).into()) };
        let cell = &cells.list[index];
        let sites = merge_coincident(&samples.points);
        let system = job.units;
        let weights = self.weigh_anew(cell, layer, &sites)?;
        let anew = soil_of_cells(&weights, &of_layer.sites, None, given, prepared)
            .map_err(|missing| Error::Fault(format!("the place has {missing}")))?;
        let (soil, mapped) = (&anew[0], &prescription.cells[index]);
        let asked = soil.need / job.material.effective;
        let by_machine = job.machine.fit(asked);
        let (fitted, overrides) = self.carry_out(cell.region, by_machine);
        let off = (soil.need - mapped.need).abs();
        if off > mapped.need * SAME_NEED || fitted.rate != mapped.rate {
            let what = format!("cell {} and its explanation differ", cell.name());
            return Err(Error::Fault(what));
        }
        let (need_steps, why) = need_steps(layer, job, soil)?;
        let value_point = self.work.field.frame().inverse(cell.value_point);
        let attributes = attributes(of_layer);
        let samples = self.weighed_samples(layer, &attributes, &weights, &sites, cell.value_point);
        let values =
            [("ph", Some(soil.ph)), ("buffer_ph", soil.buffer_ph), ("acidity", soil.acidity)];
        let soil_values = attributes
            .iter()
            .map(|(key, measured_in, _)| SoilValue {
                key,
                measured_in: measured_in.clone(),
                value: values.iter().find(|(name, _)| name == key).and_then(|(_, value)| *value),
            })
            .collect();
        let at_table_depth = if soil.tested > 0.0 && prepared.reads_buffer() {
            soil.need / (prepared.depth_factor() * soil.tested)
        } else {
            soil.need / prepared.depth_factor()
        };
        let material_steps = job.material.steps();
        let mut sources = vec![card.source.words()];
        for source in
            need_steps.iter().chain(&material_steps).filter_map(|step| step.source.as_ref())
        {
            if !sources.contains(source) {
                sources.push(source.clone());
            }
        }
        Ok(Explanation {
            lon_deg: at.lon_deg,
            lat_deg: at.lat_deg,
            cell: cell.name(),
            area: system.area(cell.area).into(),
            zone: self.zone_at(cell).0.map(|zone| self.work.partition.zones[zone].name.clone()),
            value_lon_deg: value_point.lon_deg,
            value_lat_deg: value_point.lat_deg,
            beyond: match weights.standing(0) {
                Standing::Inside => None,
                Standing::Beyond { distance } => Some(system.length(distance).into()),
            },
            samples,
            soil: soil_values,
            ph_in_method_medium: prepared.to_method_medium(soil.ph),
            method_medium: card.ph_medium.words().to_owned(),
            treat_below: prepared.trigger(),
            target_ph: job.target_ph,
            why: why.to_owned(),
            need_steps,
            need_at_table_depth: Quantity {
                value: tidy(card.need_unit.number(at_table_depth) / card.basis.carbonate_share()),
                unit: card.need_unit.words().into(),
            },
            table_depth: card.depth_words.clone(),
            depth_factor: prepared.depth_factor(),
            tested_share: if prepared.reads_buffer() { soil.tested } else { 1.0 },
            need: system.need(soil.need).into(),
            material_steps,
            effective_as_spread: job.material.effective.to_number(),
            asked_rate: system.rate(asked).into(),
            rate: rate_as_written(system, job.machine.setting.written(fitted.rate)).into(),
            limit: fitted.limit.words().to_owned(),
            limit_in_words: limit_in_words(job, by_machine.limit),
            overrides,
            product: ground_mass(system, mapped.product),
            unmet: system.need(mapped.unmet).into(),
            excess: system.need(beyond_need(mapped, job)).into(),
            sources,
        })
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

    /// Why no cell holds a place.
    fn outside(&self, at: LonLat) -> Refusal {
        let Work { job, field, partition, .. } = &self.work;
        let why = match whereabouts(field, partition, field.frame().forward(at)) {
            Whereabouts::InField => "it lies on the very edge of a cell".to_owned(),
            Whereabouts::KeptOut => {
                "it is kept out of the map, by `field.keep_out` or its setback".to_owned()
            }
            Whereabouts::InHole => "it lies in a hole of the boundary".to_owned(),
            Whereabouts::Outside(distance) => {
                let far = job.units.distance(distance);
                format!("it lies outside the boundary, {far} from it")
            }
        };
        let what = format!("no cell holds the place {}, {}: {why}", at.lon_deg, at.lat_deg);
        Problem::at(Place::in_file(job.field.boundary.given.clone()), what)
            .allowed("longitude and latitude in the mapped field, in WGS 84 degrees")
            .hint("longitude comes first: --at -93.2168,42.0893; a western longitude is negative")
            .into()
    }

    /// The zone whose value a cell has: its own, or the nearest.
    fn zone_at(&self, cell: &Cell) -> (Option<usize>, Standing) {
        let partition = &self.work.partition;
        if let Some(zone) = partition.regions[cell.region].zone {
            return (Some(zone), Standing::Inside);
        }
        let (zone, away_m) = partition.nearest_zone(cell.value_point).unzip();
        let distance = Length::from_metres(away_m.unwrap_or_default());
        (zone, Standing::Beyond { distance })
    }

    /// A fitted rate under the overrides of a region, and each step of that.
    fn carry_out(&self, region: usize, mut fitted: Fitted) -> (Fitted, Vec<OverrideStep>) {
        let Work { job, partition, .. } = &self.work;
        let mut steps = Vec::new();
        for &number in &partition.regions[region].overrides {
            let order = &job.overrides[number];
            let before = written_rate(job, fitted.rate).into();
            fitted = job.machine.overridden(fitted, order.does);
            let after = written_rate(job, fitted.rate).into();
            let (order, reason) = (order.words.clone(), order.reason.clone());
            steps.push(OverrideStep { order, reason, before, after });
        }
        (fitted, steps)
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
                "acidity" => some(soils.sites.acidity.as_deref().unwrap_or_default()),
                _ => some(&soils.sites.ph),
            };
            (spread.key, spread.measured_in.clone(), values)
        })
        .collect()
}

/// What the spreader did to the rate that the soil asks for, with the limit that did it.
fn limit_in_words(job: &Job, limit: Limit) -> String {
    let setting = &job.machine.setting;
    let written = |rate, part: f64| {
        let rate = rate_as_written(job.units, setting.written(rate));
        format!("{} {}", plain(rate.value * part, 0, 4), rate.unit)
    };
    let least = written(setting.least(), 1.0);
    match limit {
        Limit::None => "the nearest rate that the spreader holds".to_owned(),
        Limit::Raised => format!("raised to the spreader's least rate, {least}"),
        Limit::Capped => {
            format!("held to the spreader's greatest rate, {}", written(setting.greatest(), 1.0))
        }
        Limit::Dropped if job.machine.below_min == BelowMin::Drop => format!(
            "below the spreader's least rate, {least}, and the job drops such rates (below_min = \
             \"drop\")"
        ),
        Limit::Overridden => "ordered".to_owned(),
        Limit::Dropped => format!(
            "below {}, half of the spreader's least rate of {least}: dropped",
            written(setting.least(), 0.5)
        ),
    }
}

/// What a cell gets beyond its need.
fn beyond_need(cell: &CellRate, job: &Job) -> LimeNeed {
    let supplied = job.machine.setting.rate(cell.rate) * job.material.effective;
    (supplied - cell.need).max(LimeNeed::ZERO)
}

/// What lies on one cell is told in pounds or kilograms.
fn ground_mass(system: UnitSystem, mass: ProductMass) -> Quantity {
    match system {
        UnitSystem::Us => Quantity { value: mass.to_pounds(), unit: "lb".into() },
        UnitSystem::Metric => Quantity { value: mass.to_kilograms(), unit: "kg".into() },
    }
}
