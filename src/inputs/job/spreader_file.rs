//! The shape of the `[spreader]` of a job.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::file::job_table;
use super::written::{At, Written};

job_table! {
    /// `[spreader]`
    SpreaderTable {
        /// The least rate above nothing.
        min_rate: At<Written>,
        /// The greatest rate.
        max_rate: At<Written>,
        /// The step between rates.
        step: At<Written>,
        /// All the rates there are, in place of the three above.
        rates: At<Vec<At<Written>>>,
        /// What becomes of a rate below the least: `nearest`, `raise` or `drop`.
        below_min: At<String>,
        /// Distance between driving lines.
        pass_spacing: At<Written>,
        /// The mass that the spreader carries.
        payload: At<Written>,
        /// The volume of its box.
        box_volume: At<Written>,
        /// Its speed while spreading.
        speed: At<Written>,
        /// The fastest that it drives while spreading.
        top_speed: At<Written>,
        /// The least material that flows out of it evenly.
        min_flow: At<Written>,
        /// The most that flows out of it.
        max_flow: At<Written>,
        /// How wide it throws, both sides together; the passes overlap where it is wider than the
        /// pass spacing.
        throw_width: At<Written>,
        /// How far inside the edge of what is spread the outermost driving line lies; half the pass
        /// spacing unless stated.
        outermost_line: At<Written>,
        /// The time that it takes from one rate to another; published times without it.
        rate_change_time: At<Written>,
        /// The volume of the bucket that it is loaded with.
        bucket_volume: At<Written>,
        /// The time to load it once.
        load_time: At<Written>,
        /// The time of a turn from one pass into the next.
        turn_time: At<Written>,
        /// Its speed between the pile and the ground, while it does not spread.
        running_speed: At<Written>,
        /// What the straight line from the pile to the ground is multiplied by to stand for the
        /// way that is driven.
        run_factor: At<f64>,
        /// Over how many applications the need is spread.
        applications: At<u32>,
        /// How a rate is shared among them: `equal` or `capped`.
        split: At<String>,
    }
}
