//! The shape of the comparison in `fields.json`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::totals_shape::TotalsPart;
use crate::summary::{FieldNames, FindingPart, Quantity, part};

part! {
    /// Fields side by side, in the units of the whole.
    Comparison {
        /// The finished fields, by their ids.
        fields: Vec<ComparedField>,
        /// What they come to together.
        totals: TotalsPart,
        /// What to know of it: what was converted, what is not added because it is unlike.
        findings: Vec<FindingPart>,
    }
}

part! {
    /// One field beside others. Masses of need are CaCO3, masses of product as spread.
    ComparedField {
        /// What its folder is called.
        id: String,
        /// What it is called, and whose it is.
        field: FieldNames,
        /// The system of units that it was converted from; left out where it was not.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        converted_from: Option<String>,
        /// Inside its boundary less its holes.
        area: Quantity,
        /// That less what is kept out.
        mapped_area: Quantity,
        /// Where anything is spread.
        treated_area: Quantity,
        /// The mean pH of its samples; left out where there is none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ph: Option<MeanPh>,
        /// CaCO3 that it needs.
        need_total: Quantity,
        /// CaCO3 that the product supplies.
        supplied_total: Quantity,
        /// CaCO3 supplied beyond the need.
        excess_total: Quantity,
        /// CaCO3 left out by the machine's limits.
        unmet_total: Quantity,
        /// That as a share of the need; left out where nothing is needed.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        unmet_share: Option<f64>,
        /// Product prescribed.
        product_total: Quantity,
        /// Product to load.
        to_load: Quantity,
        /// Product to order.
        to_order: Quantity,
        /// The least rate above 0; left out where nothing is spread.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        least_rate: Option<Quantity>,
        /// Product over the mapped area.
        mean_rate: Quantity,
        /// The greatest rate; left out where nothing is spread.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        greatest_rate: Option<Quantity>,
        /// Loads of the spreader.
        spreader_loads: u64,
        /// Loads of the trucks, where they are known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        truck_loads: Option<u64>,
        /// From plant to field, one way.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        one_way_distance: Option<Quantity>,
        /// Mass ordered times distance.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ton_miles: Option<Quantity>,
        /// What hauling costs.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        haul_cost: Option<Quantity>,
        /// What is known of product, haul and spreading, together.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cost_total: Option<Quantity>,
        /// What that covers: of `product`, `haul` and `spreading`, those that it counts.
        cost_covers: Vec<String>,
        /// `cost_total` over the mapped area.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cost_per_area: Option<Quantity>,
        /// Ground where aluminium may harm roots; left out where it is not told.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        aluminium_risk_area: Option<Quantity>,
        /// What the map spares against one rate from a composite sample of the whole field; below 0
        /// where it takes more.
        saving: SavingPart,
        /// How far the map beats the mean of the field at places that were left out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        map_gain: Option<MapGain>,
        /// The lime-need method.
        method: String,
        /// What is limed to, in words.
        target: String,
        /// The material in words: its name, its kind and what of it is effective.
        material: String,
        /// Who sells it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        supplier: Option<String>,
        /// How many applications it takes.
        applications: usize,
        /// How many findings its run told.
        findings: usize,
    }
}

part! {
    /// A mean pH.
    MeanPh {
        /// The mean.
        mean: f64,
        /// What it was measured in.
        measured_in: String,
    }
}

part! {
    /// What the map spares against the composite's rate; below 0 where it takes more.
    SavingPart {
        /// Product spread.
        product: Quantity,
        /// Product ordered.
        to_order: Quantity,
        /// Money, on the basis of `cost_total`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cost: Option<Quantity>,
    }
}

part! {
    /// How far the map beats the mean of the field, of the reading that leads the need.
    MapGain {
        /// The reading, keyed as in `[samples.columns]`.
        reading: String,
        /// 1 less the map's error over that of the mean, each by leaving one sample out: 1 for a
        /// map without error; at 0 and below, one rate for the field may serve as well.
        share: f64,
    }
}
