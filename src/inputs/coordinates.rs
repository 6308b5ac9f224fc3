//! Coordinates as a file holds them, with the system they were declared in; no geometry yet.

use crate::findings::clean;

/// The coordinate system that a file's numbers are in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CoordinateSystem {
    /// WGS 84 longitude and latitude in degrees, as RFC 7946 has it.
    Wgs84Degrees,
    /// Anything that PROJ knows by the text given, such as `EPSG:25833`; x before y.
    Declared(String),
}

impl CoordinateSystem {
    /// Its name in a sentence.
    pub fn in_words(&self) -> String {
        match self {
            Self::Wgs84Degrees => "WGS 84 longitude and latitude".to_owned(),
            Self::Declared(text) => format!("`{}`", clean(text)),
        }
    }
}

/// A pair of raw coordinates: x (longitude or easting) and y (latitude or northing), in the units
/// of the declared system.
pub type RawPoint = [f64; 2];

/// One polygon as it was read: rings as they stand in the file, closed or not, any direction.
#[derive(Clone, Debug, PartialEq)]
pub struct RawPolygon {
    /// The feature of the file that it came from, counted from 1.
    pub feature: usize,
    /// The outer ring.
    pub outer: Vec<RawPoint>,
    /// The holes.
    pub holes: Vec<Vec<RawPoint>>,
    /// Whether the file says which rings are holes.
    pub sorted: RingsSorted,
}

/// Whether a file says which rings of a polygon are its outer ring and its holes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RingsSorted {
    /// It does, and they stand so in the polygon.
    ByTheFile,
    /// It only lists rings, or cannot be trusted with their direction: `outer` is the first of them
    /// and `holes` are the others, and which ring lies in which decides (even-odd).
    NotYet,
}

/// A field boundary as it was read; every number in it is finite.
#[derive(Clone, Debug, PartialEq)]
pub struct RawBoundary {
    /// The file, as the user named it.
    pub file: String,
    /// The system of the coordinates.
    pub system: CoordinateSystem,
    /// Its polygons, at least one.
    pub polygons: Vec<RawPolygon>,
}
