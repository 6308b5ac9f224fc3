//! The files for controllers that a job asks for.

use crate::units::{ControllerUnit, Length};

/// A kind of file for a controller or a map program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ExportFormat {
    /// The files of a shapefile.
    Shapefile,
    /// Grids of rate, pH and need, a file each.
    GeoTiff,
    /// A table of the cells.
    Csv,
}

impl ExportFormat {
    /// All of them, in the order in which they are written.
    pub const ALL: [Self; 3] = [Self::Shapefile, Self::GeoTiff, Self::Csv];

    /// As a job and `--export` write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Shapefile => "shapefile",
            Self::GeoTiff => "geotiff",
            Self::Csv => "csv",
        }
    }

    /// Whether its rates stand in cells of a grid, which do not follow the edges of areas.
    pub fn is_grid(self) -> bool {
        match self {
            Self::GeoTiff => true,
            Self::Shapefile | Self::Csv => false,
        }
    }
}

/// What files a job asks for, and how they are to be.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ExportPart {
    /// The files, each kind once, in their own order.
    pub files: Vec<ExportFormat>,
    /// The unit of their rates, where the job states it.
    pub unit: Option<ControllerUnit>,
    /// The side of a cell in grids, where the job states it.
    pub raster_cell: Option<Length>,
}
