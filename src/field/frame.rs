//! The frame of one field: an equal-area projection centred on it, so areas are true.

use super::place::{LonLat, Point};

/// The ellipsoidal Lambert azimuthal equal-area projection on WGS 84, centred on a field.
///
/// Areas are exact everywhere; within 10 km of the centre, lengths and directions are true to
/// less than one part per million. The frame is plain data and may be shared among threads. It
/// serves latitudes up to 89 degrees, which [`super::lay_out`] checks.
///
/// # References
/// J. P. Snyder, *Map Projections: A Working Manual*, US Geological Survey Professional Paper
/// 1395, 1987, pages 187 to 190: equations 24-17 to 24-20 forward, 24-26 to 24-29 inverse, with
/// 3-11 to 3-13 for the authalic latitude, 3-16 and 3-18 for its inverse, 14-15 for m. The
/// equation numbers are quoted from memory; the results are held against PROJ in the tests.
#[derive(Clone, Debug)]
pub struct Frame {
    centre: LonLat,
    lambda_1: f64,
    sin_beta_1: f64,
    cos_beta_1: f64,
    /// Radius of the sphere of the same area, in metres (Snyder 3-13).
    r_q: f64,
    /// What keeps the scale at the centre the same in all directions (Snyder 24-20).
    d: f64,
    q_pole: f64,
}

/// Half the longer axis of the WGS 84 ellipsoid in metres, by definition.
///
/// Source: National Geospatial-Intelligence Agency, *Department of Defense World Geodetic System
/// 1984*, NGA.STND.0036, version 1.0.0, 2014, table 3.1 (locator from memory).
const SEMI_MAJOR_M: f64 = 6_378_137.0;
/// Flattening of the WGS 84 ellipsoid, by definition (same source).
const FLATTENING: f64 = 1.0 / 298.257_223_563;
/// First eccentricity squared.
const E2: f64 = FLATTENING * (2.0 - FLATTENING);

impl Frame {
    /// The frame whose centre is at `centre`.
    pub fn centred_on(centre: LonLat) -> Self {
        let sin_phi = centre.lat_deg.to_radians().sin();
        let cos_phi = centre.lat_deg.to_radians().cos();
        let q_pole = authalic_q(1.0);
        let r_q = SEMI_MAJOR_M * (q_pole / 2.0).sqrt();
        let sin_beta_1 = authalic_q(sin_phi) / q_pole;
        let cos_beta_1 = (1.0 - sin_beta_1 * sin_beta_1).sqrt();
        let m = cos_phi / (1.0 - E2 * sin_phi * sin_phi).sqrt();
        let d = SEMI_MAJOR_M * m / (r_q * cos_beta_1);
        let lambda_1 = centre.lon_deg.to_radians();
        Self { centre, lambda_1, sin_beta_1, cos_beta_1, r_q, d, q_pole }
    }

    /// The centre.
    pub fn centre(&self) -> LonLat {
        self.centre
    }

    /// From degrees to metres.
    pub fn forward(&self, place: LonLat) -> Point {
        let sin_beta = authalic_q(place.lat_deg.to_radians().sin()) / self.q_pole;
        let cos_beta = (1.0 - sin_beta * sin_beta).max(0.0).sqrt();
        let (sin_dl, cos_dl) = (place.lon_deg.to_radians() - self.lambda_1).sin_cos();
        let cos_c = self.sin_beta_1 * sin_beta + self.cos_beta_1 * cos_beta * cos_dl;
        let b = self.r_q * (2.0 / (1.0 + cos_c)).sqrt();
        Point {
            x_m: b * self.d * cos_beta * sin_dl,
            y_m: b / self.d * (self.cos_beta_1 * sin_beta - self.sin_beta_1 * cos_beta * cos_dl),
        }
    }

    /// From metres back to degrees.
    pub fn inverse(&self, point: Point) -> LonLat {
        let (x, y) = (point.x_m / self.d, point.y_m * self.d);
        let part = (x * x + y * y) / (2.0 * self.r_q * self.r_q);
        // Snyder's sin c / rho and cos c, written so that nothing divides by rho at the centre.
        let sin_c_by_rho = (1.0 - part / 2.0).max(0.0).sqrt() / self.r_q;
        let cos_c = 1.0 - part;
        let sin_beta = cos_c * self.sin_beta_1 + y * sin_c_by_rho * self.cos_beta_1;
        let across = x * sin_c_by_rho;
        let along = self.cos_beta_1 * cos_c - y * self.sin_beta_1 * sin_c_by_rho;
        let lon_deg = (self.lambda_1 + across.atan2(along)).to_degrees();
        LonLat { lon_deg: wrapped(lon_deg), lat_deg: self.latitude(sin_beta).to_degrees() }
    }

