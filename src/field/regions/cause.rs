//! Why the features of a file may lie nowhere on the field.

use super::shapes::{Shape, count_vertices};
use crate::field::causes::{MIX_UPS, MixUp};
use crate::field::door::Door;
use crate::field::edges::{Edges, is_inside};
use crate::field::other_systems::other_systems;
use crate::field::outline::Field;
use crate::field::place::Point;
use crate::findings::Place;
use crate::inputs::{CoordinateSystem, FeatureLayer, RawPoint};

/// Places that are tried: enough to tell, and few enough for any file.
const MOST_TRIED: usize = 3_000;

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
    let corner = field.rings().first().and_then(|ring| ring.points.first().copied())?;
    let search = Search { layer, shapes, away, field, outline: field.edges(), corner };
    let as_they_stand: MixUp = |point| point;
    let mut tries: Vec<(String, usize)> = MIX_UPS
        .iter()
        .map(|&(words, mix)| (words.to_owned(), search.count(&layer.system, mix)))
        .collect();
    for (words, other) in other_systems(&layer.system, field.system(), field.frame().centre()) {
        let words = format!("the coordinates taken as {words}");
        tries.push((words, search.count(&other, as_they_stand)));
    }
    // The first of those with the most.
    tries.reverse();
    let (words, hits) = tries.into_iter().max_by_key(|&(_, hits)| hits)?;
    (hits > 0).then_some(Cause { words, hits })
}

struct Search<'a> {
    layer: &'a FeatureLayer,
    shapes: &'a [Shape],
    away: &'a [usize],
    field: &'a Field,
    outline: Edges,
    /// A corner of the field, for areas that lie around all of it.
    corner: Point,
}

impl Search<'_> {
    /// How many features touch the field with their numbers mixed up and in another system.
    fn count(&self, system: &CoordinateSystem, mix: MixUp) -> usize {
        let Ok(door) = Door::open(system, &Place::default()) else { return 0 };
        let mut left = MOST_TRIED;
        let tried = self.away.iter().take_while(|&&feature| {
            let is_tried = left > 0;
            left = left.saturating_sub(count_vertices(&self.layer.features[feature]));
            is_tried
        });
        tried.filter(|&&feature| self.touches(feature, &door, mix)).count()
    }

    fn touches(&self, feature: usize, door: &Door<'_>, mix: MixUp) -> bool {
        let setback_m = self.shapes[feature].setback_m();
        let point_of = |&raw: &RawPoint| {
            door.place_of(mix(raw)).map(|place| self.field.frame().forward(place))
        };
        let is_near = |point: Point| {
            self.outline.hold(point)
                || (setback_m > 0.0 && self.outline.are_within_m(point, setback_m))
        };
        let any_near = |raw: &[RawPoint]| raw.iter().filter_map(point_of).any(is_near);
        let lies_around = |raw: &[RawPoint]| {
            let ring: Option<Vec<Point>> = raw.iter().map(point_of).collect();
            ring.is_some_and(|ring| is_inside(self.corner, &ring))
        };
        let geometry = &self.layer.features[feature].geometry;
        any_near(&geometry.points)
            || geometry.lines.iter().any(|line| any_near(line))
            || geometry.areas.iter().any(|area| any_near(&area.outer) || lies_around(&area.outer))
    }
}
