//! Natural-neighbour weights from the circles of a triangulation, for queries near one another.
//!
//! A query point takes its natural neighbours from the patch of triangles whose circles hold it.
//! The same patch holds for many queries, so it is kept with all that does not depend on the query,
//! and found again by the triangle that a query lies in.

use std::collections::HashMap;
use std::ops::Range;

use crate::field::Point;

/// No triangle across: the edge is on the hull.
pub(super) const NO_EDGE: usize = usize::MAX;

/// The triangles of a triangulation. Edge `3 t + k` runs from corner `k` of triangle `t` to the
/// next, counter-clockwise.
#[derive(Debug, Default)]
pub(super) struct Triangles {
    /// The site at which each edge starts.
    pub(super) starts: Vec<usize>,
    /// The same edge as the triangle across has it, or [`NO_EDGE`].
    pub(super) across: Vec<usize>,
    /// The circle through the corners of each triangle.
    pub(super) circles: Vec<Circle>,
}

/// A circle through three sites, from the first of them: that keeps its digits where the sites
/// lie almost on a line and the centre is far away.
#[derive(Clone, Copy, Debug)]
pub(super) struct Circle {
    corner: Point,
    to_centre: [f64; 2],
}

/// Weighs one query after the other.
pub(super) struct Patches<'a> {
    triangles: &'a Triangles,
    points: &'a [Point],
    known: Vec<Patch>,
    /// The circles and the neighbours of all of them.
    circles: Vec<Circle>,
    neighbours: Vec<Neighbour>,
    /// The patch that was last built for queries in a triangle.
    of_triangle: HashMap<usize, usize>,
    /// The patch of the query before.
    last: Option<usize>,
    inner: Vec<usize>,
    /// The edges around it, counter-clockwise.
    rim: Vec<usize>,
    to_inspect: Vec<usize>,
    /// For each neighbour, the centre of the circle through the query, it and the next one.
    new_corners: Vec<[f64; 2]>,
}

/// Triangles that hang together: what a query has that lies in their circles and in no other.
struct Patch {
    /// The one of them that its first query lay in.
    triangle: usize,
    /// The one that was built for the same triangle before.
    before: Option<usize>,
    /// Its circles among all, and those of the triangles around it.
    inside: Range<usize>,
    outside: Range<usize>,
    /// Its neighbours among all, counter-clockwise.
    neighbours: Range<usize>,
}

/// What the weight of a natural neighbour has that does not depend on the query: the part of its
/// Voronoi cell's outline that lies in the patch, from its place.
struct Neighbour {
    site: usize,
    at: Point,
    first: [f64; 2],
    last: [f64; 2],
    /// The sum of the cross products from `first` to `last`.
    between: f64,
}

impl<'a> Patches<'a> {
    pub(super) fn new(triangles: &'a Triangles, points: &'a [Point]) -> Self {
        Self {
            triangles,
            points,
            known: Vec::new(),
            circles: Vec::new(),
            neighbours: Vec::new(),
            of_triangle: HashMap::new(),
            last: None,
            inner: Vec::new(),
            rim: Vec::new(),
            to_inspect: Vec::new(),
            new_corners: Vec::new(),
        }
    }

    /// The weights at a point inside the hull, unchecked: none, or wrong ones, where the query is
    /// at a site or rounding has the better of the circles.
    pub(super) fn weigh(&mut self, at: Point, entries: &mut Vec<(usize, f64)>) {
        entries.clear();
        let Some(patch) = self.find(at) else { return };
        let neighbours = &self.neighbours[self.known[patch].neighbours.clone()];
        self.new_corners.clear();
        let Some(mut to_neighbour) = neighbours.first().map(|first| offset(first.at, at)) else {
            return;
        };
        for next in neighbours.iter().skip(1).chain(neighbours.first()) {
            let to_next = offset(next.at, at);
            self.new_corners.push(circle_centre(to_neighbour, to_next));
            to_neighbour = to_next;
        }
        let Some(mut before) = self.new_corners.last().copied() else { return };
        let mut total = 0.0;
        for (neighbour, &after) in neighbours.iter().zip(&self.new_corners) {
            let [x, y] = offset(at, neighbour.at);
            let (from, to) = ([before[0] + x, before[1] + y], [after[0] + x, after[1] + y]);
            let twice_area = cross(from, neighbour.first)
                + neighbour.between
                + cross(neighbour.last, to)
                + cross(to, from);
            total += twice_area;
            entries.push((neighbour.site, twice_area));
            before = after;
        }
        for entry in entries {
            entry.1 /= total;
        }
    }

    /// The patch of a point: that of the query before, one that is known, or a new one.
    fn find(&mut self, at: Point) -> Option<usize> {
        if let Some(last) = self.last.filter(|&last| self.fits(last, at)) {
            return Some(last);
        }
        let start = self.last.map_or(0, |last| self.known[last].triangle);
        let triangle = self.triangles.find(start, at, self.points)?;
        let newest = self.of_triangle.get(&triangle).copied();
        let mut known = std::iter::successors(newest, |&patch| self.known[patch].before);
        let found = known.find(|&patch| self.fits(patch, at));
        let found = found.or_else(|| self.build(triangle, at, newest))?;
        self.last = Some(found);
        Some(found)
    }

