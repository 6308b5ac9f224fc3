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
/// (`natural_neighbor_to_points`) inside the hull of the others, on its nearest point outside:
/// `tests/outside/metpy_surface.py check`, printed to four decimals. That computation bounds the
/// hull by its corners alone, while samples within a millimetre of an edge bound it here too; on
/// the sets that are grids (BB.250, BB.72) this moves the error by up to 0.0012.
#[test]
fn real_fields_agree_with_metpy() {
    let known = [
        ("BB.250", 250, 0.3149, 0.5035, 0.002),
        ("BB.51", 51, 0.5216, 0.7364, 1e-4),
        ("BB.72", 72, 0.3946, 0.5718, 0.002),
        ("SC.50", 50, 0.3370, 0.4204, 1e-4),
        ("BB.30_1", 30, 0.9087, 0.7372, 1e-4),
    ];
    for (name, samples, rmse, mean_rmse, tolerance) in known {
        let check = checked_field(name);
        assert_eq!(check.samples, samples, "{name}");
        assert!((check.rmse - rmse).abs() < tolerance, "{name}: {check:?}");
        assert!((check.mean_rmse - mean_rmse).abs() < 1e-4, "{name}: {check:?}");
        assert_eq!(check.map_beats_mean(), name != "BB.30_1");
    }
}

#[test]
fn leaving_out_in_place_is_leaving_out_and_preparing_anew() {
    let mut grid_with_gaps = turned_grid(9, 60.0, 17.0);
    grid_with_gaps.retain(|at| at.x_m.hypot(at.y_m + 100.0) > 75.0);
    let fields = [
        scattered(150, 700.0, 5),
        scattered(5, 700.0, 6),
        scattered(4, 700.0, 8),
        turned_grid(3, 60.0, 0.0),
        turned_grid(8, 60.0, 0.0),
        turned_grid(8, 60.0, 30.0),
        turned_grid(12, 60.0, 45.0),
        grid_with_gaps,
        measured_field("BB.72").0,
    ];
    for points in fields {
        let values: Vec<f64> = points.iter().map(wavy).collect();
        let sites = merge_coincident(&points);
        assert_eq!(sites.len(), points.len());
        let quick = estimate_each_from_others(&sites, &values);
        for (site, quick) in quick.into_iter().enumerate() {
            let (mut others, mut other_values) = (points.clone(), values.clone());
            let at = others.remove(site);
            other_values.remove(site);
            let anew = Interpolator::new(&merge_coincident(&others)).unwrap();
            let slow = anew.weigh(&[at]).value(0, &other_values);
            assert!((quick - slow).abs() < 1e-9, "{site} of {}: {quick} {slow}", points.len());
        }
    }
}

/// A site straight above a corner of the hull that is left when the top is left out.
#[test]
fn a_site_square_to_its_neighbour_is_not_passed_over() {
    let points = [
        point(-299.0, -400.0),
        point(0.0, 0.0),
        point(0.0, -400.0),
        point(-332.0, -400.0),
        point(0.0, 396.0),
    ];
    let values: Vec<f64> = points.iter().map(wavy).collect();
    let quick = estimate_each_from_others(&merge_coincident(&points), &values);
    // Without the top, the nearest place is the site below it.
    assert!((quick[4] - values[1]).abs() < 1e-12, "{quick:?}");
}
