//! On the hull, a hair inside it and beyond it.

use super::{Point, assert_weights_are_sound, beyond_m, point, surface, turned_grid, wavy};
use crate::surfaces::Standing;

fn between(a: Point, b: Point, share: f64) -> Point {
    point(a.x_m + (b.x_m - a.x_m) * share, a.y_m + (b.y_m - a.y_m) * share)
}

#[test]
fn regular_grids_turned_anyhow_are_sound_on_and_along_the_hull() {
    for count in [8, 20] {
        for degrees in [0.0, 1.0, 17.0, 30.0, 45.0] {
            let points = turned_grid(count, 60.0, degrees);
            let values: Vec<f64> = points.iter().map(wavy).collect();
            let (sin, cos) = f64::to_radians(degrees).sin_cos();
            let mut queries = points.clone();
            for a in 0..points.len() {
                // To the neighbours in the row and in the column, so on every edge of the grid.
                let right = (a % count + 1 < count).then_some(a + 1);
                for b in
                    [right, Some(a + count).filter(|b| *b < points.len())].into_iter().flatten()
                {
                    for share in [1e-9, 0.25, 0.5, 0.731] {
                        queries.push(between(points[a], points[b], share));
                    }
                }
            }
            for start in queries.clone() {
                for off_m in [1e-12, 1e-9, 1e-7, 9e-7, 1e-6, 1.1e-6, 1e-5] {
                    queries.push(point(start.x_m + off_m * cos, start.y_m + off_m * sin));
                    queries.push(point(start.x_m + off_m * sin, start.y_m - off_m * cos));
                    queries.push(point(start.x_m - off_m * cos, start.y_m - off_m * sin));
                    queries.push(point(start.x_m - off_m * sin, start.y_m + off_m * cos));
                }
            }
            let weights = surface(&points).1.weigh(&queries);
            assert_weights_are_sound(&weights, &points, &queries);
            let least = values.iter().copied().fold(f64::INFINITY, f64::min);
            let greatest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            for (query, at) in queries.iter().enumerate() {
                let value = weights.value(query, &values);
                assert!(value >= least && value <= greatest, "{value} at {at:?}");
                assert!(beyond_m(&weights, query) <= 1.1e-5, "{at:?}");
            }
            assert_eq!(weights.guarded(), 0, "{count} {degrees}");
        }
    }
}

#[test]
fn values_are_steady_across_the_hull() {
    let points = turned_grid(8, 60.0, 17.0);
    let values: Vec<f64> = points.iter().map(wavy).collect();
    let (sin, cos) = f64::to_radians(17.0).sin_cos();
    // Down across the lower side, between its third and fourth sample.
    let on = between(points[2], points[3], 0.3);
    let at = |down_m: f64| point(on.x_m + down_m * sin, on.y_m - down_m * cos);
    let weights = surface(&points).1.weigh(&[at(-1e-4), at(-1e-6), at(0.0), at(1e-3), at(50.0)]);
    let expected = values[2] * 0.7 + values[3] * 0.3;
    for query in 0..5 {
        assert!((weights.value(query, &values) - expected).abs() < 1e-5, "{query}");
    }
    assert_eq!(weights.standing(0), Standing::Inside);
    assert_ne!(weights.standing(2), Standing::Inside);
    assert_eq!(beyond_m(&weights, 2), 0.0);
    assert!((beyond_m(&weights, 3) - 1e-3).abs() < 1e-9);
    assert!((beyond_m(&weights, 4) - 50.0).abs() < 1e-9);
}

#[test]
fn beyond_the_hull_the_two_adjacent_of_many_in_line_count() {
    let points = turned_grid(8, 60.0, 30.0);
    let (sin, cos) = f64::to_radians(30.0).sin_cos();
    let on = between(points[4], points[5], 0.25);
    let weights = surface(&points).1.weigh(&[point(on.x_m + 20.0 * sin, on.y_m - 20.0 * cos)]);
    let mut entries: Vec<(usize, f64)> = weights.entries(0).collect();
    entries.sort_by_key(|entry| entry.0);
    assert_eq!(entries.iter().map(|entry| entry.0).collect::<Vec<_>>(), [4, 5]);
    assert!((entries[0].1 - 0.75).abs() < 1e-9);
}

#[test]
fn beyond_a_corner_the_corner_counts() {
    let points = turned_grid(5, 100.0, 0.0);
    let weights = surface(&points).1.weigh(&[point(-230.0, -240.0)]);
    assert_eq!(weights.entries(0).collect::<Vec<_>>(), [(0, 1.0)]);
    assert!((beyond_m(&weights, 0) - 50.0).abs() < 1e-12);
}
