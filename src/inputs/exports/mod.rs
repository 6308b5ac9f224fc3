//! Finished exports, read back: ours or anybody's, as plain records.

mod iso;

pub use iso::{read_iso, task_data_among};

use crate::findings::{Finding, Place, Problem, Refusal, clean};

/// The files of an export: those in a folder, in an archive, or not stored yet.
pub trait ExportFiles {
    /// Their names with the folders in them, parted by forward slashes.
    fn names(&self) -> Vec<String>;

    /// The bytes of the file with that name.
    ///
    /// # Errors
    /// Refuses a file that is not there or cannot be read.
    fn bytes(&mut self, name: &str) -> Result<Vec<u8>, Refusal>;
}

/// Files that are not stored yet, by their names.
impl ExportFiles for Vec<(String, Vec<u8>)> {
    fn names(&self) -> Vec<String> {
        self.iter().map(|(name, _)| name.clone()).collect()
    }

    fn bytes(&mut self, name: &str) -> Result<Vec<u8>, Refusal> {
        let found = self.iter().find(|(known, _)| known == name);
        found.map(|(_, bytes)| bytes.clone()).ok_or_else(|| {
            let what = format!("there is no file {} among them", clean(name));
            Problem::at(Place::in_file(name), what).into()
        })
    }
}

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
}

/// A polygon, or several, of one rate.
#[derive(Clone, Debug)]
pub struct ReadArea {
    /// Rings of longitude and latitude in WGS 84 degrees, polygon by polygon, the outer ring of
    /// each first; not closed.
    pub polygons: Vec<Vec<Vec<[f64; 2]>>>,
    /// Its rate in the unit of the map; `None` where the file has none.
    pub rate: Option<f64>,
}

/// A grid of rates.
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
