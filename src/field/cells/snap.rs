//! Edges rounded so that they do not cross: snap rounding.
//!
//! Rounding each vertex by itself can carry it over an edge that ran close by. So an edge that
//! passes through the unit square around another rounded vertex is led through that vertex; then
//! edges that did not cross before rounding do not cross after it, though some may fall together.
//!
//! # References
//! J. D. Hobby, *Practical segment intersection with finite precision output*, Computational
//! Geometry 13, 1999, pages 199 to 214 (from memory).

use super::trace::Steps;

/// Half the side of the square around a rounded vertex, in steps.
const HALF: f64 = 0.5;

/// A vertex in one cell: its number after merging, where that lies, and its own place in steps
/// before rounding.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    pub(super) vertex: u32,
    pub(super) rounded: Steps,
    pub(super) steps: [f64; 2],
}

/// Appends the edges into which the edge from `a` to `b` is led by the vertices near it.
///
/// `near` holds vertices and their rounded places, sorted by longitude. The answer is the same
/// chain whichever way the edge runs.
pub(super) fn lead_edge(a: Spot, b: Spot, near: &[(Steps, u32)], edges: &mut Vec<(u32, u32)>) {
    let start = edges.len();
    if a.steps <= b.steps {
        lead_eastward(a, b, near, edges);
    } else {
        lead_eastward(b, a, near, edges);
        edges[start..].reverse();
        edges[start..].iter_mut().for_each(|(from, to)| std::mem::swap(from, to));
    }
}

fn lead_eastward(a: Spot, b: Spot, near: &[(Steps, u32)], edges: &mut Vec<(u32, u32)>) {
    let (low, high) = (a.steps[0].min(b.steps[0]) - HALF, a.steps[0].max(b.steps[0]) + HALF);
    let first = near.partition_point(|(steps, _)| (steps[0] as f64) < low);
    let mut hits: Vec<(f64, Steps, u32)> = Vec::new();
    for &(steps, vertex) in near[first..].iter().take_while(|(steps, _)| steps[0] as f64 <= high) {
        if vertex != a.vertex && vertex != b.vertex && passes(a.steps, b.steps, steps) {
            let along = (steps[0] as f64 - a.steps[0]) * (b.steps[0] - a.steps[0])
                + (steps[1] as f64 - a.steps[1]) * (b.steps[1] - a.steps[1]);
            hits.push((along, steps, vertex));
        }
    }
    hits.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.2.cmp(&other.2)));
    let mut from = (a.rounded, a.vertex);
    for (_, steps, vertex) in hits {
        split_where_met(from, (steps, vertex), near, edges);
        from = (steps, vertex);
    }
    split_where_met(from, (b.rounded, b.vertex), near, edges);
}

/// Appends an edge between rounded vertices, split at those vertices that lie exactly on it.
///
/// Where a vertex lies half way between two steps, an error of 1e-8 steps decides whether an edge
/// passes through its square; this catches what such an error misses.
fn split_where_met(
    (a, from): (Steps, u32),
    (b, to): (Steps, u32),
    near: &[(Steps, u32)],
    edges: &mut Vec<(u32, u32)>,
) {
    let way = [b[0] - a[0], b[1] - a[1]];
    let length = way[0] * way[0] + way[1] * way[1];
    let first = near.partition_point(|(steps, _)| steps[0] < a[0].min(b[0]));
    let mut met: Vec<(i64, u32)> = near[first..]
        .iter()
        .take_while(|(steps, _)| steps[0] <= a[0].max(b[0]))
        .filter_map(|&(steps, vertex)| {
            let to_it = [steps[0] - a[0], steps[1] - a[1]];
            let along = way[0] * to_it[0] + way[1] * to_it[1];
            let on_line = way[0] * to_it[1] == way[1] * to_it[0];
            (on_line && along > 0 && along < length).then_some((along, vertex))
        })
        .collect();
    met.sort_unstable();
    let mut start = from;
    for (_, vertex) in met {
        edges.push((start, vertex));
        start = vertex;
    }
    edges.push((start, to));
}

/// Whether the edge from `a` to `b` passes through the square around a rounded vertex.
fn passes(a: [f64; 2], b: [f64; 2], centre: Steps) -> bool {
    let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
    for axis in 0..2 {
        let middle = centre[axis] as f64;
        let way = b[axis] - a[axis];
        let (to_low, to_high) = (middle - HALF - a[axis], middle + HALF - a[axis]);
        if way.abs() < 1e-12 {
            if to_low > 0.0 || to_high < 0.0 {
                return false;
            }
            continue;
        }
        let (one, other) = (to_low / way, to_high / way);
        enters = enters.max(one.min(other));
        leaves = leaves.min(one.max(other));
    }
    enters <= leaves
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_edge_close_to_a_vertex_is_led_through_it_either_way() {
        let a = Spot { vertex: 1, rounded: [0, 0], steps: [0.0, 0.0] };
        let b = Spot { vertex: 2, rounded: [10, 0], steps: [10.0, 0.4] };
        let near = [([0, 0], 1), ([4, 1], 4), ([5, 0], 3), ([10, 0], 2)];
        let mut forth = Vec::new();
        lead_edge(a, b, &near, &mut forth);
        assert_eq!(forth, [(1, 3), (3, 2)]);
        let mut back = Vec::new();
        lead_edge(b, a, &near, &mut back);
        assert_eq!(back, [(2, 3), (3, 1)]);
    }
}
