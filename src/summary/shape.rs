//! The shape of `summary.json`.
//!
//! A quantity is a value and its unit; bare numbers are counts, shares from 0 to 1, and values on
//! a pH scale. A part that the job does not allow to be worked out is left out.

use std::borrow::Cow;
use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{
    ApplicationPart, BenefitPart, DeliveryPart, FlatRateParts, HaulPart, IntervalPart, LayerPart,
    MachinePart, MaterialPart, MethodPart, OneApplicationPart, OverridePart, RateAreasPart,
    ReactionPart, RiskPart, SensitivityPart, SketchPart, UnmetPart, UpkeepPart, WorkPart,
    WrittenExport,
};
use crate::units::Amount;

/// The name and version of the shape of a summary.
pub const SUMMARY_SHAPE: &str = "limewright-summary-1";

/// A value and its unit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Quantity {
    /// The value, in full precision.
    pub value: f64,
    /// Its unit. Where the summary's `units` are `us` and `metric`: areas in `ac` and `ha`, a pH times
    /// an area in `pH ac` and `pH ha`; masses in `ton` (short ton of 2,000 lb) and `t`; needs and rates
    /// in `ton/ac` and `t/ha`; distances in the field in `ft` and `m`, on the road in `mi` and `km`;
    /// depths in `in` and `cm`; speeds in `mph` and `km/h`; flows in `lb/min` and `kg/min`; money in the
    /// job's currency.
    pub unit: Cow<'static, str>,
}

impl From<Amount> for Quantity {
    fn from(amount: Amount) -> Self {
        Self { value: amount.value, unit: Cow::Borrowed(amount.unit) }
    }
}

