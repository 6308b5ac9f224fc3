//! The part of the summary that tells of the files for the spreader's controller.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::shape::{Quantity, part};

part! {
    /// One map for a controller, in one format.
    WrittenExport {
        /// The format, as `export.files` has it.
        format: String,
        /// Its files, the one with the rates first.
        files: Vec<WrittenFile>,
        /// The unit of its rates.
        unit: String,
        /// Which application it is of, from 1.
        application: u32,
        /// How many applications there are.
        applications: u32,
        /// The revision of the map.
        revision: u32,
        /// The revision that this one supersedes; left out of the first.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        supersedes: Option<u32>,
        /// Its polygons; left out of grids and tables.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        polygons: Option<usize>,
        /// The corners of its polygons.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        vertices: Option<usize>,
        /// The cells of a grid that have a rate.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cells: Option<usize>,
        /// The rows of a table.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        rows: Option<usize>,
        /// The product of the application, by the ledger.
        product: Quantity,
        /// The product of the file, read back from its own bytes.
        product_read: Quantity,
        /// How far the second is off, as a share of the first; above 0 where the file has more.
        difference: f64,
    }
}

part! {
    /// One file of it.
    WrittenFile {
        /// Where it lies in the folder of the result.
        path: String,
        /// How many bytes it has.
        bytes: u64,
        /// The SHA-256 of its bytes, in hexadecimal.
        sha256: String,
    }
}
