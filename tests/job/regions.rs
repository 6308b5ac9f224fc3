//! Ground that is kept out of the map, and rates that someone overrides.
//!
//! The field is a square of 80 m in cells of 40 m whose four samples read pH 5.8 and buffer pH 6.6:
//! everywhere the Iowa table to pH 6.5 asks for 2,100 lb CaCO3/ac (Iowa State University Extension,
//! PM 1688, 2002), the half effective material for 2.1 ton/ac, and the spreader holds 2.0.

use std::f64::consts::PI;
use std::fs;

use super::support::{Ground, Job, Outcome, Sample, assert_near};

pub(crate) const M2_PER_ACRE: f64 = 4_046.856_422_4;
pub(crate) const FIELD_AC: f64 = 6_400.0 / M2_PER_ACRE;
/// What a border drawn by 3 mm aside is worth around a well.
const ROUNDNESS_AC: f64 = 0.003 * 2.0 * PI * 15.24 / M2_PER_ACRE;

pub(crate) fn ground() -> Ground {
    let sample = |east_m, north_m| Sample { east_m, north_m, ph: 5.8, buffer_ph: Some(6.6) };
    let samples = [(-20.0, -20.0), (20.0, -20.0), (-20.0, 20.0), (20.0, 20.0)];
    Ground::square(80.0, samples.map(|(east, north)| sample(east, north)).to_vec())
}

/// A job on that field with something more in its job file.
pub(crate) fn job_with(more: &str) -> Job {
    let ground = ground();
    let job = Job::on(&ground);
    let text = fs::read_to_string(job.path("job.toml")).unwrap();
    fs::write(job.path("job.toml"), text + more).unwrap();
    job
}

pub(crate) fn point(east_m: f64, north_m: f64) -> String {
    let at = ground().degrees(east_m, north_m);
    format!("{{\"type\":\"Point\",\"coordinates\":[{},{}]}}", at.lon_deg, at.lat_deg)
}

pub(crate) fn rectangle([west, south]: [f64; 2], [east, north]: [f64; 2]) -> String {
    let corners = [[west, south], [east, south], [east, north], [west, north], [west, south]];
    let corners: Vec<String> = corners
        .iter()
        .map(|&[east_m, north_m]| {
            let at = ground().degrees(east_m, north_m);
            format!("[{},{}]", at.lon_deg, at.lat_deg)
        })
        .collect();
    format!("{{\"type\":\"Polygon\",\"coordinates\":[[{}]]}}", corners.join(","))
}

fn sum(outcome: &Outcome, property: &str) -> f64 {
    let values = outcome.features().iter().map(|feature| &feature["properties"][property]);
    values.map(|value| value.as_f64().unwrap()).sum()
}

fn cell<'o>(outcome: &'o Outcome, name: &str) -> &'o serde_json::Value {
    let mut all = outcome.features().iter().map(|feature| &feature["properties"]);
    all.find(|cell| cell["cell"] == name).unwrap_or_else(|| panic!("no cell {name}"))
}

#[test]
fn a_well_is_out_of_the_map_and_its_area_is_told() {
    let job = job_with("");
    fs::write(job.path("wells.geojson"), point(0.0, 0.0)).unwrap();
    let outcome = job.prescribed(&["field.keep_out=wells.geojson", "field.setback=50 ft"]);
    let well = PI * 15.24 * 15.24 / M2_PER_ACRE;
    assert_near(outcome.value("/area"), FIELD_AC, 1e-5, "area");
    assert_near(outcome.value("/keep_out_area"), well, ROUNDNESS_AC, "keep-out");
    let net = outcome.value("/area") - outcome.value("/keep_out_area");
    assert_near(outcome.value("/ledger/field_area"), net, 1e-9, "field area");
    assert_near(outcome.value("/ledger/cell_area"), net, 1e-9, "cell area");
    assert_near(outcome.value("/product_total"), 2.0 * net, 1e-9, "product");
    assert_near(outcome.value("/mean_rate"), 2.0, 1e-9, "mean rate");
    assert_near(sum(&outcome, "area_ac"), net, 1e-5, "area on the map");
    assert_eq!(outcome.features().len(), 4);
    let refused = job.run(&[
        "explain",
        "job.toml",
        "--at=-93.2,42.0",
        "--set",
        "field.keep_out=wells.geojson",
        "--set",
        "field.setback=50 ft",
    ]);
    assert_eq!(refused.status.code(), Some(1), "the well is in no cell");
    let picture = fs::read_to_string(job.path("out/map.svg")).unwrap();
    assert!(picture.contains("id=\"keep-out\"") && picture.contains("Kept out, 0.18 ac"));
    assert!(!picture.contains("id=\"overrides\""));
}

