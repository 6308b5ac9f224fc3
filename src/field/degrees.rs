//! Places of a file in degrees, whatever system it is in.

use super::door::Door;
use super::place::LonLat;
use crate::findings::{Place, Refusal};
use crate::inputs::{CoordinateSystem, RawPoint};

/// Points of a file in WGS 84 degrees.
///
/// # Errors
/// Refuses a system that PROJ does not know or cannot move to WGS 84, and points that lie nowhere
/// in it.
pub fn degrees_of(
    system: &CoordinateSystem,
    points: &[RawPoint],
    file: &str,
) -> Result<Vec<LonLat>, Refusal> {
    let place = Place::in_file(file);
    Door::open(system, &place)?.move_points(points, |_| place.clone())
}
