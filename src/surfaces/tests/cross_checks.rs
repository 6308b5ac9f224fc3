//! Leaving one out, against numbers from elsewhere and against preparing every surface anew.

use std::fs;
use std::path::Path;

use crate::surfaces::cross_check::estimate_each_from_others;
use crate::surfaces::{CrossCheck, Interpolator, cross_check, merge_coincident};

use super::{Point, point, scattered, turned_grid, wavy};

/// Eastings, northings and pH as measured of a field of the share-alike test data.
fn measured_field(name: &str) -> (Vec<Point>, Vec<f64>) {
    let file = format!("tests/data/share_alike/soil/limesoda_{name}.csv");
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(file)).unwrap();
    let mut rows = text.lines().map(|line| line.split(',').collect::<Vec<_>>());
    let head = rows.next().unwrap();
    let column = |name: &str| head.iter().position(|title| *title == name).unwrap();
    let [x, y, ph] = ["easting", "northing", "pH"].map(column);
    let number = |text: &str| text.parse::<f64>().unwrap();
    rows.map(|row| (point(number(row[x]), number(row[y])), number(row[ph]))).unzip()
}

fn checked_field(name: &str) -> CrossCheck {
    let (points, values) = measured_field(name);
    let sites = merge_coincident(&points);
    cross_check(&sites, &sites.mean_values(&values)).unwrap()
}

/// Root-mean-square errors of leaving one out on the values as measured, computed with MetPy 1.7.1
/// (`natural_neighbor_to_points`) inside the hull of the others, on its nearest point outside.
#[test]
fn real_fields_agree_with_metpy() {
    let known = [
        ("BB.250", 250, 0.3149, 0.5035),
        ("BB.51", 51, 0.5216, 0.7364),
        ("BB.72", 72, 0.3946, 0.5718),
        ("SC.50", 50, 0.3370, 0.4204),
        ("BB.30_1", 30, 0.9087, 0.7372),
    ];
    for (name, samples, rmse, mean_rmse) in known {
        let check = checked_field(name);
        println!("{name} {check:?}");
        assert_eq!(check.samples, samples, "{name}");
        assert!((check.rmse - rmse).abs() < 2e-4, "{name}: {check:?}");
        assert!((check.mean_rmse - mean_rmse).abs() < 1e-4, "{name}: {check:?}");
        assert_eq!(check.map_beats_mean(), name != "BB.30_1");
    }
}
