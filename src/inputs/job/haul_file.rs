//! The shape of the `[order]` and the `[haul]` of a job.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::file::job_table;
use super::written::{At, Written};

job_table! {
    /// `[order]`
    OrderTable {
        /// Product spread twice where passes overlap, of what is prescribed.
        overlap_allowance: At<Written>,
        /// The part of the pile that never gets loaded.
        pile_loss: At<Written>,
        /// Whether the order is rounded up to whole trucks.
        whole_trucks: At<bool>,
    }
}

job_table! {
    /// `[haul]`
    HaulTable {
        /// From plant to field, one way.
        one_way_distance: At<Written>,
        /// The mass that a truck carries.
        truck_payload: At<Written>,
        /// What hauling costs: `12 $/ton`, `0.25 $/ton-mile`, `4 $/loaded mile` or `95 $/h`, or the
        /// same with `t`, `t-km` and `loaded km`.
        cost: At<Written>,
        /// The least that is charged for a load, such as `250 $/load`.
        minimum_charge: At<Written>,
        /// What a truck takes there and back, loading and unloading; or `road_speed` and
        /// `load_time` instead.
        round_trip: At<Written>,
        /// The mean speed of a truck on the road.
        road_speed: At<Written>,
        /// What loading and unloading a truck take together.
        load_time: At<Written>,
        /// Where the trucks drop the material, where fields share it: such as a place at a road.
        drop_site: At<String>,
        /// What spreading costs: over the area that gets any, such as `8 $/ac`, or for what is
        /// spread, such as `8 $/t`.
        spreading_cost: At<Written>,
    }
}
