//! What a finished map comes to when it is read again: areas and product, held against what was
//! meant.

mod compare;
mod doubts;
mod factors;
mod reading;
mod rings;
mod shape;
mod totals;

pub use compare::{Expected, GRID_TOLERANCE, VECTOR_TOLERANCE, rates_as_meant, tolerance_of};
pub use reading::{AgainstWhat, reading_of};
pub use shape::{AgainstPart, ExportReading, MapReading, RateReading, Readings, readings_schema};
pub use totals::{MapTotals, RateTotal, totals_of};