#[test]
fn metric_and_us_keep_the_same_ground_out() {
    let job = job_with("");
    fs::write(job.path("wells.geojson"), point(12.0, 7.0)).unwrap();
    let run = |units: &str, setback: &str| {
        let (units, setback) = (format!("units={units}"), format!("field.setback={setback}"));
        let outcome = job.prescribed(&["field.keep_out=wells.geojson", &units, &setback]);
        (outcome.value("/keep_out_area"), outcome.value("/product_total"))
    };
    let (us, metric) = (run("us", "50 ft"), run("metric", "15.24 m"));
    assert_near(us.0 * M2_PER_ACRE / 1e4, metric.0, 1e-12, "area");
    assert_near(us.1 * 0.907_184_74, metric.1, 1e-9, "product");
}

const TWO_ORDERS: &str = r#"
[[override]]
area = "west.geojson"
factor = 0.5
reason = "wood ash was spread here in spring"
[[override]]
area = "corner.geojson"
no_product = true
reason = "blueberries"
"#;

#[test]
fn overrides_have_their_own_entries_in_the_ledger() {
    let job = job_with(TWO_ORDERS);
    fs::write(job.path("west.geojson"), rectangle([-60.0, -60.0], [0.0, 60.0])).unwrap();
    fs::write(job.path("corner.geojson"), rectangle([0.0, 0.0], [60.0, 60.0])).unwrap();
    let outcome = job.prescribed(&[]);
    let quarter = FIELD_AC / 4.0;
    // Corners have seven decimals.
    let near = |pointer: &str, tons: f64| assert_near(outcome.value(pointer), tons, 2e-4, pointer);
    near("/product_total", (1.0 * 2.0 + 2.0) * quarter);
    near("/need_total", 4.0 * 1.05 * quarter);
    near("/ledger/overridden_down", (2.0 * (1.05 - 0.5) + 1.05) * quarter);
    near("/ledger/overridden_up", 0.0);
    near("/ledger/rounded_down", 0.05 * quarter);
    near("/unmet_total", (2.0 * 0.55 + 1.05 + 0.05) * quarter);
    near("/limits/overridden_down/area", 3.0 * quarter);
    near("/overrides/0/product_change", -2.0 * quarter);
    near("/overrides/1/product_change", -2.0 * quarter);
    near("/overrides/1/changed_area", quarter);
    assert_eq!(outcome.summary["overrides"][1]["reason"], "blueberries");
    assert_eq!(outcome.summary["overrides"][0]["order"], "rate x 0.5");
    for (name, rate, limit) in [
        ("0-0", 1.0, "override"),
        ("0-1", 2.0, "none"),
        ("1-0", 1.0, "override"),
        ("1-1", 0.0, "override"),
    ] {
        let cell = cell(&outcome, name);
        assert_eq!((cell["rate_ton_ac"].as_f64(), &cell["limit"]), (Some(rate), &limit.into()));
    }
    let picture = fs::read_to_string(job.path("out/map.svg")).unwrap();
    assert!(picture.contains("id=\"overrides\"") && picture.contains("Rate overridden"));
    let told = job.run(&["explain", "job.toml", "--at=-93.2002,41.9998"]);
    let told = String::from_utf8(told.stdout).unwrap();
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("overridden, rate x 0.5: 1.0000 ton/ac"), "{told}");
    assert!(told.contains("wood ash was spread here in spring"), "{told}");
}

