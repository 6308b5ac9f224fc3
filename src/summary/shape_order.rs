//! The shape of the parts of `summary.json` that an order is made from: material, haul and money.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::shape::part;
use super::{AreaProduct, Quantity};

part! {
    /// How much hangs on a tenth of the readings.
    SensitivityPart {
        /// The reading that leads the need, keyed as in `[samples.columns]`.
        reading: String,
        /// A step of it to the acid side, which the next is told for; without a unit for a pH.
        step: Quantity,
        /// How much the need rises, on average over `needing_area`, when that reading is shifted by
        /// `step`; CaCO3.
        need_per_tenth: Quantity,
        /// The ground that needs lime.
        needing_area: Quantity,
        /// The same as a rate of the material as spread.
        rate_per_tenth: Quantity,
        /// The step of the spreader's rates, where it has one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        machine_step: Option<Quantity>,
        /// All ground whose pH lies below the trigger by 0.1 at the most, and the product on it.
        below_trigger: AreaProduct,
        /// The part of `below_trigger` that is limed.
        below_trigger_limed_area: Quantity,
        /// All ground whose pH lies at the trigger or less than 0.1 above it, and the product that
        /// it would get with pH 0.1 lower.
        above_trigger: AreaProduct,
        /// The part of `above_trigger` that would be limed.
        above_trigger_limed_area: Quantity,
    }
}

part! {
    /// How sure the totals are: what they came to when every sample was read anew with errors of
    /// the laboratory and of the map, over and over. What one laboratory reads wrong everywhere,
    /// and how far the method itself is off, is not in it.
    IntervalPart {
        /// How often the field was drawn.
        draws: u64,
        /// The share of the draws below the low end, and above the high end.
        tail: f64,
        /// The need of the whole field, CaCO3.
        need_total: RangePart,
        /// The product that the machine would spread for it.
        product_total: RangePart,
        /// How far each reading was taken to be off.
        readings: Vec<DoubtPart>,
    }
}

part! {
    /// What a total comes to over all draws.
    RangePart {
        /// The low end.
        low: Quantity,
        /// Half of the draws lie below it.
        middle: Quantity,
        /// The high end.
        high: Quantity,
    }
}

part! {
    /// How far one reading was taken to be off, in its unit; standard deviations.
    DoubtPart {
        /// The reading, keyed as in `[samples.columns]`.
        reading: String,
        /// The layer that it is of, where there are several.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        layer: Option<String>,
        /// What the laboratory finds in one sample, read anew; left out where no repeatability is
        /// known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        laboratory: Option<f64>,
        /// What the map misses between the samples, beyond the laboratory's part; left out where
        /// one value holds for a whole zone, or too few samples tell it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        map: Option<f64>,
    }
}

part! {
    /// What one override does.
    OverridePart {
        /// What it orders, as the job writes it.
        order: String,
        /// Why.
        reason: String,
        /// The file with its area, as the job writes it.
        file: String,
        /// The mapped area that it is for.
        area: Quantity,
        /// The part of it whose rate it changes.
        changed_area: Quantity,
        /// The product that it adds, as spread; below 0 where it takes away.
        product_change: Quantity,
    }
}

part! {
    /// The haul and its cost.
    HaulPart {
        /// From plant to field, one way.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        one_way_distance: Option<Quantity>,
        /// Mass ordered times distance.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ton_miles: Option<Quantity>,
        /// The time of all truck trips, there and back, loading and unloading.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        truck_time: Option<Quantity>,
        /// What hauling costs.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cost: Option<Quantity>,
        /// What the haulier charges, as the job writes it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        charge: Option<String>,
        /// What a ton costs over this distance before any minimum, where masses are charged.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        charge_per_mass: Option<Quantity>,
        /// What a truck costs before any minimum, where trips are charged.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        charge_per_load: Option<Quantity>,
        /// The least that is charged for a load.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        minimum_charge: Option<Quantity>,
        /// How many loads cost that minimum.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        loads_at_minimum: Option<u64>,
        /// What the product costs.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        product_cost: Option<Quantity>,
        /// Where the price of the product holds.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        price_at: Option<String>,
        /// What spreading costs.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        spreading_cost: Option<Quantity>,
        /// Product, haul and spreading together; the haul is not added where the price already
        /// holds at the field.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cost_total: Option<Quantity>,
        /// What `cost_total` covers: of `product`, `haul` and `spreading`, those that it counts.
        cost_covers: Vec<String>,
        /// `cost_total` over the mapped area.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cost_per_area: Option<Quantity>,
        /// Product and haul, as far as they are known, over the effective CaCO3 in what is
        /// ordered: what materials are compared by. Left out where there is no price.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cost_per_effective: Option<Quantity>,
    }
}

