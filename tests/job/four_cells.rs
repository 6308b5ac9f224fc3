//! A field of four cells, worked out by hand to the pound.
//!
//! A square of 80 m, cells of 40 m, one sample in the middle of each cell. One cell is
//! 1,600 m2 / 4,046.8564224 m2/ac = 0.395368 ac. The material is half effective, the spreader
//! holds 1 to 3 ton/ac in steps of 0.5. Needs are printed rows of the Iowa table to pH 6.5
//! (Iowa State University Extension, PM 1688, 2002), in lb CaCO3/ac.
//!
//! | cell | pH | buffer | need | / 0.5 | ton/ac | rate | why |
//! | --- | --- | --- | --- | --- | --- | --- | --- |
//! | south-west | 5.5 | 6.4 | 3,500 | 7,000 lb | 3.5 | 3.0 | capped |
//! | south-east | 5.8 | 6.6 | 2,100 | 4,200 lb | 2.1 | 2.0 | rounded down |
//! | north-west | 6.2 | 6.8 | 600 | 1,200 lb | 0.6 | 1.0 | raised |
//! | north-east | 6.9 | blank | 0 | 0 | 0 | 0 | at the trigger |
//!
//! Product: (3 + 2 + 1 + 0) ton/ac x 2,000 lb/ton x 0.395368 ac = 4,744 lb.
//! Need: (3,500 + 2,100 + 600) x 0.395368 = 2,451 lb CaCO3; supplied 4,744 / 2 = 2,372 lb;
//! capped (3,500 - 3,000) x 0.395368 = 198 lb; rounded down 100 x 0.395368 = 40 lb; raised
//! (1,000 - 600) x 0.395368 = 158 lb; and 2,372 + 198 + 40 - 158 = 2,452 lb within rounding.

use super::support::{Ground, Job, Sample, assert_near};

pub(crate) fn ground() -> Ground {
    let sample = |east_m, north_m, ph, buffer_ph| Sample { east_m, north_m, ph, buffer_ph };
    Ground::square(
        80.0,
        vec![
            sample(-20.0, -20.0, 5.5, Some(6.4)),
            sample(20.0, -20.0, 5.8, Some(6.6)),
            sample(-20.0, 20.0, 6.2, Some(6.8)),
            sample(20.0, 20.0, 6.9, None),
        ],
    )
}

const LB_PER_TON: f64 = 2_000.0;
/// Corners are rounded to seven decimals of a degree, about a centimetre on 40 m.
const HALF_A_POUND: f64 = 0.5 / LB_PER_TON;

#[test]
fn totals_are_right_to_the_pound() {
    let outcome = Job::on(&ground()).prescribed(&[]);
    for (pointer, pounds) in [
        ("/product_total", 4_744.42),
        ("/need_total", 2_451.28),
        ("/supplied_total", 2_372.21),
        ("/ledger/capped", 197.68),
        ("/ledger/rounded_down", 39.54),
        ("/ledger/raised", 158.15),
        ("/ledger/dropped", 0.0),
        ("/ledger/rounded_up", 0.0),
        ("/unmet_total", 237.22),
        ("/excess_total", 158.15),
    ] {
        assert_near(outcome.value(pointer), pounds / LB_PER_TON, HALF_A_POUND, pointer);
    }
    assert_near(outcome.value("/area"), 4.0 * 0.395_368_6, 1e-5, "area");
    assert_near(outcome.value("/treated_area"), 3.0 * 0.395_368_6, 1e-5, "treated area");
}

#[test]
fn every_cell_gets_its_own_rate_at_its_own_place() {
    let outcome = Job::on(&ground()).prescribed(&[]);
    let mut found: Vec<(i64, i64, f64, String)> = outcome
        .features()
        .iter()
        .map(|feature| {
            let ring = feature["geometry"]["coordinates"][0].as_array().unwrap();
            let mean = |axis: usize| {
                let sum: f64 = ring[1..].iter().map(|at| at[axis].as_f64().unwrap()).sum();
                sum / (ring.len() - 1) as f64
            };
            let properties = &feature["properties"];
            let east = i64::from(mean(0) > -93.2);
            let north = i64::from(mean(1) > 42.0);
            let limit = properties["limit"].as_str().unwrap().to_owned();
            (north, east, properties["rate_ton_ac"].as_f64().unwrap(), limit)
        })
        .collect();
    found.sort_by_key(|cell| (cell.0, cell.1));
    let expected =
        [(0, 0, 3.0, "capped"), (0, 1, 2.0, "none"), (1, 0, 1.0, "raised"), (1, 1, 0.0, "none")];
    let expected: Vec<_> =
        expected.map(|(north, east, rate, limit)| (north, east, rate, limit.to_owned())).into();
    assert_eq!(found, expected);
}

