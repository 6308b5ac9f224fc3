//! The shapes of `[[supplier]]` and `[supply]` of a list of jobs.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::file::job_table;
use super::haul_file::HaulTable;
use super::material_file::MaterialTable;
use super::written::{At, Written};

job_table! {
    /// `[[supplier]]`
    SupplierTable {
        /// Who it is.
        name: At<String>,
        /// The most that it supplies, as spread, such as `500 ton`.
        limit: At<Written>,
        /// What it sells, with the keys of a job's `[material]`; its price holds at the `plant` or
        /// `delivered`.
        material: At<MaterialTable>,
        /// How it hauls, with the keys of a job's `[haul]`; `one_way_distance` holds for the fields
        /// that `distance` does not name.
        haul: At<HaulTable>,
        /// From its plant to each field by road, one way, by the names of the fields' folders.
        distance: At<BTreeMap<String, At<Written>>>,
        /// Where its plant lies, longitude and latitude in WGS 84 degrees: fields without a
        /// distance get the straight line times `calendar.road_factor`.
        place: At<Vec<At<f64>>>,
    }
}

job_table! {
    /// `[supply]`
    SupplyTable {
        /// Whether a field may get its material from several suppliers, which then sell material of
        /// one effective part; `false` unless stated.
        split: At<bool>,
    }
}
