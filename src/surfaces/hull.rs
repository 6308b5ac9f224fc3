//! The outline of the sites, and the nearest point on it.

use crate::field::Point;

use super::sites::distance_m;

/// Inside begins this far within the outline, in metres: closer to it, natural-neighbour weights
/// are not to be trusted, and the value on the outline is the same within any error of a map.
pub(super) const HULL_MARGIN_M: f64 = 1e-6;

/// A row of samples is straight where none strays from its line by more than this share of its
/// length (common practice), nor by more than [`STRAIGHT_WITHIN_M`].
const STRAIGHT_WITHIN_SHARE: f64 = 1e-3;

/// See [`STRAIGHT_WITHIN_SHARE`]; in metres. Coordinates written with six decimals of a degree are
/// off by up to 0.06 m, and a row along a parallel at 50 degrees bends by 0.02 m over 1 km: neither
/// may hide a sample on the edge of the field from the ground beside it.
const STRAIGHT_WITHIN_M: f64 = 0.1;

/// The outline of the sites: the convex hull with every site on its edges, or an open line where
/// all sites lie on one.
#[derive(Debug)]
pub(super) struct Hull {
    /// Empty for a line, which has no inside.
    edges: Vec<Edge>,
    /// In order along the outline, counter-clockwise where it is closed.
    chain: Vec<(usize, Point)>,
    closed: bool,
}

/// A straight edge of the convex hull, from corner to corner.
#[derive(Debug)]
struct Edge {
    start: Point,
    /// Unit vector to the inside.
    inward: [f64; 2],
    /// How far the sites on this edge stray to the inside, in metres.
    stray_m: f64,
}

/// The nearest point of an outline: on the line between two sites.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct HullPoint {
    pub(super) from: usize,
    pub(super) to: usize,
    /// 0 at `from`, 1 at `to`.
    pub(super) share_of_to: f64,
    pub(super) distance_m: f64,
}

impl Hull {
    /// The outline of sites with the given corners of their convex hull, counter-clockwise.
    /// `sites` are all that lie in it.
    pub(super) fn around(corners: &[(usize, Point)], sites: &[(usize, Point)]) -> Self {
        let count = corners.len();
        let mut on_edge: Vec<Vec<(f64, usize, Point)>> = vec![Vec::new(); count];
        let sides: Vec<Side> =
            (0..count).map(|i| Side::between(corners[i].1, corners[(i + 1) % count].1)).collect();
        for &(site, point) in sites {
            if corners.iter().any(|&(corner, _)| corner == site) {
                continue;
            }
            let straying = sides.iter().enumerate().map(|(i, side)| (side.depth_m(point), i));
            let Some((depth_m, i)) = straying.min_by(|a, b| a.0.total_cmp(&b.0)) else { continue };
            let along_m = sides[i].along_m(point);
            if depth_m <= sides[i].straight_within_m()
                && 0.0 < along_m
                && along_m < sides[i].length_m
            {
                on_edge[i].push((along_m, site, point));
            }
        }
        let mut chain = Vec::with_capacity(count);
        let mut edges = Vec::with_capacity(count);
        for ((corner, side), mut between) in corners.iter().zip(&sides).zip(on_edge) {
            between.sort_by(|a, b| a.0.total_cmp(&b.0));
            let stray_m = between.iter().map(|on| side.depth_m(on.2)).fold(0.0, f64::max);
            edges.push(Edge { start: side.start, inward: side.inward(), stray_m });
            chain.push(*corner);
            chain.extend(between.into_iter().map(|(_, site, point)| (site, point)));
        }
        Self { edges, chain, closed: true }
    }

