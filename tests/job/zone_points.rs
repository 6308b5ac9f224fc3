//! Samples of zones that were taken at points, and zones that carry their results themselves.
//!
//! The field and its rates are those of `zones`: buffer pH 6.4, 6.6 and 6.8 come to 3.0 (capped),
//! 2.0 and 1.0 (raised) ton/ac by the Iowa table to pH 6.5 (Iowa State University Extension, PM
//! 1688, 2002) and the spreader.

use std::fs;

use super::support::{Job, assert_near};
use super::zones::{FIELD_AC, NEAR, ZONES, cells_of, ground, job_of, zones};

const RECTANGLES: [(&str, [f64; 4]); 3] = [
    ("West", [-40.0, -40.0, 0.0, 40.0]),
    ("s-e", [0.0, -40.0, 40.0, 0.0]),
    ("North-East", [0.0, 0.0, 40.0, 40.0]),
];
const WITH_POINTS: [&str; 3] = [ZONES[0], ZONES[1], "samples.columns.zone=part"];

/// A job with points: name, zone, metres east and north, pH, buffer pH.
fn job_at_points(points: &[(&str, &str, [f64; 2], f64, &str)]) -> Job {
    let mut rows = vec!["sample_id,part,lon,lat,pH,BpH".to_owned()];
    for (name, zone, [east_m, north_m], ph, buffer) in points {
        let at = ground().degrees(*east_m, *north_m);
        rows.push(format!("{name},{zone},{},{},{ph},{buffer}", at.lon_deg, at.lat_deg));
    }
    let job = job_of(&RECTANGLES, &(rows.join("\n") + "\n"));
    let text = fs::read_to_string(job.path("job.toml")).unwrap();
    fs::write(job.path("job.toml"), text.replace("key = \"zone\"\n", "")).unwrap();
    job
}

fn points() -> Vec<(&'static str, &'static str, [f64; 2], f64, &'static str)> {
    vec![
        ("a", "west", [-30.0, -20.0], 5.4, "6.2"),
        ("b", "S-E", [20.0, -20.0], 5.8, "6.6"),
        ("c", "WEST", [-20.0, 30.0], 5.6, "6.6"),
        ("d", "north-east", [20.0, 20.0], 6.2, "6.8"),
    ]
}

/// What was said, without the breaks of lines.
fn flat(said: &str) -> String {
    said.replace('│', " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

fn with<'s>(more: &[&'s str]) -> Vec<&'s str> {
    WITH_POINTS.iter().copied().chain(more.iter().copied()).collect()
}

#[test]
fn the_points_of_a_zone_become_one_value_by_the_stated_rule() {
    let job = job_at_points(&points());
    for (rule, ph, buffer_ph) in [("mean", 5.5, 6.4), ("first", 5.4, 6.2), ("last", 5.6, 6.6)] {
        let rule_set = format!("samples.repeats={rule}");
        let outcome = job.prescribed(&with(&[&rule_set]));
        assert_eq!(outcome.features().len(), 4);
        for cell in cells_of(&outcome, "West") {
            assert_near(cell["ph"].as_f64().unwrap(), ph, 1e-9, rule);
            assert_near(cell["buffer_ph"].as_f64().unwrap(), buffer_ph, 1e-9, rule);
        }
        let told = outcome.finding("zone_of_several_points").expect("a finding");
        assert!(told.contains(rule) && told.contains("1 sample zone with"), "{told}");
        assert_eq!(outcome.summary["soil"]["ph"]["samples"], 3);
        assert!(outcome.finding("results_without_zone").is_none());
    }
    let outcome = job.prescribed(&with(&["samples.repeats=mean"]));
    assert_near(outcome.value("/product_total"), 9.0 * FIELD_AC / 4.0, NEAR, "product");
    let said = flat(&job.refused_again(&WITH_POINTS));
    assert!(said.contains("the zone has 2 points, in rows 2, 4"), "{said}");
    assert!(said.contains("samples.repeats = \"mean\""), "{said}");
}

#[test]
fn one_point_a_zone_needs_no_rule_and_no_name() {
    let job = job_at_points(&points()[..2]);
    let table = fs::read_to_string(job.path("samples.csv")).unwrap();
    let at = ground().degrees(20.0, 20.0);
    let table = format!("{table}d,North-East,{},{},6.2,6.8\n", at.lon_deg, at.lat_deg);
    let nameless: Vec<&str> = table.lines().map(|line| line.split_once(',').unwrap().1).collect();
    fs::write(job.path("samples.csv"), nameless.join("\n")).unwrap();
    for sets in [with(&[]), with(&["samples.repeats=last"])] {
        let outcome = job.prescribed(&sets);
        for (zone, buffer_ph) in [("West", 6.2), ("s-e", 6.6), ("North-East", 6.8)] {
            let cells = cells_of(&outcome, zone);
            assert!(!cells.is_empty() && cells.iter().all(|cell| cell["buffer_ph"] == buffer_ph));
        }
    }
}

