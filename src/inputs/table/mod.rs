//! Tables of text: rows of cells under a header, whatever the file they came from.

mod model;

pub use model::{JoinedColumns, Table, TableRow};
