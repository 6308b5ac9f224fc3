//! What is handed to a spreader: the ground in areas of one rate, in degrees, as every file that a
//! controller loads is made from it.

mod cells_csv;
mod dbf;
mod geotiff;
mod grid;
mod iso;
mod label;
mod names;
mod shapefile;
mod write;

pub use grid::{GridSize, LoadGrid};
pub use iso::iso_rates;
pub use label::LoadLabel;
pub use write::{ExportFile, export_files, files_beside};

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
    /// The rates where the map has none.
    pub elsewhere: ElsewhereRates,
}

/// What a controller is to have spread where the map does not say. Ground that is kept out gets
/// nothing in any case.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ElsewhereRates {
    /// Outside the boundary of the field.
    pub out_of_field: ProductRate,
    /// Where the position is lost.
    pub signal_lost: ProductRate,
}

impl LoadMap {
    /// How far a rate that is read back from a file may be from what was meant, in the unit of the
    /// map: half of the last decimal that is written.
    pub fn rate_tolerance(&self) -> f64 {
        (0..names::rate_decimals(self.unit)).fold(0.500_001, |half, _| half / 10.0)
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    /// An area of these rings, the first of them the outer one.
    pub(in crate::outputs) fn area(rings: &[&[[i32; 2]]], short_tons_per_acre: f64) -> LoadArea {
        let rings: Vec<RingE7> = rings.iter().map(|ring| ring.to_vec()).collect();
        LoadArea {
            name: "0-0".to_owned(),
            shape: vec![PolygonE7 { outer: rings[0].clone(), holes: rings[1..].to_vec() }],
            area: Area::from_acres(1.0),
            rate: ProductRate::from_short_tons_per_acre(short_tons_per_acre),
            product: ProductMass::from_short_tons(short_tons_per_acre),
            ph: 6.0,
            need: LimeNeed::from_short_tons_per_acre(short_tons_per_acre),
        }
    }
}
