//! Inputs that go wrong in real life, on a square of 400 m in Illinois with nine samples.
//!
//! The square's corners are those of a 400 m square in UTM zone 16 N, rounded to seven decimals;
//! its geodesic area, 160,013.96 m2, was computed with GeographicLib 2.1 (Karney, 2013, Algorithms
//! for geodesics, Journal of Geodesy 87). The cases themselves are invented.

use super::support::{Ground, JOB as US_JOB, Job, Sample, assert_near};

pub(crate) const SQUARE: &str = r#"{"type":"FeatureCollection","features":[{"type":"Feature","properties":{},
"geometry":{"type":"Polygon","coordinates":[[[-89.0030368,39.9938848],[-88.998354,39.9939657],
[-88.998459,39.9975674],[-89.0031421,39.9974865],[-89.0030368,39.9938848]]]}}]}"#;

const SAMPLES: [(&str, f64, f64, f64); 9] = [
    ("S01", 39.9945293, -89.0022357, 5.2),
    ("S02", 39.9945556, -89.0007138, 5.4),
    ("S03", 39.9945819, -88.9991919, 5.9),
    ("S04", 39.9956999, -89.0022699, 5.6),
    ("S05", 39.9957261, -89.0007480, 6.0),
    ("S06", 39.9957524, -88.9992260, 6.3),
    ("S07", 39.9968704, -89.0023041, 5.8),
    ("S08", 39.9968967, -89.0007821, 6.2),
    ("S09", 39.9969230, -88.9992602, 6.6),
];

pub(crate) const JOB: &str = r#"
units = "metric"
[field]
boundary = "boundary.geojson"
[samples]
file = "samples.csv"
sampled_depth = "0-20 cm"
ph_measured_in = "water 1:2.5"
[target]
ph = 6.7
[need]
method = "ph-uk-arable"
limed_depth = "20 cm"
placement = "tilled"
[material]
kind = "calcitic limestone"
effective = "100 % as received"
[spreader]
min_rate = "0 t/ha"
max_rate = "10 t/ha"
step = "0.001 t/ha"
pass_spacing = "30 m"
payload = "16 t"
"#;

pub(crate) fn table(row: impl Fn(&str, f64, f64, f64) -> String) -> String {
    let rows: Vec<String> =
        SAMPLES.iter().map(|&(id, lat, lon, ph)| row(id, lat, lon, ph)).collect();
    format!("sample_id,lat,lon,ph\n{}\n", rows.join("\n"))
}

pub(crate) fn plain() -> String {
    table(|id, lat, lon, ph| format!("{id},{lat},{lon},{ph}"))
}

#[test]
fn a_byte_order_mark_is_no_part_of_the_first_header() {
    let outcome = Job::new(JOB, SQUARE, &format!("\u{feff}{}", plain())).prescribed(&[]);
    assert_eq!(outcome.value("/soil/ph/samples"), 9.0);
    assert!(outcome.finding("samples_without_names").is_none());
}

#[test]
fn degrees_are_not_metres_and_edge_cells_count_by_their_own_area() {
    // By cell centres the field would measure 152,100 m2, by cells touched 176,400 m2.
    let outcome = Job::new(JOB, SQUARE, &plain()).prescribed(&[]);
    assert_near(outcome.value("/area"), 16.001_396, 16.0 * 1e-6, "area");
    let sum: f64 =
        outcome.features().iter().map(|f| f["properties"]["area_ha"].as_f64().unwrap()).sum();
    assert_near(sum, 16.001_396, 16.0 * 1e-6, "sum of the cells");
}

#[test]
fn cutting_leaves_polygons_only_and_no_slivers() {
    // Grids whose lines run a hair beside the field's edges, and across them.
    for heading in ["0 deg", "1.2816 deg", "1.28161 deg", "33 deg", "90.0000001 deg"] {
        let heading = format!("grid.heading={heading}");
        let outcome = Job::new(JOB, SQUARE, &plain()).prescribed(&["grid.cell=30 m", &heading]);
        let mut sum = 0.0;
        for feature in outcome.features() {
            let kind = feature["geometry"]["type"].as_str().unwrap();
            assert!(kind == "Polygon" || kind == "MultiPolygon", "{kind}");
            let area = feature["properties"]["area_ha"].as_f64().unwrap();
            assert!(area >= 0.05 * 0.09, "{heading}: a piece of {area} ha");
            sum += area;
        }
        assert_near(sum, 16.001_396, 16.0 * 1e-6, &heading);
    }
}

