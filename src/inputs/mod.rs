//! Opens and reads every file, and knows nothing of what the numbers will be used for.

mod coordinates;

pub use coordinates::{CoordinateSystem, RawBoundary, RawPoint, RawPolygon};
