//! Features of map files: areas, lines and points with their attributes, whatever the format.

mod archive;
mod bundle;
mod choose;
mod codepage;
mod crs_member;
mod dbf;
mod decimals;
mod format;
mod geojson;
mod geopackage;
#[cfg(feature = "geoparquet")]
mod geoparquet;
mod kml;
mod kml_placemark;
mod model;
mod read;
mod shapefile;
mod shp;
mod strict_json;
mod system;
mod wkb;

pub use choose::column_named;
pub use model::{Feature, FeatureLayer, RawGeometry};
pub use read::{ReadFeatures, Wanted, read_features};

pub(in crate::inputs) use bundle::Bundle;
pub(in crate::inputs) use choose::{Among, stem_of};
pub(in crate::inputs) use format::{extension_of, is_map_file};
pub(in crate::inputs) use model::MapFile;
pub(in crate::inputs) use read::read_map_member;
pub(in crate::inputs) use system::system_named;

#[cfg(test)]
mod tests;
