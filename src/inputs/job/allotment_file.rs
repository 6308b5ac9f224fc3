//! The shape of the `[allotment]` of a list of jobs.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::file::job_table;
use super::written::{At, Written};

job_table! {
    /// `[allotment]`: which fields get lime first where there is not enough.
    AllotmentTable {
        /// The most that there is: of material as spread, to order, such as `500 ton`, or of money,
        /// such as `12000 $`.
        limit: At<Written>,
        /// In place of `limit`: the most that there is in each of two to four years.
        years: At<Vec<At<Written>>>,
        /// In place of `limit` and `years`, where the fields get several materials: the most that
        /// there is of each. A material that is not named has no limit.
        material: At<Vec<At<AllottedMaterialTable>>>,
        /// What is chosen: whole `fields`, their `rate areas`, or `trucks`, which are rate areas as
        /// far as whole trucks carry them; whole fields unless stated.
        take: At<String>,
        /// The least that a field gets where it does not get all: less is not worth the way.
        least_per_field: At<Written>,
        /// The fields that must get lime, by the names of their folders or their own names.
        must: At<Vec<At<String>>>,
        /// The fields that get none this year.
        not_this_year: At<Vec<At<String>>>,
        /// The fields that come before others, in this order.
        priority: At<Vec<At<String>>>,
        /// What a gain of pH is worth in money, by someone's own figures.
        response: At<ResponseTable>,
    }
}

job_table! {
    /// `[[allotment.material]]`
    AllottedMaterialTable {
        /// The material, as the jobs call it.
        name: At<String>,
        /// The most that there is of it, as `allotment.limit`.
        limit: At<Written>,
        /// In place of `limit`: the most in each year, as `allotment.years`.
        years: At<Vec<At<Written>>>,
    }
}

job_table! {
    /// `[allotment.response]`
    ResponseTable {
        /// Where the figures come from: own trials, the accounts of the farm, an adviser.
        source: At<String>,
        /// What a pH more is worth, from the lowest pH up.
        band: At<Vec<At<ResponseBandTable>>>,
    }
}

job_table! {
    /// `[[allotment.response.band]]`
    ResponseBandTable {
        /// Ground below this pH before it is limed, and not below that of the band before; in whole
        /// tenths. Ground at the pH of the last band and above is worth nothing.
        ph_below: At<f64>,
        /// What one pH more is worth there, such as `60 $/ac`.
        worth: At<Written>,
    }
}
