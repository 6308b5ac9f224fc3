//! Areas of one rate in place of the cells.
//!
//! The field of four cells (see `four_cells`), worked out by hand: by themselves its cells get 3.0,
//! 2.0, 1.0 and 0 ton/ac on 0.395368 ac each, 4,744.42 lb.
//!
//! With one rate above nothing it is the mean of 3, 2 and 1: 2 ton/ac. North-west gets 1 ton/ac
//! more, 790.74 lb, and south-west 1 ton/ac less; half of each is CaCO3. In the south-west 500
//! lb/ac of the need were left out by the cap before and still are; the other 1,000 lb/ac, 395.37
//! lb, are the area's. In the north-west 400 lb/ac lay beyond the need before; 1,000 lb/ac more do.
//!
//! With areas of at least 0.5 ac the quarter that needs nothing merges too: 2 ton/ac on all
//! 1.581474 ac, 6,325.90 lb, of which 1,581.47 lb lie on that quarter.

use std::fs;

use serde_json::Value;

use super::four_cells::ground;
use super::regions::M2_PER_ACRE;
use super::support::{Job, Outcome, assert_near, limewright, root};

const LB_PER_TON: f64 = 2_000.0;
const HALF_A_POUND: f64 = 0.5 / LB_PER_TON;

fn sum(outcome: &Outcome, property: &str) -> f64 {
    let values = outcome.features().iter().map(|feature| &feature["properties"][property]);
    values.map(|value| value.as_f64().unwrap()).sum()
}

#[test]
fn one_rate_for_all_ground_that_needs_lime_is_right_to_the_pound() {
    let job = Job::on(&ground());
    let outcome = job.prescribed(&["rate_areas.rates_at_most=1", "rate_areas.least_area=0 ac"]);
    for (pointer, pounds) in [
        ("/rate_areas/product_before", 4_744.42),
        ("/rate_areas/product_after", 4_744.42),
        ("/product_total", 4_744.42),
        ("/rate_areas/over/product", 790.74),
        ("/rate_areas/under/product", 790.74),
        ("/rate_areas/over/carbonate", 395.37),
        ("/limits/areas_up/product", 790.74),
        ("/ledger/areas_up", 395.37),
        ("/ledger/areas_down", 395.37),
        ("/ledger/capped", 197.68),
        ("/ledger/raised", 158.15),
        ("/ledger/rounded_down", 39.54),
    ] {
        assert_near(outcome.value(pointer), pounds / LB_PER_TON, HALF_A_POUND, pointer);
    }
    assert_near(outcome.value("/rate_areas/over/area"), 0.395_368_6, 1e-5, "over");
    let rates: Vec<f64> = outcome
        .features()
        .iter()
        .map(|feature| feature["properties"]["rate_ton_ac"].as_f64().unwrap())
        .collect();
    assert_eq!(rates, [2.0, 0.0], "an L of three cells, and the quarter that needs nothing");
    let first = &outcome.features()[0];
    assert_eq!(first["properties"]["rate_area"], 1);
    assert_eq!(first["geometry"]["type"], "Polygon");
    assert_eq!(first["geometry"]["coordinates"][0].as_array().unwrap().len(), 7);
    assert_eq!(outcome.value("/rate_areas/vertices"), 10.0);
    // (5.5 + 5.8 + 6.2) / 3, and (3,500 + 2,100 + 600) / 3 lb/ac.
    assert_near(first["properties"]["ph"].as_f64().unwrap(), 17.5 / 3.0, 1e-6, "ph");
    let need = first["properties"]["need_ton_ac"].as_f64().unwrap();
    assert_near(need, 6_200.0 / 3.0 / LB_PER_TON, 1e-6, "need");
}

#[test]
fn ground_smaller_than_the_least_merges_with_what_is_itemised() {
    let job = Job::on(&ground());
    let outcome = job.prescribed(&["rate_areas.rates_at_most=1", "rate_areas.least_area=0.5 ac"]);
    for (pointer, pounds) in [
        ("/rate_areas/product_before", 4_744.42),
        ("/product_total", 6_325.90),
        ("/rate_areas/over/product", 790.74 + 1_581.47),
        ("/rate_areas/under/product", 790.74),
    ] {
        assert_near(outcome.value(pointer), pounds / LB_PER_TON, HALF_A_POUND, pointer);
    }
    assert_eq!(outcome.features().len(), 1);
    assert_eq!(outcome.value("/rate_areas/areas"), 1.0);
    assert_eq!(outcome.value("/rate_areas/vertices"), 4.0);
    // The terminal tells the same.
    let text = job.run(&["prescribe", "job.toml", "--set", "rate_areas.least_area=0.5 ac"]);
    let text = String::from_utf8(text.stdout).unwrap();
    assert!(text.contains("Rate areas\n"), "{text}");
    assert!(text.contains("Above its own") && text.contains("Below its own"), "{text}");
    assert!(text.contains("Excess: rates of areas above a cell's own"), "{text}");
}

