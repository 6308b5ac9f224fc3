//! The check of a set of weights, and the weights of a triangle where that check fails.

use crate::field::Point;

use super::hull::{Hull, HullPoint};
use super::mesh::Mesh;

/// Weights sum to 1 within this, and none is below minus this.
const WEIGHT_TOLERANCE: f64 = 1e-9;

/// The sites, weighted, give back the query point within this, in metres.
const POSITION_TOLERANCE_M: f64 = 1e-6;

/// Whether natural-neighbour weights are what they must be; if so, weights below zero by rounding
/// become zero, zeros go, and the rest sums to 1.
pub(super) fn settle(entries: &mut Vec<(usize, f64)>, points: &[Point], at: Point) -> bool {
    let (mut sum, mut x_m, mut y_m) = (0.0, 0.0, 0.0);
    for &(site, weight) in &*entries {
        if !weight.is_finite() || weight < -WEIGHT_TOLERANCE {
            return false;
        }
        sum += weight;
        x_m += weight * (points[site].x_m - at.x_m);
        y_m += weight * (points[site].y_m - at.y_m);
    }
    let off_squared_m2 = x_m * x_m + y_m * y_m;
    if (sum - 1.0).abs() > WEIGHT_TOLERANCE
        || off_squared_m2 > POSITION_TOLERANCE_M * POSITION_TOLERANCE_M
    {
        return false;
    }
    entries.retain(|entry| entry.1 > 0.0);
    let sum: f64 = entries.iter().map(|entry| entry.1).sum();
    for entry in entries {
        entry.1 /= sum;
    }
    true
}

/// The weights at a point inside the hull of a triangulation. False where its natural-neighbour
/// weights failed their check and those of the triangle around the point stand in.
pub(super) fn weigh_inside(
    mesh: &Mesh,
    points: &[Point],
    at: Point,
    entries: &mut Vec<(usize, f64)>,
) -> bool {
    mesh.weigh(at, entries);
    if settle(entries, points, at) {
        return true;
    }
    if let Some(corners) = mesh.triangle_around(at) {
        weigh_in_triangle(corners, at, points, entries);
    } else {
        weigh_on_hull(&mesh.hull(), at, entries);
    }
    false
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
    weigh_at(hull.nearest(at), entries)
}

/// The weights at a point of an outline; its distance in metres is returned.
pub(super) fn weigh_at(nearest: HullPoint, entries: &mut Vec<(usize, f64)>) -> f64 {
    let weights = [(nearest.from, 1.0 - nearest.share_of_to), (nearest.to, nearest.share_of_to)];
    entries.clear();
    entries.extend(weights.into_iter().filter(|entry| entry.1 > 0.0));
    nearest.distance_m
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(x_m: f64, y_m: f64) -> Point {
        Point { x_m, y_m }
    }

    const CORNERS: [Point; 3] =
        [Point { x_m: 0.0, y_m: 0.0 }, Point { x_m: 1.0, y_m: 0.0 }, Point { x_m: 0.0, y_m: 1.0 }];

    fn settled(weights: [f64; 3], at: Point) -> Option<Vec<(usize, f64)>> {
        let mut entries: Vec<(usize, f64)> = weights.into_iter().enumerate().collect();
        settle(&mut entries, &CORNERS, at).then_some(entries)
    }

    #[test]
    fn sound_weights_pass_and_rounding_below_zero_goes() {
        let entries = settled([0.5 + 1e-12, 0.5, -1e-12], point(0.5, 0.0)).unwrap();
        assert_eq!(entries.iter().map(|entry| entry.0).collect::<Vec<_>>(), [0, 1]);
        assert!((entries[0].1 + entries[1].1 - 1.0).abs() < 1e-15);
    }

    #[test]
    fn unsound_weights_fail() {
        let at = point(0.25, 0.25);
        assert!(settled([0.5, 0.25, 0.25], at).is_some());
        assert!(settled([0.5, 0.25, 0.25 + 2e-9], at).is_none(), "the sum is off");
        assert!(settled([0.5 + 2e-6, 0.25 - 2e-6, 0.25], at).is_none(), "the place is off");
        assert!(settled([0.5, f64::NAN, 0.25], at).is_none(), "no number");
        assert!(settled([1e17, -1e17, 1.0], at).is_none(), "below zero");
        assert!(settled([1.0 + 2e-9, 0.0, -2e-9], point(0.0, 0.0)).is_none(), "below zero");
        let mut nothing = Vec::new();
        assert!(!settle(&mut nothing, &CORNERS, at), "no weights");
    }

    fn weighed_in_triangle(corners: [Point; 3], at: Point) -> Vec<(usize, f64)> {
        let mut entries = Vec::new();
        let numbered = [(0, corners[0]), (1, corners[1]), (2, corners[2])];
        weigh_in_triangle(numbered, at, &corners, &mut entries);
        entries
    }

    #[test]
    fn in_a_triangle_the_weights_are_linear() {
        let entries = weighed_in_triangle(CORNERS, point(0.25, 0.5));
        assert_eq!(entries, [(0, 0.25), (1, 0.25), (2, 0.5)]);
    }

    #[test]
    fn in_a_triangle_without_area_the_nearest_edge_counts() {
        let flat = [point(0.0, 0.0), point(100.0, 0.0), point(40.0, 0.0)];
        let entries = weighed_in_triangle(flat, point(10.0, 1e-9));
        let x_m: f64 = entries.iter().map(|&(site, weight)| weight * flat[site].x_m).sum();
        assert!((x_m - 10.0).abs() < 1e-9, "{entries:?}");
        let vertex = weighed_in_triangle([point(3.0, 3.0); 3], point(3.0, 3.0));
        assert_eq!(vertex, [(0, 1.0)]);
    }
}
