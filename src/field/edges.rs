//! The edges of rings in a tree: whether a place lies inside, how far away the nearest edge is.

use super::box_tree::{BoxTree, Reach, widened};
use super::place::Point;

/// An edge, from vertex to vertex.
pub(super) type Edge = (Point, Point);

/// What the ray towards the east may miss by the rounding of places on edges, in metres.
const SLACK_M: f64 = 1e-6;

/// The edges of one or more open rings.
#[derive(Clone, Debug)]
pub(super) struct Edges {
    edges: Vec<Edge>,
    tree: BoxTree,
}

impl Edges {
    /// The edges of open rings, ring by ring in their order.
    pub(super) fn of<'r>(rings: impl IntoIterator<Item = &'r [Point]>) -> Self {
        Self::of_edges(rings.into_iter().flat_map(edges_of).collect())
    }

    /// Edges that need not make rings.
    pub(super) fn of_edges(edges: Vec<Edge>) -> Self {
        let tree = BoxTree::of(edges.iter().map(reach_of_edge));
        Self { edges, tree }
    }

    /// The edge of this number.
    pub(super) fn get(&self, number: usize) -> Edge {
        self.edges[number]
    }

    /// The numbers of the edges whose boxes have a place in common with `reach`, in no order.
    pub(super) fn near(&self, reach: Reach) -> impl Iterator<Item = usize> + '_ {
        self.tree.meeting(reach)
    }

    /// Whether a point lies inside an odd number of the rings, by counting the edges to its east:
    /// outer ring, hole, island in it.
    pub(super) fn hold(&self, point: Point) -> bool {
        let ray = [point.x_m - SLACK_M, point.y_m, f64::INFINITY, point.y_m];
        self.near(ray).filter(|&at| is_east(self.edges[at], point)).count() % 2 == 1
    }

    /// Whether an edge lies within a distance of a point.
    pub(super) fn are_within_m(&self, point: Point, metres: f64) -> bool {
        let here = [point.x_m, point.y_m, point.x_m, point.y_m];
        self.near(widened(here, metres))
            .any(|at| distance_to_edge_m(point, self.edges[at]) <= metres)
    }

    /// The distance from a point to the nearest edge, in metres; infinite where there is none.
    pub(super) fn distance_m(&self, point: Point) -> f64 {
        self.tree.nearest_m([point.x_m, point.y_m], |at| distance_to_edge_m(point, self.edges[at]))
    }
}

/// The edges of an open ring.
pub(super) fn edges_of(ring: &[Point]) -> impl Iterator<Item = Edge> + '_ {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))
}

/// The box around an edge.
pub(super) fn reach_of_edge(&(a, b): &Edge) -> Reach {
    [a.x_m.min(b.x_m), a.y_m.min(b.y_m), a.x_m.max(b.x_m), a.y_m.max(b.y_m)]
}

/// Whether the ray from a point towards the east crosses an edge.
fn is_east((a, b): Edge, point: Point) -> bool {
    (a.y_m > point.y_m) != (b.y_m > point.y_m)
        && a.x_m + (point.y_m - a.y_m) / (b.y_m - a.y_m) * (b.x_m - a.x_m) > point.x_m
}

/// Whether a point lies inside an open ring that is asked but once, by counting the edges to its
/// east.
pub(super) fn is_inside(point: Point, ring: &[Point]) -> bool {
    edges_of(ring).filter(|&edge| is_east(edge, point)).count() % 2 == 1
}

/// The distance from a point to an edge, in metres.
pub(super) fn distance_to_edge_m(point: Point, (a, b): Edge) -> f64 {
    let (dx, dy) = (b.x_m - a.x_m, b.y_m - a.y_m);
    let length_squared = dx * dx + dy * dy;
    let along = (point.x_m - a.x_m) * dx + (point.y_m - a.y_m) * dy;
    let ratio = if length_squared > 0.0 { (along / length_squared).clamp(0.0, 1.0) } else { 0.0 };
    point.distance_m(Point { x_m: a.x_m + ratio * dx, y_m: a.y_m + ratio * dy })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn point((x_m, y_m): (f64, f64)) -> Point {
        Point { x_m, y_m }
    }

    proptest! {
        /// Whole coordinates, so that places lie on edges and in line with vertices.
        #[test]
        fn the_tree_answers_as_looking_at_every_edge_does(
            rings in prop::collection::vec(
                prop::collection::vec((-6..6_i32, -6..6_i32), 3..20), 1..4),
            (x, y) in (-7..7_i32, -7..7_i32),
        ) {
            let rings: Vec<Vec<Point>> = rings
                .iter()
                .map(|ring| ring.iter().map(|&(x, y)| point((x.into(), y.into()))).collect())
                .collect();
            let at = point((x.into(), y.into()));
            let edges = Edges::of(rings.iter().map(Vec::as_slice));
            let inside = rings.iter().filter(|ring| is_inside(at, ring)).count() % 2 == 1;
            prop_assert_eq!(edges.hold(at), inside);
            let all = || rings.iter().flat_map(|ring| edges_of(ring));
            let least = all().map(|edge| distance_to_edge_m(at, edge)).fold(f64::INFINITY, f64::min);
            prop_assert!((edges.distance_m(at) - least).abs() < 1e-12);
            prop_assert_eq!(edges.are_within_m(at, 0.5), least <= 0.5);
        }
    }
}
