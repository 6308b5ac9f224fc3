//! Whether the rings of a boundary make a field: none crosses itself, holes lie in their polygon;
//! and which polygons overlap.

use std::collections::BTreeMap;

use super::crossings::{Meeting, Met};
use super::edges::distance_to_edge_m;
use super::frame::Frame;
use super::ring::{Ring, TOUCHING_M};
use super::ring_tree::RingTree;
use crate::findings::{Place, Problem, Refusal};

/// Faults after which the search stops; a boundary with more is not better described by them.
const MOST_FAULTS: usize = 100;

/// Checks the rings, whose points are in metres in `frame` and which meet at `met`, and returns
/// the pairs of polygons that overlap, the lower number first, in order.
///
/// # Errors
/// Refuses rings that do not make a field, naming the places in degrees.
pub(super) fn check_rings(
    rings: &[Ring],
    met: &[Met],
    frame: &Frame,
    file: &str,
) -> Result<Vec<(usize, usize)>, Refusal> {
    let mut problems = Vec::new();
    let mut touching = Vec::new();
    let mut overlapping = Vec::new();
    for met in met {
        let (a, b) = (&rings[met.first.0], &rings[met.second.0]);
        touching.push((met.first.0.min(met.second.0), met.first.0.max(met.second.0)));
        let Some(fault) = name_fault(rings, met) else { continue };
        if a.polygon != b.polygon && !are_at_odds(a, b) {
            overlapping.push((a.polygon.min(b.polygon), a.polygon.max(b.polygon)));
            continue;
        }
        let other = if met.first.0 == met.second.0 { "itself".to_owned() } else { b.in_words() };
        let what =
            format!("{} {fault} {other} at {}", a.in_words(), frame.inverse(met.at).in_words());
        let problem = refuse(a, file, what);
        // One place is met by several pairs of edges, and told once.
        if !problems.contains(&problem) {
            problems.push(problem);
        }
        if problems.len() == MOST_FAULTS {
            break;
        }
    }
    if problems.is_empty() {
        touching.sort_unstable();
        touching.dedup();
        problems = check_nesting(rings, &touching, file, &mut overlapping);
    }
    overlapping.sort_unstable();
    overlapping.dedup();
    Refusal::unless_clean(problems, overlapping)
}

/// Whether two rings of one shape, of which the file does not say which are holes, were drawn in
/// opposite directions: one of them was then meant as a hole, and may not be taken for ground.
fn are_at_odds(a: &Ring, b: &Ring) -> bool {
    a.unsorted.is_some()
        && b.unsorted.is_some()
        && a.feature == b.feature
        && (a.signed_area_m2() < 0.0) != (b.signed_area_m2() < 0.0)
}

/// A problem of a ring.
pub(super) fn refuse(ring: &Ring, file: &str, what: String) -> Problem {
    let place = Place { feature: Some(ring.feature), ..Place::in_file(file) };
    Problem::at(place, what)
        .allowed("rings that do not cross themselves or each other, holes inside their polygon")
        .hint("mend the outline where it was drawn, and export it again")
}

/// What is wrong with a meeting, as a verb; `None` where rings may meet so.
fn name_fault(rings: &[Ring], met: &Met) -> Option<&'static str> {
    let (a, b) = (&rings[met.first.0], &rings[met.second.0]);
    if met.first.0 == met.second.0 {
        return Some(match met.meeting {
            Meeting::Cross => "crosses",
            Meeting::Overlap => "runs back along",
            Meeting::Touch => "touches",
        });
    }
    match met.meeting {
        Meeting::Overlap if a.polygon == b.polygon => Some("shares an edge with"),
        Meeting::Touch | Meeting::Overlap => None,
        Meeting::Cross => {
            let edge = |ring: &Ring, index: usize| {
                (ring.points[index], ring.points[(index + 1) % ring.points.len()])
            };
            let (one, other) = (edge(a, met.first.1), edge(b, met.second.1));
            let reach = [(one.0, other), (one.1, other), (other.0, one), (other.1, one)]
                .into_iter()
                .map(|(point, to)| distance_to_edge_m(point, to))
                .fold(f64::INFINITY, f64::min);
            (reach > TOUCHING_M).then_some("crosses")
        }
    }
}

fn check_nesting(
    rings: &[Ring],
    touching: &[(usize, usize)],
    file: &str,
    overlapping: &mut Vec<(usize, usize)>,
) -> Vec<Problem> {
    let mut problems = Vec::new();
    let tree = RingTree::of(rings);
    let outer_of: BTreeMap<usize, usize> = rings
        .iter()
        .enumerate()
        .filter(|(_, ring)| ring.hole == 0)
        .map(|(number, ring)| (ring.polygon, number))
        .collect();
    for (first, a) in rings.iter().enumerate() {
        // Rings far from each other have nothing to do with one another, but for a hole and the
        // polygon that it has to lie in.
        let mut others: Vec<usize> = tree.near(first).collect();
        others.extend(outer_of.get(&a.polygon).filter(|_| a.hole > 0));
        others.sort_unstable();
        others.dedup();
        for &second in &others {
            let b = &rings[second];
            let holes_of_one = a.polygon == b.polygon && a.hole > 0 && b.hole > 0;
            let ground_of_two = a.polygon != b.polygon && a.hole == 0 && b.hole == 0;
            let touch = touching.binary_search(&(first.min(second), first.max(second))).is_ok();
            if a.polygon == b.polygon && a.hole > b.hole && tree.share_an_edge(first, second) {
                let what = format!("{} shares an edge with {}", a.in_words(), b.in_words());
                problems.push(refuse(a, file, what));
            } else if a.polygon == b.polygon && a.hole > 0 && b.hole == 0 {
                if !tree.lies_in(first, second, touch) {
                    let what = format!("{} lies outside its polygon", a.in_words());
                    problems.push(refuse(a, file, what));
                }
            } else if !(holes_of_one || ground_of_two)
                || tree.are_apart(first, second)
                || !tree.lies_in(first, second, touch)
            {
                // Nothing to tell.
            } else if holes_of_one {
                let what = format!("{} lies in {}", a.in_words(), b.in_words());
                problems.push(refuse(a, file, what));
            } else {
                let hole = others.iter().any(|&hole| {
                    rings[hole].polygon == b.polygon
                        && rings[hole].hole > 0
                        && tree.is_within(first, hole)
                });
                if !hole && are_at_odds(a, b) {
                    let what = format!("{} covers the ground of {}", a.in_words(), b.in_words());
                    problems.push(refuse(a, file, what));
                } else if !hole {
                    overlapping.push((a.polygon.min(b.polygon), a.polygon.max(b.polygon)));
                }
            }
            if problems.len() == MOST_FAULTS {
                return problems;
            }
        }
    }
    problems
}
