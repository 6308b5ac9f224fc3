//! Soil samples as points of a table.

mod cell;
mod columns;
mod degrees;
mod depths;
mod header;
mod index;
mod lab_check;
mod likeness;
mod map_file;
mod media_by_row;
mod medium;
mod meter_log;
mod moment;
mod not_taken;
mod policy;
mod read;
mod recognise;
mod row;
mod table;
mod told;
mod values;
mod zone_results;

pub use lab_check::{LabPairs, read_lab_pairs};
pub use map_file::{SampleTable, read_sample_table};
pub use meter_log::{MeterLog, read_meter_log};
pub use moment::Moment;
pub use policy::{CellPolicy, Censored, LayerGaps, Missing};
pub use read::{
    JoinHow, Joined, ReadSamples, join_results, read_samples, samples_of_areas, table_of_areas,
};
pub use recognise::{Readings, Recognised, RecognisedColumn, places_of, recognise};
pub use table::{SampleValues, Samples, samples_from_table};
pub use zone_results::read_zone_results;

pub(in crate::inputs) use header::promise_of;
pub(in crate::inputs) use meter_log::promise_of_log;
