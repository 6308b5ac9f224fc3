//! The shape of `[risk]` in a job file.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::file::job_table;
use super::written::{At, Written};

job_table! {
    /// `[risk]`: limits of the job's own, in place of the published ones.
    RiskTable {
        /// Where they come from; required beside any of the others.
        source: At<String>,
        /// Water pH below which aluminium may harm roots.
        aluminium_ph: At<f64>,
        /// Aluminium by the job's extract above which it is likely to, such as `25 ppm`.
        aluminium: At<Written>,
        /// Aluminium saturation above which it is likely to.
        aluminium_saturation: At<Written>,
        /// Water pH below which manganese may harm crops.
        manganese_ph: At<f64>,
        /// Water pH above which the soil is limed too far.
        overliming_ph: At<f64>,
    }
}