#[test]
fn latitude_and_longitude_exchanged_are_refused_with_the_evidence() {
    let said = Job::new(JOB, SQUARE, &table(|id, lat, lon, ph| format!("{id},{lon},{lat},{ph}")))
        .refused(&[]);
    assert!(said.contains("0 of 9") && said.contains("exchanged"), "{said}");
}

#[test]
fn a_lost_sign_is_refused_with_the_evidence() {
    let said =
        Job::new(JOB, SQUARE, &table(|id, lat, lon, ph| format!("{id},{lat},{},{ph}", -lon)))
            .refused(&[]);
    assert!(said.contains("0 of 9") && said.contains("sign"), "{said}");
}

#[test]
fn projected_numbers_are_no_degrees() {
    let metres = SQUARE.replace("-89.0030368", "329000");
    let said = Job::new(JOB, &metres, &plain()).refused(&[]);
    assert!(said.contains("329000") || said.contains("degrees"), "{said}");
    let crs = SQUARE.replace(
        "\"features\"",
        "\"crs\":{\"type\":\"name\",\"properties\":{\"name\":\"urn:ogc:def:crs:EPSG::32616\"}},\"features\"",
    );
    let said = Job::new(JOB, &crs, &plain()).refused(&[]);
    assert!(said.contains("EPSG::32616") && said.contains("look like degrees"), "{said}");
}

#[test]
fn a_bow_tie_is_refused_with_the_place_of_its_crossing() {
    let bow_tie = r#"{"type":"Polygon","coordinates":[[[-89.003,39.994],[-88.998,39.998],
        [-88.998,39.994],[-89.003,39.998],[-89.003,39.994]]]}"#;
    let said = Job::new(JOB, bow_tie, &plain()).refused(&[]);
    assert!(said.contains("-89.0005") && said.contains("39.996"), "{said}");
}

#[test]
fn several_depths_at_one_place_are_not_averaged() {
    let rows = SAMPLES.map(|(id, lat, lon, ph)| {
        format!("{id},{lat},{lon},0-6,{ph}\n{id},{lat},{lon},6-12,6.4\n")
    });
    let text = format!("sample_id,lat,lon,depth,ph\n{}", rows.concat());
    let said = Job::new(JOB, SQUARE, &text).refused(&[]);
    assert!(said.contains("`0-6`") && said.contains("`6-12`"), "{said}");
}

#[test]
fn two_samples_at_one_place_count_as_one_and_are_told() {
    let text = plain() + "S01b,39.9945293,-89.0022357,5.8\n";
    let outcome = Job::new(JOB, SQUARE, &text).prescribed(&[]);
    let told = outcome.finding("samples_merged").expect("told");
    assert!(told.contains("S01 and S01b"), "{told}");
}

#[test]
fn a_steep_pair_never_leaves_the_range_of_the_samples() {
    let text = table(|id, lat, lon, _| {
        let ph = if id == "S01" || id == "S02" { 4.0 } else { 7.5 };
        format!("{id},{lat},{lon},{ph}")
    });
    let outcome = Job::new(JOB, SQUARE, &text).prescribed(&["spreader.max_rate=20 t/ha"]);
    for feature in outcome.features() {
        let ph = feature["properties"]["ph"].as_f64().unwrap();
        assert!((4.0..=7.5).contains(&ph), "{ph}");
        assert!(feature["properties"]["rate_t_ha"].as_f64().unwrap() >= 0.0);
    }
}

#[test]
fn what_lies_beyond_the_samples_is_flagged_with_its_share_and_distance() {
    // The hull of the samples covers 260 m x 260 m of 400 m x 400 m: 58 % of the field is outside.
    let outcome = Job::new(JOB, SQUARE, &plain()).prescribed(&["grid.cell=5 m"]);
    let share = outcome.value("/interpolation/beyond_share");
    assert_near(share, 1.0 - 260.0 * 260.0 / (400.0 * 400.0), 0.01, "share beyond");
    // The far corners lie 70 m from the hull in both directions, 99 m across; a value point lies
    // within a cell of them.
    let farthest = outcome.value("/interpolation/beyond_max_distance");
    let corner = 70.0 * 2.0_f64.sqrt();
    assert!((corner - 5.0 * 2.0_f64.sqrt()..corner).contains(&farthest), "{farthest}");
    let outside = outcome.features().iter().filter(|f| f["properties"]["samples"] == "outside");
    assert!(outside.count() > 1_000);
}

