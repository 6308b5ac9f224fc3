//! `[samples.repeatability]` of a job.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::file::job_table;
use super::written::At;

job_table! {
    /// `[samples.repeatability]`
    RepeatabilityTable {
        /// The standard deviation of the pH of one sample, read again.
        ph: At<f64>,
        /// The same of its buffer pH.
        buffer_ph: At<f64>,
    }
}
