//! Lime need of one soil, by a published method. This room has never heard of a map.

mod card;
mod conversion;
mod door;
mod lookup;
mod method;
mod need;
mod reading_table;
mod readings;
mod registry;
mod schema;
mod table;
mod worked;

pub use card::{Basis, Citation, MethodCard, MethodMedium};
pub use conversion::{ConversionExample, PhConversion, all_conversions};
pub use method::{Ask, Given, LimeMethod};
pub use need::{Missing, Need, Prepared, Why};
pub use reading_table::ReadingTable;
pub use readings::{Buffer, BufferReading, Layer, Placement};
pub use registry::{all_methods, method};
pub use schema::method_table_schema;
pub use table::{
    Between, DerivedLine, Example, ExampleReadings, MethodTable, NeedUnit, Reads, Row, Shape,
};
pub use worked::{Worked, check_examples, work_example};

#[cfg(test)]
mod tests;
