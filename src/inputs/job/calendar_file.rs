//! The shape of the `[calendar]` of a list of jobs.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::file::job_table;
use super::written::{At, Day, Written};

job_table! {
    /// `[calendar]`
    CalendarTable {
        /// What straight-line distances between fields and piles are multiplied by to stand for
        /// roads.
        road_factor: At<f64>,
        /// How long a spreader works in a day.
        hours_a_day: At<Written>,
        /// How many spreaders work at once.
        spreaders: At<u32>,
        /// The first day of spreading.
        first_day: At<Day>,
    }
}
