//! A closed walk that touches itself, split into rings that do not.
//!
//! Stretches that the walk takes both ways hold no ground and fall away. Along the others the field
//! is on the left; following, at every vertex, the ground that lies on the left gives the outlines
//! of its pieces, and each is parted where it comes back to a vertex.

use std::collections::BTreeMap;

use super::super::box_tree::apart;
use super::super::edges::is_inside;
use super::super::place::Point;
use super::super::ring::{reach_of, signed_area_m2};
use super::mend::Corner;

/// A ring that does not meet itself.
#[derive(Clone, Debug)]
pub(super) struct Loop {
    pub(super) corners: Vec<Corner>,
    /// Positive where it runs counter-clockwise.
    pub(super) area_m2: f64,
    /// Whether it bounds ground that is not in the walk, by the number of rings around it.
    pub(super) is_hole: bool,
}

/// A walk in rings.
#[derive(Debug)]
pub(super) struct Split {
    pub(super) loops: Vec<Loop>,
    /// The vertices that the walk comes by more than once.
    pub(super) repeated: Vec<Corner>,
}

/// Rings that one walk may come to; more are no drawing of a field.
const MOST_LOOPS: usize = 2_000;

/// Splits a walk whose edges share no more than vertices or whole edges. In the error the place of
/// an edge that it takes twice in one direction, or of the last ring where there are too many.
pub(super) fn split_walk(walk: &[Corner]) -> Result<Split, Point> {
    let mut numbers: BTreeMap<[u64; 2], usize> = BTreeMap::new();
    let mut corners: Vec<Corner> = Vec::new();
    let mut visits: Vec<usize> = Vec::new();
    let path: Vec<usize> = walk
        .iter()
        .map(|&corner| {
            // Adding nothing makes the two zeros one.
            let key = [corner.point.x_m + 0.0, corner.point.y_m + 0.0].map(f64::to_bits);
            let number = *numbers.entry(key).or_insert_with(|| {
                corners.push(corner);
                visits.push(0);
                corners.len() - 1
            });
            visits[number] += 1;
            number
        })
        .collect();
    let repeated =
        corners.iter().zip(&visits).filter(|&(_, &n)| n > 1).map(|(&corner, _)| corner).collect();
    let edges = edges_taken_once(&path, &corners)?;
    let mut loops = Vec::new();
    for outline in follow(&edges, &corners) {
        part(&outline, &mut loops);
        if loops.len() > MOST_LOOPS {
            return Err(corners[outline[0]].point);
        }
    }
    let mut loops: Vec<Loop> = loops
        .into_iter()
        .map(|ring| {
            let corners: Vec<Corner> = ring.into_iter().map(|number| corners[number]).collect();
            let area_m2 = signed_area_m2(&points_of(&corners));
            Loop { corners, area_m2, is_hole: false }
        })
        .collect();
    find_holes(&mut loops);
    Ok(Split { loops, repeated })
}

fn points_of(corners: &[Corner]) -> Vec<Point> {
    corners.iter().map(|corner| corner.point).collect()
}

/// The edges of the walk, less those that it also takes the other way.
fn edges_taken_once(path: &[usize], corners: &[Corner]) -> Result<Vec<(usize, usize)>, Point> {
    let mut turns: BTreeMap<(usize, usize), i64> = BTreeMap::new();
    for (index, &from) in path.iter().enumerate() {
        let to = path[(index + 1) % path.len()];
        *turns.entry((from.min(to), from.max(to))).or_default() += if from < to { 1 } else { -1 };
    }
    let mut edges = Vec::with_capacity(turns.len());
    for ((low, high), turn) in turns {
        match turn {
            0 => {}
            1 => edges.push((low, high)),
            -1 => edges.push((high, low)),
            _ => return Err(corners[low].point),
        }
    }
    Ok(edges)
}

/// The outlines of the pieces of ground to the left of the edges.
fn follow(edges: &[(usize, usize)], corners: &[Corner]) -> Vec<Vec<usize>> {
    let mut leaving: Vec<Vec<usize>> = vec![Vec::new(); corners.len()];
    for &(from, to) in edges {
        leaving[from].push(to);
    }
    let mut outlines = Vec::new();
    for &(start, _) in edges {
        while let Some(first) = leaving[start].pop() {
            let mut outline = vec![start];
            let (mut from, mut at) = (start, first);
            while at != start {
                outline.push(at);
                // Every vertex is left as often as it is come to, so there is a way on.
                let Some(next) = leftmost(from, at, &leaving[at], corners) else { break };
                let to = leaving[at].swap_remove(next);
                (from, at) = (at, to);
            }
            outlines.push(outline);
        }
    }
    outlines
}

/// Which of the ways out of `at` bounds the ground to the left of the edge that came from `from`:
/// the first one clockwise from the way back.
fn leftmost(from: usize, at: usize, ways: &[usize], corners: &[Corner]) -> Option<usize> {
    if ways.len() < 2 {
        return (!ways.is_empty()).then_some(0);
    }
    let bearing = |to: usize| {
        let (a, b) = (corners[at].point, corners[to].point);
        (b.y_m - a.y_m).atan2(b.x_m - a.x_m)
    };
    let back = bearing(from);
    let clockwise = |to: usize| (back - bearing(to)).rem_euclid(std::f64::consts::TAU);
    (0..ways.len()).min_by(|&a, &b| clockwise(ways[a]).total_cmp(&clockwise(ways[b])))
}

/// Parts an outline where it comes back to a vertex.
fn part(outline: &[usize], loops: &mut Vec<Vec<usize>>) {
    let mut at: BTreeMap<usize, usize> = BTreeMap::new();
    let mut open: Vec<usize> = Vec::new();
    for &number in outline {
        if let Some(&since) = at.get(&number) {
            let ring = open.split_off(since);
            for passed in &ring {
                at.remove(passed);
            }
            loops.push(ring);
        }
        at.insert(number, open.len());
        open.push(number);
    }
    loops.push(open);
}

/// Tells holes by how many of the rings lie around each. Two rings share vertices at most, so the
/// middle of an edge tells.
fn find_holes(loops: &mut [Loop]) {
    let points: Vec<Vec<Point>> = loops.iter().map(|one| points_of(&one.corners)).collect();
    let boxes: Vec<[f64; 4]> = points.iter().map(|points| reach_of(points)).collect();
    for (number, one) in loops.iter_mut().enumerate() {
        let (a, b) = (one.corners[0].point, one.corners[1].point);
        let middle = Point { x_m: f64::midpoint(a.x_m, b.x_m), y_m: f64::midpoint(a.y_m, b.y_m) };
        let around = (0..points.len())
            .filter(|&other| {
                other != number
                    && !apart(&boxes[number], &boxes[other])
                    && is_inside(middle, &points[other])
            })
            .count();
        one.is_hole = around % 2 == 1;
    }
}
