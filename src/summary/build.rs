//! Putting the summary together from what the rooms worked out.

use super::layers::soil;
use super::money::Ordered;
use super::shape::{
    AreaProduct, Dates, FieldNames, FindingPart, InputPart, KeepOutPart, LedgerPart, LimitParts,
    LoadPart, LoadParts, Program, Quantity, RateLimitsPart, RatePart, SUMMARY_SHAPE, Summary,
};
use super::{
    ApplicationParts, BenefitParts, CompositeSoilPart, DoubtPart, FlatRatePart, FlatRateParts,
    MachineParts, OrderedParts, OverridePart, RiskAreas, UnmetParts,
};
use crate::agronomy::{MethodCard, Prepared};
use crate::field::{LonLat, Partition};
use crate::findings::Finding;
use crate::haul::{Loads, Totals};
use crate::inputs::{InputFile, Job};
use crate::machine::{MachineRate, Setting, WrittenRate};
use crate::prescription::{
    AreaAndProduct, BlankRule, CellSoil, FlatRate, FlatRates, Intervals, Ledger, Prescription,
    RateAreas, Sensitivity,
};
use crate::surfaces::CrossCheck;
use crate::units::{
    Amount, Area, CarbonateMass, DepthInterval, Length, ProductMass, ProductRate, UnitSystem, tidy,
};

/// What the samples read of one attribute, and how well the map tells it.
#[derive(Clone, Debug)]
pub struct Spread {
    /// The attribute, keyed as in `[samples.columns]`.
    pub key: &'static str,
    /// The medium or buffer.
    pub measured_in: String,
    /// The readings.
    pub readings: Vec<f64>,
    /// Whether zones give it beside samples at points, one reading each.
    pub by_zone: bool,
    /// The error of leaving one sample out, where it could be told.
    pub cross_check: Option<CrossCheck>,
}

/// One layer of soil.
#[derive(Clone, Debug)]
pub struct LayerParts<'a> {
    /// The layer in each cell.
    pub cells: &'a [CellSoil],
    /// What its samples read.
    pub spreads: &'a [Spread],
    /// How its map was drawn, in words.
    pub interpolation: &'a str,
    /// The area of cells on or beyond its samples' hull, and how far beyond it the farthest lies.
    pub beyond: (Area, Length),
    /// The method, as it was fitted to it.
    pub prepared: &'a Prepared,
    /// The layer in a composite sample of the whole field.
    pub composite: CellSoil,
    /// What else decided its need, as reported: keys, numbers and units.
    pub composite_values: Vec<(&'static str, f64, &'static str)>,
    /// Samples without a buffer reading, and how they enter.
    pub blanks: Option<(usize, BlankRule)>,
    /// The depth that it was sampled from and the part of the limed depth that it stands for,
    /// where there are several.
    pub depths: Option<(DepthInterval, DepthInterval)>,
}

/// Everything that a summary is made from.
#[derive(Debug)]
pub struct Parts<'a> {
    /// The job.
    pub job: &'a Job,
    /// The SHA-256 of the effective job.
    pub job_effective_sha256: String,
    /// The middle of the box around the field.
    pub place: LonLat,
    /// The field in regions.
    pub partition: &'a Partition,
    /// The layers of soil, from the top down; at least one.
    pub layers: &'a [LayerParts<'a>],
    /// What each cell gets.
    pub prescription: &'a Prescription,
    /// The two flat rates.
    pub flat: &'a FlatRates,
    /// What each application spreads; at least one.
    pub applications: &'a [Prescription],
    /// What is loaded, ordered and hauled.
    pub ordered: &'a OrderedParts,
    /// The same for the composite's rate.
    pub composite_ordered: &'a OrderedParts,
    /// The area of cells on or beyond the samples' hull in any layer, and how far beyond it the
    /// farthest of them lies.
    pub beyond: (Area, Length),
    /// More of the need left unmet than the job lets pass.
    pub unmet: Option<&'a UnmetParts>,
    /// What goes on the ground at once.
    pub application: &'a ApplicationParts,
    /// What was measured of the spreader on the field.
    pub machine: &'a MachineParts,
    /// How much hangs on a tenth of the readings.
    pub sensitivity: Sensitivity,
    /// How sure the totals are.
    pub intervals: Intervals,
    /// What the readings were taken to be off by.
    pub doubts: &'a [DoubtPart],
    /// Areas of one rate, where the job asks for them.
    pub areas: Option<&'a RateAreas>,
    /// The risks of the soil; `None` where they are not told.
    pub risk: Option<&'a RiskAreas>,
    /// What the lime does.
    pub benefit: &'a BenefitParts,
    /// The method.
    pub card: &'a MethodCard,
    /// What the data told.
    pub findings: &'a [Finding],
    /// What was read.
    pub inputs: &'a [InputFile],
}

