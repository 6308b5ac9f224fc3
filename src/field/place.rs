//! Places: longitude and latitude in degrees, and metres in a field's own frame.

/// A place on the WGS 84 ellipsoid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LonLat {
    /// Longitude in degrees, east positive.
    pub lon_deg: f64,
    /// Geodetic latitude in degrees, north positive.
    pub lat_deg: f64,
}

/// A place in the frame of one field, in metres from its centre.
///
/// It is another type than [`LonLat`], so degrees cannot be passed where metres are meant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Metres to the east of the frame's centre.
    pub x_m: f64,
    /// Metres to the north of the frame's centre.
    pub y_m: f64,
}

/// Steps of the output's coordinates in one degree: seven decimals.
pub(super) const STEPS_PER_DEGREE: f64 = 1e7;

impl LonLat {
    /// Longitude and latitude in whole steps of 1e-7 degree, the nearest ones.
    pub fn to_e7(self) -> [i32; 2] {
        self.in_steps().map(|step| step.round() as i32)
    }

    /// The same place in steps of 1e-7 degree, not rounded.
    pub(super) fn in_steps(self) -> [f64; 2] {
        [self.lon_deg * STEPS_PER_DEGREE, self.lat_deg * STEPS_PER_DEGREE]
    }

    /// The place as a sentence shows it: longitude, latitude, seven decimals.
    pub(super) fn in_words(self) -> String {
        format!("longitude {:.7}, latitude {:.7}", self.lon_deg, self.lat_deg)
    }

    /// The place as the `geo` package has it: x is longitude.
    pub(super) fn to_coord(self) -> geo::Coord<f64> {
        geo::Coord { x: self.lon_deg, y: self.lat_deg }
    }
}

impl Point {
    /// The point as the `geo` package has it.
    pub fn to_coord(self) -> geo::Coord<f64> {
        geo::Coord { x: self.x_m, y: self.y_m }
    }

    /// The distance to `other` in metres.
    pub fn distance_m(self, other: Self) -> f64 {
        (self.x_m - other.x_m).hypot(self.y_m - other.y_m)
    }
}
