//! What a boundary's coordinate system means on the ground: whether a stated one is the file's own,
//! and how right the shift of its datum is.

use super::door::Door;
use crate::findings::{Finding, Place, Problem, Refusal, clean};
use crate::inputs::{CoordinateSystem, RawBoundary, RawPoint};

/// Two systems are the same where they put every corner to the same place within so much, in
/// degrees: about a decimetre (ours).
const SAME_WITHIN_DEG: f64 = 1e-6;
/// A shift of the datum that is less right than this is told, in metres (ours): NAD83 and ETRS89
/// stay below it, NAD27 without its grids does not.
const TOLD_ABOVE_M: f64 = 5.0;

/// Holds the system of a boundary against another one that is `stated` for it, and tells how right
/// the shift of its datum is where that is coarse.
///
/// # Errors
/// Refuses a system that PROJ does not know or whose datum it cannot move, coordinates that do not
/// fit it, and a stated system that puts the boundary elsewhere.
pub fn check_system(
    boundary: &RawBoundary,
    stated: Option<&CoordinateSystem>,
) -> Result<Vec<Finding>, Refusal> {
    let place = Place::in_file(&boundary.file);
    let points: Vec<RawPoint> = boundary
        .polygons
        .iter()
        .flat_map(|polygon| std::iter::once(&polygon.outer).chain(&polygon.holes))
        .flatten()
        .copied()
        .collect();
    let door = Door::open(&boundary.system, &place)?;
    if let Some(stated) = stated {
        let own = door.move_points(&points, |_| place.clone())?;
        let other = Door::open(stated, &place)?.move_points(&points, |_| place.clone());
        let apart = |(a, b): (&super::LonLat, &super::LonLat)| {
            (a.lon_deg - b.lon_deg).abs().max((a.lat_deg - b.lat_deg).abs())
        };
        let same = other.is_ok_and(|other| {
            own.iter().zip(&other).map(apart).all(|degrees| degrees <= SAME_WITHIN_DEG)
        });
        if !same {
            return Err(contradiction(&boundary.system, stated, place).into());
        }
    }
    let shift = points.first().and_then(|&point| door.shift_at(point));
    let coarse = shift.and_then(|shift| {
        let metres = shift.accuracy_m.filter(|&metres| metres > TOLD_ABOVE_M)?;
        let text = format!(
            "The shift of the boundary's datum to WGS 84 ({}) is right to about {metres} m only: \
             areas and tons hold, but the map may lie so far off the ground.",
            clean(&shift.words)
        );
        Some(Finding::at("datum_shift_coarse", place, text))
    });
    Ok(coarse.into_iter().collect())
}

fn contradiction(own: &CoordinateSystem, stated: &CoordinateSystem, place: Place) -> Problem {
    let words = |system: &CoordinateSystem| match system {
        CoordinateSystem::Wgs84Degrees => "WGS 84 longitude and latitude".to_owned(),
        CoordinateSystem::Declared(text) => format!("`{}`", clean(text)),
    };
    let what = format!(
        "the file says that its coordinate system is {}, and the job states {}, which is elsewhere",
        words(own),
        words(stated)
    );
    Problem::at(place, what)
        .allowed("one system: the file's own goes without saying")
        .hint("take `coordinate_system` out of [field], or correct the file")
}