impl Program {
    /// This one.
    pub fn this() -> Self {
        Self {
            name: env!("CARGO_PKG_NAME").to_owned(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
        }
    }
}

impl FieldNames {
    /// Those of a job.
    pub fn of(job: &Job) -> Self {
        Self {
            name: job.field.name.clone(),
            customer: job.field.customer.clone(),
            farm: job.field.farm.clone(),
        }
    }
}

/// The summary of one field.
pub fn build_summary(parts: &Parts<'_>) -> Summary {
    Builder { parts, system: parts.job.units }.summary()
}

pub(super) struct Builder<'a> {
    pub(super) parts: &'a Parts<'a>,
    pub(super) system: UnitSystem,
}

impl Builder<'_> {
    fn summary(&self) -> Summary {
        let Parts { job, prescription, ordered, .. } = self.parts;
        let totals = &ordered.totals;
        let ledger = &prescription.ledger;
        Summary {
            schema: SUMMARY_SHAPE.to_owned(),
            program: Program::this(),
            field: FieldNames::of(job),
            dates: Dates {
                sampled: job.dates.sampled.clone(),
                spread: job.dates.spread.clone(),
                revision: job.dates.revision,
            },
            units: self.system.words().to_owned(),
            place_deg: [self.parts.place.lon_deg, self.parts.place.lat_deg].map(to_map_decimals),
            area: self.area(self.parts.partition.gross),
            keep_out_area: self.area(self.parts.partition.kept_out),
            keep_out: self.keep_out(),
            keep_out_overlap: self.keep_out_overlap(),
            treated_area: self.area(prescription.treated_area),
            need_total: self.carbonate(ledger.need),
            supplied_total: self.carbonate(ledger.supplied),
            excess_total: self.carbonate(ledger.excess()),
            product_total: self.product(totals.prescribed),
            to_load: self.product(totals.to_load),
            to_order: self.product(totals.to_order),
            order: self.order(totals),
            unmet_total: self.carbonate(ledger.unmet()),
            unmet: self.unmet(),
            single_application: self.single_application(),
            reaction: self.reaction(),
            upkeep: self.upkeep(),
            mean_rate: self.rate(prescription.product / prescription.area),
            flat_rate: FlatRateParts {
                same_tons: self.flat_rate(&self.parts.flat.same_tons, ordered),
                composite: self.flat_rate(&self.parts.flat.composite, self.parts.composite_ordered),
                composite_soil: self.parts.layers.iter().map(composite_soil).collect(),
            },
            rates: self.rates(),
            machine: self.machine(),
            work: self.work(),
            delivery: self.delivery(),
            limits: self.limits(),
            rate_areas: self.rate_areas(),
            overrides: self.overrides(),
            sensitivity: self.sensitivity(),
            interval: self.interval(),
            loads: LoadParts {
                spreader: loads(self.system, &ordered.spreader_loads),
                truck: ordered.truck_loads.as_ref().map(|count| loads(self.system, count)),
            },
            haul: self.haul(),
            applications: self.applications(),
            soil: soil(self.top()),
            layers: self.layers(),
            interpolation: self.interpolation(self.top(), self.parts.beyond),
            table_limit_area: self.table_limits(self.parts.layers),
            risk: self.risk(),
            benefit: self.benefit(),
            method: self.method(),
            material: self.material(),
            findings: self.parts.findings.iter().map(finding_part).collect(),
            exports: Vec::new(),
            sketch: None,
            cautions: super::cautions(job.material.kind),
            inputs: self.parts.inputs.iter().map(input_part).collect(),
            job_effective_sha256: self.parts.job_effective_sha256.clone(),
            ledger: self.ledger(),
        }
    }

    pub(super) fn area(&self, area: Area) -> Quantity {
        self.system.area(area).into()
    }

    pub(super) fn product(&self, mass: ProductMass) -> Quantity {
        product(self.system, mass)
    }

    pub(super) fn carbonate(&self, mass: CarbonateMass) -> Quantity {
        self.system.carbonate(mass).into()
    }

    pub(super) fn rate(&self, rate: ProductRate) -> Quantity {
        self.system.rate(rate).into()
    }

    fn flat_rate(&self, flat: &FlatRate, ordered: &OrderedParts) -> FlatRatePart {
        let Totals { to_order, to_load, .. } = ordered.totals;
        let haul = ordered.haul.as_ref();
        let rate = flat.written.map_or_else(
            || self.rate(flat.rate),
            |written| Quantity::from(rate_as_written(self.system, written)),
        );
        let area = self.parts.prescription.area;
        let spread_over = if flat.product > ProductMass::ZERO { area } else { Area::ZERO };
        FlatRatePart {
            rate,
            asked_rate: flat.asked.map(|asked| self.rate(asked)),
            product: self.product(flat.product),
            cost: self.cost_of(&Ordered { to_order, to_load, haul, spread_over }),
            over_limed_area: self.area(flat.over_limed),
            under_limed_area: self.area(flat.under_limed),
            excess: self.carbonate(flat.excess),
            shortfall: self.carbonate(flat.shortfall),
            to_order: self.product(to_order),
            limit: flat.limit.words().to_owned(),
        }
    }

    fn rates(&self) -> Vec<RatePart> {
        self.rates_of(self.parts.prescription, &self.parts.job.machine.setting)
    }

    /// What each rate of `setting` comes to.
    pub(super) fn rates_of(&self, spread: &Prescription, setting: &Setting) -> Vec<RatePart> {
        let written = |rate| rate_as_written(self.system, setting.written(rate)).into();
        let rates = spread.rates.iter();
        rates
            .map(|total| RatePart {
                rate: written(total.rate),
                area: self.area(total.total.area),
                product: self.product(total.total.product),
            })
            .collect()
    }

    fn limits(&self) -> LimitParts {
        let limits = &self.parts.prescription.limits;
        let part = |total: &AreaAndProduct| AreaProduct {
            area: self.area(total.area),
            product: self.product(total.product),
        };
        let (up, down) = (&limits.rounded_up, &limits.rounded_down);
        let machine = &self.parts.job.machine;
        let setting = &machine.setting;
        LimitParts {
            rates: Some(RateLimitsPart {
                least: self.rate(setting.rate(setting.least())),
                greatest: self.rate(setting.rate(setting.greatest())),
                below_least: machine.below_min.words().to_owned(),
            }),
            raised: part(&limits.raised),
            dropped: part(&limits.dropped),
            capped: part(&limits.capped),
            rounded: AreaProduct {
                area: self.area(up.area + down.area),
                product: self.product(up.product - down.product),
            },
            rounded_up: part(up),
            rounded_down: part(down),
            overridden_up: self.where_overridden(|| part(&limits.overridden_up)),
            overridden_down: self.where_overridden(|| part(&limits.overridden_down)),
            areas_up: self.where_in_areas(|| part(&limits.areas_up)),
            areas_down: self.where_in_areas(|| part(&limits.areas_down)),
            held_back: self.where_held_back(|| part(&limits.held_back)),
        }
    }

    fn keep_out(&self) -> Vec<KeepOutPart> {
        let files = &self.parts.job.field.keep_out;
        let by = files.iter().zip(&self.parts.partition.kept_out_by);
        by.map(|(part, &area)| KeepOutPart {
            file: part.area.file.given.clone(),
            layer: part.area.wanted.layer.clone(),
            setback: self.system.length(part.setback).into(),
            area: self.area(area),
        })
        .collect()
    }

    fn keep_out_overlap(&self) -> Option<Quantity> {
        let twice = self.parts.partition.kept_out_twice;
        (self.parts.job.field.keep_out.len() > 1).then(|| self.area(twice))
    }

    /// Something that only a job with overrides has.
    fn where_overridden<T>(&self, part: impl FnOnce() -> T) -> Option<T> {
        (!self.parts.job.overrides.is_empty()).then(part)
    }

    fn overrides(&self) -> Vec<OverridePart> {
        let totals = &self.parts.prescription.overrides;
        let orders = self.parts.job.overrides.iter().zip(totals);
        orders
            .map(|(order, total)| OverridePart {
                order: order.words.clone(),
                reason: order.reason.clone(),
                file: order.area.file.given.clone(),
                area: self.area(total.area),
                changed_area: self.area(total.changed),
                product_change: self.product(total.product),
            })
            .collect()
    }

    fn ledger(&self) -> LedgerPart {
        self.ledger_part(&self.parts.prescription.ledger)
    }

    pub(super) fn ledger_part(&self, ledger: &Ledger) -> LedgerPart {
        LedgerPart {
            need: self.carbonate(ledger.need),
            supplied: self.carbonate(ledger.supplied),
            raised: self.carbonate(ledger.raised),
            rounded_up: self.carbonate(ledger.rounded_up),
            dropped: self.carbonate(ledger.dropped),
            capped: self.carbonate(ledger.capped),
            rounded_down: self.carbonate(ledger.rounded_down),
            overridden_up: self.where_overridden(|| self.carbonate(ledger.overridden_up)),
            overridden_down: self.where_overridden(|| self.carbonate(ledger.overridden_down)),
            areas_up: self.where_in_areas(|| self.carbonate(ledger.areas_up)),
            areas_down: self.where_in_areas(|| self.carbonate(ledger.areas_down)),
            held_back: self.where_held_back(|| self.carbonate(ledger.held_back)),
            product: self.product(ledger.product),
            effective_fraction: self.parts.job.material.effective.to_number(),
            cell_area: self.area(ledger.cell_area),
            field_area: self.area(ledger.field_area),
        }
    }
}