/// Declares one part of the summary.
macro_rules! part {
    ($(#[$meta:meta])* $name:ident { $($(#[$field_meta:meta])* $field:ident : $type:ty,)+ }) => {
        $(#[$meta])*
        #[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
        #[serde(deny_unknown_fields)]
        pub struct $name { $($(#[$field_meta])* pub $field: $type,)+ }
    };
}
pub(crate) use part;

part! {
    /// The whole summary of one field.
    Summary {
        /// The name and version of this shape.
        schema: String,
        /// The program that made it.
        program: Program,
        /// The field.
        field: FieldNames,
        /// The job's own days.
        dates: Dates,
        /// The system of units: `us` or `metric`.
        units: String,
        /// The middle of the box around the field: longitude and latitude, WGS 84 degrees.
        place_deg: [f64; 2],
        /// Inside the boundary less its holes.
        area: Quantity,
        /// The part of it under keep-out and setback.
        keep_out_area: Quantity,
        /// What each file with ground to keep out keeps out by itself, in the order of the job.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        keep_out: Vec<KeepOutPart>,
        /// The part of `keep_out_area` that more than one of those files keeps out, which counts
        /// once in it; left out where there is one file or none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        keep_out_overlap: Option<Quantity>,
        /// Cells with a rate above 0.
        treated_area: Quantity,
        /// CaCO3 that the cells need.
        need_total: Quantity,
        /// CaCO3 that the product supplies.
        supplied_total: Quantity,
        /// CaCO3 supplied beyond the need.
        excess_total: Quantity,
        /// Product prescribed, as spread.
        product_total: Quantity,
        /// Product to load, as spread.
        to_load: Quantity,
        /// Product to order, as spread.
        to_order: Quantity,
        /// How the three totals differ.
        order: Order,
        /// CaCO3 left out by the machine's limits.
        unmet_total: Quantity,
        /// What is said of that where it is more than the job lets pass.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        unmet: Option<UnmetPart>,
        /// What goes on the ground at once, and what publications go up to.
        single_application: ApplicationPart,
        /// How fast the material acts by its fineness; left out where it is no ground limestone with
        /// a sieve analysis.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        reaction: Option<ReactionPart>,
        /// How long the lime may last; left out where the job states no upkeep.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        upkeep: Option<UpkeepPart>,
        /// Product over the mapped area.
        mean_rate: Quantity,
        /// The two flat rates to hold the map against.
        flat_rate: FlatRateParts,
        /// What each rate comes to.
        rates: Vec<RatePart>,
        /// The spreader on this field: flow, speeds, rate changes, throw, passes.
        machine: MachinePart,
        /// How long the spreader works; left out where the job states neither a speed nor a time.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        work: Option<WorkPart>,
        /// Where the material is dropped; left out where the job does not say.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        delivery: Option<DeliveryPart>,
        /// What the machine's limits did.
        limits: LimitParts,
        /// Areas of one rate; left out where the job asks for none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        rate_areas: Option<RateAreasPart>,
        /// What each override does, in the sequence in which they are carried out.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        overrides: Vec<OverridePart>,
        /// How much hangs on a tenth of the readings.
        sensitivity: SensitivityPart,
        /// How sure the totals are.
        interval: IntervalPart,
        /// Loads.
        loads: LoadParts,
        /// What each application spreads, in their order; left out where there is one.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        applications: Vec<OneApplicationPart>,
        /// The haul and its cost, where the job describes it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        haul: Option<HaulPart>,
        /// What the samples read; those of the top layer where there are several.
        soil: BTreeMap<String, SoilPart>,
        /// The layers of soil that the need is the sum over, from the top down; left out where
        /// there is one.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        layers: Vec<LayerPart>,
        /// How the map was drawn between them; the shares and distances hold for any layer.
        interpolation: Interpolation,
        /// Where a method's end value was taken.
        table_limit_area: TableLimits,
        /// What the soil puts at risk before it is limed; left out where its pH has no way to water.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        risk: Option<RiskPart>,
        /// What the lime does on the field.
        benefit: BenefitPart,
        /// The lime-need method.
        method: MethodPart,
        /// The material.
        material: MaterialPart,
        /// The files for the spreader's controller, each read back before it was called done; left
        /// out where the job asks for none.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        exports: Vec<WrittenExport>,
        /// The field in few strokes; left out by programs that draw none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        sketch: Option<SketchPart>,
        /// What the data told.
        findings: Vec<FindingPart>,
        /// What to mind.
        cautions: Vec<String>,
        /// What was read.
        inputs: Vec<InputPart>,
        /// SHA-256 of `job.effective.toml`.
        job_effective_sha256: String,
        /// The ledger.
        ledger: LedgerPart,
    }
}

part! {
    /// The program that made a summary.
    Program {
        /// Its name.
        name: String,
        /// Its version.
        version: String,
    }
}

part! {
    /// What the field is called.
    FieldNames {
        /// The field.
        name: String,
        /// Whose it is.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        customer: Option<String>,
        /// The farm.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        farm: Option<String>,
    }
}

part! {
    /// What one file keeps out.
    KeepOutPart {
        /// The file, as the job writes it.
        file: String,
        /// Its layer, where the job names it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        layer: Option<String>,
        /// How far around its features is kept out too.
        setback: Quantity,
        /// The area inside the boundary.
        area: Quantity,
    }
}

part! {
    /// The days of a job, `YYYY-MM-DD`.
    Dates {
        /// The day of sampling.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        sampled: Option<String>,
        /// The day planned for spreading.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        spread: Option<String>,
        /// The revision.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        revision: Option<u32>,
    }
}

part! {
    /// What lies between prescribed, to load and to order; all masses as spread.
    Order {
        /// Added for overlapping passes.
        overlap: Quantity,
        /// Added because some of the pile stays where it lies.
        pile_loss: Quantity,
        /// Added to fill the last truck.
        truck_fill: Quantity,
    }
}

part! {
    /// One rate of the map.
    RatePart {
        /// The rate.
        rate: Quantity,
        /// Where it is spread.
        area: Quantity,
        /// What it takes.
        product: Quantity,
    }
}

part! {
    /// What the machine's limits did.
    LimitParts {
        /// The rates between which the spreader is held; left out in results of earlier programs.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        rates: Option<RateLimitsPart>,
        /// Raised to the least rate: product added.
        raised: AreaProduct,
        /// Dropped to nothing: product left out.
        dropped: AreaProduct,
        /// Held to the greatest rate: product left out.
        capped: AreaProduct,
        /// Rounded to a rate of the machine: product added, net.
        rounded: AreaProduct,
        /// Rounded up: product added.
        rounded_up: AreaProduct,
        /// Rounded down: product left out.
        rounded_down: AreaProduct,
        /// Overridden to more than the soil asks for: product added; left out without overrides.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        overridden_up: Option<AreaProduct>,
        /// Overridden to less: product left out; this too without overrides.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        overridden_down: Option<AreaProduct>,
        /// In a rate area whose rate is above the cell's own: product added; left out without rate
        /// areas.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        areas_up: Option<AreaProduct>,
        /// In one whose rate is below it: product left out; this too without rate areas.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        areas_down: Option<AreaProduct>,
        /// Left out this time because there is not enough: product left out; left out of the result
        /// where the job limes all its rate areas.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        held_back: Option<AreaProduct>,
    }
}

part! {
    /// The rates between which a spreader is held.
    RateLimitsPart {
        /// The least above 0.
        least: Quantity,
        /// The greatest.
        greatest: Quantity,
        /// What becomes of a rate below the least: `nearest`, `raise` or `drop`.
        below_least: String,
    }
}

part! {
    /// An area and a product.
    AreaProduct {
        /// The area.
        area: Quantity,
        /// The product, as spread.
        product: Quantity,
    }
}

part! {
    /// Loads of the spreader, and of the trucks where they are known.
    LoadParts {
        /// The spreader's.
        spreader: LoadPart,
        /// The trucks'.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        truck: Option<LoadPart>,
    }
}

part! {
    /// Loads that add up to a total.
    LoadPart {
        /// How many, the last one included.
        count: u64,
        /// A full one.
        full: Quantity,
        /// The last one; left out with several applications, which have one each.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        last: Option<Quantity>,
        /// What limits a full one: `weight` or `volume`; left out where it cannot be known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        binds: Option<String>,
    }
}

part! {
    /// What the samples read of one attribute.
    SoilPart {
        /// The medium or buffer that it was measured in.
        measured_in: String,
        /// How many samples have it; or how many zones, where these give it.
        samples: usize,
        /// The least.
        min: f64,
        /// The mean.
        mean: f64,
        /// The greatest.
        max: f64,
        /// Whether sample zones give it, one value each; else the map is drawn between the samples,
        /// or each sample stands for a zone.
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        by_zone: bool,
    }
}

part! {
    /// How the map was drawn between the samples.
    Interpolation {
        /// The method.
        method: String,
        /// The share of the mapped area in cells on or beyond the samples' hull.
        beyond_share: f64,
        /// How far beyond the farthest of them lies.
        beyond_max_distance: Quantity,
        /// The error of leaving one sample out, for each attribute.
        cross_check: BTreeMap<String, CrossCheckPart>,
    }
}

part! {
    /// The error of leaving one sample out.
    CrossCheckPart {
        /// How many samples were left out in turn.
        samples: usize,
        /// Root mean square error by the map.
        rmse: f64,
        /// The same by the mean of the others.
        mean_rmse: f64,
    }
}

part! {
    /// Where readings lay beyond the method's printed rows.
    TableLimits {
        /// Below the lowest row.
        below: Quantity,
        /// Above the highest row.
        above: Quantity,
    }
}

part! {
    /// One finding.
    FindingPart {
        /// A short stable key.
        key: String,
        /// Where it was found; left out where it concerns the whole run.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        place: String,
        /// What was found.
        text: String,
    }
}

part! {
    /// One file that was read.
    InputPart {
        /// What it was read as.
        role: String,
        /// The path as given.
        path: String,
        /// How many bytes it has.
        bytes: u64,
        /// Their SHA-256.
        sha256: String,
    }
}

part! {
    /// The ledger: masses of CaCO3, but for the product.
    LedgerPart {
        /// Needed.
        need: Quantity,
        /// Supplied.
        supplied: Quantity,
        /// Supplied beyond the need by raising to the least rate.
        raised: Quantity,
        /// Supplied beyond the need by rounding up.
        rounded_up: Quantity,
        /// Left out by dropping rates below the least.
        dropped: Quantity,
        /// Left out by holding rates to the greatest.
        capped: Quantity,
        /// Left out by rounding down.
        rounded_down: Quantity,
        /// Supplied beyond the need where a rate is overridden; left out without overrides.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        overridden_up: Option<Quantity>,
        /// Left out where a rate is overridden; this too without overrides.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        overridden_down: Option<Quantity>,
        /// Supplied beyond the need by the rates of areas; left out without rate areas.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        areas_up: Option<Quantity>,
        /// Left out by them; this too without rate areas.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        areas_down: Option<Quantity>,
        /// Left out this time because there is not enough; left out of the result where the job
        /// limes all its rate areas.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        held_back: Option<Quantity>,
        /// The product, as spread.
        product: Quantity,
        /// CaCO3 in one part of product as spread.
        effective_fraction: f64,
        /// The cells.
        cell_area: Quantity,
        /// The field, net of keep-out.
        field_area: Quantity,
    }
}
