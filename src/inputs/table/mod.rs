//! Tables of text: rows of cells under a header, whatever the file they came from.

mod attributes;
mod decode;
mod head;
mod long;
mod marks;
mod model;
mod numbers;
mod read;
mod repeats;
mod split;
mod style;
mod unit_words;

pub use model::{JoinedColumns, Table, TableRow};
pub use read::{ReadTable, read_table};
pub use repeats::RepeatRule;
pub use style::{DecimalMark, Promise, TableStyle};

pub(in crate::inputs) use attributes::table_of_attributes;
pub(in crate::inputs) use marks::{has_a_decimal_comma, two_readings};
pub(in crate::inputs) use read::table_of_bytes;
pub(in crate::inputs) use repeats::Repeats;
pub(in crate::inputs) use unit_words::is_unit;

#[cfg(test)]
mod tests;
