//! Map files beside the boundary: several keep-outs with a setback each, files named by a table,
//! and what is wrong with them.
//!
//! The field is the one of `regions`: a square of 80 m that gets 2.0 ton/ac everywhere.

use std::f64::consts::PI;
use std::fs;

use proj::Proj;
use serde_json::Value;

use super::regions::{FIELD_AC, M2_PER_ACRE, ground, job_with, point, rectangle};
use super::support::{Job, assert_near};

const NEAR_M2: f64 = 0.5;

fn line(ends: [[f64; 2]; 2]) -> String {
    let ends = ends.map(|[east_m, north_m]| {
        let at = ground().degrees(east_m, north_m);
        format!("[{},{}]", at.lon_deg, at.lat_deg)
    });
    format!("{{\"type\":\"LineString\",\"coordinates\":[{}]}}", ends.join(","))
}

/// Features with a kind each.
fn kinds(features: &[(&str, String)]) -> String {
    let features: Vec<String> = features
        .iter()
        .map(|(kind, geometry)| {
            format!(
                "{{\"type\":\"Feature\",\"properties\":{{\"kind\":\"{kind}\"}},\
                 \"geometry\":{geometry}}}"
            )
        })
        .collect();
    format!("{{\"type\":\"FeatureCollection\",\"features\":[{}]}}", features.join(","))
}

/// A job with something more in its `[field]`.
fn job_keeping_out(keys: &str) -> Job {
    let job = job_with("");
    let text = fs::read_to_string(job.path("job.toml")).unwrap();
    fs::write(job.path("job.toml"), text.replace("[samples]", &format!("{keys}\n[samples]")))
        .unwrap();
    job
}

