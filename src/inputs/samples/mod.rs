//! Soil samples as points of a table.

mod cell;
mod columns;
mod degrees;
mod header;
mod index;
mod policy;
mod recognise;
mod row;
mod table;
mod told;

pub use policy::{CellPolicy, Censored, Missing};
pub use recognise::{Readings, Recognised, RecognisedColumn, recognise};
pub use table::{ReadSamples, Samples, read_samples, samples_from_table};

pub(in crate::inputs) use header::promise_of;
