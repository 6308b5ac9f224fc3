//! Whether the rings of a boundary make a field: none crosses itself, holes lie in their polygon;
//! and which polygons overlap.

use geo::{InteriorPoint, LineString, Polygon};

use super::crossings::{Meeting, Met};
use super::frame::Frame;
use super::place::Point;
use super::ring::{Ring, apart};
use crate::findings::{Place, Problem, Refusal};

/// Rings of one boundary that reach into each other by less than this count as touching, in
/// metres: two steps of coordinates with seven decimals.
pub(super) const TOUCHING_M: f64 = 0.022;
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
    let boxes: Vec<[f64; 4]> = rings.iter().map(Ring::reach).collect();
    for (first, a) in rings.iter().enumerate() {
        for (second, b) in rings.iter().enumerate() {
            if first == second {
                continue;
            }
            let touch = touching.binary_search(&(first.min(second), first.max(second))).is_ok();
            if a.polygon == b.polygon && a.hole > b.hole && shares_an_edge(a, b) {
                let what = format!("{} shares an edge with {}", a.in_words(), b.in_words());
                problems.push(refuse(a, file, what));
            } else if a.polygon == b.polygon && a.hole > 0 && b.hole == 0 {
                if !lies_in(a, b, touch) {
                    problems.push(refuse(
                        a,
                        file,
                        format!("{} lies outside its polygon", a.in_words()),
                    ));
                }
            } else if apart(&boxes[first], &boxes[second]) {
                // Nothing to compare.
            } else if a.polygon == b.polygon && a.hole > 0 && b.hole > 0 && lies_in(a, b, touch) {
                let what = format!("{} lies in {}", a.in_words(), b.in_words());
                problems.push(refuse(a, file, what));
            } else if a.polygon != b.polygon && a.hole == 0 && b.hole == 0 && lies_in(a, b, touch) {
                let hole = rings
                    .iter()
                    .any(|hole| hole.polygon == b.polygon && hole.hole > 0 && is_within(a, hole));
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

/// Whether the two rings run along one another, up to the rounding of their coordinates: what lies
/// between them is no ground, and the hole is open to the outside.
fn shares_an_edge(a: &Ring, b: &Ring) -> bool {
    let runs_along = |one: &Ring, other: &Ring| {
        let [west, south, east, north] = other.reach();
        let reach = [west - TOUCHING_M, south - TOUCHING_M, east + TOUCHING_M, north + TOUCHING_M];
        edges(one).any(|(p, q)| {
            let box_of_edge =
                [p.x_m.min(q.x_m), p.y_m.min(q.y_m), p.x_m.max(q.x_m), p.y_m.max(q.y_m)];
            !apart(&box_of_edge, &reach)
                && p.distance_m(q) > TOUCHING_M
                && edges(other).any(|edge| {
                    distance_to_edge_m(p, edge) <= TOUCHING_M
                        && distance_to_edge_m(q, edge) <= TOUCHING_M
                })
        })
    };
    runs_along(a, b) || runs_along(b, a)
}

fn edges(ring: &Ring) -> impl Iterator<Item = (Point, Point)> + '_ {
    let next = ring.points.iter().cycle().skip(1);
    ring.points.iter().copied().zip(next.copied())
}

/// Whether ring `a` lies in ring `b`, where no edges of the two cross. Where the two touch, the
/// places of `a` on the line of `b` say nothing and are passed over.
fn lies_in(a: &Ring, b: &Ring, touch: bool) -> bool {
    if !touch {
        return a.points.first().is_some_and(|&point| is_inside(point, &b.points));
    }
    // A hole must have every probe inside; two polygons overlap as soon as one is.
    if a.polygon == b.polygon { is_within(a, b) } else { probe(a, b).any(|inside| inside) }
}

/// Whether no place of ring `a` lies outside ring `b`; both may touch or cross.
pub(super) fn is_within(a: &Ring, b: &Ring) -> bool {
    probe(a, b).all(|inside| inside)
}

/// For places of ring `a` that are not on the line of ring `b`, whether they lie in it.
fn probe(a: &Ring, b: &Ring) -> impl Iterator<Item = bool> {
    let line = LineString(a.points.iter().map(|point| point.to_coord()).collect());
    let within = Polygon::new(line, Vec::new()).interior_point();
    edges(a)
        .flat_map(|(p, q)| {
            let middle =
                Point { x_m: f64::midpoint(p.x_m, q.x_m), y_m: f64::midpoint(p.y_m, q.y_m) };
            [p, middle]
        })
        .chain(within.map(|point| Point { x_m: point.x(), y_m: point.y() }))
        .filter(|&point| edges(b).all(|edge| distance_to_edge_m(point, edge) > TOUCHING_M))
        .map(|point| is_inside(point, &b.points))
}

/// Whether a point lies inside an open ring, by counting the edges to its east.
pub(super) fn is_inside(point: Point, ring: &[Point]) -> bool {
    let mut inside = false;
    let Some(&last) = ring.last() else { return false };
    let mut a = last;
    for &b in ring {
        if (a.y_m > point.y_m) != (b.y_m > point.y_m) {
            let x = a.x_m + (point.y_m - a.y_m) / (b.y_m - a.y_m) * (b.x_m - a.x_m);
            if x > point.x_m {
                inside = !inside;
            }
        }
        a = b;
    }
    inside
}

/// The distance from a point to an edge, in metres.
pub(super) fn distance_to_edge_m(point: Point, (a, b): (Point, Point)) -> f64 {
    let (dx, dy) = (b.x_m - a.x_m, b.y_m - a.y_m);
    let length_squared = dx * dx + dy * dy;
    let along = (point.x_m - a.x_m) * dx + (point.y_m - a.y_m) * dy;
    let ratio = if length_squared > 0.0 { (along / length_squared).clamp(0.0, 1.0) } else { 0.0 };
    point.distance_m(Point { x_m: a.x_m + ratio * dx, y_m: a.y_m + ratio * dy })
}
