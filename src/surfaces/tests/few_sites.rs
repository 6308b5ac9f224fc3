//! Too few sites for a surface, or all on a line.

use super::{beyond_m, point, surface};
use crate::surfaces::{Interpolator, Way, cross_check, merge_coincident};

#[test]
fn no_site_has_no_surface() {
    assert!(Interpolator::new(&merge_coincident(&[])).is_none());
}

#[test]
fn one_site_counts_everywhere() {
    let (sites, interpolator) = surface(&[point(10.0, 10.0)]);
    assert_eq!(interpolator.way(), Way::Single);
    let weights = interpolator.weigh(&[point(10.0, 10.0), point(13.0, 14.0)]);
    assert_eq!(weights.value(1, &[6.1]), 6.1);
    assert_eq!((beyond_m(&weights, 0), beyond_m(&weights, 1)), (0.0, 5.0));
    assert!(cross_check(&sites, &[6.1]).is_none());
}

#[test]
fn between_two_sites_values_are_linear_along_their_line() {
    let (sites, interpolator) = surface(&[point(0.0, 0.0), point(100.0, 0.0)]);
    assert_eq!(interpolator.way(), Way::AlongLine);
    let weights = interpolator.weigh(&[point(25.0, 30.0), point(-50.0, 0.0), point(100.0, -7.0)]);
    assert_eq!(weights.value(0, &[5.0, 7.0]), 5.5);
    assert_eq!(weights.value(1, &[5.0, 7.0]), 5.0);
    assert_eq!(weights.value(2, &[5.0, 7.0]), 7.0);
    assert_eq!([0, 1, 2].map(|query| beyond_m(&weights, query)), [30.0, 50.0, 7.0]);
    assert!(cross_check(&sites, &[5.0, 7.0]).is_none());
}

#[test]
fn the_nearest_of_three_sites_counts() {
    let (sites, interpolator) = surface(&[point(0.0, 0.0), point(100.0, 0.0), point(0.0, 100.0)]);
    assert_eq!(interpolator.way(), Way::Nearest);
    let weights = interpolator.weigh(&[point(20.0, 10.0), point(90.0, 20.0), point(0.0, 103.0)]);
    assert_eq!([0, 1, 2].map(|query| weights.value(query, &[5.0, 6.0, 7.0])), [5.0, 6.0, 7.0]);
    assert_eq!(beyond_m(&weights, 2), 3.0);
    // The nearest point of the line between the other two: its middle, its middle, its end ...
    let check = cross_check(&sites, &[5.0, 6.0, 7.0]).unwrap();
    let errors: [f64; 3] = [1.5, -1.0, -2.0];
    let expected = (errors.iter().map(|error| error * error).sum::<f64>() / 3.0).sqrt();
    assert!((check.rmse - expected).abs() < 1e-12, "{check:?}");
}

#[test]
fn samples_in_a_row_are_linear_along_it() {
    let slanting = |along: f64| point(3.0 + along * 0.6, -2.0 + along * 0.8);
    let points = [10.0, 0.0, 30.0, 70.0, 50.0].map(slanting);
    let values = [5.0, 4.0, 7.0, 11.0, 9.0];
    let (sites, interpolator) = surface(&points);
    assert_eq!(interpolator.way(), Way::AlongLine);
    let aside = |along: f64| point(slanting(along).x_m - 8.0, slanting(along).y_m + 6.0);
    let weights = interpolator.weigh(&[aside(20.0), aside(60.0), aside(-5.0)]);
    let expected = [6.0, 10.0, 4.0];
    for (query, value) in expected.into_iter().enumerate() {
        assert!((weights.value(query, &values) - value).abs() < 1e-12, "{query}");
    }
    assert!((beyond_m(&weights, 0) - 10.0).abs() < 1e-12);
    // Left out, an inner sample lies between its two neighbours; an end takes the next one.
    let check = cross_check(&sites, &values).unwrap();
    let errors = [5.0 - 5.0, 5.0 - 4.0, 7.0 - 7.0, 9.0 - 11.0, 9.0 - 9.0];
    let expected = (errors.iter().map(|error: &f64| error * error).sum::<f64>() / 5.0).sqrt();
    assert!((check.rmse - expected).abs() < 1e-9, "{check:?} {expected}");
}

#[test]
fn a_row_with_one_sample_beside_it_cross_checks() {
    let mut points: Vec<_> = (0..6).map(|i| point(f64::from(i) * 50.0, 0.0)).collect();
    points.push(point(120.0, 80.0));
    let (sites, interpolator) = surface(&points);
    assert_eq!(interpolator.way(), Way::NaturalNeighbour);
    let check = cross_check(&sites, &[6.0; 7]).unwrap();
    assert_eq!((check.rmse, check.mean_rmse), (0.0, 0.0));
}
