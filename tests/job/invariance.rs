//! What must not change a prescription: where the field lies, how it is turned, the order of the
//! samples, the units of the results, the number of threads.

use std::fs;

use limewright::field::LonLat;

use super::support::{Ground, Job, Outcome, Sample, assert_near, limewright, root};

/// An uneven field with samples on a jittered grid; the numbers are invented.
fn ground() -> Ground {
    let mut samples = Vec::new();
    for row in 0..5_i32 {
        for column in 0..6_i32 {
            let wobble = f64::from((row * 37 + column * 61) % 17) - 8.0;
            let acid = f64::from((row * 3 + column * 5) % 11) / 10.0;
            let ph = 5.1 + acid;
            samples.push(Sample {
                east_m: f64::from(column) * 60.0 - 150.0 + wobble,
                north_m: f64::from(row) * 60.0 - 120.0 - wobble,
                ph,
                buffer_ph: Some(5.9 + 0.8 * acid),
            });
        }
    }
    let mut ground = Ground::square(1.0, samples);
    ground.outline_m =
        vec![[-190.0, -150.0], [170.0, -160.0], [200.0, 40.0], [120.0, 160.0], [-180.0, 150.0]];
    ground
}

/// Corners are rounded to seven decimals, about a centimetre, and the field is 350 m wide.
const ROUNDING: f64 = 3e-5;

fn needs_agree(one: &Outcome, other: &Outcome) {
    for pointer in ["/need_total", "/area", "/interpolation/cross_check/ph/rmse"] {
        let (a, b) = (one.value(pointer), other.value(pointer));
        assert_near(b, a, a.abs() * ROUNDING, pointer);
    }
}

#[test]
fn moving_the_field_changes_nothing_beyond_rounding() {
    let here = Job::on(&ground()).prescribed(&["grid.cell=20 m"]);
    for (lon_deg, lat_deg) in [(12.5, 52.3), (-53.1, -27.6), (174.9, -40.2)] {
        let there = Ground { at: LonLat { lon_deg, lat_deg }, ..ground() };
        needs_agree(&here, &Job::on(&there).prescribed(&["grid.cell=20 m"]));
    }
}

#[test]
fn turning_the_field_with_its_heading_changes_nothing_beyond_rounding() {
    let straight = Job::on(&ground()).prescribed(&["grid.cell=20 m"]);
    for turned_deg in [17.0, 45.0, 128.0] {
        let heading = format!("grid.heading={turned_deg} deg");
        let turned = Ground { turned_deg, ..ground() };
        needs_agree(&straight, &Job::on(&turned).prescribed(&["grid.cell=20 m", &heading]));
    }
}

#[test]
fn the_order_of_the_samples_does_not_matter() {
    let straight = Job::on(&ground()).prescribed(&[]);
    let mut shuffled = ground();
    shuffled.samples.reverse();
    shuffled.samples.swap(3, 17);
    let other = Job::on(&shuffled).prescribed(&[]);
    assert_near(other.value("/need_total"), straight.value("/need_total"), 1e-9, "need");
    assert_near(other.value("/product_total"), straight.value("/product_total"), 1e-9, "product");
}

#[test]
fn metric_and_us_results_are_the_same_amounts() {
    let job = Job::on(&ground());
    let us = job.prescribed(&[]);
    let metric = job.prescribed(&["units=metric"]);
    // 1 short ton = 0.90718474 t, 1 ac = 0.40468564224 ha, both exact.
    for (pointer, factor) in [
        ("/product_total", 0.907_184_74),
        ("/need_total", 0.907_184_74),
        ("/area", 0.404_685_642_24),
        ("/mean_rate", 0.907_184_74 / 0.404_685_642_24),
    ] {
        let expected = us.value(pointer) * factor;
        assert_near(metric.value(pointer), expected, expected * 1e-12, pointer);
    }
}

#[test]
fn the_number_of_threads_changes_not_a_byte() {
    let job = root().join("sample_fields/heron_flat/job.toml");
    let written = |threads: &str| {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().join("out");
        let status = limewright()
            .env("RAYON_NUM_THREADS", threads)
            .arg("prescribe")
            .arg(&job)
            .args(["--set", "grid.cell=4 m", "--out"])
            .arg(&out)
            .output()
            .unwrap()
            .status;
        assert!(status.success());
        ["rate_map.geojson", "summary.json", "map.svg", "job.effective.toml"]
            .map(|name| fs::read(out.join(name)).unwrap())
    };
    let (one, two) = (written("1"), written("2"));
    assert!(one == two, "the bytes differ");
    assert!(one[0].len() > 1_000_000, "the map is too small to have been shared among threads");
}
