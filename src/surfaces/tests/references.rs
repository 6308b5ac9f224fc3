//! Values that `MetPy` 1.7.1 and scipy gave for invented samples: `tests/outside/metpy_surface.py`
//! wrote the files, and `PROVENANCE.md` beside them says how.

use std::fs;
use std::path::Path;

use crate::surfaces::{Interpolator, Standing, cross_check, merge_coincident};

use super::{Point, point};

/// Values agree within this, in the unit of the values.
const TOLERANCE: f64 = 1e-9;

fn stored(name: &str) -> (Vec<Point>, Vec<f64>) {
    let file = format!("tests/data/surfaces/{name}.csv");
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(file)).unwrap();
    let numbers =
        |line: &str| -> Vec<f64> { line.split(',').map(|n| n.parse().unwrap()).collect() };
    let rows = text.lines().skip(1).map(numbers);
    rows.map(|row| (point(row[0], row[1]), row[2])).unzip()
}

#[test]
fn values_agree_with_metpy() {
    for name in ["scattered", "wobbly_grid"] {
        let (points, values) = stored(&format!("{name}_sites"));
        let (queries, expected) = stored(&format!("{name}_metpy"));
        let sites = merge_coincident(&points);
        let weights = Interpolator::new(&sites).unwrap().weigh(&queries);
        let mut inside = 0;
        for (query, expected) in expected.iter().enumerate() {
            let value = weights.value(query, &values);
            assert!((value - expected).abs() < TOLERANCE, "{name} {query}: {value} {expected}");
            inside += usize::from(weights.standing(query) == Standing::Inside);
        }
        assert!(inside > 80 && inside < 190, "{name} tries both sides of the hull: {inside}");
        assert_eq!(weights.guarded(), 0);
    }
}

/// The errors that the same script printed.
#[test]
fn cross_checks_agree_with_metpy() {
    let printed = [
        ("scattered", 0.205_182_137_248_180_35, 0.791_294_294_654_242_8),
        ("wobbly_grid", 0.151_826_080_291_689_5, 0.752_089_821_719_622_7),
    ];
    for (name, rmse, mean_rmse) in printed {
        let (points, values) = stored(&format!("{name}_sites"));
        let check = cross_check(&merge_coincident(&points), &values).unwrap();
        assert!((check.rmse - rmse).abs() < TOLERANCE, "{name} {check:?}");
        assert!((check.mean_rmse - mean_rmse).abs() < TOLERANCE, "{name} {check:?}");
    }
}
