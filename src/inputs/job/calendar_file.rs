//! The shape of the `[calendar]` of a list of jobs.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::file::job_table;
use super::written::{At, Day, Written};

job_table! {
    /// `[calendar]`
    CalendarTable {
        /// What straight-line distances between fields, piles and plants are multiplied by to stand
        /// for roads.
        road_factor: At<f64>,
        /// How long is worked in a day.
        hours_a_day: At<Written>,
        /// How many spreaders work at once; 1 unless stated.
        spreaders: At<u32>,
        /// How many trucks haul.
        trucks: At<u32>,
        /// The speed of the spreaders on the road from field to field.
        moving_speed: At<Written>,
        /// The first day of spreading.
        first_day: At<Day>,
        /// Days of the week on which nobody works, such as `sunday`.
        days_off: At<Vec<At<String>>>,
        /// Single days on which nobody works.
        closed: At<Vec<At<Day>>>,
        /// The fields in the order in which they are spread, by the names of their folders; those
        /// that are not named come behind.
        sequence: At<Vec<At<String>>>,
        /// Whether what is left where one field's material was dropped goes on to the next field of
        /// the same material, whose order is less by it; `false` unless stated.
        carry_over: At<bool>,
    }
}
