//! The shape of the `[upkeep]` of a job.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::file::job_table;
use super::written::{At, Written};

job_table! {
    /// `[upkeep]`
    UpkeepTable {
        /// The nitrogen that is given each year.
        nitrogen: At<Vec<At<NitrogenTable>>>,
        /// What is carried off each year.
        removal: At<Vec<At<RemovalTable>>>,
    }
}

job_table! {
    /// One of `upkeep.nitrogen`
    NitrogenTable {
        /// Its form.
        form: At<String>,
        /// How much N of it, such as `150 lb/ac`.
        rate: At<Written>,
    }
}

job_table! {
    /// One of `upkeep.removal`
    RemovalTable {
        /// The product.
        product: At<String>,
        /// How much of it, such as `3 t/ha`.
        #[serde(rename = "yield")]
        harvest: At<Written>,
    }
}