#[test]
fn a_point_in_another_zone_than_it_says_is_refused_or_told_by_its_distance() {
    let mut wrong = points();
    wrong[2].2 = [25.0, 30.0];
    wrong[1].2 = [20.0, 12.0];
    let said = flat(&job_at_points(&wrong).refused(&with(&["samples.repeats=mean"])));
    for words in [
        "the point names the zone WEST, and lies in the zone North-East, 82.0 ft from it",
        "the point names the zone S-E, and lies in the zone North-East, 39.4 ft from it",
        "within 32.8 ft of it",
        "sample c",
        "sample b",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    // Within ten metres it is told, and the name counts.
    let mut near = points();
    near[2].2 = [6.0, 30.0];
    let outcome = job_at_points(&near).prescribed(&with(&["samples.repeats=mean"]));
    let told = outcome.finding("points_beside_their_zone").expect("a finding");
    assert!(told.contains("1 of 4 points") && told.contains("19.7 ft"), "{told}");
    assert!(told.contains("c (WEST in North-East)"), "{told}");
    assert_near(cells_of(&outcome, "West")[0]["buffer_ph"].as_f64().unwrap(), 6.4, 1e-9, "West");
}

#[test]
fn zones_of_points_are_known_named_and_whole() {
    let mut strange = points();
    strange[1].1 = "Hill";
    let said = flat(&job_at_points(&strange).refused(&with(&["samples.repeats=mean"])));
    assert!(said.contains("the point names the zone Hill, which is not in the zones' file"));
    assert!(said.contains("it lies in the zone s-e"), "{said}");
    let mut blank = points();
    blank[1].1 = "";
    let said = flat(&job_at_points(&blank).refused(&with(&["samples.repeats=mean"])));
    assert!(said.contains("the point has no zone"), "{said}");
    let few = &points()[..3];
    let said = flat(&job_at_points(few).refused(&with(&["samples.repeats=mean"])));
    assert!(said.contains("1 sample zone without a result: North-East"), "{said}");
    let job = job_at_points(&points());
    let said = flat(&job.refused(&["samples.columns.zone=part"]));
    assert!(said.contains("the name of a zone alone has no ground"), "{said}");
    let said = flat(&job.refused(&with(&["samples.columns.zone=zone"])));
    assert!(said.contains("there is no column `zone`, which `samples.columns.zone` names"));
}

#[test]
fn half_tested_points_have_no_mean() {
    let mut half = points();
    half[2] = ("c", "WEST", [-20.0, 30.0], 6.8, "");
    let job = job_at_points(&half);
    let said = flat(&job.refused(&with(&["samples.repeats=mean"])));
    assert!(said.contains("1 of the zone's 2 points have a buffer pH"), "{said}");
    let outcome = job.prescribed(&with(&["samples.repeats=last"]));
    assert!(outcome.finding("blank_buffers_need_nothing").is_some());
    for cell in cells_of(&outcome, "West") {
        assert_eq!(cell["rate_ton_ac"].as_f64(), Some(0.0));
    }
}

/// The zones with their results as attributes.
fn zones_with_results(results: &[(&str, &str)]) -> String {
    let mut text = zones(&RECTANGLES);
    for (name, attributes) in results {
        let own = format!("\"zone\":\"{name}\"");
        assert!(text.contains(&own), "{name}");
        text = text.replace(&own, &format!("{own},{attributes}"));
    }
    text
}

#[test]
fn zones_may_carry_their_results_themselves() {
    let results = [
        ("West", "\"pH\":5.5,\"BpH\":6.4"),
        ("s-e", "\"pH\":5.8,\"BpH\":6.6"),
        ("North-East", "\"pH\":6.2,\"BpH\":\"6.8\""),
    ];
    let job = job_of(&RECTANGLES, "not read\n");
    fs::write(job.path("zones.geojson"), zones_with_results(&results)).unwrap();
    let text = fs::read_to_string(job.path("job.toml")).unwrap();
    let text = text.replace("key = \"zone\"\n", "");
    let without = text.replace("file = \"samples.csv\"\n", "");
    let same = text.replace("samples.csv", "zones.geojson");
    for text in [without, same] {
        fs::write(job.path("job.toml"), text).unwrap();
        let outcome = job.prescribed(&ZONES);
        assert_near(outcome.value("/product_total"), 9.0 * FIELD_AC / 4.0, NEAR, "product");
        for (zone, buffer_ph) in [("West", 6.4), ("s-e", 6.6), ("North-East", 6.8)] {
            let cells = cells_of(&outcome, zone);
            assert!(!cells.is_empty() && cells.iter().all(|cell| cell["buffer_ph"] == buffer_ph));
        }
        let inputs = outcome.summary["inputs"].as_array().unwrap();
        assert_eq!(inputs.iter().filter(|input| input["path"] == "zones.geojson").count(), 1);
    }
    // What is wrong is told by its feature.
    let wrong = [results[0], ("s-e", "\"pH\":58,\"BpH\":6.6"), results[2]];
    fs::write(job.path("zones.geojson"), zones_with_results(&wrong)).unwrap();
    let said = flat(&job.refused_again(&ZONES));
    assert!(said.contains("zones.geojson, feature 2, sample s-e, column pH"), "{said}");
    // Two parts of a zone have one result, not two.
    let two = zones_with_results(&results).replace("\"s-e\"", "\"West\"");
    fs::write(job.path("zones.geojson"), &two).unwrap();
    let said = flat(&job.refused(&ZONES));
    assert!(said.contains("the zone has several results, in features 1, 2"), "{said}");
    fs::write(job.path("zones.geojson"), two.replace("5.8", "5.5").replace("6.6", "6.4")).unwrap();
    let outcome = job.prescribed(&ZONES);
    assert_near(outcome.value("/product_total"), 10.0 * FIELD_AC / 4.0, NEAR, "three quarters");
    // Without zones there has to be a table.
    let said = flat(&job_of(&RECTANGLES, "x\n").refused(&[ZONES[1]]));
    assert!(said.contains("there are no `samples.zones`"), "{said}");
}
