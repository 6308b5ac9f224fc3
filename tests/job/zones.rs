//! Sample zones with one composite each.
//!
//! The field is a square of 80 m in cells of 40 m. By the Iowa table to pH 6.5 (Iowa State
//! University Extension, PM 1688, 2002) buffer pH 6.4, 6.6 and 6.8 need 3,500, 2,100 and 600 lb
//! CaCO3/ac; the half effective material and a spreader of 1 to 3 ton/ac in steps of 0.5 make that
//! 3.0 (capped), 2.0 and 1.0 (raised) ton/ac.

use std::fs;

use super::support::{Ground, Job, Outcome, assert_near};

pub(crate) const FIELD_AC: f64 = 6_400.0 / 4_046.856_422_4;
/// Corners have seven decimals: a centimetre on 80 m, at three tons.
pub(crate) const NEAR: f64 = 1e-3;
pub(crate) const ZONES: [&str; 2] = ["samples.zones=zones.geojson", "samples.zone_key=zone"];
const TABLE: &str = "zone,pH,BpH\nwest,5.5,6.4\nS-E,5.8,6.6\nNorth-East,6.2,6.8\n";

pub(crate) fn ground() -> Ground {
    Ground::square(80.0, Vec::new())
}

/// Rectangles in metres, each with the name of its zone.
pub(crate) fn zones(rectangles: &[(&str, [f64; 4])]) -> String {
    let features: Vec<String> = rectangles
        .iter()
        .map(|(name, [west, south, east, north])| {
            let corners = [
                [*west, *south],
                [*east, *south],
                [*east, *north],
                [*west, *north],
                [*west, *south],
            ];
            let corners: Vec<String> = corners
                .iter()
                .map(|&[east_m, north_m]| {
                    let at = ground().degrees(east_m, north_m);
                    format!("[{:.7},{:.7}]", at.lon_deg, at.lat_deg)
                })
                .collect();
            format!(
                "{{\"type\":\"Feature\",\"properties\":{{\"zone\":\"{name}\",\"crop\":\"rye\"}},\
                 \"geometry\":{{\"type\":\"Polygon\",\"coordinates\":[[{}]]}}}}",
                corners.join(",")
            )
        })
        .collect();
    format!("{{\"type\":\"FeatureCollection\",\"features\":[{}]}}", features.join(","))
}

/// A job whose west zone ends `border_m` east of the middle; the others begin there.
fn job_with(border_m: f64, table: &str) -> Job {
    let rectangles = [
        (" West ", [-40.0, -40.0, border_m, 40.0]),
        ("s-e", [border_m, -40.0, 40.0, 0.0]),
        ("North-East", [border_m, 0.0, 40.0, 40.0]),
    ];
    job_of(&rectangles, table)
}

pub(crate) fn job_of(rectangles: &[(&str, [f64; 4])], table: &str) -> Job {
    let ground = ground();
    let text = super::support::JOB.replace("[samples]", "[samples]\nkey = \"zone\"");
    let job = Job::new(&text, &ground.boundary(), table);
    fs::write(job.path("zones.geojson"), zones(rectangles)).unwrap();
    job
}

pub(crate) fn cells_of<'o>(outcome: &'o Outcome, zone: &str) -> Vec<&'o serde_json::Value> {
    let all = outcome.features().iter().map(|feature| &feature["properties"]);
    all.filter(|cell| cell["sample_zone"] == zone).collect()
}

#[test]
fn check_tells_of_zones_what_can_be_told_of_them() {
    let mut arguments = vec!["check", "job.toml"];
    arguments.extend(ZONES.iter().flat_map(|set| ["--set", set]));
    let said = job_with(0.0, TABLE).run(&arguments);
    let said = String::from_utf8(said.stdout).unwrap();
    assert!(said.contains("3 sample zones with one composite each on 1.58 ac, one for 0.53 ac."));
    assert!(said.contains("0.0 % of the field lies beyond the sample zones"), "{said}");
    // What runs between points only is not told.
    assert!(!said.contains("farther than") && !said.contains("Leaving one"), "{said}");
}

