//! Merging samples that coincide.

use super::point;
use crate::surfaces::merge_coincident;

#[test]
fn samples_that_coincide_are_one_site_at_their_mean_value() {
    let points = [point(5.0, 5.0), point(0.0, 0.0), point(5.0, 5.0), point(5.004, 5.003)];
    let sites = merge_coincident(&points);
    assert_eq!(sites.points(), [point(5.0, 5.0), point(0.0, 0.0)]);
    assert_eq!(sites.groups(), [vec![0, 2, 3], vec![1]]);
    assert_eq!(sites.merged().collect::<Vec<_>>(), [&[0, 2, 3]]);
    assert_eq!(sites.mean_values(&[5.0, 7.0, 6.0, 7.0]), [6.0, 7.0]);
}

#[test]
fn samples_farther_apart_stay_apart() {
    let points = [point(0.0, 0.0), point(0.0101, 0.0), point(0.0, -0.0101)];
    let sites = merge_coincident(&points);
    assert_eq!(sites.points(), points);
    assert_eq!(sites.merged().count(), 0);
}

#[test]
fn a_chain_of_near_samples_is_one_site_in_any_order() {
    let mut points: Vec<_> = (0..9).map(|i| point(f64::from(i) * 0.009, 3.0)).collect();
    assert_eq!(merge_coincident(&points).points(), [point(0.0, 3.0)]);
    points.swap(0, 5);
    points.reverse();
    assert_eq!(merge_coincident(&points).points(), [point(0.0, 3.0)]);
}

#[test]
fn equal_values_keep_their_last_bit() {
    let sites = merge_coincident(&[point(1.0, 1.0); 7]);
    assert_eq!(sites.mean_values(&[6.3; 7]), [6.3]);
}
