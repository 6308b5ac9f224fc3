//! What is kept of task data.

use std::collections::{BTreeMap, BTreeSet};

use crate::findings::Place;

/// Longitude and latitude in degrees.
pub(super) type LonLatDeg = [f64; 2];
/// The rings of one polygon, the outer one first; not closed.
pub(super) type Rings = Vec<Vec<LonLatDeg>>;

/// The elements of a main file and of those that it refers to.
#[derive(Default)]
pub(super) struct TaskFile {
    /// Identifiers that are there, each with the name of its element.
    pub(super) ids: BTreeSet<(&'static str, String)>,
    /// References by the kind of element that they are to, and their own names; each with the
    /// place where it stands first and how often it does.
    pub(super) references: BTreeMap<(&'static str, String), (Place, &'static str, u64)>,
    /// Names of products.
    pub(super) products: BTreeMap<String, String>,
    /// The polygons of the boundary of each field.
    pub(super) fields: BTreeMap<String, Vec<Rings>>,
    pub(super) tasks: Vec<Task>,
    /// Files that are referred to, without their ending.
    pub(super) external: Vec<(String, Place)>,
    /// Elements that are kept, to hold them against the limit.
    pub(super) kept: usize,
}

/// One task.
pub(super) struct Task {
    pub(super) id: String,
    pub(super) name: Option<String>,
    pub(super) field: Option<String>,
    /// The codes of its zones of a special meaning, each with the words for it.
    pub(super) special: Vec<(u8, &'static str)>,
    pub(super) out_of_field: Option<u8>,
    pub(super) zones: Vec<TreatmentZone>,
    pub(super) grids: Vec<Grid>,
    /// Whether it has a grid that cannot be read, which was told.
    pub(super) unread_grid: bool,
    pub(super) place: Place,
}

/// A treatment zone.
pub(super) struct TreatmentZone {
    /// None where it cannot be read, which was told.
    pub(super) code: Option<u8>,
    pub(super) values: Vec<Value>,
    pub(super) polygons: Vec<Rings>,
    pub(super) place: Place,
}

/// A process data variable of a zone.
pub(super) struct Value {
    /// None where it cannot be read, which was told.
    pub(super) ddi: Option<u16>,
    pub(super) number: Option<i32>,
    pub(super) product: Option<String>,
    pub(super) device: Option<String>,
    pub(super) place: Place,
}

/// A grid, as its element has it.
pub(super) struct Grid {
    pub(super) south_deg: f64,
    pub(super) west_deg: f64,
    pub(super) cell_lat_deg: f64,
    pub(super) cell_lon_deg: f64,
    pub(super) columns: u32,
    pub(super) rows: u32,
    pub(super) file: String,
    /// The bytes that the element says the file has.
    pub(super) bytes: Option<u64>,
    pub(super) kind: GridKind,
    pub(super) place: Place,
}

/// What the cells of a grid hold.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum GridKind {
    /// Type 1: codes of treatment zones.
    Codes,
    /// Type 2: values of the variables of the treatment zone with this code, which may be missing.
    Values(Option<u8>),
}