part! {
    /// The material as it was used.
    MaterialPart {
        /// What the job calls it.
        name: String,
        /// The supplier's name for the lot.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        lot: Option<String>,
        /// Who sells it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        supplier: Option<String>,
        /// The day of its analysis, `YYYY-MM-DD`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        analysed: Option<String>,
        /// Its kind.
        kind: String,
        /// The effective part as it is stated; 1 is pure CaCO3. Left out where it follows from
        /// `analysis`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        stated_effective: Option<f64>,
        /// Of what it is stated: `dry` or `as received`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        stated_basis: Option<String>,
        /// The figure that it is stated as, and how that becomes an effective part, in words; left
        /// out where it is stated as one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        stated_as: Option<String>,
        /// Water in it, of the wet mass.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        moisture: Option<f64>,
        /// The effective part as spread, wet, moisture taken off once.
        effective_as_spread: f64,
        /// The effective part of the dried material, where the moisture is known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        effective_dry: Option<f64>,
        /// Effective CaCO3 in a ton or tonne as spread.
        effective_mass: Quantity,
        /// The effective part as spread under the name that its scheme or its supplier uses, such
        /// as `ENM 451.8 lb/ton`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        figure_as_spread: Option<String>,
        /// The analysis, where the job gives it in place of one figure.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        analysis: Option<AnalysisPart>,
        /// Its density in the pile.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        bulk_density: Option<Quantity>,
        /// How that was found, where it was weighed with a pail.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        bulk_density_from: Option<String>,
        /// Its price.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        price: Option<Quantity>,
    }
}

part! {
    /// What the laboratory found of the material.
    AnalysisPart {
        /// The calcium carbonate equivalent, whatever the fineness.
        cce: f64,
        /// Of what: `dry` or `as received`.
        basis: String,
        /// How that was found, in words, where it is not simply stated.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        cce_from: Vec<String>,
        /// What the material is made of, where the job says so.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        composition: Vec<CompositionPart>,
        /// The scheme that made one efficiency of the sieve analysis.
        fineness_scheme: String,
        /// The publication, and the place in it.
        fineness_source: String,
        /// The years over which its factors count, where it states them.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        horizon: Option<String>,
        /// How the job writes the sieve analysis.
        fineness_given_as: String,
        /// What passes each sieve, from the coarsest to the finest; empty where the scheme does not
        /// count fineness.
        passing: Vec<PassingPart>,
        /// How each size class counts, in words, where each has a calcium carbonate equivalent of
        /// its own.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by_size_class: Option<String>,
        /// The part that is fine enough to count.
        fineness: f64,
        /// `cce` times `fineness`: the effective part, on the same basis.
        effective: f64,
    }
}

part! {
    /// A compound in a material.
    CompositionPart {
        /// Its formula.
        compound: String,
        /// The part of the material that it is.
        part: f64,
        /// What that neutralises, of what the whole mass as pure CaCO3 would; below 0 for sulfur
        /// that binds calcium.
        neutralises: f64,
    }
}

part! {
    /// What passes one sieve.
    PassingPart {
        /// Its mesh, openings to the inch; or its opening with the unit.
        sieve: String,
        /// The part that passes it, the finer part included.
        passing: f64,
    }
}
