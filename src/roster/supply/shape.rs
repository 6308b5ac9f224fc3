//! The shape of which supplier serves which field.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::summary::{Quantity, part};

part! {
    /// Which supplier serves which field at the least cost, delivered. Masses are as spread (wet).
    SupplierPlan {
        /// The fields that get material, by their ids; empty where `lacks` says why nothing fits.
        fields: Vec<SuppliedField>,
        /// The suppliers, in the order of the list.
        suppliers: Vec<SupplierUse>,
        /// The fields that need material and that no supplier can serve; `not_known` says why.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        unserved: Vec<String>,
        /// What all of it costs, delivered; `unserved` fields are not in it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cost_total: Option<Quantity>,
        /// Whether no other choice costs less, for the tons as they are counted here.
        proven: bool,
        /// Where that is not proven: how much less one might cost at the most, as a part of
        /// `cost_total`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        gap: Option<f64>,
        /// The least that suppliers would have to have more of, where what they have is not enough.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        lacks: Vec<SupplierLack>,
        /// What the numbers rest on, in sentences.
        rests_on: Vec<String>,
        /// What is not worked out, and what is missing for it.
        not_known: Vec<String>,
    }
}

part! {
    /// One field and who serves it.
    SuppliedField {
        /// Its id.
        id: String,
        /// What it is called.
        field: String,
        /// From whom it gets its material; several only where the list splits.
        from: Vec<SupplierShare>,
        /// What that costs, delivered.
        cost: Quantity,
        /// What the rates of its map are multiplied by with that material, before they are held
        /// between the spreader's limits and rounded to what it can hold: the field has to be run again with it unless this is 1.
        rate_factor: f64,
    }
}

part! {
    /// What one supplier brings to one field.
    SupplierShare {
        /// Who.
        supplier: String,
        /// To order, as delivered; where that is known as bounds only, the most.
        to_order: Quantity,
        /// The least that it may come to, where the spreader's limits hold ground of the field, so
        /// that it is not known how much of another material that takes.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        at_least: Option<Quantity>,
        /// Trucks, where they are known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        trucks: Option<u64>,
        /// From the plant, one way, where that is known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        distance: Option<Quantity>,
        /// What it costs, delivered.
        cost: Quantity,
    }
}

part! {
    /// What is taken from one supplier.
    SupplierUse {
        /// Who.
        supplier: String,
        /// What it sells.
        material: String,
        /// The effective part as spread; 1 is pure CaCO3.
        effective_as_spread: f64,
        /// The most that it has; left out where it has enough.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        limit: Option<Quantity>,
        /// What is taken of it.
        used: Quantity,
        /// How many fields it serves.
        fields: usize,
        /// What is paid for it, delivered.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cost: Option<Quantity>,
        /// What its limit would be raised by for `one_more_saves`: a truck, or a hundredth of it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        one_more: Option<Quantity>,
        /// What all of it would cost less then; left out where that was not worked out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        one_more_saves: Option<Quantity>,
        /// The table with which a job takes this material in place of its own.
        material_toml: String,
        /// The table that the same job takes for the haul, without `one_way_distance`, which is the
        /// field's own; empty where the supplier states no haul.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        haul_toml: String,
        /// The keys that the list shares and that would hold beside both tables, because they are
        /// laid over the shared ones key by key.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        shared_beside: Vec<String>,
    }
}

part! {
    /// What one supplier would have to have more.
    SupplierLack {
        /// Who.
        supplier: String,
        /// How much.
        more: Quantity,
    }
}
