//! The shape of the two flat rates in `summary.json`.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Quantity;
use super::shape::part;

part! {
    /// The two flat rates.
    FlatRateParts {
        /// The same tons as the map, spread evenly.
        same_tons: FlatRatePart,
        /// What a composite sample of the whole field would have asked for.
        composite: FlatRatePart,
        /// What that composite sample would have read: the mean of the samples, for each layer of
        /// soil from the top down.
        composite_soil: Vec<CompositeSoilPart>,
    }
}

part! {
    /// One layer of a composite sample: the mean of the samples' readings.
    CompositeSoilPart {
        /// Soil pH, in the medium of the samples.
        ph: f64,
        /// Buffer pH; left out where none is read.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        buffer_ph: Option<f64>,
        /// What else decides the need, as reported; by its key.
        #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
        values: BTreeMap<String, Quantity>,
        /// Samples without a buffer reading, which need nothing.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        blanks: Option<usize>,
        /// The reading that they count as; left out where they count as a need of nothing.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        blanks_read_as: Option<f64>,
    }
}

part! {
    /// One flat rate.
    FlatRatePart {
        /// The rate.
        rate: Quantity,
        /// The rate that the soil asks for, before the machine's limits and steps; left out where
        /// the rate is of no soil.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        asked_rate: Option<Quantity>,
        /// The product that it takes.
        product: Quantity,
        /// What it costs, on the basis of the haul's `cost_total`: the product as ordered, its
        /// haul, and spreading over the whole field, of these the ones in `cost_covers`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cost: Option<Quantity>,
        /// The area that gets more than it needs.
        over_limed_area: Quantity,
        /// The area that gets less.
        under_limed_area: Quantity,
        /// CaCO3 beyond the need, where it gives more.
        excess: Quantity,
        /// CaCO3 short of the need, where it gives less.
        shortfall: Quantity,
        /// The order for that product, with the job's allowances and whole trucks.
        to_order: Quantity,
        /// What a limit of the machine did to it.
        limit: String,
    }
}
