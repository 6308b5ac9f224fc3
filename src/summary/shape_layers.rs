//! The shape of the layers of soil in `summary.json`.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Quantity;
use super::shape::{Interpolation, SoilPart, TableLimits, part};

part! {
    /// One of several layers of soil that the need is the sum over.
    LayerPart {
        /// The depth that it was sampled from.
        depth: String,
        /// The part of the limed depth that it stands for.
        part: String,
        /// Its need was multiplied by this: the thickness of that part over table depth.
        depth_factor: f64,
        /// CaCO3 that it needs, over the field.
        need_total: Quantity,
        /// Its share of the need of all layers; left out where nothing is needed.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        need_share: Option<f64>,
        /// What its samples read.
        soil: BTreeMap<String, SoilPart>,
        /// How its map was drawn between them.
        interpolation: Interpolation,
        /// Where a method's end value was taken in it.
        table_limit_area: TableLimits,
    }
}
