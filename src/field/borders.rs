//! Shared borders of neighbouring polygons, made to run through the same vertices.
//!
//! Where two polygons of one field meet, one often has a vertex in the middle of the other's edge,
//! and coordinates of seven decimals leave it up to half a centimetre beside that edge. Left so,
//! the two would overlap or gape by a hair; so the edge is led through the vertex.

use super::nesting::{TOUCHING_M, distance_to_edge_m};
use super::outline::Ring;
use super::place::Point;

/// Leads the edges of every polygon through the vertices of other polygons that lie on them, and
/// moves vertices onto those of an earlier polygon that are as near; "on" and "near" mean within
/// two steps of coordinates with seven decimals. Returns how many vertices were moved or added.
pub(super) fn share_borders(rings: &mut [Ring]) -> usize {
    let boxes: Vec<[f64; 4]> = rings.iter().map(Ring::reach).collect();
    let mut changed = 0;
    for later in 0..rings.len() {
        for earlier in 0..later {
            if rings[earlier].polygon != rings[later].polygon
                && meets(&boxes[earlier], &boxes[later])
            {
                let (before, after) = rings.split_at_mut(later);
                let (one, other) = (&mut before[earlier], &mut after[0]);
                changed += move_vertices(other, one, &boxes[earlier]);
                changed += add_vertices(one, other, &boxes[earlier]);
                changed += add_vertices(other, one, &boxes[later]);
            }
        }
    }
    changed
}

fn meets(a: &[f64; 4], b: &[f64; 4]) -> bool {
    a[0] <= b[2] + TOUCHING_M
        && b[0] <= a[2] + TOUCHING_M
        && a[1] <= b[3] + TOUCHING_M
        && b[1] <= a[3] + TOUCHING_M
}

fn is_near_box(point: Point, reach: &[f64; 4]) -> bool {
    meets(&[point.x_m, point.y_m, point.x_m, point.y_m], reach)
}

/// Moves vertices of `ring` that all but coincide with one of `fixed` onto it.
fn move_vertices(ring: &mut Ring, fixed: &Ring, reach: &[f64; 4]) -> usize {
    let mut moved = 0;
    for index in 0..ring.points.len() {
        let point = ring.points[index];
        if !is_near_box(point, reach) {
            continue;
        }
        let nearest = fixed
            .points
            .iter()
            .enumerate()
            .map(|(at, other)| (at, point.distance_m(*other)))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((at, off_m)) = nearest
            && off_m > 0.0
            && off_m <= TOUCHING_M
        {
            ring.points[index] = fixed.points[at];
            ring.places[index] = fixed.places[at];
            moved += 1;
        }
    }
    moved
}

/// Adds to the edges of `ring` the vertices of `other` that lie on them.
fn add_vertices(ring: &mut Ring, other: &Ring, reach: &[f64; 4]) -> usize {
    let close: Vec<usize> =
        (0..other.points.len()).filter(|&at| is_near_box(other.points[at], reach)).collect();
    let count = ring.points.len();
    let mut added = 0;
    let (mut points, mut places) = (Vec::with_capacity(count), Vec::with_capacity(count));
    for index in 0..count {
        let (from, to) = (ring.points[index], ring.points[(index + 1) % count]);
        points.push(from);
        places.push(ring.places[index]);
        let mut between: Vec<(f64, usize)> = close
            .iter()
            .map(|&at| (from.distance_m(other.points[at]), at))
            .filter(|&(off_m, at)| {
                let vertex = other.points[at];
                off_m > TOUCHING_M
                    && vertex.distance_m(to) > TOUCHING_M
                    && distance_to_edge_m(vertex, (from, to)) <= TOUCHING_M
            })
            .collect();
        between.sort_by(|a, b| a.0.total_cmp(&b.0));
        added += between.len();
        points.extend(between.iter().map(|&(_, at)| other.points[at]));
        places.extend(between.iter().map(|&(_, at)| other.places[at]));
    }
    (ring.points, ring.places) = (points, places);
    added
}