#[test]
fn a_cell_that_an_override_cuts_has_two_parts_of_its_name() {
    let job = job_with(
        "[[override]]\narea = \"band.geojson\"\nrate = \"3 ton/ac\"\nreason = \"a gravel road was here\"\n",
    );
    fs::write(job.path("band.geojson"), rectangle([-10.0, -60.0], [15.0, 60.0])).unwrap();
    let outcome = job.prescribed(&[]);
    assert_eq!(outcome.features().len(), 8);
    for name in ["0-0", "0-1", "1-0", "1-1"] {
        let parts = [cell(&outcome, name), cell(&outcome, &format!("{name}b"))];
        let area: f64 = parts.iter().map(|part| part["area_ac"].as_f64().unwrap()).sum();
        assert_near(area, FIELD_AC / 4.0, 1e-5, name);
        assert_eq!((&parts[0]["limit"], &parts[1]["limit"]), (&"none".into(), &"override".into()));
    }
    let band = 25.0 * 80.0 / M2_PER_ACRE;
    assert_near(outcome.value("/overrides/0/area"), band, 1e-5, "area");
    assert_near(outcome.value("/overrides/0/product_change"), band, 1e-5, "change");
    assert_near(outcome.value("/ledger/overridden_up"), 0.45 * band, 1e-5, "excess");
    assert_near(outcome.value("/excess_total"), 0.45 * band, 1e-5, "excess");
}

#[test]
fn several_overrides_of_one_place_are_carried_out_in_turn() {
    let both = TWO_ORDERS.replace("no_product = true", "cap = \"0 ton/ac\"");
    let job = job_with(&both);
    let everywhere = rectangle([-60.0, -60.0], [60.0, 60.0]);
    fs::write(job.path("west.geojson"), &everywhere).unwrap();
    fs::write(job.path("corner.geojson"), &everywhere).unwrap();
    let outcome = job.prescribed(&[]);
    assert_near(outcome.value("/overrides/0/product_change"), -FIELD_AC, 1e-5, "half");
    assert_near(outcome.value("/overrides/1/product_change"), -FIELD_AC, 1e-5, "the rest");
    assert_near(outcome.value("/product_total"), 0.0, 1e-12, "nothing");
}

#[test]
fn an_override_that_changes_nothing_is_told() {
    let job =
        job_with("[[override]]\narea = \"band.geojson\"\ncap = \"3 ton/ac\"\nreason = \"wet\"\n");
    fs::write(job.path("band.geojson"), rectangle([-10.0, -60.0], [15.0, 60.0])).unwrap();
    let outcome = job.prescribed(&[]);
    let told = outcome.finding("override_changes_nothing").expect("a finding");
    assert!(told.contains("`wet` (at most 3 ton/ac)"), "{told}");
}

#[test]
fn what_cannot_be_kept_out_or_overridden_is_refused() {
    let job = job_with("");
    fs::write(job.path("all.geojson"), rectangle([-60.0, -60.0], [60.0, 60.0])).unwrap();
    fs::write(job.path("well.geojson"), point(0.0, 0.0)).unwrap();
    let said = job.refused(&["field.keep_out=well.geojson"]);
    assert!(said.contains("the feature has no area"), "{said}");
    let said = job.refused(&["field.keep_out=all.geojson"]);
    assert!(said.contains("covers the whole field"), "{said}");
    let said = job.refused(&["field.setback=50 ft"]);
    assert!(said.contains("`field.keep_out` is not"), "{said}");
    let said = job.refused(&["field.keep_out=all.geojson", "field.setback=50"]);
    assert!(said.contains("the setback"), "{said}");
}

#[test]
fn an_override_says_what_why_and_where_in_rates_of_the_machine() {
    for (entry, words) in [
        (
            "area = \"a.geojson\"\nrate = \"2.1 ton/ac\"\nreason = \"r\"",
            "the nearest: `2 ton/ac` and `2.5 ton/ac`",
        ),
        ("area = \"a.geojson\"\ncap = \"5 ton/ac\"\nreason = \"r\"", "the nearest: `3 ton/ac`"),
        ("area = \"a.geojson\"\nrate = \"2 ton/ac\"", "has no `reason`"),
        ("rate = \"2 ton/ac\"\nreason = \"r\"", "has no `area`"),
        ("area = \"a.geojson\"\nreason = \"r\"", "says 0 things to do"),
        ("area = \"a.geojson\"\nreason = \"r\"\nfactor = 0.5\nno_product = true", "says 2 things"),
        ("area = \"a.geojson\"\nreason = \"r\"\nno_product = false", "no_product = false"),
        ("area = \"a.geojson\"\nreason = \"r\"\nfactor = -1.0", "the factor of an override"),
    ] {
        let job = job_with(&format!("[[override]]\n{entry}\n"));
        fs::write(job.path("a.geojson"), rectangle([-10.0, -60.0], [15.0, 60.0])).unwrap();
        // The terminal breaks lines.
        let said = job.refused(&[]).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.replace("│ ", "").contains(words), "{entry}: {said}");
    }
}
