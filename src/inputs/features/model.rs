//! What every reader of map files gives: one layer of features, geometry as it stands in the file.

use std::path::PathBuf;

use crate::findings::Finding;
use crate::inputs::{CoordinateSystem, RawPoint, RawPolygon};

/// One layer of a map file, in one coordinate system.
#[derive(Clone, Debug, PartialEq)]
pub struct FeatureLayer {
    /// The file, as the user named it; a member of an archive or a layer is added to it.
    pub file: String,
    /// The system of all coordinates.
    pub system: CoordinateSystem,
    /// The names of the attributes, in the order of the file.
    pub columns: Vec<String>,
    /// The features, in the order of the file.
    pub features: Vec<Feature>,
}

/// One feature of a layer.
#[derive(Clone, Debug, PartialEq)]
pub struct Feature {
    /// Its number in the file, from 1.
    pub number: usize,
    /// Its geometry; every number in it is finite.
    pub geometry: RawGeometry,
    /// The attributes as texts, one for each column of the layer; blank where the file has none.
    pub attributes: Vec<String>,
}

/// The geometry of a feature as it stands in its file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RawGeometry {
    /// Its points.
    pub points: Vec<RawPoint>,
    /// Its lines.
    pub lines: Vec<Vec<RawPoint>>,
    /// Its areas.
    pub areas: Vec<RawPolygon>,
}

impl RawGeometry {
    /// Whether the feature has no geometry at all.
    pub fn is_empty(&self) -> bool {
        self.points.is_empty() && self.lines.is_empty() && self.areas.is_empty()
    }
}

/// The bytes of one map file, for the reader of its format.
#[derive(Debug)]
pub(in crate::inputs) struct MapFile {
    /// The file, as the user named it; a member of an archive is added to it.
    pub(in crate::inputs) name: String,
    /// Where it lies; for a member of an archive, where the archive lies.
    pub(in crate::inputs) path: PathBuf,
    /// What it is read as: `boundary`.
    pub(in crate::inputs) role: &'static str,
    /// Its bytes.
    pub(in crate::inputs) bytes: Vec<u8>,
}

/// What the reader of one format makes of a file, before features are chosen.
#[derive(Debug)]
pub(super) struct Parsed {
    /// The file, as the user named it; a member of an archive or a layer is added to it.
    pub(super) file: String,
    /// What the file says of its coordinates.
    pub(super) system: OwnSystem,
    /// The names of the attributes.
    pub(super) columns: Vec<String>,
    /// All features of the layer.
    pub(super) features: Vec<Feature>,
    /// What was found.
    pub(super) findings: Vec<Finding>,
}

/// What a file says of the system of its coordinates.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum OwnSystem {
    /// It names the system, or its format knows no other.
    Named(CoordinateSystem),
    /// It names none, and its format takes this one for granted; a job may state another.
    TakenForGranted(CoordinateSystem),
    /// Nothing.
    NotSaid,
}
