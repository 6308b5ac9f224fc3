//! The outline of the sites, and the nearest point on it.

use crate::field::Point;

use super::sites::distance_m;

/// Inside begins this far within the outline, in metres: closer to it, natural-neighbour weights
/// are not to be trusted, and the value on the outline is the same within any error of a map.
/// Sites so close to a line lie on it.
pub(super) const HULL_MARGIN_M: f64 = 1e-6;

/// Sites this near to an edge of the convex hull, in metres, lie on it and bound its pieces.
///
/// Rows of a sampling grid lie on a line only up to the rounding of their coordinates (eight
/// decimals of a degree are a millimetre) and to the curvature of the frame. Taken strictly, a
/// sample a hair within the hull would be passed over, and all ground beyond it would be drawn
/// between samples further off: leaving one out of the 72 samples of a real grid, that moved the
/// error from 0.396 to 0.403 as the coordinates came in one system or in another.
pub(super) const ON_EDGE_M: f64 = 1e-3;

/// The outline of the sites: the convex hull with every site on its edges, or an open line where
/// all sites lie on one.
#[derive(Debug)]
pub(super) struct Hull {
    /// The corners of the convex hull, counter-clockwise; none for a line.
    pub(super) corners: Vec<(usize, Point)>,
    /// The edges of the convex hull from corner to corner; none for a line, which has no inside.
    sides: Vec<Side>,
    /// From site to site along the outline; a piece without length where there is one site.
    pieces: Vec<Piece>,
}

/// The straight piece of an outline between two sites that follow one another on it.
#[derive(Debug)]
struct Piece {
    from: usize,
    to: usize,
    end: Point,
    side: Side,
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
        let next = corners.iter().cycle().skip(1);
        let sides: Vec<Side> =
            corners.iter().zip(next).map(|(from, to)| Side::between(from.1, to.1)).collect();
        let mut chain = Vec::with_capacity(corners.len());
        for (corner, side) in corners.iter().zip(&sides) {
            chain.push(*corner);
            chain.extend(side.sites_on_it(sites.iter().copied()));
        }
        let next = chain.iter().cycle().skip(1);
        let pieces = chain.iter().zip(next).map(|(from, to)| Piece::between(*from, *to)).collect();
        Self { corners: corners.to_vec(), sides, pieces }
    }

    /// An open stretch of an outline, from site to site; it has no inside.
    pub(super) fn open(chain: &[(usize, Point)]) -> Self {
        let pieces = chain.windows(2).map(|pair| Piece::between(pair[0], pair[1])).collect();
        Self { corners: Vec::new(), sides: Vec::new(), pieces }
    }

    /// The corners of an open stretch, with the sites that lie on its edges between them.
    pub(super) fn with_sites_on_edges(
        corners: &[(usize, Point)],
        sites: &[(f64, (usize, Point))],
    ) -> Vec<(usize, Point)> {
        let mut chain = Vec::with_capacity(corners.len());
        for pair in corners.windows(2) {
            let side = Side::between(pair[0].1, pair[1].1);
            chain.push(pair[0]);
            chain.extend(side.sites_on_it(sites.iter().map(|(_, site)| *site)));
        }
        chain.extend(corners.last());
        chain
    }

    /// How far to the left of the first piece a point lies, in metres.
    pub(super) fn depth_m(&self, point: Point) -> f64 {
        self.pieces.first().map_or(0.0, |piece| piece.side.depth_m(point))
    }

    /// How far along the first piece a point lies, in metres.
    pub(super) fn along_m(&self, point: Point) -> f64 {
        self.pieces.first().map_or(0.0, |piece| piece.side.along_m(point))
    }

    /// The sites before and after one on the outline.
    pub(super) fn neighbours(&self, site: usize) -> Option<[(usize, Point); 2]> {
        let after = self.pieces.iter().position(|piece| piece.from == site)?;
        let count = self.pieces.len();
        let (before, after) = (&self.pieces[(after + count - 1) % count], &self.pieces[after]);
        Some([(before.from, before.side.start), (after.to, after.end)])
    }

    /// The line through all sites, where they lie on one; a single site is a line without length.
    pub(super) fn along_line(sites: &[(usize, Point)]) -> Option<Self> {
        let farthest_from = |from: Point| {
            let apart = sites.iter().map(|&(_, point)| (distance_m(from, point), point));
            apart.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, point)| point)
        };
        let start = farthest_from(sites.first()?.1)?;
        let side = Side::between(start, farthest_from(start)?);
        if sites.iter().any(|on| side.depth_m(on.1).abs() > HULL_MARGIN_M) {
            return None;
        }
        let mut chain = sites.to_vec();
        chain.sort_by(|a, b| side.along_m(a.1).total_cmp(&side.along_m(b.1)));
        let next = chain.iter().skip(1).chain(if chain.len() == 1 { chain.first() } else { None });
        let pieces = chain.iter().zip(next).map(|(from, to)| Piece::between(*from, *to)).collect();
        Some(Self { corners: Vec::new(), sides: Vec::new(), pieces })
    }

    /// Whether the site is a corner or lies on an edge.
    pub(super) fn touches(&self, site: usize) -> bool {
        self.pieces.iter().any(|piece| piece.from == site || piece.to == site)
    }

    /// Whether the point lies inside by more than [`HULL_MARGIN_M`].
    pub(super) fn holds(&self, point: Point) -> bool {
        !self.sides.is_empty() && self.sides.iter().all(|side| side.depth_m(point) > HULL_MARGIN_M)
    }

    /// The nearest point of the outline; of equally near ones, the first along it.
    pub(super) fn nearest(&self, point: Point) -> HullPoint {
        let mut best = HullPoint { from: 0, to: 0, share_of_to: 0.0, distance_m: f64::INFINITY };
        for Piece { from, to, side, .. } in &self.pieces {
            let share_of_to = (side.along_m(point) * side.share_per_m).clamp(0.0, 1.0);
            let foot_m = share_of_to * side.length_m;
            let x_m = side.start.x_m + side.along[0] * foot_m - point.x_m;
            let y_m = side.start.y_m + side.along[1] * foot_m - point.y_m;
            let squared = x_m * x_m + y_m * y_m;
            if squared < best.distance_m {
                best = HullPoint { from: *from, to: *to, share_of_to, distance_m: squared };
            }
        }
        let distance_m = best.distance_m.sqrt();
        best.distance_m = if distance_m <= HULL_MARGIN_M { 0.0 } else { distance_m };
        best
    }
}