#[test]
fn each_zone_has_the_value_of_its_composite_whatever_capitals_and_blanks() {
    let outcome = job_with(0.0, TABLE).prescribed(&ZONES);
    assert_eq!(outcome.features().len(), 4);
    for (zone, count, ph, buffer_ph, rate, limit) in [
        ("West", 2, 5.5, 6.4, 3.0, "capped"),
        ("s-e", 1, 5.8, 6.6, 2.0, "none"),
        ("North-East", 1, 6.2, 6.8, 1.0, "raised"),
    ] {
        let cells = cells_of(&outcome, zone);
        assert_eq!(cells.len(), count, "{zone}");
        for cell in cells {
            assert_eq!((&cell["ph"], &cell["buffer_ph"]), (&ph.into(), &buffer_ph.into()));
            assert_eq!((cell["rate_ton_ac"].as_f64(), &cell["limit"]), (Some(rate), &limit.into()));
            assert_eq!(cell["samples"], "inside");
        }
    }
    assert_near(outcome.value("/product_total"), 9.0 * FIELD_AC / 4.0, NEAR, "product");
    assert_near(
        outcome.value("/need_total"),
        (2.0 * 1.75 + 1.05 + 0.3) * FIELD_AC / 4.0,
        NEAR,
        "need",
    );
    assert_eq!(outcome.summary["interpolation"]["method"], "one value for each sample zone");
    assert!(outcome.summary["interpolation"]["cross_check"].as_object().unwrap().is_empty());
    assert_eq!(outcome.value("/interpolation/beyond_share"), 0.0);
    assert!(outcome.finding("zone_gaps").is_none() && outcome.finding("zone_overlaps").is_none());
}

#[test]
fn cells_are_cut_where_zones_meet() {
    let job = job_with(13.0, TABLE);
    let outcome = job.prescribed(&ZONES);
    let west = 53.0 / 80.0 * FIELD_AC;
    let east = 27.0 / 80.0 * FIELD_AC / 2.0;
    assert_eq!(outcome.features().len(), 6);
    assert_near(outcome.value("/product_total"), 3.0 * west + 2.0 * east + east, NEAR, "product");
    let names: Vec<&str> =
        outcome.features().iter().map(|f| f["properties"]["cell"].as_str().unwrap()).collect();
    assert_eq!(names, ["0-0", "0-1", "0-1b", "1-0", "1-1", "1-1b"]);
    let told = job.run(&[
        "explain",
        "job.toml",
        "--at=-93.19972,41.99980",
        "--set",
        ZONES[0],
        "--set",
        ZONES[1],
    ]);
    let told = String::from_utf8(told.stdout).unwrap();
    assert!(told.contains("lies in the sample zone s-e, which has one value"), "{told}");
}

#[test]
fn metric_results_of_zones_are_the_same_on_the_ground() {
    let job = job_with(13.0, TABLE);
    let us = job.prescribed(&ZONES).value("/product_total");
    let metric = job.prescribed(&[ZONES[0], ZONES[1], "units=metric"]).value("/product_total");
    assert_near(us * 0.907_184_74, metric, 1e-9, "product");
}

