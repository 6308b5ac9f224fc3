//! The shape of a list of materials, and of the parts of a material that only some have.

use std::sync::LazyLock;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::file::{job_table, without};
use super::material_file::MaterialTable;
use super::written::{At, Written};

job_table! {
    /// `[material.nutrients.NAME]`
    NutrientTable {
        /// How much of it there is: `1.2 % dry`, `1 % as received`, or `lb/ton` or `kg/t` as
        /// received.
        content: At<Written>,
        /// What it is worth to you, such as `0.55 $/lb`; shown beside the cost, never taken off it.
        price: At<Written>,
    }
}

job_table! {
    /// A list of materials.
    MaterialListFile {
        /// The materials, each with the keys of a job's `[material]`.
        material: At<Vec<At<MaterialTable>>>,
    }
}

/// The shape of a list of materials as a JSON Schema, made from the types alone, once: many jobs
/// may take their material from a list.
pub(super) static MATERIAL_LIST_FILE_SCHEMA: LazyLock<Value> = LazyLock::new(|| {
    let mut schema = schemars::schema_for!(MaterialListFile).to_value();
    without(schema.pointer_mut("/properties/material/items"), &["from", "quality"]);
    schema
});