#[test]
fn end_rows_are_rounds_of_their_own_along_the_boundary() {
    let job = Job::on(&ground());
    let outcome = job.prescribed(&[
        "rate_areas.least_area=0 ac",
        "rate_areas.least_width=1 m",
        "rate_areas.end_rows=2",
        "spreader.pass_spacing=10 m",
        "grid.cell=10 m",
    ]);
    let of_round = |round: Value| -> Vec<(f64, f64)> {
        let features = outcome.features().iter().map(|feature| &feature["properties"]);
        let of_round = features.filter(|area| area["end_row"] == round);
        let number = |area: &Value, key: &str| area[key].as_f64().unwrap();
        of_round.map(|area| (number(area, "area_ac"), number(area, "rate_ton_ac"))).collect()
    };
    // A border 3 mm aside is worth less than 1 m2 around 80 m.
    for (round, side_m) in [(1, 80.0_f64), (2, 60.0)] {
        let found = of_round(Value::from(round));
        let [(area, rate)] = found[..] else { panic!("{round}: {found:?}") };
        let expected = side_m.powi(2) - (side_m - 20.0).powi(2);
        assert_near(area * M2_PER_ACRE, expected, 2.0, "round");
        assert!(rate > 0.0, "{rate}");
    }
    let within: f64 = of_round(Value::Null).iter().map(|(area, _)| area).sum();
    assert_near(within * M2_PER_ACRE, 1_600.0, 2.0, "within the rounds");
    assert_eq!(outcome.value("/rate_areas/end_rows"), 2.0);
}

#[test]
fn areas_of_the_sample_fields_keep_what_was_asked_and_the_ledger_balances() {
    for (field, sets, unit, most, least) in [
        ("heron_flat", ["rate_areas.rates_at_most=3", "rate_areas.least_area=1 ac"], "ac", 3, 1.0),
        (
            "linden_bank",
            ["rate_areas.tolerance=1 t/ha", "rate_areas.least_area=0.5 ha"],
            "ha",
            7,
            0.5,
        ),
    ] {
        let path = root().join("sample_fields").join(field).join("job.toml");
        let folder = tempfile::tempdir().unwrap();
        let run = |out: &str, sets: &[&str], threads: &str| {
            let mut command = limewright();
            command.env("RAYON_NUM_THREADS", threads).arg("prescribe").arg(&path);
            for set in sets {
                command.args(["--set", set]);
            }
            let out = folder.path().join(out);
            let output = command.arg("--out").arg(&out).output().unwrap();
            assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
            Outcome::read(&out)
        };
        let plain = run("plain", &[], "2");
        let done = run("areas", &sets, "2");
        assert!(plain.summary.get("rate_areas").is_none());
        assert!(plain.summary["ledger"].get("areas_up").is_none());
        let before = done.value("/rate_areas/product_before");
        assert_near(before, plain.value("/product_total"), 1e-9 * before, "before");
        let after = before + done.value("/rate_areas/over/product")
            - done.value("/rate_areas/under/product");
        assert_near(done.value("/product_total"), after, 1e-9 * after, "after");
        let product = if unit == "ac" { "product_ton" } else { "product_t" };
        assert_near(sum(&done, product), after, 1e-6 * after, "features");
        let area = done.value("/ledger/field_area");
        assert_near(sum(&done, &format!("area_{unit}")), area, 1e-6 * area, "area");
        assert!(done.value("/rate_areas/rates") <= f64::from(most));
        assert!(done.features().len() * 10 < plain.features().len(), "{field}");
        assert_eq!(done.value("/rate_areas/areas") as usize, done.features().len());
        let small = done.value("/rate_areas/small_areas") as usize;
        let smaller = done
            .features()
            .iter()
            .filter(|area| area["properties"][format!("area_{unit}")].as_f64().unwrap() < least);
        assert_eq!(smaller.count(), small, "{field}");
        // The need, the order of it and how sure it is are those of the ground, not of the areas.
        for key in ["need_total", "soil", "sensitivity", "method"] {
            assert_eq!(done.summary[key], plain.summary[key], "{key}");
        }
        run("one_thread", &sets, "1");
        for file in ["rate_map.geojson", "summary.json", "map.svg"] {
            let read = |out: &str| fs::read(folder.path().join(out).join(file)).unwrap();
            assert!(read("areas") == read("one_thread"), "{field}: {file}");
        }
        let picture = fs::read_to_string(folder.path().join("areas/map.svg")).unwrap();
        assert!(picture.contains("id=\"rate-areas\"") && picture.contains("id=\"rates-of-areas\""));
        let plain = fs::read_to_string(folder.path().join("plain/map.svg")).unwrap();
        assert!(!plain.contains("rate-areas"));
    }
}

