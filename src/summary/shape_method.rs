//! The shape of the method in `summary.json`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Quantity;
use super::shape::part;

part! {
    /// The lime-need method as it was used.
    MethodPart {
        /// Its name.
        id: String,
        /// Its title.
        title: String,
        /// The file of the user's own table, as the job names it; left out where it is a method of
        /// this program.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        own_table: Option<String>,
        /// Whose its numbers are, where they are not those of a publication that this program has
        /// seen; it stands on every result.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        caveat: Option<String>,
        /// The publication, and the place in it.
        source: String,
        /// What is limed to, in words.
        target: String,
        /// The pH limed to, in the method's own medium; left out where it is a saturation.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        target_ph: Option<f64>,
        /// The crops that decide it, where the job names them.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        crops: Option<CropsPart>,
        /// The pH at and above which nothing is needed, in the method's own medium; left out where
        /// no pH says so.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        treat_below: Option<f64>,
        /// The medium of both.
        ph_medium: String,
        /// The depth that the samples were taken from; the layers that count, where there are
        /// several.
        sampled_depth: String,
        /// The depth that the method's needs are stated for.
        table_depth: String,
        /// The depth that the lime is to act on.
        limed_depth: Quantity,
        /// The depth down to which layers count: the limed depth, or what surface lime reaches of
        /// it; left out without layers.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        counted_depth: Option<Quantity>,
        /// The need was multiplied by this, from table to limed depth; with layers, the sum of
        /// theirs.
        depth_factor: f64,
        /// The material that the method's needs are stated in.
        basis: String,
        /// What is taken for granted because the source does not state it.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        assumptions: Vec<String>,
        /// The printed targets that the job's target lies between, where it is none of them.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        columns: Option<ColumnsPart>,
        /// The class of the soil, where the job states it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        soil_class: Option<String>,
        /// What earlier lime is still worth, where it is credited.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        credit: Option<CreditPart>,
        /// How the lime is placed.
        placement: String,
    }
}

part! {
    /// The crops that decide the target.
    CropsPart {
        /// All crops that the job names.
        named: Vec<String>,
        /// The one with the highest target.
        deciding: String,
        /// The guide whose target it is.
        guide: String,
        /// The publication, and the place in it.
        source: String,
    }
}

part! {
    /// Two printed targets, and what each counts in the need.
    ColumnsPart {
        /// The target below the job's.
        low: f64,
        /// The target above it.
        high: f64,
        /// The share of the need to the higher target; the lower has the rest.
        high_share: f64,
    }
}

part! {
    /// What earlier lime is still worth, on every cell.
    CreditPart {
        /// All of it: pure CaCO3, taken off the need.
        total: Quantity,
        /// The class of soil that it was counted for.
        soil_class: String,
        /// The part of the applied rate that each whole month until sampling takes off.
        monthly_loss: f64,
        /// Each earlier lime.
        each: Vec<CreditedPart>,
        /// The publication, and the place in it.
        source: String,
    }
}

part! {
    /// What one earlier lime is still worth.
    CreditedPart {
        /// The day it was applied, `YYYY-MM-DD`.
        applied: String,
        /// What was applied, as effective lime: pure CaCO3.
        rate: Quantity,
        /// Whole months from then to sampling.
        months: u32,
        /// The share that is left.
        left: f64,
        /// What that is.
        credit: Quantity,
    }
}
