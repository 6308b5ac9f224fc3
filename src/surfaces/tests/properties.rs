//! What holds for any sites.

use proptest::prelude::*;

use super::{Point, assert_weights_are_sound, point, surface, wavy};
use crate::surfaces::{Weights, cross_check};

/// Places of which some share a coordinate, as samples in rows do.
fn places(count: std::ops::Range<usize>) -> impl Strategy<Value = Vec<Point>> {
    let coordinate = prop_oneof![
        3 => -400.0..400.0,
        1 => (-8_i32..8).prop_map(|i| f64::from(i) * 50.0),
    ];
    prop::collection::vec((coordinate.clone(), coordinate).prop_map(|(x, y)| point(x, y)), count)
}

fn values_at(points: &[Point], queries: &[Point], values: &[f64]) -> Vec<f64> {
    let (sites, interpolator) = surface(points);
    let values = sites.mean_values(values);
    let weights: Weights = interpolator.weigh(queries);
    (0..queries.len()).map(|query| weights.value(query, &values)).collect()
}

fn agree(a: &[f64], b: &[f64]) -> Result<(), TestCaseError> {
    for (a, b) in a.iter().zip(b) {
        prop_assert!((a - b).abs() < 1e-9, "{a} {b}");
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn weights_are_sound(points in places(1..60), queries in places(1..60)) {
        let (sites, interpolator) = surface(&points);
        let weights = interpolator.weigh(&queries);
        assert_weights_are_sound(&weights, sites.points(), &queries);
    }

    #[test]
    fn turning_and_moving_the_field_changes_nothing(
        points in places(4..50),
        queries in places(1..50),
        radians in -3.2..3.2_f64,
        east_m in -1e4..1e4_f64,
        north_m in -1e4..1e4_f64,
    ) {
        // Samples within a hair of each other, and queries within a hair of the hull, may fall on
        // either side by rounding; the values there differ by less than the tolerance.
        let (sin, cos) = radians.sin_cos();
        let moved = |at: &Point| {
            point(at.x_m * cos - at.y_m * sin + east_m, at.x_m * sin + at.y_m * cos + north_m)
        };
        let values: Vec<f64> = points.iter().map(wavy).collect();
        let moved_points: Vec<Point> = points.iter().map(moved).collect();
        let moved_queries: Vec<Point> = queries.iter().map(moved).collect();
        agree(
            &values_at(&points, &queries, &values),
            &values_at(&moved_points, &moved_queries, &values),
        )?;
        let check = |points: &[Point]| {
            let (sites, _) = surface(points);
            cross_check(&sites, &sites.mean_values(&values))
        };
        match (check(&points), check(&moved_points)) {
            (Some(a), Some(b)) => agree(&[a.rmse, a.mean_rmse], &[b.rmse, b.mean_rmse])?,
            (a, b) => prop_assert_eq!(a, b),
        }
    }

    #[test]
    fn the_order_of_samples_changes_nothing(
        (points, shuffled) in places(4..50).prop_flat_map(|points| {
            (Just(points.clone()), Just(points).prop_shuffle())
        }),
        queries in places(1..50),
    ) {
        let values: Vec<f64> = points.iter().map(wavy).collect();
        let shuffled_values: Vec<f64> = shuffled.iter().map(wavy).collect();
        agree(
            &values_at(&points, &queries, &values),
            &values_at(&shuffled, &queries, &shuffled_values),
        )?;
    }
}