impl Piece {
    fn between(from: (usize, Point), to: (usize, Point)) -> Self {
        Self { from: from.0, to: to.0, end: to.1, side: Side::between(from.1, to.1) }
    }
}

/// A directed line between two points.
#[derive(Debug)]
struct Side {
    start: Point,
    /// Unit vector; zero where the points are one.
    along: [f64; 2],
    length_m: f64,
    /// One over the length; zero where the points are one.
    share_per_m: f64,
}

impl Side {
    fn between(start: Point, end: Point) -> Self {
        let length_m = distance_m(start, end);
        let share_per_m = if length_m > 0.0 { 1.0 / length_m } else { 0.0 };
        let along = [(end.x_m - start.x_m) * share_per_m, (end.y_m - start.y_m) * share_per_m];
        Self { start, along, length_m, share_per_m }
    }

    /// How far along the line from its start, in metres.
    fn along_m(&self, point: Point) -> f64 {
        (point.x_m - self.start.x_m) * self.along[0] + (point.y_m - self.start.y_m) * self.along[1]
    }

    /// How far to the left of the line, in metres.
    fn depth_m(&self, point: Point) -> f64 {
        (point.y_m - self.start.y_m) * self.along[0] - (point.x_m - self.start.x_m) * self.along[1]
    }

    /// The sites that lie on it, well within its ends, from its start to its end.
    fn sites_on_it(&self, sites: impl Iterator<Item = (usize, Point)>) -> Vec<(usize, Point)> {
        let mut on_it: Vec<(f64, (usize, Point))> =
            sites.filter_map(|on| Some((self.passes_at_m(on.1)?, on))).collect();
        on_it.sort_by(|a, b| a.0.total_cmp(&b.0));
        on_it.into_iter().map(|on| on.1).collect()
    }

    /// How far along a point lies on the line, well within its ends, in metres.
    fn passes_at_m(&self, point: Point) -> Option<f64> {
        let along_m = self.along_m(point);
        let between = HULL_MARGIN_M < along_m && along_m < self.length_m - HULL_MARGIN_M;
        (between && self.depth_m(point).abs() <= ON_EDGE_M).then_some(along_m)
    }
}
