//! What is handed to a spreader: the ground in areas of one rate, in degrees, as every file that a
//! controller loads is made from it.

mod iso;
mod label;
mod raster;

pub use iso::{IsoAsked, IsoForm, iso_files};
pub use label::LoadLabel;

use crate::units::{Area, ControllerUnit, LimeNeed, ProductMass, ProductRate};

/// A ring of corners, longitude and latitude in whole steps of 1e-7 degree; the first is not
/// repeated at the end.
pub type RingE7 = Vec<[i32; 2]>;

/// One polygon: an outer ring, counter-clockwise, and its holes, clockwise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PolygonE7 {
    /// The outer ring.
    pub outer: RingE7,
    /// The holes.
    pub holes: Vec<RingE7>,
}

/// Ground that gets one rate.
#[derive(Clone, Debug)]
pub struct LoadArea {
    /// Its name on the map: of a cell its row and column, of a rate area its number.
    pub name: String,
    /// Its outline. The outlines of all areas tile the field net of keep-out, and share vertices
    /// where they touch.
    pub shape: Vec<PolygonE7>,
    /// Its true area.
    pub area: Area,
    /// The rate of material as spread; nothing where it gets none.
    pub rate: ProductRate,
    /// The product that it gets, as spread.
    pub product: ProductMass,
    /// The mean of its soil's pH, in the medium that it was measured in; of the topmost layer.
    pub ph: f64,
    /// The mean of what it needs.
    pub need: LimeNeed,
}

/// One application on one field.
#[derive(Clone, Debug)]
pub struct LoadMap {
    /// What it is of, in words.
    pub label: LoadLabel,
    /// The unit of the rates in files for the controller.
    pub unit: ControllerUnit,
    /// The field as it was drawn, holes and all.
    pub boundary: Vec<PolygonE7>,
    /// What is kept out of it.
    pub keep_out: Vec<PolygonE7>,
    /// The areas of one rate.
    pub areas: Vec<LoadArea>,
    /// The cells, where `areas` are not the cells: soil varies inside an area of one rate.
    pub cells: Option<Vec<LoadArea>>,
    /// All product of the ledger, as spread; what every file must add up to.
    pub product: ProductMass,
}
