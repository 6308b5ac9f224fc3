//! Soil samples as points of a table.

mod cell;
mod columns;
mod degrees;
mod depths;
mod header;
mod index;
mod policy;
mod row;
mod table;
mod told;

pub use policy::{CellPolicy, Censored, LayerGaps, Missing};
pub use table::{ReadSamples, Samples, read_samples, samples_from_table};

pub(in crate::inputs) use header::promise_of;
