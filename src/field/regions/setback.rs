//! Ground within a distance of lines and points.

use geo::{Coord, LineString, MultiPolygon, Polygon, unary_union};

use crate::field::place::Point;

/// How far the corners of a round end may lie outside the true circle, and the middles of its edges
/// inside it, in metres. Straight sides are exact, so a setback is right to this.
const ROUNDNESS_M: f64 = 0.002_5;

/// All ground within `distance_m` of the lines, of which those of one point are points. A closed
/// line repeats its first point. Parts further than that from the box `reach` are left out.
pub(in crate::field) fn around_lines(
    lines: &[Vec<Point>],
    distance_m: f64,
    reach: &[f64; 4],
) -> MultiPolygon<f64> {
    around_lines_to(lines, distance_m, reach, ROUNDNESS_M)
}

/// The same with round ends that are right to `roundness_m`.
pub(super) fn around_lines_to(
    lines: &[Vec<Point>],
    distance_m: f64,
    reach: &[f64; 4],
    roundness_m: f64,
) -> MultiPolygon<f64> {
    let is_near = |a: Point, b: Point| {
        a.x_m.min(b.x_m) - distance_m <= reach[2]
            && a.x_m.max(b.x_m) + distance_m >= reach[0]
            && a.y_m.min(b.y_m) - distance_m <= reach[3]
            && a.y_m.max(b.y_m) + distance_m >= reach[1]
    };
    let mut parts: Vec<Polygon<f64>> = Vec::new();
    for line in lines {
        for (index, &point) in line.iter().enumerate() {
            if is_near(point, point) {
                parts.push(disc(point, distance_m, roundness_m));
            }
            if let Some(&next) = line.get(index + 1)
                && next != point
                && is_near(point, next)
            {
                parts.push(strip(point, next, distance_m));
            }
        }
    }
    unary_union(&parts)
}

/// A regular polygon as large as the circle, half outside it and half inside.
fn disc(centre: Point, radius_m: f64, roundness_m: f64) -> Polygon<f64> {
    let share = (1.0 - 2.0 * roundness_m / (radius_m + roundness_m)).clamp(-1.0, 1.0);
    let count = (std::f64::consts::PI / share.acos()).ceil().max(8.0);
    let angle = std::f64::consts::TAU / count;
    // The middle of an edge lies as far inside the circle as a corner lies outside it.
    let corner_m = 2.0 * radius_m / (1.0 + (angle / 2.0).cos());
    let coord = |index: usize| {
        let (sin, cos) = (angle * index as f64).sin_cos();
        Coord { x: centre.x_m + corner_m * cos, y: centre.y_m + corner_m * sin }
    };
    Polygon::new(LineString((0..count as usize).map(coord).collect()), Vec::new())
}

/// The rectangle that reaches `distance_m` to both sides of an edge, counter-clockwise.
fn strip(a: Point, b: Point, distance_m: f64) -> Polygon<f64> {
    let scale = distance_m / a.distance_m(b);
    let (dx, dy) = ((b.x_m - a.x_m) * scale, (b.y_m - a.y_m) * scale);
    let corners = [(a, 1.0), (b, 1.0), (b, -1.0), (a, -1.0)];
    let line = corners.map(|(end, side)| Coord { x: end.x_m + side * dy, y: end.y_m - side * dx });
    Polygon::new(LineString(line.to_vec()), Vec::new())
}

#[cfg(test)]
mod tests {
    use geo::Area;

    use super::*;

    const EVERYWHERE: [f64; 4] = [-1e6, -1e6, 1e6, 1e6];

    fn point(x_m: f64, y_m: f64) -> Point {
        Point { x_m, y_m }
    }

    #[test]
    fn a_setback_has_the_area_of_its_round_shape() {
        for radius in [0.5, 15.24, 150.0, 1_000.0] {
            let circle = std::f64::consts::PI * radius * radius;
            // 3 mm along the whole border is more than the roundness allows.
            let border = std::f64::consts::TAU * radius * 0.003;
            let round = around_lines(&[vec![point(3.0, 4.0)]], radius, &EVERYWHERE);
            assert!((round.unsigned_area() - circle).abs() < border, "{radius}");
            let line = vec![point(0.0, 0.0), point(300.0, 400.0)];
            let pill = around_lines(&[line], radius, &EVERYWHERE);
            let expected = circle + 500.0 * 2.0 * radius;
            assert!((pill.unsigned_area() - expected).abs() < border, "{radius}");
        }
    }

    #[test]
    fn every_corner_of_a_bent_line_is_rounded() {
        // A slight bend, which joins of few edges would cut off.
        let line = vec![point(-500.0, 0.0), point(0.0, 0.0), point(500.0, 25.0)];
        let bent = around_lines(&[line], 80.0, &EVERYWHERE);
        let (sin, cos) = (0.025_f64).sin_cos();
        let outside = geo::Point::new(80.006 * sin, -80.006 * cos);
        let inside = geo::Point::new(79.994 * sin, -79.994 * cos);
        assert!(!geo::Contains::contains(&bent, &outside));
        assert!(geo::Contains::contains(&bent, &inside));
    }

    #[test]
    fn what_is_far_from_the_field_is_left_out() {
        let far = [vec![point(0.0, 0.0)], vec![point(900.0, 0.0), point(1_000.0, 0.0)]];
        assert!(around_lines(&far, 10.0, &[20.0, -5.0, 800.0, 5.0]).0.is_empty());
    }
}
