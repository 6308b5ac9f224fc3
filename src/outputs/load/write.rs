//! A load map in the files of one format; a new format is one more arm here.

use super::LoadMap;
use super::cells_csv::csv_file;
use super::geotiff::{rate_grid, soil_grids};
use super::grid::GridSize;
use super::iso::{IsoForm, iso_files};
use super::shapefile::shapefile_files;
use crate::inputs::ExportFormat;

/// One file of an export, not on the disk yet.
#[derive(Clone, PartialEq, Eq)]
pub struct ExportFile {
    /// Its name, in the folder of all exports.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

impl std::fmt::Debug for ExportFile {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} ({} bytes)", self.name, self.bytes.len())
    }
}

/// The files of `map` in one format, named after `stem`; the one that holds the rates comes first.
/// `grid` is the size of grids.
///
/// # Errors
/// Returns what the format does not hold.
pub fn export_files(
    map: &LoadMap,
    format: ExportFormat,
    stem: &str,
    grid: GridSize,
) -> Result<Vec<ExportFile>, String> {
    match format {
        ExportFormat::Shapefile => shapefile_files(map, stem),
        ExportFormat::GeoTiff => Ok(vec![rate_grid(map, stem, grid)?]),
        ExportFormat::Csv => Ok(vec![csv_file(map, stem)]),
        ExportFormat::IsoPolygons => iso_files(map, IsoForm::Polygons, stem),
        ExportFormat::IsoGridOfZones => iso_files(map, IsoForm::GridOfZones(grid), stem),
        ExportFormat::IsoGridOfRates => iso_files(map, IsoForm::GridOfRates(grid), stem),
    }
}

/// The files that stand beside those of the rates and hold none.
///
/// # Errors
/// Returns what the format does not hold.
pub fn files_beside(
    map: &LoadMap,
    format: ExportFormat,
    stem: &str,
    grid: GridSize,
) -> Result<Vec<ExportFile>, String> {
    match format {
        ExportFormat::GeoTiff => soil_grids(map, stem, grid),
        _ => Ok(Vec::new()),
    }
}
