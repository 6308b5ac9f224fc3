//! The outlines of what several faces make together.

use geo::{LineString, MultiPolygon, Polygon};

use super::faces::Sides;
use super::weave::Knot;
use crate::field::edges::{distance_to_edge_m, is_inside};
use crate::field::place::Point;

/// The open rings, with the inside on their left, that the wanted sides make; a ring that comes
/// back to a vertex is cut off there.
pub(super) fn rings_of(sides: &Sides<'_>, wanted: &[u32]) -> Vec<Vec<u32>> {
    let is_wanted = |side: u32| wanted.binary_search(&side).is_ok();
    let mut used = vec![false; wanted.len()];
    let mut rings = Vec::new();
    for start in 0..wanted.len() {
        let mut path: Vec<u32> = Vec::new();
        let mut at = start;
        while !used[at] {
            used[at] = true;
            let (from, to) = sides.ends(wanted[at]);
            path.push(from);
            if let Some(back) = path.iter().rposition(|&knot| knot == to) {
                rings.push(path.split_off(back));
            }
            let next = sides.next(wanted[at], is_wanted);
            let Ok(found) = wanted.binary_search(&next) else { break };
            at = found;
        }
    }
    rings
}

/// The polygons that rings make: those that run counter-clockwise are outlines, the others holes.
pub(super) fn polygons_of(rings: &[Vec<u32>], knots: &[Knot]) -> MultiPolygon<f64> {
    let points = |ring: &[u32]| -> Vec<Point> {
        ring.iter().map(|&knot| knots[knot as usize].point).collect()
    };
    let mut outlines = Vec::new();
    let mut holes = Vec::new();
    for ring in rings {
        let points = points(ring);
        let area_m2 = signed_area_m2(&points);
        if area_m2 > 0.0 {
            outlines.push((area_m2, points, Vec::new()));
        } else {
            holes.push(points);
        }
    }
    for hole in holes {
        let (a, b) = (hole[0], hole[1 % hole.len()]);
        let probe = Point { x_m: f64::midpoint(a.x_m, b.x_m), y_m: f64::midpoint(a.y_m, b.y_m) };
        let home = outlines
            .iter_mut()
            .filter(|(_, outline, _)| is_inside(probe, outline))
            .min_by(|one, other| one.0.total_cmp(&other.0));
        if let Some((_, _, inner)) = home {
            inner.push(closed(&hole));
        }
    }
    let polygon = |(_, outline, inner): (f64, Vec<Point>, Vec<LineString<f64>>)| {
        Polygon::new(closed(&outline), inner)
    };
    MultiPolygon(outlines.into_iter().map(polygon).collect())
}

fn closed(ring: &[Point]) -> LineString<f64> {
    let mut line = LineString(ring.iter().map(|point| point.to_coord()).collect());
    line.close();
    line
}

fn signed_area_m2(ring: &[Point]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(a, b)| a.x_m * b.y_m - b.x_m * a.y_m).sum::<f64>() / 2.0
}

/// The distance from a point to the nearest edge of rings, in metres.
pub(super) fn distance_m(point: Point, rings: &[Vec<u32>], knots: &[Knot]) -> f64 {
    let at = |knot: u32| knots[knot as usize].point;
    rings
        .iter()
        .flat_map(|ring| {
            let next = ring.iter().cycle().skip(1);
            ring.iter().zip(next).map(|(&a, &b)| (at(a), at(b)))
        })
        .map(|edge| distance_to_edge_m(point, edge))
        .fold(f64::INFINITY, f64::min)
}
