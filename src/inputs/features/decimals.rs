//! How finely coordinates in degrees are kept.

use crate::findings::{Finding, Place};
use crate::inputs::RawPoint;

/// Decimals of a degree at which, and below which, it is told what they mean.
const FEW_DECIMALS: i32 = 3;
/// A degree of latitude on a sphere of the Earth's mean radius, 6,371,008.8 m (mean radius R1 of
/// the Geodetic Reference System 1980, H. Moritz, Journal of Geodesy 74, 2000, page 131; locator
/// from memory).
const DEGREE_M: f64 = 111_195.08;
/// Few places may have few decimals by chance.
const FEWEST_PLACES: usize = 3;

/// Tells where every coordinate in degrees is kept to three decimals or fewer, and how far that may
/// be off.
pub(in crate::inputs) fn tell_few_decimals<'p>(
    points: impl IntoIterator<Item = &'p RawPoint>,
    file: &str,
) -> Option<Finding> {
    let mut count = 0;
    let mut decimals = 0;
    let mut latitude: f64 = 0.0;
    for point in points {
        for &value in point {
            decimals = (decimals..=FEW_DECIMALS).find(|&n| is_kept_to(value, n))?;
        }
        latitude = point[1];
        count += 1;
    }
    if count < FEWEST_PLACES {
        return None;
    }
    let half_step_m = DEGREE_M / 2.0 / 10_f64.powi(decimals);
    let east_m = half_step_m * latitude.to_radians().cos();
    let text = format!(
        "All coordinates are kept to {decimals} decimals of a degree, which at latitude {latitude} \
         leaves each place uncertain by {half_step_m:.0} m north and south and {east_m:.0} m east \
         and west; export them with 6 decimals or more."
    );
    Some(Finding::at("coordinates_coarse", Place::in_file(file), text))
}

/// Whether a number has no more than `decimals` decimals.
fn is_kept_to(value: f64, decimals: i32) -> bool {
    let scaled = value * 10_f64.powi(decimals);
    (scaled - scaled.round()).abs() < 1e-7
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_decimals_are_told_in_metres_at_their_latitude() {
        let coarse = [[-93.601, 60.0], [-93.59, 60.004], [-93.605, 60.01]];
        let text = tell_few_decimals(&coarse, "b").unwrap().text;
        // 0.001 degree is 111.2 m, half of it 55.6 m; at 60 degrees a degree east is half as long.
        assert!(text.contains("3 decimals") && text.contains("56 m north"), "{text}");
        assert!(text.contains("28 m east"), "{text}");
    }

    #[test]
    fn one_finer_coordinate_is_enough_to_say_nothing() {
        let fine = [[-93.601, 60.0], [-93.59, 60.0041], [-93.605, 60.01]];
        assert_eq!(tell_few_decimals(&fine, "b"), None);
        assert_eq!(tell_few_decimals(&[[1.0, 2.0]], "b"), None);
    }
}