    /// The line through all sites, where they lie on one; a single site is a line without length.
    pub(super) fn along_line(sites: &[(usize, Point)]) -> Option<Self> {
        let farthest_from = |from: Point| {
            let apart = sites.iter().map(|&(_, point)| (distance_m(from, point), point));
            apart.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, point)| point)
        };
        let start = farthest_from(sites.first()?.1)?;
        let side = Side::between(start, farthest_from(start)?);
        if sites.iter().any(|on| side.depth_m(on.1).abs() > side.straight_within_m()) {
            return None;
        }
        let mut chain = sites.to_vec();
        chain.sort_by(|a, b| side.along_m(a.1).total_cmp(&side.along_m(b.1)));
        Some(Self { edges: Vec::new(), chain, closed: false })
    }

    /// Whether the site is a corner or lies on an edge.
    pub(super) fn touches(&self, site: usize) -> bool {
        self.chain.iter().any(|on| on.0 == site)
    }

    /// Whether the point lies inside by more than [`HULL_MARGIN_M`].
    pub(super) fn holds(&self, point: Point) -> bool {
        if !self.closed {
            return false;
        }
        let mut clear = true;
        for edge in &self.edges {
            let depth_m = (point.x_m - edge.start.x_m) * edge.inward[0]
                + (point.y_m - edge.start.y_m) * edge.inward[1];
            if depth_m <= HULL_MARGIN_M {
                return false;
            }
            clear &= depth_m > HULL_MARGIN_M + edge.stray_m;
        }
        // Where a row of sites strays to the inside, the outline follows the row.
        clear || (self.winds_around(point) && self.nearest(point).distance_m > HULL_MARGIN_M)
    }

    /// The nearest point of the outline; of equally near ones, the first along it.
    pub(super) fn nearest(&self, point: Point) -> HullPoint {
        let (only, at) = self.chain[0];
        let distance_m = distance_m(point, at);
        let mut best = HullPoint { from: only, to: only, share_of_to: 0.0, distance_m };
        for [from, to] in self.pieces() {
            let side = Side::between(from.1, to.1);
            let share_of_to = (side.along_m(point) / side.length_m).clamp(0.0, 1.0);
            let foot = Point {
                x_m: side.start.x_m + side.along[0] * side.length_m * share_of_to,
                y_m: side.start.y_m + side.along[1] * side.length_m * share_of_to,
            };
            let distance_m = super::sites::distance_m(point, foot);
            if distance_m < best.distance_m {
                best = HullPoint { from: from.0, to: to.0, share_of_to, distance_m };
            }
        }
        if best.distance_m <= HULL_MARGIN_M {
            best.distance_m = 0.0;
        }
        best
    }

    /// The straight pieces of the outline.
    fn pieces(&self) -> impl Iterator<Item = [(usize, Point); 2]> {
        let last = if self.closed { self.chain.len() } else { self.chain.len() - 1 };
        (0..last).map(|i| [self.chain[i], self.chain[(i + 1) % self.chain.len()]])
    }

    /// Whether a ray to the east crosses the outline an odd number of times.
    fn winds_around(&self, point: Point) -> bool {
        let crossed = self.pieces().filter(|[(_, a), (_, b)]| {
            (a.y_m > point.y_m) != (b.y_m > point.y_m)
                && point.x_m < a.x_m + (b.x_m - a.x_m) * (point.y_m - a.y_m) / (b.y_m - a.y_m)
        });
        crossed.count() % 2 == 1
    }
}

/// A directed line between two points.
#[derive(Debug)]
struct Side {
    start: Point,
    /// Unit vector; zero where the points are one.
    along: [f64; 2],
    length_m: f64,
}

impl Side {
    fn between(start: Point, end: Point) -> Self {
        let length_m = distance_m(start, end);
        let scale = if length_m > 0.0 { 1.0 / length_m } else { 0.0 };
        let along = [(end.x_m - start.x_m) * scale, (end.y_m - start.y_m) * scale];
        Self { start, along, length_m }
    }

    /// How far along the line from its start, in metres.
    fn along_m(&self, point: Point) -> f64 {
        (point.x_m - self.start.x_m) * self.along[0] + (point.y_m - self.start.y_m) * self.along[1]
    }

    /// How far to the left of the line, in metres.
    fn depth_m(&self, point: Point) -> f64 {
        let inward = self.inward();
        (point.x_m - self.start.x_m) * inward[0] + (point.y_m - self.start.y_m) * inward[1]
    }

    fn inward(&self) -> [f64; 2] {
        [-self.along[1], self.along[0]]
    }

    fn straight_within_m(&self) -> f64 {
        (self.length_m * STRAIGHT_WITHIN_SHARE).min(STRAIGHT_WITHIN_M)
    }
}
