//! The shape of the `[allotment]` of a list of jobs.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::file::job_table;
use super::written::{At, Written};

job_table! {
    /// `[allotment]`
    AllotmentTable {
        /// The most that there is: of material as spread, such as `500 ton`, or of money, such as
        /// `12000 $`.
        limit: At<Written>,
        /// The fields that must get lime.
        must: At<Vec<At<String>>>,
        /// The fields that get none this year.
        not_this_year: At<Vec<At<String>>>,
        /// The fields that come before others, in this order.
        priority: At<Vec<At<String>>>,
    }
}
