//! Soil samples as points of a table.

mod cell;
mod columns;
mod degrees;
mod depths;
mod header;
mod index;
mod map_file;
mod medium;
mod policy;
mod read;
mod recognise;
mod row;
mod table;
mod told;
mod values;

pub use policy::{CellPolicy, Censored, LayerGaps, Missing};
pub use read::{ReadSamples, read_samples, samples_of_areas};
pub use recognise::{Readings, Recognised, RecognisedColumn, places_of, recognise};
pub use table::{SampleValues, Samples, samples_from_table};

pub(in crate::inputs) use header::promise_of;