    /// Latitude in radians of the sine of an authalic latitude: the series 3-18 to sin 4 beta,
    /// then one step of 3-16, which leaves less than 1e-15.
    fn latitude(&self, sin_beta: f64) -> f64 {
        const SIN_2: f64 = E2 / 3.0 + 31.0 * E2 * E2 / 180.0 + 517.0 * E2 * E2 * E2 / 5_040.0;
        const SIN_4: f64 = 23.0 * E2 * E2 / 360.0 + 251.0 * E2 * E2 * E2 / 3_780.0;
        let sin_beta = sin_beta.clamp(-1.0, 1.0);
        let cos_beta = (1.0 - sin_beta * sin_beta).sqrt();
        let sin_2 = 2.0 * sin_beta * cos_beta;
        let sin_4 = 2.0 * sin_2 * (1.0 - 2.0 * sin_beta * sin_beta);
        let start = sin_beta.asin() + SIN_2 * sin_2 + SIN_4 * sin_4;
        let (sin_phi, cos_phi) = start.sin_cos();
        let w = 1.0 - E2 * sin_phi * sin_phi;
        let missed = sin_beta * self.q_pole - authalic_q(sin_phi);
        start + w * w / (2.0 * cos_phi * (1.0 - E2)) * missed
    }
}

/// Snyder's q (3-12) of the sine of a geodetic latitude.
fn authalic_q(sin_phi: f64) -> f64 {
    let e = E2.sqrt();
    let e_sin = e * sin_phi;
    // Half the logarithm in 3-12 is the area tangent of e sin(phi), here from log1p for accuracy.
    let area_tangent = 0.5 * ((2.0 * e_sin) / (1.0 - e_sin)).ln_1p();
    (1.0 - E2) * (sin_phi / (1.0 - e_sin * e_sin) + area_tangent / e)
}

/// A longitude in degrees between -180 and 180.
fn wrapped(lon_deg: f64) -> f64 {
    if lon_deg > 180.0 {
        lon_deg - 360.0
    } else if lon_deg < -180.0 {
        lon_deg + 360.0
    } else {
        lon_deg
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// How far from PROJ a coordinate may be, in metres.
    const FORWARD_TOLERANCE_M: f64 = 1e-6;
    /// How far a place may come back from where it went in, in degrees of arc on the ground.
    const INVERSE_TOLERANCE_DEG: f64 = 1e-12;
    /// How far from PROJ's inverse: PROJ breaks the series for the latitude off, and does not
    /// find its own places again closer than 1.4e-8 degree, which is 1.5 mm.
    const PROJ_INVERSE_DEG: f64 = 2e-8;

    #[test]
    fn the_frame_agrees_with_proj_both_ways() {
        for (lon_0, lat_0) in
            [(-93.5, 42.0), (24.9, 68.7), (175.6, -40.3), (-47.9, -15.8), (10.0, 0.0), (30.0, 82.0)]
        {
            let frame = Frame::centred_on(LonLat { lon_deg: lon_0, lat_deg: lat_0 });
            let text = format!("+proj=laea +lat_0={lat_0} +lon_0={lon_0} +datum=WGS84 +units=m");
            let proj = proj::Proj::new_known_crs("EPSG:4326", &text, None).unwrap();
            let back = proj::Proj::new_known_crs(&text, "EPSG:4326", None).unwrap();
            let shrink = lat_0.to_radians().cos();
            for step_x in -5..=5 {
                for step_y in -5..=5 {
                    let place = LonLat {
                        lon_deg: lon_0 + f64::from(step_x) * 0.08 / shrink,
                        lat_deg: lat_0 + f64::from(step_y) * 0.08,
                    };
                    let point = frame.forward(place);
                    let (x, y) = proj.convert((place.lon_deg, place.lat_deg)).unwrap();
                    assert!((point.x_m - x).abs() < FORWARD_TOLERANCE_M, "{point:?} {x}");
                    assert!((point.y_m - y).abs() < FORWARD_TOLERANCE_M, "{point:?} {y}");
                    let (lon, lat) = back.convert((point.x_m, point.y_m)).unwrap();
                    let own = frame.inverse(point);
                    assert!((own.lon_deg - place.lon_deg).abs() * shrink < INVERSE_TOLERANCE_DEG);
                    assert!((own.lat_deg - place.lat_deg).abs() < INVERSE_TOLERANCE_DEG);
                    assert!((own.lon_deg - lon).abs() * shrink < PROJ_INVERSE_DEG, "{lon}");
                    assert!((own.lat_deg - lat).abs() < PROJ_INVERSE_DEG, "{lat}");
                }
            }
        }
    }

    #[test]
    fn the_centre_is_the_origin() {
        let centre = LonLat { lon_deg: -90.25, lat_deg: 41.5 };
        let frame = Frame::centred_on(centre);
        let origin = frame.forward(centre);
        assert!(origin.x_m.abs() < 1e-9 && origin.y_m.abs() < 1e-9);
        let back = frame.inverse(Point { x_m: 0.0, y_m: 0.0 });
        assert!((back.lon_deg - centre.lon_deg).abs() < 1e-13);
        assert!((back.lat_deg - centre.lat_deg).abs() < 1e-13);
    }
}
