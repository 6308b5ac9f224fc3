//! One place in words, as a second witness to the map; and how much hangs on the readings.

use limewright::field::LonLat;
use limewright::prescribe::{Allowed, prescribe};

use super::support::{Ground, Job, Sample, assert_near, root};

fn one_sample(ph: f64, buffer_ph: f64) -> Ground {
    let sample = Sample { east_m: 0.0, north_m: 0.0, ph, buffer_ph: Some(buffer_ph) };
    Ground::square(80.0, vec![sample])
}

#[test]
fn every_step_is_told_with_its_number_and_its_source() {
    // Iowa to 6.5 prints 3,500 lb/ac at 6.4: 1.75 ton/ac CaCO3, 3.5 ton/ac of a half effective
    // material, held to 3; a quarter of the square is 0.395368 ac, so 2,372.2 lb on the cell.
    let job = Job::on(&one_sample(5.5, 6.4));
    let at = "-93.20022,41.99983";
    let output = job.run(&["explain", "job.toml", "--at", at]);
    let told = String::from_utf8(output.stdout).unwrap();
    for part in [
        "S00",
        "1.0000",
        "6.40",
        "buffer pH 6.4 is a printed row: 3500 lb/ac",
        "Limed depth 6 in, table depth 6 in: x 1",
        "1.7500 ton/ac pure CaCO3",
        "3.5000 ton/ac",
        "held to the spreader's greatest rate, 3 ton/ac: 3.0000 ton/ac",
        "on this cell",
        "unmet: 0.2500 ton/ac",
        "PM",
        "Iowa State University Extension",
    ] {
        assert!(told.contains(part), "{part}: {told}");
    }
    let output = job.run(&["explain", "job.toml", "--at", at, "--json"]);
    let told: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_near(told["product"]["value"].as_f64().unwrap(), 2_372.2, 0.5, "pounds");
    assert_eq!(told["product"]["unit"], "lb");
}

#[test]
fn a_place_outside_the_field_and_a_place_that_is_none_are_refused() {
    let job = Job::on(&one_sample(5.5, 6.4));
    let output = job.run(&["explain", "job.toml", "--at", "-93.21,42.0"]);
    assert_eq!(output.status.code(), Some(1));
    let told = String::from_utf8_lossy(&output.stderr).replace('\n', " ");
    assert!(
        told.contains("no cell holds the place") && told.contains("outside the boundary"),
        "{told}"
    );
    for wrong in ["42.0,-93.2", "-93.2", "-93.2;42"] {
        let output = job.run(&["explain", "job.toml", "--at", wrong]);
        assert_eq!(output.status.code(), Some(2), "{wrong}");
    }
}

#[test]
fn the_map_and_its_explanation_agree_all_over_the_sample_fields() {
    for field in ["heron_flat", "linden_bank"] {
        let job = root().join("sample_fields").join(field).join("job.toml");
        let done = prescribe(&job, &[], Allowed::default()).unwrap();
        let unit = &done.summary.area.unit;
        let (mut south_west, mut asked, mut told) = ([f64::MAX; 2], 0, 0);
        let boundary = std::fs::read_to_string(job.with_file_name("boundary.geojson")).unwrap();
        let boundary: serde_json::Value = serde_json::from_str(&boundary).unwrap();
        let ring = boundary
            .pointer("/features/0/geometry/coordinates/0")
            .or_else(|| boundary.pointer("/geometry/coordinates/0"));
        for corner in
            ring.or_else(|| boundary.pointer("/coordinates/0")).unwrap().as_array().unwrap()
        {
            for axis in 0..2 {
                south_west[axis] = south_west[axis].min(corner[axis].as_f64().unwrap());
            }
        }
        for step in 0..400 {
            let (row, column) = (f64::from(step / 20), f64::from(step % 20));
            let at = LonLat {
                lon_deg: south_west[0] + column * 0.000_51,
                lat_deg: south_west[1] + row * 0.000_37,
            };
            asked += 1;
            // It works the place out anew, and fails where the map says something else.
            match done.explain(at) {
                Ok(explained) => {
                    told += 1;
                    assert_eq!(&explained.area.unit, unit);
                    let samples = &explained.layers[0].samples;
                    let sum: f64 = samples.iter().map(|sample| sample.weight).sum();
                    assert_near(sum, 1.0, 1e-9, "weights");
                }
                Err(limewright::Error::Refused(_)) => {}
                Err(error) => panic!("{error}"),
            }
        }
        assert!(told > asked / 4, "{field}: only {told} of {asked} places lie in the field");
    }
}

#[test]
fn a_tenth_of_the_reading_is_worth_what_the_table_says() {
    // Iowa to 6.5 from 6.4 to 6.3: half of the way from 3,500 to 5,000 lb/ac, 750 more.
    let outcome = Job::on(&one_sample(5.5, 6.4)).prescribed(&[]);
    let hanging = |key: &str| outcome.value(&format!("/sensitivity/{key}"));
    assert_near(hanging("need_per_tenth"), 750.0 / 2_000.0, 1e-9, "need");
    assert_near(hanging("rate_per_tenth"), 750.0 / 2_000.0 / 0.5, 1e-9, "rate");
    assert_eq!(hanging("machine_step"), 0.5);
    assert_eq!(hanging("below_trigger/product"), 0.0);
}

#[test]
fn the_tons_beside_the_trigger_are_told_on_either_side() {
    let below = Job::on(&one_sample(6.45, 6.4)).prescribed(&[]);
    let value = |outcome: &super::support::Outcome, key: &str| {
        outcome.value(&format!("/sensitivity/{key}"))
    };
    let all = below.value("/product_total");
    assert!(all > 0.0);
    assert_near(value(&below, "below_trigger/product"), all, 1e-12, "product");
    assert_near(value(&below, "below_trigger/area"), below.value("/area"), 1e-12, "area");
    assert_eq!(value(&below, "above_trigger/area"), 0.0);
    // The same soil a tenth above the trigger gets nothing, and would get the same.
    let above = Job::on(&one_sample(6.55, 6.4)).prescribed(&[]);
    assert_eq!(above.value("/product_total"), 0.0);
    assert_near(value(&above, "above_trigger/product"), all, 1e-9, "product");
}
