//! The outline of the sites, and the nearest point on it.

use std::collections::BTreeMap;

use crate::field::{BoxTree, Point, Reach, widened};

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

/// An outline of so many pieces is searched piece by piece.
const FEW_PIECES: usize = 64;

/// The outline of the sites: the convex hull with every site on its edges, or an open line where
/// all sites lie on one.
#[derive(Debug)]
pub(super) struct Hull {
    /// The corners of the convex hull, counter-clockwise; none for a line.
    pub(super) corners: Vec<(usize, Point)>,
    /// The edges of the convex hull from corner to corner; none for a line, which has no inside.
    sides: Vec<Side>,
    /// A circle that lies inside, its radius squared: most points are in it, and need no more.
    inner: (Point, f64),
    /// From site to site along the outline; a piece without length where there is one site.
    pieces: Vec<Piece>,
    /// The sides and the pieces by their boxes, where they are too many to look at each.
    trees: [Option<BoxTree>; 2],
    /// For each site of a convex hull that is a corner, its place among the corners.
    pub(super) corner_of: BTreeMap<usize, usize>,
    /// For each site of a convex hull, the piece that begins at it.
    piece_of: BTreeMap<usize, usize>,
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
        let tree = BoxTree::of(sites.iter().map(|site| reach_of(site.1, site.1)));
        let mut chain = Vec::with_capacity(corners.len());
        for (at, (corner, side)) in corners.iter().zip(&sides).enumerate() {
            chain.push(*corner);
            let end = corners[(at + 1) % corners.len()];
            let beside = widened(reach_of(corner.1, end.1), ON_EDGE_M);
            let mut near: Vec<usize> = tree.meeting(beside).collect();
            near.sort_unstable();
            chain.extend(side.sites_on_it(near.into_iter().map(|at| sites[at])));
        }
        let next = chain.iter().cycle().skip(1);
        let pieces = chain.iter().zip(next).map(|(from, to)| Piece::between(*from, *to)).collect();
        let mut hull = Self::of(corners.to_vec(), sides, pieces);
        hull.corner_of = corners.iter().enumerate().map(|(at, corner)| (corner.0, at)).collect();
        // The first piece counts where a site lies on two sides.
        hull.piece_of = chain.iter().enumerate().rev().map(|(at, site)| (site.0, at)).collect();
        hull
    }

    /// An open stretch of an outline, from site to site; it has no inside.
    pub(super) fn open(chain: &[(usize, Point)]) -> Self {
        let pieces = chain.windows(2).map(|pair| Piece::between(pair[0], pair[1])).collect();
        Self::of(Vec::new(), Vec::new(), pieces)
    }

    fn of(corners: Vec<(usize, Point)>, sides: Vec<Side>, pieces: Vec<Piece>) -> Self {
        let next = corners.iter().cycle().skip(1);
        let of_sides: Vec<Reach> =
            corners.iter().zip(next).map(|(from, to)| reach_of(from.1, to.1)).collect();
        let of_pieces: Vec<Reach> =
            pieces.iter().map(|piece| reach_of(piece.side.start, piece.end)).collect();
        let trees = [of_sides, of_pieces]
            .map(|boxes| (boxes.len() > FEW_PIECES).then(|| BoxTree::of(boxes)));
        let (corner_of, piece_of) = (BTreeMap::new(), BTreeMap::new());
        let inner = inner_circle(&corners, &sides);
        Self { corners, sides, inner, pieces, trees, corner_of, piece_of }
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

    /// The sites before and after one on the outline of a convex hull.
    pub(super) fn neighbours(&self, site: usize) -> Option<[(usize, Point); 2]> {
        let after = *self.piece_of.get(&site)?;
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
        Some(Self::of(Vec::new(), Vec::new(), pieces))
    }

    /// The sites along the outline, from its start; those of a closed one once.
    pub(super) fn chain(&self) -> Vec<(usize, Point)> {
        let mut chain: Vec<(usize, Point)> =
            self.pieces.iter().map(|piece| (piece.from, piece.side.start)).collect();
        let last = self.pieces.last().map(|piece| (piece.to, piece.end));
        chain.extend(last.filter(|last| chain.first().is_none_or(|first| first.0 != last.0)));
        chain
    }

    /// Whether the point lies inside by more than [`HULL_MARGIN_M`].
    pub(super) fn holds(&self, point: Point) -> bool {
        let (centre, squared_m2) = self.inner;
        let off = [point.x_m - centre.x_m, point.y_m - centre.y_m];
        if off[0] * off[0] + off[1] * off[1] < squared_m2 {
            return true;
        }
        let is_within = |side: &Side| side.depth_m(point) > HULL_MARGIN_M;
        let [Some(tree), _] = &self.trees else {
            return !self.sides.is_empty() && self.sides.iter().all(is_within);
        };
        // From inside a convex outline the nearest side is looked at straight, and no other is as
        // near; from outside it is looked at from its back.
        let squared_m2 = |number: usize| self.sides[number].squared_from_m2(point);
        is_within(&self.sides[nearest_of(self.sides.len(), Some(tree), point, squared_m2).0])
    }

    /// The nearest point of the outline; of equally near ones, the first along it.
    pub(super) fn nearest(&self, point: Point) -> HullPoint {
        if self.pieces.is_empty() {
            return HullPoint { from: 0, to: 0, share_of_to: 0.0, distance_m: f64::INFINITY };
        }
        let squared_m2 = |number: usize| self.pieces[number].side.squared_from_m2(point);
        let (number, squared_m2) =
            nearest_of(self.pieces.len(), self.trees[1].as_ref(), point, squared_m2);
        let Piece { from, to, side, .. } = &self.pieces[number];
        let distance_m = squared_m2.sqrt();
        HullPoint {
            from: *from,
            to: *to,
            share_of_to: side.share_nearest(point),
            distance_m: if distance_m <= HULL_MARGIN_M { 0.0 } else { distance_m },
        }
    }
}