#[test]
fn gaps_are_told_filled_from_the_nearest_zone_and_marked() {
    // A strip of 2.4 m along the eastern edge is in no zone: 3 %.
    let rectangles = [
        ("West", [-40.0, -40.0, 0.0, 40.0]),
        ("S-E", [0.0, -40.0, 37.6, 0.0]),
        ("North-East", [0.0, 0.0, 37.6, 40.0]),
    ];
    let job = job_of(&rectangles, TABLE);
    let outcome = job.prescribed(&[ZONES[0], ZONES[1], "samples.zone_gap_limit=4 %"]);
    let told = outcome.finding("zone_gaps").expect("a finding");
    assert!(told.contains("0.05 ac (3.0"), "{told}");
    let mut gap = outcome.features().iter().map(|feature| &feature["properties"]);
    let gap: Vec<_> = gap.by_ref().filter(|cell| cell["sample_zone"].is_null()).collect();
    assert_eq!(gap.len(), 2);
    let values = gap.iter().map(|cell| (cell["buffer_ph"].as_f64().unwrap(), &cell["samples"]));
    assert!(values.clone().all(|(_, samples)| samples == "outside"));
    assert_eq!(values.map(|(value, _)| value).collect::<Vec<_>>(), [6.6, 6.8]);
    assert_near(outcome.value("/interpolation/beyond_share"), 0.03, 3e-4, "share");
    let said = job.refused_again(&ZONES);
    assert!(said.contains("lies in no sample zone") && said.contains("at most 1 %"), "{said}");
}

#[test]
fn overlaps_are_told_up_to_the_limit_and_the_first_zone_has_the_ground() {
    let rectangles = [
        ("West", [-40.0, -40.0, 2.0, 40.0]),
        ("S-E", [0.0, -40.0, 40.0, 0.0]),
        ("North-East", [0.0, 0.0, 40.0, 40.0]),
    ];
    let job = job_of(&rectangles, TABLE);
    let said = job.refused(&ZONES);
    assert!(said.contains("(2.50 %)") && said.contains("more than one sample zone"), "{said}");
    let outcome = job.prescribed(&[ZONES[0], ZONES[1], "samples.zone_gap_limit=3 %"]);
    assert!(outcome.finding("zone_overlaps").is_some());
    let west = 42.0 / 80.0 * FIELD_AC;
    assert_near(
        outcome.value("/need_total"),
        1.75 * west + 1.35 * (FIELD_AC - west) / 2.0,
        NEAR,
        "need",
    );
}

#[test]
fn zones_and_results_are_matched_by_name_or_refused() {
    let two = "zone,pH,BpH\nWest,5.5,6.4\nS-E,5.8,6.6\n";
    let said = job_with(0.0, two).refused(&ZONES);
    assert!(said.contains("1 sample zone without a result: North-East"), "{said}");
    let twice = format!("{TABLE}WEST,5.6,6.4\n");
    let said = job_with(0.0, &twice).refused(&ZONES);
    assert!(said.contains("the zone has several results, on lines 2, 5"), "{said}");
    let strange = format!("{TABLE}Hill,5.6,6.4\n");
    let outcome = job_with(0.0, &strange).prescribed(&ZONES);
    let told = outcome.finding("results_without_zone").expect("a finding");
    assert!(told.contains("1 of 4 results") && told.contains("Hill"), "{told}");
    assert_eq!(outcome.summary["soil"]["ph"]["samples"], 3);
    let job = job_with(0.0, TABLE);
    let said = job.refused(&[ZONES[0], "samples.zone_key=area_name"]);
    assert!(said.contains("no attribute `area_name`") && said.contains("`crop`, `zone`"), "{said}");
    let said = job.refused(&[ZONES[0]]);
    assert!(said.contains("`samples.zone_key` is missing"), "{said}");
    let said = job.refused(&[ZONES[1]]);
    assert!(said.contains("there are no `samples.zones`"), "{said}");
    let said = job.refused(&[ZONES[0], ZONES[1], "samples.columns.lon=x"]);
    assert!(said.contains("says where its samples lie"), "{said}");
}

#[test]
fn a_zone_whose_buffer_was_not_run_needs_nothing() {
    let blank = TABLE.replace("North-East,6.2,6.8", "North-East,6.9,");
    let outcome = job_with(0.0, &blank).prescribed(&ZONES);
    assert_near(outcome.value("/product_total"), 8.0 * FIELD_AC / 4.0, NEAR, "product");
    let told = outcome.finding("blank_buffers_need_nothing").expect("a finding");
    assert!(told.contains("Its zone has no other sample."), "{told}");
}
