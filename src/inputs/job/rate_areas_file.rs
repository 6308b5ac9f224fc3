//! The shape of `[rate_areas]` in a job file.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::file::job_table;
use super::written::{At, Written};

job_table! {
    /// `[rate_areas]`: areas of one rate in place of the cells.
    RateAreasTable {
        /// How many different rates above nothing the areas may have at most; the machine's own
        /// that together are nearest to the rates of the cells are taken.
        rates_at_most: At<u32>,
        /// How far the choice of rates may move the rate of any cell, with as few rates as that
        /// allows; in place of `rates_at_most`.
        tolerance: At<Written>,
        /// Areas smaller than this merge into their surroundings.
        least_area: At<Written>,
        /// So do areas that are nowhere as wide as this; the pass spacing unless stated.
        least_width: At<Written>,
        /// How many rounds along the boundary, each one pass spacing wide, are areas of their own.
        end_rows: At<u32>,
        /// How many polygons there may be at most; larger areas merge until there are no more.
        polygons_at_most: At<u32>,
        /// The same for the vertices of all polygons.
        vertices_at_most: At<u32>,
        /// The numbers of the areas that are limed this time, from 1 as the map numbers them; the
        /// others get nothing, and their need stands in the ledger as held back. All of them unless
        /// stated.
        only: At<Vec<At<u32>>>,
    }
}
