//! What the driver of a spreader needs to know of one application, in numbers.

use super::{LoadPart, Quantity};
use crate::prescription::PatchMiddle;
use crate::units::ControllerUnit;

/// One application on one field, for the one who spreads it. It carries no prices.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Which application of how many.
    pub application: (u32, u32),
    /// The day planned for it, `YYYY-MM-DD`.
    pub date: Option<String>,
    /// The unit that its controller takes rates in.
    pub unit: ControllerUnit,
    /// The rates, from nothing upward.
    pub rates: Vec<SheetRate>,
    /// Where anything is spread.
    pub treated_area: Quantity,
    /// What it spreads.
    pub product: Quantity,
    /// What goes into the spreader.
    pub to_load: Quantity,
    /// The loads of the spreader.
    pub loads: LoadPart,
    /// How many buckets a full load is, where bucket and density are known.
    pub buckets: Option<f64>,
    /// The volume of such a bucket.
    pub bucket: Option<Quantity>,
    /// Places at which the rate can be checked, each of another rate as far as there are three.
    pub spots: Vec<Spot>,
    /// The patches of one rate.
    pub patches: Vec<PatchMiddle>,
    /// What to multiply rates by where the moisture of the pile is another; empty where it is not
    /// known.
    pub by_moisture: Vec<Factor>,
    /// The same for its density.
    pub by_density: Vec<Factor>,
    /// The pile, where it is known.
    pub pile: Option<Pile>,
}

/// One rate of an application.
#[derive(Clone, Debug)]
pub struct SheetRate {
    /// In the controller's unit.
    pub number: f64,
    /// In the units of the results.
    pub rate: Quantity,
    /// Where it is spread.
    pub area: Quantity,
    /// What it takes.
    pub product: Quantity,
    /// What leaves the spreader in a minute at the stated speed; `None` where that is not known.
    pub flow: Option<Quantity>,
}

/// A place at which the rate can be checked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// Its name on the map.
    pub name: char,
    /// The number of its cell.
    pub cell: usize,
    /// Longitude in degrees.
    pub lon_deg: f64,
    /// Latitude in degrees.
    pub lat_deg: f64,
    /// The place of its rate among those of the sheet.
    pub rate: usize,
}

/// What to multiply a rate by where something was measured anew.
#[derive(Clone, Debug, PartialEq)]
pub struct Factor {
    /// What is measured: a moisture in percent, or a density.
    pub measured: Quantity,
    /// The factor.
    pub times: f64,
}

/// Where the pile lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pile {
    /// Longitude in degrees.
    pub lon_deg: f64,
    /// Latitude in degrees.
    pub lat_deg: f64,
    /// Metres to the east of the frame's centre.
    pub x_m: f64,
    /// Metres to the north of it.
    pub y_m: f64,
}
