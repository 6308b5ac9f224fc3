//! The shape of the totals of many fields in `fields.json`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::shape::MeanPh;
use crate::summary::{Quantity, part};

part! {
    /// What fields come to together. Product, rates and pH are never added across materials and
    /// media, nor money across currencies.
    TotalsPart {
        /// All fields.
        all: GroupTotal,
        /// Those of each material.
        by_material: Vec<GroupTotal>,
        /// Those of each supplier.
        by_supplier: Vec<GroupTotal>,
        /// Those of each customer.
        by_customer: Vec<GroupTotal>,
        /// What is spread in the first application of all fields, in the second, and so on.
        by_application: Vec<ApplicationTotal>,
    }
}

part! {
    /// What some fields come to together.
    GroupTotal {
        /// What they share: the material in words, the supplier or the customer; left out for all
        /// fields, and where they name none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        name: Option<String>,
        /// How many they are.
        fields: usize,
        /// Inside their boundaries less holes.
        area: Quantity,
        /// That less what is kept out.
        mapped_area: Quantity,
        /// Where anything is spread.
        treated_area: Quantity,
        /// The mean pH of their samples, each field counted by its mapped area; left out where they
        /// were measured in several media, or where not every field has one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ph: Option<MeanPh>,
        /// CaCO3 that they need.
        need_total: Quantity,
        /// CaCO3 that the product supplies.
        supplied_total: Quantity,
        /// CaCO3 supplied beyond the need: need and excess are supply and unmet need.
        excess_total: Quantity,
        /// CaCO3 left out by the machines' limits.
        unmet_total: Quantity,
        /// That as a share of the need; left out where nothing is needed.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        unmet_share: Option<f64>,
        /// What they take of each material.
        products: Vec<ProductTotal>,
        /// Loads of the spreaders.
        spreader_loads: u64,
        /// Loads of the trucks of those fields that know them.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        truck_loads: Option<KnownCount>,
        /// Mass ordered times distance, whatever the material.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ton_miles: Option<KnownTotal>,
        /// What they cost, in each currency.
        costs: Vec<CostTotal>,
        /// Ground where aluminium may harm roots.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        aluminium_risk_area: Option<KnownTotal>,
    }
}

part! {
    /// What fields take of one material, as spread.
    ProductTotal {
        /// The material in words.
        material: String,
        /// How many fields take it.
        fields: usize,
        /// Their mapped area.
        mapped_area: Quantity,
        /// Product prescribed.
        product_total: Quantity,
        /// Product to load.
        to_load: Quantity,
        /// Product to order.
        to_order: Quantity,
        /// The most applications that any of them takes; rates are those of all together.
        most_applications: usize,
        /// The least rate above 0 of any of them.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        least_rate: Option<Quantity>,
        /// Product over their mapped area.
        mean_rate: Quantity,
        /// The greatest rate of any of them.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        greatest_rate: Option<Quantity>,
        /// Product that the maps spare against the composites' rates; below 0 for more.
        saving_product: Quantity,
        /// The same of what is ordered.
        saving_to_order: Quantity,
    }
}

part! {
    /// What one application of all fields takes.
    ApplicationTotal {
        /// Which, from 1.
        number: u32,
        /// How many fields have it.
        fields: usize,
        /// What they take of each material.
        products: Vec<ApplicationProduct>,
        /// Loads of the spreaders.
        spreader_loads: u64,
    }
}

part! {
    /// What one application takes of one material, as spread.
    ApplicationProduct {
        /// The material in words.
        material: String,
        /// How many fields take it.
        fields: usize,
        /// Product prescribed.
        product_total: Quantity,
        /// Product to load.
        to_load: Quantity,
        /// Product to order.
        to_order: Quantity,
    }
}

part! {
    /// What fields cost in one currency.
    CostTotal {
        /// What is known, together.
        total: Quantity,
        /// Of how many fields it is known.
        fields: usize,
        /// `total` over the mapped area of these.
        per_area: Quantity,
        /// What it covers, and how much of it covers that.
        covers: Vec<CoveredCost>,
        /// What hauling costs, part of `total`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        haul: Option<KnownTotal>,
        /// What the maps spare against the composites' rates; below 0 for more.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        saving: Option<KnownTotal>,
    }
}

part! {
    /// Costs that cover the same.
    CoveredCost {
        /// Of `product`, `haul` and `spreading`, those that are counted.
        covers: Vec<String>,
        /// How many fields.
        fields: usize,
        /// What they cost.
        total: Quantity,
    }
}

part! {
    /// A total of something that not every field knows.
    KnownTotal {
        /// The total.
        total: Quantity,
        /// Of how many fields it is known.
        fields: usize,
    }
}

part! {
    /// A count of something that not every field knows.
    KnownCount {
        /// The count.
        count: u64,
        /// Of how many fields it is known.
        fields: usize,
    }
}