#[test]
fn the_total_is_the_sum_of_the_cells_not_the_rate_at_the_mean() {
    let outcome = Job::new(JOB, SQUARE, &plain()).prescribed(&[]);
    let sum: f64 =
        outcome.features().iter().map(|f| f["properties"]["product_t"].as_f64().unwrap()).sum();
    assert_near(sum, outcome.value("/product_total"), 1e-6, "sum of products");
    // Mean pH 5.8889 asks for 6 x (6.7 - 5.8889) = 4.867 t/ha by the line of the printed rows.
    assert_near(outcome.value("/flat_rate/composite/rate"), 4.867, 1e-9, "composite");
    assert!((outcome.value("/mean_rate") - 4.867).abs() > 0.01, "the two were mixed up");
}

#[test]
fn zero_rates_stay_in_the_map() {
    let text = table(|id, lat, lon, _| {
        let ph = if lon > -88.9995 { 7.0 } else { 5.5 };
        format!("{id},{lat},{lon},{ph}")
    });
    let outcome = Job::new(JOB, SQUARE, &text).prescribed(&[]);
    let nothing = outcome.features().iter().filter(|f| f["properties"]["rate_t_ha"] == 0.0);
    assert!(nothing.count() > 20);
    let sum: f64 =
        outcome.features().iter().map(|f| f["properties"]["area_ha"].as_f64().unwrap()).sum();
    assert_near(sum, outcome.value("/area"), 1e-6, "area");
}

#[test]
fn a_need_above_the_greatest_rate_is_unmet_not_forgotten() {
    // Six t/ha needed everywhere (pH 5.7 to 6.7 by the printed row), four at the most.
    let text = table(|id, lat, lon, _| format!("{id},{lat},{lon},5.7"));
    let outcome = Job::new(JOB, SQUARE, &text).prescribed(&["spreader.max_rate=4 t/ha"]);
    let area = outcome.value("/area");
    assert_near(outcome.value("/unmet_total"), 2.0 * area, 1e-6, "unmet");
    assert_near(outcome.value("/product_total"), 4.0 * area, 1e-6, "product");
    assert!(outcome.finding("need_left_unmet").is_some());
    for feature in outcome.features() {
        assert_eq!(feature["properties"]["limit"], "capped");
        assert_near(feature["properties"]["unmet_need_t_ha"].as_f64().unwrap(), 2.0, 1e-9, "unmet");
    }
}

#[test]
fn six_tons_needed_and_four_held_leave_two_unmet() {
    // The Agronomy Guide of Penn State (part 1, section 2, liming) splits what is needed where it
    // passes 4 ton/ac; one application of 4 ton/ac is told as 2 ton/ac unmet, never clipped in
    // silence. Iowa's row 6.4 to pH 6.9 is 6,000 lb/ac, 6 ton/ac of a material half effective.
    let boundary = Ground::square(80.0, Vec::new()).boundary();
    let sample = Sample { east_m: 0.0, north_m: 0.0, ph: 5.5, buffer_ph: Some(6.4) };
    let samples = Ground::square(80.0, vec![sample]).table();
    let sets = ["target.ph=6.9", "spreader.max_rate=4 ton/ac"];
    let outcome = Job::new(US_JOB, &boundary, &samples).prescribed(&sets);
    let area = outcome.value("/area");
    assert_near(outcome.value("/need_total"), 3.0 * area, 1e-9, "need");
    assert_near(outcome.value("/product_total"), 4.0 * area, 1e-9, "product");
    // Two tons of the material are one of CaCO3.
    assert_near(outcome.value("/unmet_total"), 1.0 * area, 1e-9, "unmet");
    assert_near(outcome.value("/ledger/capped"), 1.0 * area, 1e-9, "capped");
    assert_near(outcome.value("/limits/capped/product"), 2.0 * area, 1e-9, "material left out");
    assert!(outcome.finding("need_left_unmet").is_some());
}