/// What was said, without the breaks of lines.
fn flat(said: &str) -> String {
    said.replace('│', " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn each_file_has_its_setback_and_its_area_and_what_two_keep_out_counts_once() {
    let job = job_keeping_out(
        "setback = \"5 m\"\nkeep_out = [\"stream.geojson\", { file = \"wells.geojson\", setback = \"10 m\" }]",
    );
    fs::write(job.path("stream.geojson"), line([[20.0, -90.0], [20.0, 90.0]])).unwrap();
    fs::write(job.path("wells.geojson"), point(10.0, 0.0)).unwrap();
    let outcome = job.prescribed(&[]);
    let m2 = |pointer: &str| outcome.value(pointer) * M2_PER_ACRE;
    let (strip, circle) = (10.0 * 80.0, PI * 100.0);
    // The part of the circle beyond a line that is 5 m from its middle.
    let both = 100.0 * 0.5_f64.acos() - 5.0 * 75.0_f64.sqrt();
    assert_near(m2("/keep_out/0/area"), strip, NEAR_M2, "stream");
    assert_near(m2("/keep_out/1/area"), circle, NEAR_M2, "well");
    assert_near(m2("/keep_out_overlap"), both, NEAR_M2, "both");
    assert_near(m2("/keep_out_area"), strip + circle - both, NEAR_M2, "all");
    let all = m2("/keep_out/0/area") + m2("/keep_out/1/area") - m2("/keep_out_overlap");
    assert_near(m2("/keep_out_area"), all, 1e-9, "the sum");
    assert_near(m2("/ledger/field_area"), 6_400.0 - m2("/keep_out_area"), 0.01, "the rest");
    assert_eq!(outcome.summary["keep_out"][0]["file"], "stream.geojson");
    assert_near(outcome.value("/keep_out/1/setback"), 10.0 / 0.3048, 1e-9, "setback");
    let said = String::from_utf8(job.run(&["prescribe", "job.toml"]).stdout).unwrap();
    let said = flat(&said);
    for words in [
        "stream.geojson, 16.4 ft around: 0.20 ac",
        "wells.geojson, 32.8 ft around: 0.08 ac",
        "0.02 ac of it in more than one file, counted once",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    // The job as it was run says the same.
    fs::copy(job.path("out/job.effective.toml"), job.path("again.toml")).unwrap();
    let again = job.run(&["prescribe", "again.toml", "--json"]);
    let again: Value = serde_json::from_slice(&again.stdout).unwrap();
    assert_eq!(again["keep_out"], outcome.summary["keep_out"]);
    assert_eq!(again["product_total"], outcome.summary["product_total"]);
}

#[test]
fn one_file_has_no_list_and_nothing_that_counts_once() {
    let job = job_keeping_out("keep_out = { file = \"wells.geojson\", setback = \"50 ft\" }");
    fs::write(job.path("wells.geojson"), point(0.0, 0.0)).unwrap();
    let outcome = job.prescribed(&[]);
    assert_near(
        outcome.value("/keep_out_area") * M2_PER_ACRE,
        PI * 15.24_f64.powi(2),
        NEAR_M2,
        "well",
    );
    assert_eq!(outcome.value("/keep_out/0/area"), outcome.value("/keep_out_area"));
    assert!(outcome.summary.get("keep_out_overlap").is_none());
    let said = String::from_utf8(job.run(&["prescribe", "job.toml"]).stdout).unwrap();
    assert!(!said.contains("wells.geojson,"), "{said}");
}

#[test]
fn a_table_chooses_features_and_states_the_system() {
    let table = "{ file = \"places.geojson\", select = { kind = \"well\" }, setback = \"10 m\" }";
    let job = job_keeping_out(&format!("keep_out = {table}"));
    let all = [("well", point(0.0, 0.0)), ("tree", point(25.0, 25.0))];
    fs::write(job.path("places.geojson"), kinds(&all)).unwrap();
    let degrees = job.prescribed(&[]).value("/keep_out_area");
    assert_near(degrees * M2_PER_ACRE, PI * 100.0, NEAR_M2, "the well alone");
    // The same places as eastings and northings.
    let to = Proj::new_known_crs("OGC:CRS84", "EPSG:32615", None).unwrap();
    let metres = |east_m, north_m| {
        let at = ground().degrees(east_m, north_m);
        let (x, y) = to.convert((at.lon_deg, at.lat_deg)).unwrap();
        format!("{{\"type\":\"Point\",\"coordinates\":[{x},{y}]}}")
    };
    let all = [("well", metres(0.0, 0.0)), ("tree", metres(25.0, 25.0))];
    fs::write(job.path("places.geojson"), kinds(&all)).unwrap();
    let stated = "field.keep_out.coordinate_system=EPSG:32615";
    assert_near(job.prescribed(&[stated]).value("/keep_out_area"), degrees, 1e-7, "metres");
    let said = flat(&job.refused_again(&[]));
    assert!(said.contains("these look like projected coordinates"), "{said}");
}

#[test]
fn overrides_take_tables_too() {
    let job = job_with(
        "[[override]]\narea = { file = \"areas.geojson\", select = { kind = \"ash\" } }\n\
         rate = \"1 ton/ac\"\nreason = \"ash\"\n",
    );
    let half = rectangle([-60.0, -60.0], [0.0, 60.0]);
    let all = [("ash", half), ("wet", rectangle([0.0, -60.0], [20.0, 60.0]))];
    fs::write(job.path("areas.geojson"), kinds(&all)).unwrap();
    let outcome = job.prescribed(&[]);
    assert_near(outcome.value("/overrides/0/area"), FIELD_AC / 2.0, 1e-5, "the ash alone");
    assert_eq!(outcome.summary["overrides"][0]["file"], "areas.geojson");
}

#[test]
fn what_a_table_gets_wrong_is_said_where_it_stands() {
    for (keys, words) in [
        ("keep_out = { setback = \"50 ft\" }", "the table of `field.keep_out` has no `file`"),
        ("keep_out = []", "`field.keep_out` is an empty list"),
        (
            "keep_out = { file = \"w.geojson\", setbak = \"50 ft\" }",
            "unknown key `field.keep_out.setbak`",
        ),
        ("keep_out = [{ file = \"w.geojson\", setbak = \"50 ft\" }]", "did you mean `setback`?"),
        ("keep_out = 5", "the path of a map file in quotes, a table with `file`, or a list"),
        ("keep_out = [{ file = \"w.geojson\", setback = 50 }]", "the setback"),
        (
            "setback = \"9 m\"\nkeep_out = { file = \"w.geojson\", setback = \"50 ft\" }",
            "`field.setback` is for no file",
        ),
        (
            "keep_out = { file = \"w.geojson\", setback = \"5 m\", layer = \"wells\" }",
            "correct `layer` in the table of `field.keep_out`",
        ),
        (
            "keep_out = { file = \"w.geojson\", setback = \"5 m\", select = { kind = \"ditch\" } }",
            "correct `select` in the table of `field.keep_out`",
        ),
        ("keep_out = { file = \"nowhere.geojson\" }", "nowhere.geojson"),
    ] {
        let job = job_keeping_out(keys);
        fs::write(job.path("w.geojson"), kinds(&[("well", point(0.0, 0.0))])).unwrap();
        let said = flat(&job.refused(&[]));
        assert!(said.contains(words), "{keys}: {said}");
    }
    let job =
        job_with("[[override]]\narea = { layer = \"a\" }\nno_product = true\nreason = \"r\"\n");
    let said = flat(&job.refused(&[]));
    assert!(said.contains("the table of `override.area` has no `file`"), "{said}");
}

#[test]
fn areas_that_cross_themselves_are_refused_with_the_place() {
    let job = job_with("[[override]]\narea = \"tie.geojson\"\nno_product = true\nreason = \"r\"\n");
    let corners = [[-20.0, -20.0], [20.0, 20.0], [20.0, -20.0], [-20.0, 20.0], [-20.0, -20.0]];
    let corners = corners.map(|[east_m, north_m]: [f64; 2]| {
        let at = ground().degrees(east_m, north_m);
        format!("[{},{}]", at.lon_deg, at.lat_deg)
    });
    let tie = format!("{{\"type\":\"Polygon\",\"coordinates\":[[{}]]}}", corners.join(","));
    fs::write(job.path("tie.geojson"), &tie).unwrap();
    let said = flat(&job.refused(&[]));
    assert!(
        said.contains("crosses itself at longitude -93.2000000, latitude 42.0000000"),
        "{said}"
    );
    let job = job_keeping_out("keep_out = \"tie.geojson\"");
    fs::write(job.path("tie.geojson"), tie).unwrap();
    assert!(flat(&job.refused(&[])).contains("crosses itself"));
}

#[test]
fn what_lies_nowhere_on_the_field_is_told_and_refused_where_the_cause_is_plain() {
    let job = job_keeping_out("keep_out = { file = \"wells.geojson\", setback = \"10 m\" }");
    fs::write(job.path("wells.geojson"), point(500.0, 0.0)).unwrap();
    let outcome = job.prescribed(&[]);
    assert_eq!(outcome.value("/keep_out_area"), 0.0);
    let told = outcome.finding("areas_outside_field").expect("a finding");
    assert!(told.contains("nothing is kept out by this file"), "{told}");
    // 500 m less half the field and the setback: 450 m, 1,476 ft.
    assert!(told.contains("the nearest is 1476 ft away"), "{told}");
    let metric = job.prescribed(&["units=metric"]);
    let told = metric.finding("areas_outside_field").expect("a finding");
    assert!(told.contains("the nearest is 450 m away"), "{told}");
    // The same well with the sign of its longitude lost.
    let east = point(0.0, 0.0).replace("[-", "[");
    fs::write(job.path("wells.geojson"), east).unwrap();
    let said = flat(&job.refused_again(&[]));
    assert!(said.contains("with the sign of the longitude (or x) turned, 1 do"), "{said}");
    // Degrees that the job calls metres.
    fs::write(job.path("wells.geojson"), point(0.0, 0.0)).unwrap();
    let said = flat(&job.refused(&["field.keep_out.coordinate_system=EPSG:32615"]));
    assert!(
        said.contains("the coordinates taken as WGS 84 longitude and latitude in degrees, 1 do"),
        "{said}"
    );
    // An area, not a point: its extent gives it away.
    fs::write(job.path("wells.geojson"), rectangle([-9.0, -9.0], [9.0, 9.0])).unwrap();
    let said = flat(&job.refused(&["field.keep_out.coordinate_system=EPSG:32615"]));
    assert!(said.contains("the system of the keep-out is `EPSG:32615`"), "{said}");
    // A datum without a way to WGS 84.
    let odd = "field.keep_out.coordinate_system=+proj=utm +zone=15 +ellps=clrk66 +type=crs";
    fs::write(job.path("wells.geojson"), "{\"type\":\"Point\",\"coordinates\":[483437,4649776]}")
        .unwrap();
    let said = flat(&job.refused(&[odd]));
    assert!(said.contains("no shift to WGS 84 is known"), "{said}");
    // A file that names its own system, and a job that names another.
    let own = "{\"type\":\"Feature\",\"properties\":{},\"crs\":{\"type\":\"name\",\"properties\":\
               {\"name\":\"EPSG:32615\"}},\"geometry\":{\"type\":\"Point\",\"coordinates\":\
               [483437,4649776]}}";
    fs::write(job.path("wells.geojson"), own).unwrap();
    let said = flat(&job.refused(&["field.keep_out.coordinate_system=EPSG:32616"]));
    assert!(said.contains("which is elsewhere"), "{said}");
}
