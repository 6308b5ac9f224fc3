//! Natural-neighbour weights from the circles of a triangulation, for queries near one another.
//!
//! A query point takes its natural neighbours from the patch of triangles whose circles hold it.
//! The same patch holds for many queries in a row, so it is kept, with all that does not depend on
//! the query, and searched anew only where it no longer fits.

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
pub(super) struct Patch<'a> {
    triangles: &'a Triangles,
    points: &'a [Point],
    inner: Vec<usize>,
    /// The edges around the patch, counter-clockwise.
    rim: Vec<usize>,
    neighbours: Vec<Neighbour>,
    to_inspect: Vec<usize>,
    /// For each neighbour, the centre of the circle through the query, it and the next one.
    new_corners: Vec<[f64; 2]>,
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

impl<'a> Patch<'a> {
    pub(super) fn new(triangles: &'a Triangles, points: &'a [Point]) -> Self {
        Self {
            triangles,
            points,
            inner: Vec::new(),
            rim: Vec::new(),
            neighbours: Vec::new(),
            to_inspect: Vec::new(),
            new_corners: Vec::new(),
        }
    }

    /// The weights at a point inside the hull, unchecked: none, or wrong ones, where the query is
    /// at a site or rounding has the better of the circles.
    pub(super) fn weigh(&mut self, at: Point, entries: &mut Vec<(usize, f64)>) {
        entries.clear();
        if !self.fits(at) && !self.rebuild(at) {
            return;
        }
        self.new_corners.clear();
        for (i, neighbour) in self.neighbours.iter().enumerate() {
            let next = &self.neighbours[if i + 1 < self.neighbours.len() { i + 1 } else { 0 }];
            let new_corner = circle_centre(offset(neighbour.at, at), offset(next.at, at));
            self.new_corners.push(new_corner);
        }
        let Some(mut before) = self.new_corners.last().copied() else { return };
        let mut total = 0.0;
        for (neighbour, &after) in self.neighbours.iter().zip(&self.new_corners) {
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

    /// Whether the circles that hold the point are those of the patch, which hang together.
    fn fits(&self, at: Point) -> bool {
        let outside = |edge: &usize| match self.triangles.across[*edge] {
            NO_EDGE => true,
            across => !self.triangles.circles[across / 3].holds(at),
        };
        !self.inner.is_empty()
            && self.inner.iter().all(|&triangle| self.triangles.circles[triangle].holds(at))
            && self.rim.iter().all(outside)
    }

    /// Finds the patch of a point; false where there is none.
    fn rebuild(&mut self, at: Point) -> bool {
        let start = self.inner.first().copied().unwrap_or(0);
        self.inner.clear();
        self.rim.clear();
        self.neighbours.clear();
        let Some(triangle) = self.triangles.find(start, at, self.points) else { return false };
        self.inner.push(triangle);
        self.to_inspect.clear();
        self.to_inspect.extend([3 * triangle + 2, 3 * triangle + 1, 3 * triangle]);
        while let Some(edge) = self.to_inspect.pop() {
            let across = self.triangles.across[edge];
            let grows = across != NO_EDGE
                && self.triangles.circles[across / 3].holds(at)
                && !self.inner.contains(&(across / 3));
            if grows {
                self.inner.push(across / 3);
                self.to_inspect.extend([next(next(across)), next(across)]);
            } else {
                self.rim.push(edge);
            }
        }
        // From the least site on, so that the way to the patch leaves no trace in the last bit.
        let starts = &self.triangles.starts;
        let least = (0..self.rim.len()).min_by_key(|&i| starts[self.rim[i]]).unwrap_or(0);
        self.rim.rotate_left(least);
        self.describe_neighbours()
    }

    /// Follows the old Voronoi outline of each neighbour through the patch.
    fn describe_neighbours(&mut self) -> bool {
        let mut before = self.rim[self.rim.len() - 1];
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
                // Rounding has torn the patch.
                self.inner.clear();
                return false;
            }
            self.neighbours.push(Neighbour { site, at, first, last, between });
            before = edge;
        }
        true
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
