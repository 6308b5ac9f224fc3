//! Soil samples as points of a table.

mod columns;
mod header;
mod table;

pub use table::{ReadSamples, Samples, read_samples};
