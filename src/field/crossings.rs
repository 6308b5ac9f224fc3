//! Where rings meet, cross or fold back on themselves.

use geo::{Coord, GeoNum, Kernel, Orientation};

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

/// An edge in the sweep.
struct Edge {
    ring: usize,
    index: usize,
    a: Point,
    b: Point,
}

impl Edge {
    fn low_x(&self) -> f64 {
        self.a.x_m.min(self.b.x_m)
    }
    fn high_x(&self) -> f64 {
        self.a.x_m.max(self.b.x_m)
    }
    fn apart_in_y(&self, other: &Self) -> bool {
        self.a.y_m.max(self.b.y_m) < other.a.y_m.min(other.b.y_m)
            || other.a.y_m.max(other.b.y_m) < self.a.y_m.min(self.b.y_m)
    }
}

/// All meetings among the edges of open rings, other than neighbours that share their vertex,
/// up to `most` of them. The order depends on the rings alone.
pub(super) fn find_meetings(rings: &[&[Point]], most: usize) -> Vec<Met> {
    let mut edges = Vec::with_capacity(rings.iter().map(|ring| ring.len()).sum());
    for (ring, points) in rings.iter().enumerate() {
        for (index, &a) in points.iter().enumerate() {
            edges.push(Edge { ring, index, a, b: points[(index + 1) % points.len()] });
        }
    }
    edges.sort_by(|a, b| a.low_x().total_cmp(&b.low_x()));
    let mut met = Vec::new();
    for (position, edge) in edges.iter().enumerate() {
        let reach = edge.high_x();
        for other in edges[position + 1..].iter().take_while(|other| other.low_x() <= reach) {
            if edge.apart_in_y(other) {
                continue;
            }
            let neighbours = neighbouring(rings, edge, other);
            if let Some((meeting, at)) = meet(edge, other)
                && !(neighbours && meeting == Meeting::Touch)
            {
                met.push(Met {
                    first: (edge.ring, edge.index),
                    second: (other.ring, other.index),
                    meeting,
                    at,
                });
                if met.len() == most {
                    return met;
                }
            }
        }
    }
    met
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
        let met = find_meetings(&[&tie], 10);
        assert_eq!(met.len(), 1);
        assert_eq!(met[0].meeting, Meeting::Cross);
        assert_eq!(met[0].at, Point { x_m: 1.0, y_m: 1.0 });
    }

    #[test]
    fn a_square_meets_itself_nowhere_and_a_spike_folds_back() {
        let square = ring(&[[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]]);
        assert!(find_meetings(&[&square], 10).is_empty());
        let spike = ring(&[[0.0, 0.0], [2.0, 0.0], [3.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]]);
        assert!(find_meetings(&[&spike], 10).iter().any(|m| m.meeting == Meeting::Overlap));
    }

    #[test]
    fn rings_side_by_side_overlap_along_their_border() {
        let left = ring(&[[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]);
        let right = ring(&[[1.0, 0.0], [2.0, 0.0], [2.0, 1.0], [1.0, 1.0]]);
        let met = find_meetings(&[&left, &right], 10);
        assert_eq!(met.iter().filter(|m| m.meeting == Meeting::Overlap).count(), 1);
        assert!(met.iter().all(|m| m.meeting != Meeting::Cross));
    }
}
