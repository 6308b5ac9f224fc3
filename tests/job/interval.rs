//! How sure the totals are, as a user meets it.

use super::support::{Ground, Job, Sample, assert_near};

/// Four samples that read the same.
fn even() -> Ground {
    let corners = [(-40.0, -40.0), (40.0, -40.0), (-40.0, 40.0), (40.0, 40.0)];
    let sample = |(east_m, north_m)| Sample { east_m, north_m, ph: 5.5, buffer_ph: Some(6.5) };
    Ground::square(100.0, corners.map(sample).to_vec())
}

#[test]
fn without_errors_the_interval_is_the_total_and_with_them_it_is_not() {
    let sure = ["samples.repeatability.ph=0", "samples.repeatability.buffer_ph=0"];
    let outcome = Job::on(&even()).prescribed(&sure);
    for total in ["need_total", "product_total"] {
        let of_map = outcome.summary[total]["value"].as_f64().unwrap();
        for end in ["low", "middle", "high"] {
            let end = outcome.summary["interval"][total][end]["value"].as_f64().unwrap();
            assert_near(end, of_map, 1e-9 * of_map, total);
        }
    }
    let outcome = Job::on(&even()).prescribed(&[]);
    let range = &outcome.summary["interval"]["need_total"];
    let of_map = outcome.summary["need_total"]["value"].as_f64().unwrap();
    let end = |key: &str| range[key]["value"].as_f64().unwrap();
    assert!(end("low") < of_map && of_map < end("high"), "{range}");
}

#[test]
fn a_repeatability_that_no_laboratory_has_is_refused() {
    let said = Job::on(&even()).refused(&["samples.repeatability.buffer_ph=1.5"]);
    assert!(said.contains("the repeatability of a reading") && said.contains("1.5"), "{said}");
}