/// Which of `count` stretches is nearest to a point, and the square of its distance, which
/// `squared_m2` gives; of equally near ones, the first.
fn nearest_of(
    count: usize,
    tree: Option<&BoxTree>,
    point: Point,
    squared_m2: impl Fn(usize) -> f64,
) -> (usize, f64) {
    let mut best = (0, f64::INFINITY);
    let mut look_at = |number: usize| {
        let squared_m2 = squared_m2(number);
        if squared_m2 < best.1 || (squared_m2 <= best.1 && number < best.0) {
            best = (number, squared_m2);
        }
        squared_m2.sqrt()
    };
    if let Some(tree) = tree {
        tree.nearest_m([point.x_m, point.y_m], look_at);
    } else {
        for number in 0..count {
            look_at(number);
        }
    }
    best
}

fn reach_of(a: Point, b: Point) -> Reach {
    [a.x_m.min(b.x_m), a.y_m.min(b.y_m), a.x_m.max(b.x_m), a.y_m.max(b.y_m)]
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

    /// How far along the stretch the point of it lies that is nearest: 0 at its start, 1 at its end.
    fn share_nearest(&self, point: Point) -> f64 {
        (self.along_m(point) * self.share_per_m).clamp(0.0, 1.0)
    }

    /// The square of the distance of a point from the stretch, in square metres.
    fn squared_from_m2(&self, point: Point) -> f64 {
        let foot_m = self.share_nearest(point) * self.length_m;
        let x_m = self.start.x_m + self.along[0] * foot_m - point.x_m;
        let y_m = self.start.y_m + self.along[1] * foot_m - point.y_m;
        x_m * x_m + y_m * y_m
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
/// A circle that lies deeper inside a convex outline than its margin, its radius squared; none has
/// the radius 0.
fn inner_circle(corners: &[(usize, Point)], sides: &[Side]) -> (Point, f64) {
    let mean = |of: fn(&Point) -> f64| {
        corners.iter().map(|(_, at)| of(at)).sum::<f64>() / corners.len().max(1) as f64
    };
    let centre = Point { x_m: mean(|at| at.x_m), y_m: mean(|at| at.y_m) };
    let depths_m = sides.iter().map(|side| side.depth_m(centre));
    let radius_m = depths_m.fold(f64::INFINITY, f64::min) - 2.0 * HULL_MARGIN_M;
    let radius_m = if radius_m.is_finite() { radius_m.max(0.0) } else { 0.0 };
    (centre, radius_m * radius_m)
}
