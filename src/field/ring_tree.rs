//! Rings and which of them lie in one another, however many they are.

use std::cell::OnceCell;

use geo::{InteriorPoint, LineString, Polygon};

use super::box_tree::{BoxTree, Reach, apart, widened};
use super::edges::{Edges, edges_of, reach_of_edge};
use super::place::Point;
use super::ring::{Ring, TOUCHING_M};

/// Rings whose neighbours are found by their boxes, and whose edges are put in order when they are
/// first asked for.
pub(super) struct RingTree<'r> {
    rings: &'r [Ring],
    boxes: Vec<Reach>,
    tree: BoxTree,
    edges: Vec<OnceCell<Edges>>,
}

impl<'r> RingTree<'r> {
    pub(super) fn of(rings: &'r [Ring]) -> Self {
        let boxes: Vec<Reach> = rings.iter().map(Ring::reach).collect();
        let tree = BoxTree::of(boxes.iter().copied());
        Self { rings, boxes, tree, edges: rings.iter().map(|_| OnceCell::new()).collect() }
    }

    /// The numbers of the other rings whose boxes come as near to that of ring `at` as rings that
    /// touch do, in no order.
    pub(super) fn near(&self, at: usize) -> impl Iterator<Item = usize> + '_ {
        let reach = widened(self.boxes[at], TOUCHING_M);
        self.tree.meeting(reach).filter(move |&other| other != at)
    }

    /// Whether the boxes of two rings have no place in common.
    pub(super) fn are_apart(&self, a: usize, b: usize) -> bool {
        apart(&self.boxes[a], &self.boxes[b])
    }

    fn edges(&self, at: usize) -> &Edges {
        self.edges[at].get_or_init(|| Edges::of([self.rings[at].points.as_slice()]))
    }

    /// Whether ring `a` lies in ring `b`, where no edges of the two cross. Where the two touch, the
    /// places of `a` on the line of `b` say nothing and are passed over.
    pub(super) fn lies_in(&self, a: usize, b: usize, touch: bool) -> bool {
        if !touch {
            let first = self.rings[a].points.first();
            return first.is_some_and(|&point| self.edges(b).hold(point));
        }
        // A hole must have every probe inside; two polygons overlap as soon as one is.
        if self.rings[a].polygon == self.rings[b].polygon {
            self.is_within(a, b)
        } else {
            self.probe(a, b).any(|inside| inside)
        }
    }

    /// Whether no place of ring `a` lies outside ring `b`; both may touch or cross.
    pub(super) fn is_within(&self, a: usize, b: usize) -> bool {
        self.probe(a, b).all(|inside| inside)
    }

    /// For places of ring `a` that are not on the line of ring `b`, whether they lie in it.
    fn probe(&self, a: usize, b: usize) -> impl Iterator<Item = bool> {
        let points = &self.rings[a].points;
        let within = || {
            let line = LineString(points.iter().map(|point| point.to_coord()).collect());
            let inside = Polygon::new(line, Vec::new()).interior_point();
            inside.map(|point| Point { x_m: point.x(), y_m: point.y() })
        };
        let outline = self.edges(b);
        edges_of(points)
            .flat_map(|(p, q)| {
                let middle =
                    Point { x_m: f64::midpoint(p.x_m, q.x_m), y_m: f64::midpoint(p.y_m, q.y_m) };
                [p, middle]
            })
            .chain(std::iter::once_with(within).flatten())
            .filter(|&point| !outline.are_within_m(point, TOUCHING_M))
            .map(|point| outline.hold(point))
    }

    /// Whether two rings run along one another, up to the rounding of their coordinates: what lies
    /// between them is no ground, and the hole is open to the outside.
    pub(super) fn share_an_edge(&self, a: usize, b: usize) -> bool {
        let runs_along = |one: usize, other: usize| {
            let (ours, theirs) = (self.edges(one), self.edges(other));
            ours.near(widened(self.boxes[other], TOUCHING_M)).any(|at| {
                let edge = ours.get(at);
                edge.0.distance_m(edge.1) > TOUCHING_M
                    && theirs.near(widened(reach_of_edge(&edge), TOUCHING_M)).any(|at| {
                        let along = theirs.get(at);
                        [edge.0, edge.1]
                            .into_iter()
                            .all(|end| super::edges::distance_to_edge_m(end, along) <= TOUCHING_M)
                    })
            })
        };
        runs_along(a, b) || runs_along(b, a)
    }

    /// What comparing all rings with their neighbours takes: how many pairs have a place of their
    /// boxes in common, and how many vertices these have; counted up to `most` of either.
    pub(super) fn crowd(&self, most: usize) -> usize {
        let (mut pairs, mut vertices) = (0, 0);
        for at in 0..self.rings.len() {
            for other in self.near(at) {
                pairs += 1;
                if self.rings[at].polygon != self.rings[other].polygon {
                    vertices += self.rings[at].points.len() + self.rings[other].points.len();
                }
                if pairs * VERTICES_OF_A_PAIR + vertices > most {
                    return most + 1;
                }
            }
        }
        pairs * VERTICES_OF_A_PAIR + vertices
    }
}

/// What looking at a pair of rings takes, in vertices that are looked at.
const VERTICES_OF_A_PAIR: usize = 50;
