//! Where rings meet, cross or fold back on themselves.

use geo::{Coord, GeoNum, Kernel, Orientation};

use super::box_tree::BoxTree;
use super::edges::{edges_of, reach_of_edge};
use super::place::Point;

/// How two edges of rings meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Meeting {
    /// The insides of both edges cross.
    Cross,
    /// They lie on one line and share more than a point.
    Overlap,
    /// They share one point, which is an end of at least one of them.
    Touch,
}

/// Two edges that meet: each as the ring and the number of its first vertex.
#[derive(Clone, Debug)]
pub(super) struct Met {
    pub(super) first: (usize, usize),
    pub(super) second: (usize, usize),
    pub(super) meeting: Meeting,
    /// One place of the meeting.
    pub(super) at: Point,
}

/// Edges whose boxes have a place in common with that of one edge: so many for each edge, on the
/// whole, are compared at most. Outlines that are drawn have three.
const MOST_NEAR: usize = 500;
/// Outlines of few edges may have all of them at one place.
const ALWAYS_COMPARED: usize = 4_000_000;

/// An edge of a ring, with the number of its first vertex.
struct Edge {
    ring: usize,
    index: usize,
    a: Point,
    b: Point,
}

/// All meetings among the edges of open rings, other than neighbours that share their vertex; the
/// order depends on the rings alone. `None` where there are more than `most`, or so many edges at
/// one place that comparing them does not end.
pub(super) fn find_meetings(rings: &[&[Point]], most: usize) -> Option<Vec<Met>> {
    let mut edges = Vec::with_capacity(rings.iter().map(|ring| ring.len()).sum());
    for (ring, points) in rings.iter().enumerate() {
        edges.extend(edges_of(points).enumerate().map(|(index, (a, b))| Edge {
            ring,
            index,
            a,
            b,
        }));
    }
    edges.sort_by(|a, b| a.a.x_m.min(a.b.x_m).total_cmp(&b.a.x_m.min(b.b.x_m)));
    let reach = |edge: &Edge| reach_of_edge(&(edge.a, edge.b));
    let tree = BoxTree::of(edges.iter().map(reach));
    let mut left = ALWAYS_COMPARED.max(edges.len().saturating_mul(MOST_NEAR));
    let mut met = Vec::new();
    let mut near: Vec<usize> = Vec::new();
    for (position, edge) in edges.iter().enumerate() {
        near.clear();
        near.extend(tree.meeting(reach(edge)).take(left + 1));
        left = left.checked_sub(near.len())?;
        near.retain(|&other| other > position);
        near.sort_unstable();
        for other in near.iter().map(|&other| &edges[other]) {
            if let Some((meeting, at)) = meet(edge, other)
                && !(meeting == Meeting::Touch && neighbouring(rings, edge, other))
            {
                if met.len() == most {
                    return None;
                }
                met.push(Met {
                    first: (edge.ring, edge.index),
                    second: (other.ring, other.index),
                    meeting,
                    at,
                });
            }
        }
    }
    Some(met)
}

fn neighbouring(rings: &[&[Point]], a: &Edge, b: &Edge) -> bool {
    let count = rings[a.ring].len();
    a.ring == b.ring && ((a.index + 1) % count == b.index || (b.index + 1) % count == a.index)
}

/// The side of the line from `a` to `b` on which `c` lies, exactly.
fn side(a: Point, b: Point, c: Point) -> Orientation {
    <f64 as GeoNum>::Ker::orient2d(a.to_coord(), b.to_coord(), c.to_coord())
}