/// As the rate map writes degrees: seven decimals.
fn to_map_decimals(degrees: f64) -> f64 {
    (degrees * 1e7).round() / 1e7
}

/// A rate of the job's machine, in the units of its outputs, as the operator would type it.
pub fn written_rate(job: &Job, rate: MachineRate) -> Amount {
    rate_as_written(job.units, job.machine.setting.written(rate))
}

/// The rate in the system's unit: the number as written where it is written in that unit, and
/// clean of rounding errors below 1e-9 where it is converted.
pub fn rate_as_written(system: UnitSystem, written: WrittenRate) -> Amount {
    let amount = system.rate(written.rate());
    let value = if written.unit == amount.unit { written.number } else { amount.value };
    Amount { value: tidy(value), ..amount }
}

fn composite_soil(layer: &LayerParts<'_>) -> CompositeSoilPart {
    let (soil, blanks) = (&layer.composite, layer.blanks);
    CompositeSoilPart {
        ph: soil.ph,
        buffer_ph: soil.buffer_ph,
        values: layer
            .composite_values
            .iter()
            .map(|&(key, value, unit)| (key.to_owned(), Quantity { value, unit: unit.into() }))
            .collect(),
        blanks: blanks.map(|(count, _)| count),
        blanks_read_as: blanks.and_then(|(_, rule)| match rule {
            BlankRule::AtZeroNeedReading(zero) => Some(zero.reading()),
            BlankRule::AsZeroNeed => None,
        }),
    }
}

/// The loads of each application, at least one of them, together.
pub(super) fn loads(system: UnitSystem, loads: &[Loads]) -> LoadPart {
    let full = loads[0].full;
    LoadPart {
        count: loads.iter().map(|loads| loads.count).sum(),
        full: product(system, full.mass),
        last: (loads.len() == 1).then(|| product(system, loads[0].last)),
        binds: full.binds.map(|binds| binds.words().to_owned()),
    }
}

/// Clean of the noise of adding up: whole trucks are whole tons.
pub(super) fn product(system: UnitSystem, mass: ProductMass) -> Quantity {
    let amount = system.product(mass);
    Amount { value: tidy(amount.value), ..amount }.into()
}

/// A finding as results hold it.
pub fn finding_part(finding: &Finding) -> FindingPart {
    FindingPart {
        key: finding.key.to_owned(),
        place: finding.place.to_string(),
        text: finding.text.clone(),
    }
}

/// A file that was read, as results hold it.
pub fn input_part(file: &InputFile) -> InputPart {
    InputPart {
        role: file.role.to_owned(),
        path: file.path.clone(),
        bytes: file.bytes,
        sha256: file.sha256.clone(),
    }
}
