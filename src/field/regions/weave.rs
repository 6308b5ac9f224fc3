//! Outlines woven into one net: wherever any two of them meet there is one vertex that both share.
//!
//! Snap rounding on the lattice: crossings become vertices, and every edge is led through the
//! vertices that it passes within half a step of. It is repeated until nothing is left to do, so
//! that edges of the result meet at their ends only.
//!
//! # References
//! J. D. Hobby, *Practical segment intersection with finite precision output*, Computational
//! Geometry 13, 1999, pages 199 to 214 (from memory).

use std::collections::HashMap;

use super::lattice::{Peg, crossing, passes, peg_of, point_at, way};
use crate::field::box_tree::{BoxTree, Reach};
use crate::field::frame::Frame;
use crate::field::place::Point;

/// Rounds after which the weaving is given up; two do in practice.
const MOST_ROUNDS: usize = 20;

/// A vertex of the net.
#[derive(Clone, Copy, Debug)]
pub(in crate::field) struct Knot {
    /// Where it lies, in metres: as it was given, or on the lattice where edges crossed.
    pub(in crate::field) point: Point,
    /// Longitude and latitude in steps of the output, not rounded.
    pub(in crate::field) steps: [f64; 2],
}

impl Knot {
    /// A vertex at a point of the frame.
    pub(super) fn at(point: Point, frame: &Frame) -> Self {
        Self { point, steps: frame.inverse(point).in_steps() }
    }
}

/// An edge of the net, its lower vertex first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Thread {
    pub(super) ends: (u32, u32),
    /// The polygons whose outline runs along it an odd number of times, in order: on one side of
    /// it one is inside them, on the other outside.
    pub(super) polygons: Vec<u32>,
}

/// The net.
#[derive(Debug, Default)]
pub(super) struct Net {
    pub(super) knots: Vec<Knot>,
    /// The place of each vertex on the lattice; no two are the same.
    pub(super) pegs: Vec<Peg>,
    pub(super) threads: Vec<Thread>,
}

/// Weaves polygons, each given by its open rings; vertices of earlier polygons stay where they
/// are when later ones come to lie on the same peg. `None` on a fault.
pub(super) fn weave(polygons: &[Vec<Vec<Knot>>], frame: &Frame) -> Option<Net> {
    let mut net = Net::default();
    // Only asked, never walked through.
    let mut known: HashMap<Peg, u32> = HashMap::new();
    let mut edges = Vec::new();
    for (polygon, rings) in polygons.iter().enumerate() {
        for ring in rings {
            let numbers: Vec<u32> =
                ring.iter().map(|&knot| net.add(knot, peg_of(knot.point), &mut known)).collect();
            for (index, &from) in numbers.iter().enumerate() {
                let to = numbers[(index + 1) % numbers.len()];
                edges.push(((from.min(to), from.max(to)), polygon as u32));
            }
        }
    }
    net.threads = threads_of(edges);
    for _ in 0..MOST_ROUNDS {
        for peg in net.crossings() {
            net.add(Knot::at(point_at(peg), frame), peg, &mut known);
        }
        let split = net.split();
        if split == net.threads {
            return Some(net);
        }
        net.threads = split;
    }
    None
}

/// One thread for all edges between the same ends; those that cancel are left out.
fn threads_of(mut edges: Vec<((u32, u32), u32)>) -> Vec<Thread> {
    edges.retain(|((from, to), _)| from != to);
    edges.sort_unstable();
    let mut threads = Vec::new();
    for same in edges.chunk_by(|a, b| a.0 == b.0) {
        let odd = same.chunk_by(|a, b| a.1 == b.1).filter(|group| group.len() % 2 == 1);
        let polygons: Vec<u32> = odd.map(|group| group[0].1).collect();
        if !polygons.is_empty() {
            threads.push(Thread { ends: same[0].0, polygons });
        }
    }
    threads
}

impl Net {
    fn add(&mut self, knot: Knot, peg: Peg, known: &mut HashMap<Peg, u32>) -> u32 {
        *known.entry(peg).or_insert_with(|| {
            self.knots.push(knot);
            self.pegs.push(peg);
            self.knots.len() as u32 - 1
        })
    }

    fn ends(&self, thread: &Thread) -> (Peg, Peg) {
        (self.pegs[thread.ends.0 as usize], self.pegs[thread.ends.1 as usize])
    }

    /// The places where insides of threads cross, in an order that depends on the threads alone.
    fn crossings(&self) -> Vec<Peg> {
        let mut spans: Vec<(Peg, Peg)> = self.threads.iter().map(|t| self.ends(t)).collect();
        let low = |span: &(Peg, Peg)| span.0[0].min(span.1[0]);
        spans.sort_by_key(low);
        let boxes: Vec<Reach> = spans.iter().map(|&(a, b)| reach_of(a, b)).collect();
        let tree = BoxTree::of(boxes.iter().copied());
        let mut met = Vec::new();
        let mut others: Vec<usize> = Vec::new();
        for (index, one) in spans.iter().enumerate() {
            others.clear();
            others.extend(tree.meeting(boxes[index]).filter(|&other| other > index));
            others.sort_unstable();
            met.extend(others.iter().filter_map(|&other| crossing(*one, spans[other])));
        }
        met
    }

    /// The threads, each led through the vertices that it passes.
    fn split(&self) -> Vec<Thread> {
        let tree = BoxTree::of(self.pegs.iter().map(|&peg| reach_of(peg, peg)));
        let mut edges = Vec::with_capacity(self.threads.len());
        for thread in &self.threads {
            let (a, b) = self.ends(thread);
            let along = way(a, b);
            let mut stops: Vec<(i128, u32)> = tree
                .meeting(reach_of(a, b))
                .map(|knot| (self.pegs[knot], knot as u32))
                .filter(|&(peg, _)| peg != a && peg != b && passes(a, b, peg))
                .map(|(peg, knot)| {
                    let to_it = way(a, peg);
                    (along[0] * to_it[0] + along[1] * to_it[1], knot)
                })
                .collect();
            stops.sort_unstable();
            let mut from = thread.ends.0;
            for to in stops.into_iter().map(|(_, knot)| knot).chain([thread.ends.1]) {
                let ends = (from.min(to), from.max(to));
                edges.extend(thread.polygons.iter().map(|&polygon| (ends, polygon)));
                from = to;
            }
        }
        threads_of(edges)
    }
}

/// The box around two pegs, in steps, of which floating numbers hold all within reach exactly.
fn reach_of(a: Peg, b: Peg) -> Reach {
    let step = |axis: usize, pick: fn(i64, i64) -> i64| pick(a[axis], b[axis]) as f64;
    [step(0, i64::min), step(1, i64::min), step(0, i64::max), step(1, i64::max)]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::field::place::LonLat;

    fn polygon(points: &[[f64; 2]], frame: &Frame) -> Vec<Vec<Knot>> {
        vec![points.iter().map(|&[x_m, y_m]| Knot::at(Point { x_m, y_m }, frame)).collect()]
    }

    #[test]
    fn squares_that_overlap_share_the_vertices_where_they_cross() {
        let frame = Frame::centred_on(LonLat { lon_deg: 10.0, lat_deg: 50.0 });
        let one = polygon(&[[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]], &frame);
        let other = polygon(&[[1.0, 1.0], [3.0, 1.0], [3.0, 3.0], [1.0, 3.0]], &frame);
        let net = weave(&[one.clone(), other, one.clone(), one], &frame).unwrap();
        assert_eq!((net.knots.len(), net.threads.len()), (10, 12));
        assert!(net.threads.iter().any(|thread| thread.polygons == [0, 2, 3]));
    }
}
