//! What a surface must give back exactly, and what may not change it.

use super::{Point, assert_weights_are_sound, point, scattered, surface, turned_grid, wavy};
use crate::surfaces::{Standing, Weights};

/// Rows of query points over a square around the middle of the points and somewhat beyond.
fn raster(side_m: f64, step_m: f64) -> Vec<Point> {
    let count = (side_m / step_m) as usize;
    let at = |i: usize| (i as f64 + 0.5) * step_m;
    (0..count * count).map(|i| point(at(i % count), at(i / count))).collect()
}

#[test]
fn a_plane_comes_back_a_plane_inside() {
    let plane = |at: &Point| 5.5 + 0.003 * at.x_m - 0.002 * at.y_m;
    for points in [scattered(200, 800.0, 7), turned_grid(12, 70.0, 17.0)] {
        let values: Vec<f64> = points.iter().map(plane).collect();
        let queries = raster(800.0, 13.0);
        let weights = surface(&points).1.weigh(&queries);
        let mut inside = 0;
        for (query, at) in queries.iter().enumerate() {
            if weights.standing(query) == Standing::Inside {
                inside += 1;
                assert!((weights.value(query, &values) - plane(at)).abs() < 1e-9, "{at:?}");
            }
        }
        assert!(inside > 500, "{inside}");
        assert_weights_are_sound(&weights, &points, &queries);
        assert_eq!(weights.guarded(), 0);
    }
}

#[test]
fn the_value_at_a_sample_is_the_samples() {
    for points in [scattered(100, 500.0, 3), turned_grid(9, 60.0, 30.0)] {
        let values: Vec<f64> = points.iter().map(wavy).collect();
        let weights = surface(&points).1.weigh(&points);
        for (query, value) in values.iter().enumerate() {
            assert!((weights.value(query, &values) - value).abs() < 1e-12, "{query}");
        }
        assert_eq!(weights.guarded(), 0);
    }
}

#[test]
fn equal_values_give_that_value_to_the_last_bit() {
    let points = scattered(60, 500.0, 11);
    let queries = raster(600.0, 17.0);
    let weights = surface(&points).1.weigh(&queries);
    for query in 0..weights.len() {
        assert_eq!(weights.value(query, &[6.3; 60]), 6.3);
    }
}

#[test]
fn the_number_of_threads_changes_nothing() {
    let points = turned_grid(14, 60.0, 30.0);
    let queries = raster(700.0, 4.0);
    let interpolator = surface(&points).1;
    let with = |threads: usize| -> Weights {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| interpolator.weigh(&queries))
    };
    assert!(queries.len() > 20_000, "more than one chunk");
    let alone = with(1);
    assert_eq!(alone, with(2));
    assert_eq!(alone, with(5));
}

#[test]
fn no_queries_have_no_weights() {
    let weights = surface(&scattered(10, 100.0, 1)).1.weigh(&[]);
    assert!(weights.is_empty());
    assert_eq!(weights.guarded(), 0);
}

#[test]
fn a_place_asked_for_alone_has_the_same_weights_to_the_last_bit() {
    for points in [scattered(80, 700.0, 5), turned_grid(12, 60.0, 17.0)] {
        let queries = raster(700.0, 19.0);
        let interpolator = surface(&points).1;
        let together = interpolator.weigh(&queries);
        for (query, at) in queries.iter().enumerate() {
            let alone = interpolator.weigh(&[*at]);
            assert!(alone.entries(0).eq(together.entries(query)), "{at:?}");
            assert_eq!(alone.standing(0), together.standing(query));
        }
    }
}
