//! Tests of the room as a whole, and the fields that they are made on.

mod against_spade;
mod cross_checks;
mod exactness;
mod few_sites;
mod outline;
mod properties;
mod references;
mod sites;

use crate::field::Point;

use super::{Interpolator, Sites, Standing, Weights, merge_coincident};

fn point(x_m: f64, y_m: f64) -> Point {
    Point { x_m, y_m }
}

/// Evenly spread points in a square, the same at every run: a linear congruential sequence.
fn scattered(count: usize, side_m: f64, seed: u64) -> Vec<Point> {
    let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15).wrapping_add(1);
    let mut next = || {
        // Multiplier and increment: D. E. Knuth, MMIX (from memory); any good pair would do.
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 11) as f64 / (1_u64 << 53) as f64 * side_m
    };
    (0..count).map(|_| point(next(), next())).collect()
}

/// A square grid of samples around the origin, turned counter-clockwise.
fn turned_grid(count: usize, spacing_m: f64, degrees: f64) -> Vec<Point> {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let middle = (count - 1) as f64 / 2.0;
    let mut points = Vec::new();
    for row in 0..count {
        for column in 0..count {
            let (x, y) = ((column as f64 - middle) * spacing_m, (row as f64 - middle) * spacing_m);
            points.push(point(x * cos - y * sin, x * sin + y * cos));
        }
    }
    points
}

/// A wavy value with no symmetry.
fn wavy(at: &Point) -> f64 {
    6.0 + (at.x_m / 71.0).sin() * 0.7 + (at.y_m / 53.0 + at.x_m / 190.0).cos() * 0.5
}

fn surface(points: &[Point]) -> (Sites, Interpolator) {
    let sites = merge_coincident(points);
    let interpolator = Interpolator::new(&sites).unwrap();
    (sites, interpolator)
}

/// The distance to the hull in metres; zero inside.
fn beyond_m(weights: &Weights, query: usize) -> f64 {
    match weights.standing(query) {
        Standing::Inside => 0.0,
        Standing::Beyond { distance } => distance.to_metres(),
    }
}

/// The weights of every query are positive, sum to 1 and, inside, give the query back.
fn assert_weights_are_sound(weights: &Weights, points: &[Point], queries: &[Point]) {
    assert_eq!(weights.len(), queries.len());
    for (query, at) in queries.iter().enumerate() {
        let (mut sum, mut x_m, mut y_m) = (0.0, 0.0, 0.0);
        for (site, weight) in weights.entries(query) {
            assert!(weight > 0.0 && weight <= 1.0, "weight {weight} at {at:?}");
            sum += weight;
            x_m += weight * points[site].x_m;
            y_m += weight * points[site].y_m;
        }
        assert!((sum - 1.0).abs() < 1e-12, "sum {sum} at {at:?}");
        if weights.standing(query) == Standing::Inside {
            let off_m = (x_m - at.x_m).hypot(y_m - at.y_m);
            assert!(off_m < 2e-6, "weights give a point {off_m} m off {at:?}");
        }
    }
}