#[test]
fn moisture_counts_once_and_only_for_a_dry_figure() {
    let job = Job::on(&ground());
    let received = job.prescribed(&[]).value("/product_total");
    let told = job.prescribed(&["material.moisture=20 %"]).value("/product_total");
    assert_eq!(received, told, "a moisture beside a figure as received changes nothing");
    // 62.5 % dry with 20 % water is 50 % as received.
    let dry = ["material.effective=62.5 % dry", "material.moisture=20 %"];
    assert_near(job.prescribed(&dry).value("/product_total"), received, 1e-9, "dry");
    let refused = Job::on(&ground()).refused(&["material.effective=62.5 % dry"]);
    assert!(refused.contains("material.moisture"), "{refused}");
}

#[test]
fn half_the_depth_needs_half_the_lime() {
    // Iowa's table stands for 6 in; need scales by limed depth over table depth (common practice).
    // A trade journal's guidelines for lime on no-till fields (agprofessional.com, undated) give
    // half the rate, twice as often.
    let job = Job::on(&ground());
    let six = job.prescribed(&[]).value("/need_total");
    let three = job.prescribed(&["need.limed_depth=3 in"]);
    assert_near(three.value("/need_total"), six / 2.0, 1e-9, "need");
    assert!(three.finding("need_scaled_by_depth").is_some());
    assert_eq!(three.value("/method/depth_factor"), 0.5);
    // The full rate on ground that is not tilled over-limes its top, and is told.
    let full = job.prescribed(&["need.placement=no-till"]);
    assert_near(full.value("/need_total"), six, 1e-12, "need of the full depth");
    let told = full.finding("surface_lime_reaches_less").expect("told");
    assert!(told.contains("E-2567") && told.contains("need.limed_depth = \"4 in\""), "{told}");
    assert!(told.contains("is 67 % of this"), "{told}");
    let half = job.prescribed(&["need.placement=no-till", "need.limed_depth=3 in"]);
    assert_near(half.value("/need_total"), six / 2.0, 1e-9, "need of half the depth");
    assert!(half.finding("surface_lime_reaches_less").is_none());
}

#[test]
fn the_flat_rates_follow_from_the_same_cells() {
    let outcome = Job::on(&ground()).prescribed(&[]);
    // (3 + 2 + 1 + 0) / 4 = 1.5 ton/ac supplies 1,500 lb CaCO3/ac: short on two cells, beyond on two.
    assert_near(outcome.value("/flat_rate/same_tons/rate"), 1.5, 1e-4, "same tons");
    assert_near(outcome.value("/flat_rate/same_tons/over_limed_area"), 0.790_737, 1e-4, "over");
    assert_near(outcome.value("/flat_rate/same_tons/under_limed_area"), 0.790_737, 1e-4, "under");
    // Composite: pH (5.5 + 5.8 + 6.2 + 6.9) / 4 = 6.1; buffer (6.4 + 6.6 + 6.8 + 7.0) / 4 = 6.7;
    // need (600 + 2,100) / 2 = 1,350 lb/ac = 1.35 ton/ac of this material, rounded to 1.5.
    assert_eq!(outcome.value("/flat_rate/composite/rate"), 1.5);
    assert!(outcome.finding("map_uses_more_than_composite").is_none(), "both are 1.5 on average");
}

#[test]
fn what_one_rate_gives_too_much_and_too_little_is_weighed() {
    // 1.5 ton/ac supplies 1,500 lb CaCO3/ac: short by 2,000 and 600 lb, beyond by 900 and 1,500.
    let outcome = Job::on(&ground()).prescribed(&[]);
    for rate in ["same_tons", "composite"] {
        let at = |key| outcome.value(&format!("/flat_rate/{rate}/{key}"));
        assert_near(at("shortfall"), 2_600.0 * 0.395_368_6 / LB_PER_TON, 1e-4, "shortfall");
        assert_near(at("excess"), 2_400.0 * 0.395_368_6 / LB_PER_TON, 1e-4, "excess");
    }
}

#[test]
fn a_map_that_uses_more_than_the_composite_says_so() {
    // With 4 ton/ac to hold, the map gives 3.5 + 2 + 1 + 0 against 4 x 1.5: half a ton an acre
    // more on one cell, 0.5 x 0.395368 = 0.20 ton.
    let job = Job::on(&ground());
    let outcome = job.prescribed(&["spreader.max_rate=4 ton/ac"]);
    let told = outcome.finding("map_uses_more_than_composite").expect("told");
    assert!(told.contains("0.20 ton more") && told.contains("2.57 against 2.37"), "{told}");
    let output = job.run(&["prescribe", "job.toml", "--set", "spreader.max_rate=4 ton/ac"]);
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(text.contains("The map uses 0.20 ton MORE than the composite would"), "{text}");
    let text = String::from_utf8(job.run(&["prescribe", "job.toml"]).stdout).unwrap();
    assert!(
        text.contains("The map uses as much lime as the composite would, to 0.01 ton."),
        "{text}"
    );
    // Held to 2.5 and with the 0.6 dropped, the map gives 2.5 + 2 + 0 + 0 against 4 x 1.5.
    let less = job.prescribed(&["spreader.below_min=drop", "spreader.max_rate=2.5 ton/ac"]);
    assert!(less.finding("map_uses_more_than_composite").is_none());
}
