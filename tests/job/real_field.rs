//! The main job on a real field, 250 samples with pH in 0.01 M CaCl2, and the errors of leaving one
//! sample out on five data sets.
//!
//! Data: Schmidinger et al. 2025, LimeSoDa: A dataset collection for benchmarking of machine
//! learning regressors in digital soil mapping, Geoderma, doi 10.1016/j.geoderma.2025.117337,
//! CC BY-SA 4.0; see `tests/data/share_alike`. The reference errors were computed with MetPy 1.7.1
//! (`natural_neighbor_to_points`) inside the hull of the other samples and, beyond it, as the value
//! at the nearest point of that hull, with scipy; `tests/outside/metpy_surface.py` does it again.

use super::support::{Job, Outcome, assert_near, limewright, root};

/// Agreement asked for between two implementations of the same rule.
const RMSE_TOLERANCE: f64 = 0.002;

#[test]
fn the_main_job_runs_on_it_and_reports_the_conversion() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let output = limewright()
        .arg("prescribe")
        .arg(root().join("tests/data/share_alike/real_field/job.toml"))
        .arg("--out")
        .arg(&out)
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let outcome = Outcome::read(&out);
    // The stand-in boundary measures 55.83 ha on the ellipsoid.
    assert_near(outcome.value("/area"), 55.83, 0.005, "area");
    assert_near(
        outcome.value("/interpolation/cross_check/ph/rmse"),
        0.3149,
        RMSE_TOLERANCE,
        "rmse",
    );
    assert_near(
        outcome.value("/interpolation/cross_check/ph/mean_rmse"),
        0.5035,
        RMSE_TOLERANCE,
        "mean",
    );
    assert!(outcome.finding("ph_converted").is_some());
    assert!(outcome.finding("map_no_better_than_mean").is_none());
    assert_eq!(outcome.summary["soil"]["ph"]["measured_in"], "CaCl2 0.01 M");
    assert!(outcome.value("/product_total") > 0.0);
}

/// A job on the points of a data set, its boundary their convex hull widened by half the spacing.
fn leave_one_out(id: &str, half_spacing_m: f64) -> Outcome {
    use geo::{Buffer as _, ConvexHull as _};
    let path = root().join(format!("tests/data/share_alike/soil/limesoda_{id}.csv"));
    let text = std::fs::read_to_string(path).unwrap();
    let mut rows = csv::Reader::from_reader(text.as_bytes());
    let headers = rows.headers().unwrap().clone();
    let column = |name: &str| headers.iter().position(|header| header == name).unwrap();
    let (lon, lat) = (column("lon"), column("lat"));
    let degrees: Vec<(f64, f64)> = rows
        .records()
        .map(|row| {
            let row = row.unwrap();
            (row[lon].parse().unwrap(), row[lat].parse().unwrap())
        })
        .collect();
    let (lon_deg, lat_deg) = degrees[0];
    let frame =
        limewright::field::Frame::centred_on(limewright::field::LonLat { lon_deg, lat_deg });
    let points: Vec<geo::Point> = degrees
        .iter()
        .map(|&(lon_deg, lat_deg)| {
            let at = frame.forward(limewright::field::LonLat { lon_deg, lat_deg });
            geo::Point::new(at.x_m, at.y_m)
        })
        .collect();
    let hull = geo::MultiPoint::new(points).convex_hull().buffer(half_spacing_m);
    let ring: Vec<String> = hull.0[0]
        .exterior()
        .coords()
        .map(|at| {
            let at = frame.inverse(limewright::field::Point { x_m: at.x, y_m: at.y });
            format!("[{},{}]", at.lon_deg, at.lat_deg)
        })
        .collect();
    let boundary = format!("{{\"type\":\"Polygon\",\"coordinates\":[[{}]]}}", ring.join(","));
    let job = super::support::JOB
        .replace("buffer = \"smp\"\nbuffer_blank_above = 6.5\n", "")
        .replace("water 1:1", "water 1:2.5")
        .replace("smp-iowa", "ph-uk-arable")
        .replace("ph = 6.5", "ph = 6.7");
    Job::new(&job, &boundary, &text).prescribed(&[])
}

#[test]
fn leaving_one_out_agrees_with_another_implementation() {
    for (id, half_spacing_m, rmse, mean) in [
        ("BB.51", 23.0, 0.5216, 0.7364),
        ("BB.72", 9.5, 0.3946, 0.5718),
        ("SC.50", 24.5, 0.3370, 0.4204),
    ] {
        let outcome = leave_one_out(id, half_spacing_m);
        let check = |key: &str| outcome.value(&format!("/interpolation/cross_check/ph/{key}"));
        assert_near(check("rmse"), rmse, RMSE_TOLERANCE, id);
        assert_near(check("mean_rmse"), mean, RMSE_TOLERANCE, id);
        assert!(outcome.finding("map_no_better_than_mean").is_none(), "{id}");
    }
}

#[test]
fn a_map_that_loses_to_the_mean_says_so() {
    let outcome = leave_one_out("BB.30_1", 25.0);
    let check = |key: &str| outcome.value(&format!("/interpolation/cross_check/ph/{key}"));
    assert_near(check("rmse"), 0.9087, RMSE_TOLERANCE, "rmse");
    assert_near(check("mean_rmse"), 0.7372, RMSE_TOLERANCE, "mean");
    let told = outcome.finding("map_no_better_than_mean").expect("told");
    assert!(told.contains("one rate"), "{told}");
}