fn meet(one: &Edge, other: &Edge) -> Option<(Meeting, Point)> {
    let (a, b, c, d) = (one.a, one.b, other.a, other.b);
    let sides = [side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)];
    let on_line = |s: Orientation| s == Orientation::Collinear;
    if sides.iter().all(|&s| on_line(s)) {
        let mut shared: Vec<Point> = Vec::new();
        for (point, from, to) in [(c, a, b), (d, a, b), (a, c, d), (b, c, d)] {
            if in_box(point, from, to) && !shared.contains(&point) {
                shared.push(point);
            }
        }
        let at = *shared.first()?;
        return Some((if shared.len() > 1 { Meeting::Overlap } else { Meeting::Touch }, at));
    }
    for (s, point, from, to) in
        [(sides[0], c, a, b), (sides[1], d, a, b), (sides[2], a, c, d), (sides[3], b, c, d)]
    {
        if on_line(s) && in_box(point, from, to) {
            return Some((Meeting::Touch, point));
        }
    }
    if sides.iter().any(|&s| on_line(s)) || sides[0] == sides[1] || sides[2] == sides[3] {
        return None;
    }
    Some((Meeting::Cross, crossing_point(a.to_coord(), b.to_coord(), c.to_coord(), d.to_coord())))
}

/// Whether a point on the line of an edge lies on the edge.
fn in_box(point: Point, from: Point, to: Point) -> bool {
    let between =
        |value: f64, one: f64, other: f64| value >= one.min(other) && value <= one.max(other);
    between(point.x_m, from.x_m, to.x_m) && between(point.y_m, from.y_m, to.y_m)
}

fn crossing_point(a: Coord, b: Coord, c: Coord, d: Coord) -> Point {
    let (along, across, offset) = (b - a, d - c, c - a);
    let ratio =
        (offset.x * across.y - offset.y * across.x) / (along.x * across.y - along.y * across.x);
    Point { x_m: a.x + ratio * along.x, y_m: a.y + ratio * along.y }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(points: &[[f64; 2]]) -> Vec<Point> {
        points.iter().map(|&[x_m, y_m]| Point { x_m, y_m }).collect()
    }

    #[test]
    fn a_bow_tie_crosses_once() {
        let tie = ring(&[[0.0, 0.0], [2.0, 2.0], [2.0, 0.0], [0.0, 2.0]]);
        let met = find_meetings(&[&tie], 10).unwrap();
        assert_eq!(met.len(), 1);
        assert_eq!(met[0].meeting, Meeting::Cross);
        assert_eq!(met[0].at, Point { x_m: 1.0, y_m: 1.0 });
    }

    #[test]
    fn a_square_meets_itself_nowhere_and_a_spike_folds_back() {
        let square = ring(&[[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]]);
        assert!(find_meetings(&[&square], 10).unwrap().is_empty());
        let spike = ring(&[[0.0, 0.0], [2.0, 0.0], [3.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]]);
        let met = find_meetings(&[&spike], 10).unwrap();
        assert!(met.iter().any(|m| m.meeting == Meeting::Overlap));
    }

    #[test]
    fn rings_side_by_side_overlap_along_their_border() {
        let left = ring(&[[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]);
        let right = ring(&[[1.0, 0.0], [2.0, 0.0], [2.0, 1.0], [1.0, 1.0]]);
        let met = find_meetings(&[&left, &right], 10).unwrap();
        assert_eq!(met.iter().filter(|m| m.meeting == Meeting::Overlap).count(), 1);
        assert!(met.iter().all(|m| m.meeting != Meeting::Cross));
    }

    /// A comb whose teeth lie athwart: the boxes of all of them have places in common.
    #[test]
    fn edges_without_number_at_one_place_are_not_compared_for_ever() {
        let comb = |teeth: u32| -> Vec<Point> {
            let at = |tooth: u32, out: f64| {
                let along = f64::from(tooth) / 1_000.0;
                [along + out, out - along]
            };
            let teeth = (0..teeth).flat_map(|tooth| [at(2 * tooth, 0.0), at(2 * tooth + 1, 900.0)]);
            let back = [[-1.0, -1_000.0], [-1.0, -0.5]];
            ring(&teeth.chain(back).collect::<Vec<_>>())
        };
        assert!(find_meetings(&[&comb(900)], 10).is_some());
        assert!(find_meetings(&[&comb(100_000)], 10).is_none());
        let star = ring(&[[0.0, 0.0], [4.0, 4.0], [4.0, 0.0], [0.0, 4.0], [2.0, 5.0], [2.0, -1.0]]);
        assert!(find_meetings(&[&star], 3).is_some_and(|met| met.len() == 3));
        assert!(find_meetings(&[&star], 2).is_none());
    }
}
