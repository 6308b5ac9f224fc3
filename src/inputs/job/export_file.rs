//! The shape of the `[export]` of a job.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::file::job_table;
use super::written::{At, Written};

job_table! {
    /// `[export]`
    ExportTable {
        /// The files for the spreader's controller that are written beside the map, into `exports`;
        /// `--export` puts its own list over this one.
        files: At<Vec<At<String>>>,
        /// The unit of the rates in them; that of the spreader's own rates unless stated.
        unit: At<String>,
        /// The side of a cell in grids, at the most; unless stated a quarter of the map's cell, or
        /// as much less as a true total takes.
        raster_cell: At<Written>,
        /// What task data have the spreader put down outside the field's boundary; nothing unless
        /// stated. Ground that is kept out gets nothing in any case.
        out_of_field_rate: At<Written>,
        /// What task data have it put down where its position is lost; nothing unless stated.
        signal_lost_rate: At<Written>,
    }
}
