//! Polygons that overlap, made one, so that no ground counts twice.

use std::collections::{BTreeMap, BTreeSet};

use geo::{LineString, Polygon, unary_union};

use super::super::frame::Frame;
use super::super::place::{LonLat, Point};
use super::super::ring::{Ring, signed_area_m2};
use super::regroup::next_polygon;
use super::tell::{Told, United};

/// A vertex of a union this near to one of its parts is that one, in metres: the union is computed
/// on a lattice, much finer than this.
const SAME_VERTEX_M: f64 = 1e-3;

/// Unites the polygons that the pairs in `overlapping` name, together with what these overlap in
/// turn. Vertices of the parts stay where they are; new ones are where edges cross.
pub(super) fn unite_polygons(
    rings: Vec<Ring>,
    overlapping: &[(usize, usize)],
    frame: &Frame,
    told: &mut Told,
) -> Vec<Ring> {
    let mut next = next_polygon(&rings);
    let groups = find_groups(overlapping);
    let mut kept = Vec::new();
    let mut parts: BTreeMap<usize, Vec<Ring>> = BTreeMap::new();
    for ring in rings {
        match groups.get(&ring.polygon) {
            Some(&group) => parts.entry(group).or_default().push(ring),
            None => kept.push(ring),
        }
    }
    for (group, mut parts) in parts {
        parts.sort_by_key(|ring| (ring.polygon, ring.hole));
        let polygons = to_polygons(&parts);
        let union = unary_union(&polygons);
        let known = Known::of(&parts);
        let feature = parts.iter().map(|ring| ring.feature).min().unwrap_or(1);
        let sum_m2: f64 = parts.iter().map(net_area_m2).sum();
        let mut union_m2 = 0.0;
        for (number, polygon) in union.0.iter().enumerate() {
            let own = if number == 0 { group } else { next };
            next += usize::from(number > 0);
            for (hole, line) in
                std::iter::once(polygon.exterior()).chain(polygon.interiors()).enumerate()
            {
                let (points, places): (Vec<Point>, Vec<LonLat>) = line
                    .coords()
                    .skip(1)
                    .map(|at| known.vertex(Point { x_m: at.x, y_m: at.y }, frame))
                    .unzip();
                let ring = Ring { feature, polygon: own, hole, unsorted: None, places, points };
                union_m2 += net_area_m2(&ring);
                kept.push(ring);
            }
        }
        let features: BTreeSet<usize> = parts.iter().map(|ring| ring.feature).collect();
        let largest_m2 = polygons
            .iter()
            .map(|polygon| signed_area_m2(&points_of(polygon.exterior())).abs())
            .fold(0.0, f64::max);
        told.united.push(United {
            features: features.into_iter().collect(),
            overlap_m2: sum_m2 - union_m2,
            // Nothing stands out of the largest part.
            one_in_another: union_m2 <= largest_m2 * (1.0 + 1e-9),
        });
    }
    kept
}

/// For every polygon that overlaps another, the lowest number among those that hang together.
fn find_groups(overlapping: &[(usize, usize)]) -> BTreeMap<usize, usize> {
    let mut lower: BTreeMap<usize, usize> =
        overlapping.iter().flat_map(|&(a, b)| [(a, a), (b, b)]).collect();
    for &(a, b) in overlapping {
        let (a, b) = (lowest(&mut lower, a), lowest(&mut lower, b));
        lower.insert(a.max(b), a.min(b));
    }
    let polygons: Vec<usize> = lower.keys().copied().collect();
    polygons.into_iter().map(|polygon| (polygon, lowest(&mut lower, polygon))).collect()
}

/// The lowest number that hangs together with a polygon as far as is known; the way to it is made
/// short for the next time.
fn lowest(lower: &mut BTreeMap<usize, usize>, polygon: usize) -> usize {
    let mut way = Vec::new();
    let mut at = polygon;
    while lower[&at] != at {
        way.push(at);
        at = lower[&at];
    }
    for passed in way {
        lower.insert(passed, at);
    }
    at
}

fn net_area_m2(ring: &Ring) -> f64 {
    let area_m2 = ring.signed_area_m2().abs();
    if ring.hole > 0 { -area_m2 } else { area_m2 }
}

/// The parts, each polygon's outer ring before its holes, as polygons: outer rings
/// counter-clockwise and holes clockwise.
fn to_polygons(parts: &[Ring]) -> Vec<Polygon<f64>> {
    let mut polygons: Vec<Polygon<f64>> = Vec::new();
    for ring in parts {
        let mut coords: Vec<_> = ring.points.iter().map(|point| point.to_coord()).collect();
        if (ring.signed_area_m2() < 0.0) != (ring.hole > 0) {
            coords.reverse();
        }
        match polygons.last_mut() {
            Some(polygon) if ring.hole > 0 => polygon.interiors_push(LineString(coords)),
            _ => polygons.push(Polygon::new(LineString(coords), Vec::new())),
        }
    }
    polygons
}

fn points_of(line: &LineString<f64>) -> Vec<Point> {
    line.coords().map(|at| Point { x_m: at.x, y_m: at.y }).collect()
}

/// The vertices of the parts, by their x.
struct Known {
    sorted: Vec<(Point, LonLat)>,
}

impl Known {
    fn of(parts: &[Ring]) -> Self {
        let mut sorted: Vec<(Point, LonLat)> = parts
            .iter()
            .flat_map(|ring| ring.points.iter().copied().zip(ring.places.iter().copied()))
            .collect();
        sorted.sort_by(|(a, _), (b, _)| a.x_m.total_cmp(&b.x_m).then(a.y_m.total_cmp(&b.y_m)));
        Self { sorted }
    }

    /// The vertex at `point`: that of a part where there is one, else a new one.
    fn vertex(&self, point: Point, frame: &Frame) -> (Point, LonLat) {
        let first = self.sorted.partition_point(|(at, _)| at.x_m < point.x_m - SAME_VERTEX_M);
        self.sorted[first..]
            .iter()
            .take_while(|(at, _)| at.x_m <= point.x_m + SAME_VERTEX_M)
            .filter(|(at, _)| at.distance_m(point) <= SAME_VERTEX_M)
            .min_by(|(a, _), (b, _)| a.distance_m(point).total_cmp(&b.distance_m(point)))
            .copied()
            .unwrap_or_else(|| (point, frame.inverse(point)))
    }
}
