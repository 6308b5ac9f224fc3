//! Why the features of a file may lie nowhere on the field.

use super::shapes::Shape;
use crate::field::door::Door;
use crate::field::fit::{MIX_UPS, distance_m, is_in_field, to_frame};
use crate::field::nesting::is_inside;
use crate::field::outline::Field;
use crate::field::place::Point;
use crate::findings::{Place, clean};
use crate::inputs::{CoordinateSystem, Feature, FeatureLayer, RawPoint};

/// A reading of the coordinates under which features touch the field.
pub(super) struct Cause {
    /// What is done to the coordinates, in words that follow `with`.
    pub(super) words: String,
    /// How many of the features touch the field then.
    pub(super) hits: usize,
}

/// The way of mixing up coordinates or their system by which most of the features `away` come to
/// lie on the field; `None` where none does.
pub(super) fn likely_cause(
    layer: &FeatureLayer,
    shapes: &[Shape],
    away: &[usize],
    field: &Field,
) -> Option<Cause> {
    let mut best: Option<Cause> = None;
    let mut consider = |words: String, hits: usize| {
        if hits > best.as_ref().map_or(0, |cause| cause.hits) {
            best = Some(Cause { words, hits });
        }
    };
    let count = |system: &CoordinateSystem, mix: fn(RawPoint) -> RawPoint| {
        let Ok(door) = Door::open(system, &Place::default()) else { return 0 };
        let touches =
            |&&at: &&usize| touches(&layer.features[at], shapes[at].setback_m(), &door, mix, field);
        away.iter().filter(touches).count()
    };
    for (words, mix) in MIX_UPS {
        consider(words.to_owned(), count(&layer.system, mix));
    }
    let others = [CoordinateSystem::Wgs84Degrees, field.system().clone()];
    for system in others.into_iter().filter(|system| *system != layer.system) {
        let words = match &system {
            CoordinateSystem::Wgs84Degrees => {
                "the numbers taken as WGS 84 longitude and latitude".to_owned()
            }
            CoordinateSystem::Declared(text) => {
                format!("the coordinate system of the boundary, `{}`,", clean(text))
            }
        };
        consider(words, count(&system, |point| point));
    }
    best
}

/// Whether a feature whose coordinates are taken as `mix` has them touches the field.
fn touches(
    feature: &Feature,
    setback_m: f64,
    door: &Door<'_>,
    mix: fn(RawPoint) -> RawPoint,
    field: &Field,
) -> bool {
    let moved = |raw: &[RawPoint]| -> Option<Vec<Point>> {
        let mixed: Vec<RawPoint> = raw.iter().map(|&point| mix(point)).collect();
        let places = door.move_points(&mixed, |_| Place::default()).ok()?;
        Some(to_frame(field, &places))
    };
    let near = |point: &Point| {
        is_in_field(field, *point) || (setback_m > 0.0 && distance_m(field, *point) <= setback_m)
    };
    let corner = field.rings().first().and_then(|ring| ring.points.first().copied());
    let geometry = &feature.geometry;
    let any_near = |raw: &[RawPoint]| moved(raw).is_some_and(|points| points.iter().any(near));
    let around = |raw: &[RawPoint]| {
        let points = moved(raw);
        points.zip(corner).is_some_and(|(points, corner)| is_inside(corner, &points))
    };
    any_near(&geometry.points)
        || geometry.lines.iter().any(|line| any_near(line))
        || geometry.areas.iter().any(|area| any_near(&area.outer) || around(&area.outer))
}
