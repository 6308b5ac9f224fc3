//! Features of map files: areas, lines and points with their attributes, whatever the format.

mod model;

pub use model::{Feature, FeatureLayer, RawGeometry};
