//! Finished exports, read back: ours or anybody's, as plain records.

mod beyond;
mod geotiff;
mod iso;
mod open;
mod rates;
mod table;
mod vector;

#[cfg(test)]
mod tests;

pub use open::{EXPORTS_FOLDER, FoundExport, read_exports, read_own_export};
pub use rates::{ExportAsked, is_of_soil};

use crate::findings::Finding;

/// A file for a controller, as it stands on the disk.
#[derive(Clone, Debug)]
pub struct ReadExport {
    /// What kind of file it is, in words, such as `shapefile` or `ISO 11783-10, grid type 2`.
    pub format: String,
    /// What was read of it, one for each rate map that it holds; a file may hold several.
    pub maps: Vec<ReadMap>,
    /// What is wrong with it, or looks wrong.
    pub faults: Vec<Finding>,
}

/// One rate map of an export.
#[derive(Clone, Debug)]
pub struct ReadMap {
    /// Its name in the file: of a column, a band, a treatment.
    pub name: String,
    /// The unit of its rates where the file tells it: `lb/ac`, `ton/ac`, `kg/ha`, `t/ha`, `mg/m2`.
    pub unit: Option<&'static str>,
    /// The rates on the ground.
    pub ground: ReadGround,
}

/// Where the rates of a map hold.
#[derive(Clone, Debug)]
pub enum ReadGround {
    /// In polygons.
    Areas(Vec<ReadArea>),
    /// In the cells of a grid whose rows run from west to east.
    Grid(ReadGrid),
    /// On ground that the file only gives the size of, row by row.
    Rows(Vec<ReadRow>),
}

/// Ground of a size and a rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadRow {
    /// Its area in square metres.
    pub area_m2: f64,
    /// Its rate in the unit of the map; `None` where the file has none.
    pub rate: Option<f64>,
}

/// A polygon, or several, of one rate.
#[derive(Clone, Debug)]
pub struct ReadArea {
    /// Rings of pairs of numbers in the file's own system (WGS 84 longitude and latitude in degrees
    /// unless it says otherwise), polygon by polygon; which ring of a polygon lies in which decides
    /// what is a hole of it. Closed or not.
    pub polygons: Vec<Vec<Vec<[f64; 2]>>>,
    /// Its rate in the unit of the map; `None` where the file has none.
    pub rate: Option<f64>,
}

/// A grid of rates; in a projected system its numbers are lengths in the units of that system.
#[derive(Clone, Debug)]
pub struct ReadGrid {
    /// Longitude of its west edge in degrees.
    pub west_deg: f64,
    /// Latitude of its south edge in degrees.
    pub south_deg: f64,
    /// Width of a cell in degrees of longitude.
    pub cell_lon_deg: f64,
    /// Height of a cell in degrees of latitude.
    pub cell_lat_deg: f64,
    /// Cells from west to east.
    pub columns: usize,
    /// Cells from south to north.
    pub rows: usize,
    /// The rates, row by row from the south-west corner; `None` outside the field.
    pub rates: Vec<Option<f64>>,
}
