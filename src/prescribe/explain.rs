//! One place of a map, step by step, worked out anew: a second witness to the map.

use super::by_zone::in_words;
use super::need_steps::SAME_NEED;
use super::{Prescribed, Work};
use crate::error::Error;
use crate::field::{Cell, LonLat, Whereabouts, whereabouts};
use crate::findings::{Place, Problem, Refusal};
use crate::inputs::Job;
use crate::machine::{BelowMin, Fitted, Limit, MachineRate};
use crate::prescription::CellRate;
use crate::summary::{
    Explanation, OverrideStep, Quantity, RateAreaStep, rate_as_written, written_rate,
};
use crate::surfaces::Standing;
use crate::units::{Length, LimeNeed, ProductMass, UnitSystem, plain};

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
        let Work { job, cells, prescription, areas, method, .. } = &self.work;
        let card = method.card();
        let Some(index) = cells.find(at) else { return Err(self.outside(at).into()) };
        let cell = &cells.list[index];
        let system = job.units;
        let (zone, zone_standing) = self.zone_at(cell);
        let (needs, mut layers) = self.explain_layers(cell)?;
        let need: LimeNeed = needs.iter().copied().sum();
        for (layer, part) in layers.iter_mut().zip(&needs) {
            layer.share = (need > LimeNeed::ZERO).then(|| *part / need);
        }
        let mapped = &prescription.cells[index];
        let asked = need / job.material.effective;
        let by_machine = job.machine.fit(asked);
        let (fitted, overrides) = self.carry_out(cell.region, by_machine);
        let off = (need - mapped.need).abs();
        if off > mapped.need * SAME_NEED || fitted != mapped.own {
            let what = format!("cell {} and its explanation differ", cell.name());
            return Err(Error::Fault(what));
        }
        let value_point = self.work.field.frame().inverse(cell.value_point);
        let material_steps = job.material.steps();
        let mut sources = vec![card.source.words()];
        let steps = layers.iter().flat_map(|layer| &layer.need_steps).chain(&material_steps);
        for source in steps.filter_map(|step| step.source.as_ref()) {
            if !sources.contains(source) {
                sources.push(source.clone());
            }
        }
        Ok(Explanation {
            lon_deg: at.lon_deg,
            lat_deg: at.lat_deg,
            cell: cell.name(),
            area: system.area(cell.area).into(),
            zone: zone.map(|zone| self.work.partition.zones[zone].name.clone()),
            zone_distance: match zone_standing {
                Standing::Beyond { distance } if zone.is_some() => {
                    Some(system.length(distance).into())
                }
                Standing::Beyond { .. } | Standing::Inside => None,
            },
            zone_gives: job.samples.given_by_zone().map(|gives| in_words(&gives.attributes)),
            value_lon_deg: value_point.lon_deg,
            value_lat_deg: value_point.lat_deg,
            layers,
            method_medium: card.ph_medium.words_in_job(job.samples.ph_medium).to_owned(),
            treat_below: self.work.layers[0].prepared.trigger(),
            target: job.target.aim.words(),
            table_depth: card.depth_words.clone(),
            risk: self.work.risks.as_ref().map(|risks| risks.cells[index].words().to_owned()),
            need: system.need(need).into(),
            material_steps,
            effective_as_spread: job.material.effective.to_number(),
            asked_rate: system.rate(asked).into(),
            rate: rate_as_written(system, job.machine.setting.written(fitted.rate)).into(),
            applications: self.in_applications(mapped.rate),
            limit: mapped.limit.words().to_owned(),
            limit_in_words: limit_in_words(job, by_machine.limit),
            overrides,
            rate_area: areas.as_ref().map(|areas| {
                let number = areas.of_cell[index] as usize;
                let area = &areas.list[number];
                RateAreaStep {
                    number: number + 1,
                    area: system.area(area.area).into(),
                    rate: written_rate(job, area.rate).into(),
                }
            }),
            product: ground_mass(system, mapped.product),
            unmet: system.need(mapped.unmet).into(),
            excess: system.need(beyond_need(mapped, job)).into(),
            sources,
        })
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
    pub(super) fn zone_at(&self, cell: &Cell) -> (Option<usize>, Standing) {
        let partition = &self.work.partition;
        if let Some(zone) = partition.regions[cell.region].zone {
            return (Some(zone), Standing::Inside);
        }
        let (zone, away_m) = partition.nearest_zone(cell.value_point).unzip();
        let distance = Length::from_metres(away_m.unwrap_or_default());
        (zone, Standing::Beyond { distance })
    }

    /// What each of several applications spreads of a rate; empty where there is one.
    fn in_applications(&self, rate: MachineRate) -> Vec<Quantity> {
        let Work { job, .. } = &self.work;
        let parts = job.machine.parts(rate);
        if parts.len() < 2 {
            return Vec::new();
        }
        let written = |part| rate_as_written(job.units, job.machine.single().written(part)).into();
        parts.into_iter().map(written).collect()
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
            let over = match job.machine.application_count() {
                1 => String::new(),
                count => format!(", in {count} applications together"),
            };
            let most = written(setting.greatest(), 1.0);
            format!("held to the spreader's greatest rate{over}, {most}")
        }
        Limit::Dropped if job.machine.below_min == BelowMin::Drop => format!(
            "below the spreader's least rate, {least}, and the job drops such rates (below_min = \
             \"drop\")"
        ),
        Limit::Overridden => "ordered".to_owned(),
        Limit::RateArea => "that of its rate area".to_owned(),
        Limit::HeldBack => "nothing this time: its rate area is held back".to_owned(),
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