    /// Whether the circles that hold the point are those of the patch, which hang together.
    fn fits(&self, patch: usize, at: Point) -> bool {
        let Patch { inside, outside, .. } = &self.known[patch];
        self.circles[inside.clone()].iter().all(|circle| circle.holds(at))
            && !self.circles[outside.clone()].iter().any(|circle| circle.holds(at))
    }

    /// Builds the patch of a point in a triangle; none where rounding has torn it.
    fn build(&mut self, triangle: usize, at: Point, before: Option<usize>) -> Option<usize> {
        let Triangles { starts, across, circles } = self.triangles;
        let (inner, rim) = (&mut self.inner, &mut self.rim);
        inner.clear();
        inner.push(triangle);
        rim.clear();
        self.to_inspect.clear();
        self.to_inspect.extend([3 * triangle + 2, 3 * triangle + 1, 3 * triangle]);
        while let Some(edge) = self.to_inspect.pop() {
            let beyond = across[edge];
            let grows = beyond != NO_EDGE
                && circles[beyond / 3].holds(at)
                && !inner.contains(&(beyond / 3));
            if grows {
                inner.push(beyond / 3);
                self.to_inspect.extend([next(next(beyond)), next(beyond)]);
            } else {
                rim.push(edge);
            }
        }
        // From the least site on, so that the way to the patch leaves no trace in the last bit.
        let least = (0..rim.len()).min_by_key(|&i| starts[rim[i]]).unwrap_or(0);
        rim.rotate_left(least);
        let neighbours = self.describe_neighbours()?;
        let first = self.circles.len();
        self.circles.extend(self.inner.iter().map(|&triangle| circles[triangle]));
        let inside = first..self.circles.len();
        let around = self.rim.iter().map(|&edge| across[edge]);
        let around = around.filter(|&beyond| beyond != NO_EDGE);
        self.circles.extend(around.map(|beyond| circles[beyond / 3]));
        let outside = inside.end..self.circles.len();
        let number = self.known.len();
        self.known.push(Patch { triangle, before, inside, outside, neighbours });
        self.of_triangle.insert(triangle, number);
        Some(number)
    }

    /// Follows the old Voronoi outline of each neighbour through the patch in the making; none
    /// where that does not close.
    fn describe_neighbours(&mut self) -> Option<Range<usize>> {
        let start = self.neighbours.len();
        let mut before = *self.rim.last()?;
        for &edge in &self.rim {
            let site = self.triangles.starts[edge];
            let at = self.points[site];
            let centre = |edge: usize| self.triangles.circles[edge / 3].centre_from(at);
            let first = centre(before);
            let (mut turning, mut last, mut between) = (next(before), first, 0.0);
            for _ in 0..self.inner.len() {
                if turning == edge {
                    break;
                }
                let across = self.triangles.across[turning];
                if across == NO_EDGE {
                    break;
                }
                turning = next(across);
                between += cross(last, centre(turning));
                last = centre(turning);
            }
            if turning != edge {
                self.neighbours.truncate(start);
                return None;
            }
            self.neighbours.push(Neighbour { site, at, first, last, between });
            before = edge;
        }
        Some(start..self.neighbours.len())
    }
}

impl Triangles {
    /// Walks from a triangle to the one that holds the point.
    fn find(&self, start: usize, at: Point, points: &[Point]) -> Option<usize> {
        let mut triangle = start;
        'walk: for _ in 0..self.circles.len() {
            for edge in 3 * triangle..3 * triangle + 3 {
                let from = points[self.starts[edge]];
                let to = points[self.starts[next(edge)]];
                if cross(offset(to, from), offset(at, from)) < 0.0 {
                    if self.across[edge] == NO_EDGE {
                        return None;
                    }
                    triangle = self.across[edge] / 3;
                    continue 'walk;
                }
            }
            return self.circles[triangle].holds(at).then_some(triangle);
        }
        None
    }
}

impl Circle {
    pub(super) fn through([corner, b, c]: [Point; 3]) -> Self {
        Self { corner, to_centre: circle_centre(offset(b, corner), offset(c, corner)) }
    }

    fn holds(&self, point: Point) -> bool {
        let [x, y] = offset(point, self.corner);
        x * (x - 2.0 * self.to_centre[0]) + y * (y - 2.0 * self.to_centre[1]) < 0.0
    }

    /// The centre as seen from a point.
    fn centre_from(&self, point: Point) -> [f64; 2] {
        let [x, y] = offset(self.corner, point);
        [x + self.to_centre[0], y + self.to_centre[1]]
    }
}

/// The centre of the circle through the origin, `a` and `b`.
fn circle_centre(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    let (a_squared, b_squared) = (a[0] * a[0] + a[1] * a[1], b[0] * b[0] + b[1] * b[1]);
    let scale = 0.5 / cross(a, b);
    [(b[1] * a_squared - a[1] * b_squared) * scale, (a[0] * b_squared - b[0] * a_squared) * scale]
}

/// The next edge of the same triangle.
fn next(edge: usize) -> usize {
    if edge % 3 == 2 { edge - 2 } else { edge + 1 }
}

fn offset(to: Point, from: Point) -> [f64; 2] {
    [to.x_m - from.x_m, to.y_m - from.y_m]
}

fn cross(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}
