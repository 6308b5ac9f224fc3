//! The check of a set of weights, and the weights of a triangle where that check fails.

use crate::field::Point;

use super::hull::Hull;

/// Weights sum to 1 within this, and none is below minus this.
const WEIGHT_TOLERANCE: f64 = 1e-9;

/// The sites, weighted, give back the query point within this, in metres.
const POSITION_TOLERANCE_M: f64 = 1e-6;

/// Whether natural-neighbour weights are what they must be; if so, weights below zero by rounding
/// become zero, zeros go, and the rest sums to 1.
pub(super) fn settle(entries: &mut Vec<(usize, f64)>, points: &[Point], at: Point) -> bool {
    let (mut sum, mut x_m, mut y_m) = (0.0, 0.0, 0.0);
    for &(site, weight) in &*entries {
        // Written so that a weight that is not a number fails.
        if !(weight >= -WEIGHT_TOLERANCE) {
            return false;
        }
        sum += weight;
        x_m += weight * (points[site].x_m - at.x_m);
        y_m += weight * (points[site].y_m - at.y_m);
    }
    let sound = (sum - 1.0).abs() <= WEIGHT_TOLERANCE && x_m.hypot(y_m) <= POSITION_TOLERANCE_M;
    if !sound {
        return false;
    }
    entries.retain(|entry| entry.1 > 0.0);
    let sum: f64 = entries.iter().map(|entry| entry.1).sum();
    for entry in entries {
        entry.1 /= sum;
    }
    true
}

/// The weights of the corners of the triangle around a point: linear in the triangle or, where it
/// is too thin for that, linear between the ends of its edge that is nearest.
pub(super) fn weigh_in_triangle(
    corners: [(usize, Point); 3],
    at: Point,
    points: &[Point],
    entries: &mut Vec<(usize, f64)>,
) {
    let twice_area = |a: Point, b: Point, c: Point| {
        (b.x_m - a.x_m) * (c.y_m - a.y_m) - (b.y_m - a.y_m) * (c.x_m - a.x_m)
    };
    let [a, b, c] = corners;
    let whole = twice_area(a.1, b.1, c.1);
    entries.clear();
    entries.extend([
        (a.0, twice_area(at, b.1, c.1) / whole),
        (b.0, twice_area(at, c.1, a.1) / whole),
        (c.0, twice_area(at, a.1, b.1) / whole),
    ]);
    if !settle(entries, points, at) {
        weigh_on_hull(&Hull::around(&corners, &[]), at, entries);
    }
}

/// The weights at the nearest point of an outline; the distance to it in metres is returned.
pub(super) fn weigh_on_hull(hull: &Hull, at: Point, entries: &mut Vec<(usize, f64)>) -> f64 {
    let nearest = hull.nearest(at);
    let weights = [(nearest.from, 1.0 - nearest.share_of_to), (nearest.to, nearest.share_of_to)];
    entries.clear();
    entries.extend(weights.into_iter().filter(|entry| entry.1 > 0.0));
    nearest.distance_m
}
