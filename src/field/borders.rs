//! Shared borders of neighbouring polygons, made to run through the same vertices.
//!
//! Where two polygons of one field meet, one often has a vertex in the middle of the other's edge,
//! and coordinates of seven decimals leave it up to half a centimetre beside that edge. Left so,
//! the two would overlap or gape by a hair; so the edge is led through the vertex.

use super::box_tree::{BoxTree, Reach, apart, widened};
use super::edges::{distance_to_edge_m, reach_of_edge};
use super::outline::Ring;
use super::place::Point;
use super::ring::TOUCHING_M;

/// Leads the edges of every polygon through the vertices of other polygons that lie on them, and
/// moves vertices onto those of an earlier polygon that are as near; "on" and "near" mean within
/// two steps of coordinates with seven decimals. Returns how many vertices were moved or added.
pub(super) fn share_borders(rings: &mut [Ring]) -> usize {
    let boxes: Vec<Reach> = rings.iter().map(|ring| widened(ring.reach(), TOUCHING_M)).collect();
    let tree = BoxTree::of(boxes.iter().copied());
    let mut changed = 0;
    for later in 0..rings.len() {
        let mut before: Vec<usize> =
            tree.meeting(boxes[later]).filter(|&earlier| earlier < later).collect();
        before.sort_unstable();
        for earlier in before {
            if rings[earlier].polygon != rings[later].polygon {
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

/// The vertices of a ring that lie in a box, by their numbers, and a tree over them.
fn vertices_in(ring: &Ring, reach: &Reach) -> (Vec<usize>, BoxTree) {
    let inside = |&at: &usize| !apart(&box_at(ring.points[at]), reach);
    let close: Vec<usize> = (0..ring.points.len()).filter(inside).collect();
    let tree = BoxTree::of(close.iter().map(|&at| box_at(ring.points[at])));
    (close, tree)
}

fn box_at(point: Point) -> Reach {
    [point.x_m, point.y_m, point.x_m, point.y_m]
}

/// Moves vertices of `ring` that all but coincide with one of `fixed` onto it; only those in the box
/// `reach` around `fixed` can.
fn move_vertices(ring: &mut Ring, fixed: &Ring, reach: &Reach) -> usize {
    let (close, tree) = vertices_in(fixed, &widened(ring.reach(), TOUCHING_M));
    let mut moved = 0;
    for index in 0..ring.points.len() {
        let point = ring.points[index];
        if apart(&box_at(point), reach) {
            continue;
        }
        let nearest = tree
            .meeting(widened(box_at(point), TOUCHING_M))
            .map(|near| close[near])
            .map(|at| (at, point.distance_m(fixed.points[at])))
            .min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
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

/// Adds to the edges of `ring`, which lies in the box `reach`, the vertices of `other` that lie on
/// them.
fn add_vertices(ring: &mut Ring, other: &Ring, reach: &Reach) -> usize {
    let (close, tree) = vertices_in(other, reach);
    if close.is_empty() {
        return 0;
    }
    let count = ring.points.len();
    let mut added = 0;
    let (mut points, mut places) = (Vec::with_capacity(count), Vec::with_capacity(count));
    for index in 0..count {
        let (from, to) = (ring.points[index], ring.points[(index + 1) % count]);
        points.push(from);
        places.push(ring.places[index]);
        let mut between: Vec<(f64, usize)> = tree
            .meeting(widened(reach_of_edge(&(from, to)), TOUCHING_M))
            .map(|near| close[near])
            .map(|at| (from.distance_m(other.points[at]), at))
            .filter(|&(off_m, at)| {
                let vertex = other.points[at];
                off_m > TOUCHING_M
                    && vertex.distance_m(to) > TOUCHING_M
                    && distance_to_edge_m(vertex, (from, to)) <= TOUCHING_M
            })
            .collect();
        between.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        added += between.len();
        points.extend(between.iter().map(|&(_, at)| other.points[at]));
        places.extend(between.iter().map(|&(_, at)| other.places[at]));
    }
    (ring.points, ring.places) = (points, places);
    added
}
