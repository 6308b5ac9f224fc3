//! The files for controllers that a job asks for.

use crate::units::{ControllerUnit, Length, ProductRate};

/// A kind of file for a controller or a map program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ExportFormat {
    /// The files of a shapefile.
    Shapefile,
    /// Grids of rate, pH and need, a file each.
    GeoTiff,
    /// A table of the cells.
    Csv,
    /// ISO 11783-10 task data whose treatment zones have polygons.
    IsoPolygons,
    /// ISO 11783-10 task data with a grid of treatment zones (type 1).
    IsoGridOfZones,
    /// ISO 11783-10 task data with a grid of rates (type 2).
    IsoGridOfRates,
}

impl ExportFormat {
    /// All of them, in the order in which they are written.
    pub const ALL: [Self; 6] = [
        Self::Shapefile,
        Self::GeoTiff,
        Self::Csv,
        Self::IsoPolygons,
        Self::IsoGridOfZones,
        Self::IsoGridOfRates,
    ];

    /// As a job and `--export` write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Shapefile => "shapefile",
            Self::GeoTiff => "geotiff",
            Self::Csv => "csv",
            Self::IsoPolygons => "iso-xml polygons",
            Self::IsoGridOfZones => "iso-xml grid 1",
            Self::IsoGridOfRates => "iso-xml grid 2",
        }
    }

    /// Whether it is task data, which has rates for where the map has none.
    pub fn is_task_data(self) -> bool {
        matches!(self, Self::IsoPolygons | Self::IsoGridOfZones | Self::IsoGridOfRates)
    }

    /// Whether its rates stand in cells of a grid, which do not follow the edges of areas.
    pub fn is_grid(self) -> bool {
        match self {
            Self::GeoTiff | Self::IsoGridOfZones | Self::IsoGridOfRates => true,
            Self::Shapefile | Self::Csv | Self::IsoPolygons => false,
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
    /// What is spread outside the field, where the job states it.
    pub out_of_field_rate: Option<ProductRate>,
    /// What is spread where the position is lost, where the job states it.
    pub signal_lost_rate: Option<ProductRate>,
}