#[test]
fn polygons_and_vertices_are_capped_or_told() {
    let job = Job::on(&ground());
    let outcome = job.prescribed(&["rate_areas.least_area=0 ac", "rate_areas.polygons_at_most=2"]);
    assert!(outcome.value("/rate_areas/polygons") <= 2.0);
    assert_eq!(outcome.summary["rate_areas"]["within_caps"], true);
    let told = outcome.finding("least_area_raised").unwrap();
    assert!(told.contains("2 polygons") && told.contains("0.40 ac"), "{told}");
    let outcome = job.prescribed(&["rate_areas.least_area=0 ac", "rate_areas.vertices_at_most=3"]);
    let told = outcome.finding("rate_area_caps_not_met").unwrap();
    assert!(told.contains("1 polygon with 4 vertices") && told.contains("3 vertices"), "{told}");
}

#[test]
fn a_place_is_explained_up_to_the_rate_of_its_area() {
    let job = Job::on(&ground());
    let at = ground().degrees(-20.0, 20.0);
    let place = format!("{},{}", at.lon_deg, at.lat_deg);
    let sets = ["--set", "rate_areas.rates_at_most=1", "--set", "rate_areas.least_area=0 ac"];
    let arguments = ["explain", "job.toml", "--at", &place];
    let run = job.run(&[&arguments[..], &sets[..]].concat());
    let text = String::from_utf8(run.stdout).unwrap();
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    assert!(
        text.contains("raised to the spreader's least rate, 1 ton/ac: 1.0000 ton/ac"),
        "{text}"
    );
    assert!(text.contains("in rate area 1, of 1.1861 ac: 2.0000 ton/ac"), "{text}");
}

#[test]
fn the_effective_job_gives_the_same_areas() {
    let job = Job::on(&ground());
    let read = |out: &str| fs::read(job.path(out).join("rate_map.geojson")).unwrap();
    job.prescribed(&["rate_areas.tolerance=0.5 ton/ac", "rate_areas.least_area=0.1 ac"]);
    let text = fs::read_to_string(job.path("out/job.effective.toml")).unwrap();
    assert!(text.contains("least_width = \"40 m\"") && text.contains("end_rows = 0"), "{text}");
    fs::write(job.path("again.toml"), text).unwrap();
    let run = job.run(&["prescribe", "again.toml", "--out", "again"]);
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    assert!(read("out") == read("again"));
}

#[test]
fn what_cannot_be_asked_for_is_refused_with_what_can() {
    let job = Job::on(&ground());
    for (sets, words) in [
        (&["rate_areas.rates_at_most=2"][..], &["rate_areas.least_area", "missing"][..]),
        (
            &["rate_areas.least_area=1 ac", "rate_areas.rates_at_most=0"],
            &["rates_at_most", "from 1 to 1000"],
        ),
        (&["rate_areas.least_area=1 ac", "rate_areas.end_rows=99"], &["end_rows", "from 0 to 20"]),
        (&["rate_areas.least_area=1"], &["least area of a rate area", "1 ac"]),
        (&["rate_areas.least_area=1 ft"], &["`ac`"]),
        (
            &[
                "rate_areas.least_area=1 ac",
                "rate_areas.rates_at_most=2",
                "rate_areas.tolerance=0.5 ton/ac",
            ],
            &["either `rates_at_most` or `tolerance`"],
        ),
        (&["rate_areas.least=1 ac"], &["least_area"]),
    ] {
        let said = job.refused(sets);
        for word in words {
            assert!(said.contains(word), "{sets:?}: {said}");
        }
    }
}
