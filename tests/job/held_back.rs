//! What the lime does on a field, and areas of one rate that are held back because there is not
//! enough.
//!
//! The field of four cells (see `four_cells`), worked out by hand, each of 0.395368 ac. To pH 6.5 the
//! south-west gains 1.0 x 3,000 / 3,500 of a pH, the south-east 0.7 x 2,000 / 2,100, and the
//! north-west, which gets more than it needs, all of its 0.3; the north-east gets nothing.
//!
//! With the south-west alone limed, 2,000 and 600 lb/ac of the other needs are held back, and the 100
//! lb/ac that rounding down leaves out of the south-east stay its own.

use limewright::findings::Place;
use limewright::inputs::{AllotmentPart, Limits, PlanAmounts, Take, YearLimits};
use limewright::outputs::{plan_csv, plan_page, plan_text};
use limewright::roster::{FieldRow, Fields, Plan, allot};
use limewright::summary::read_summary;
use limewright::units::{ProductMass, UnitSystem};
use serde_json::Value;

use super::four_cells::ground;
use super::support::{Job, Outcome, assert_near};

const LB_PER_TON: f64 = 2_000.0;
const HALF_A_POUND: f64 = 0.5 / LB_PER_TON;
const CELL_AC: f64 = 0.395_368_6;
const AREAS: [&str; 4] = [
    "rate_areas.least_area=0 ac",
    "rate_areas.least_width=1 m",
    "risk.source=a test",
    "risk.aluminium_ph=5.6",
];

fn with(set: &str) -> Vec<&str> {
    AREAS.into_iter().chain([set]).collect()
}

/// The number of the area with this rate.
fn area_of_rate(outcome: &Outcome, rate: f64) -> u64 {
    let areas = outcome.summary["rate_areas"]["each"].as_array().unwrap();
    let area = areas.iter().find(|area| area["rate"]["value"] == rate).unwrap();
    area["number"].as_u64().unwrap()
}

#[test]
fn what_the_lime_does_is_right_by_hand() {
    let outcome = Job::on(&ground()).prescribed(&AREAS);
    let gains = [3_000.0 / 3_500.0, 0.7 * 2_000.0 / 2_100.0, 0.3];
    let gain: f64 = gains.iter().sum::<f64>() * CELL_AC;
    assert_near(outcome.value("/benefit/ph_gain"), gain, 1e-5, "gain");
    assert_near(outcome.value("/benefit/mean_ph_gain"), gain / CELL_AC / 3.0, 1e-6, "mean gain");
    assert_near(outcome.value("/benefit/acid_area"), 3.0 * CELL_AC, 1e-5, "acid ground");
    // Below pH 5.6 lies the south-west alone.
    assert_near(outcome.value("/benefit/aluminium_possible_area"), CELL_AC, 1e-5, "at risk");
    assert_near(outcome.value("/benefit/aluminium_product"), 3.0 * CELL_AC, 1e-5, "its product");
    let tenths: Vec<f64> = outcome.summary["benefit"]["by_ph"]
        .as_array()
        .unwrap()
        .iter()
        .map(|tenth| tenth["ph"].as_f64().unwrap())
        .collect();
    assert_eq!(tenths, [5.5, 5.8, 6.2]);
    let areas = outcome.summary["rate_areas"]["each"].as_array().unwrap();
    let sum = |pointer: &str| -> f64 {
        areas.iter().map(|area| area.pointer(pointer).unwrap().as_f64().unwrap()).sum()
    };
    for (of_areas, of_field) in [
        ("/benefit/ph_gain/value", "/benefit/ph_gain"),
        ("/need/value", "/need_total"),
        ("/supplied/value", "/supplied_total"),
        ("/unmet/value", "/unmet_total"),
        ("/product/value", "/product_total"),
    ] {
        assert_near(sum(of_areas), outcome.value(of_field), 1e-9, of_field);
    }
}

#[test]
fn areas_that_are_left_out_stand_in_the_ledger_to_the_pound() {
    let job = Job::on(&ground());
    let number = area_of_rate(&job.prescribed(&AREAS), 3.0);
    let only = format!("rate_areas.only=[{number}]");
    let outcome = job.prescribed(&with(&only));
    for (pointer, pounds) in [
        ("/product_total", 2_372.21),
        ("/need_total", 2_451.28),
        ("/supplied_total", 1_186.11),
        ("/ledger/held_back", 2_600.0 * CELL_AC),
        ("/ledger/capped", 197.68),
        ("/ledger/rounded_down", 39.54),
        ("/ledger/raised", 0.0),
        ("/excess_total", 0.0),
        ("/unmet_total", 3_200.0 * CELL_AC),
        ("/limits/held_back/product", 2_372.21),
        ("/rate_areas/held_back/product", 2_372.21),
    ] {
        assert_near(outcome.value(pointer), pounds / LB_PER_TON, HALF_A_POUND, pointer);
    }
    assert_near(outcome.value("/treated_area"), CELL_AC, 1e-5, "treated");
    assert_near(outcome.value("/benefit/ph_gain"), CELL_AC * 3_000.0 / 3_500.0, 1e-5, "gain");
    let rates = outcome.features().iter().map(|area| &area["properties"]["rate_ton_ac"]);
    assert_eq!(rates.filter(|rate| rate.as_f64() > Some(0.0)).count(), 1);
    assert!(outcome.finding("rate_areas_held_back").unwrap().contains("Only 1 of 4 rate areas is"));
    let page = std::fs::read_to_string(job.path("out/driver.html")).unwrap();
    assert!(page.contains("Held back this time: 0.8 ac"), "{page}");
    let text = job.run(&["prescribe", "job.toml", "--set", AREAS[0], "--set", &only]);
    let text = String::from_utf8(text.stdout).unwrap();
    assert!(text.contains("Unmet: held back, not enough this time"), "{text}");
    let words: Vec<&str> = text.split_whitespace().collect();
    assert!(words.join(" ").contains("waits: it is put off, not saved."), "{text}");
}

#[test]
fn numbers_that_no_area_has_are_refused() {
    let job = Job::on(&ground());
    for (only, part) in [
        ("[9]", "names areas that there are not: 9; there are 4"),
        ("[0]", "holds 0"),
        ("[1, 1]", "holds 1 twice"),
        ("[]", "an empty list"),
    ] {
        let said = job.refused(&with(&format!("rate_areas.only={only}")));
        assert!(said.contains(part), "{only}: {said}");
    }
}

/// The plan of the one field under a limit that the ground at risk alone fits.
fn planned(job: &Job, id: &str) -> Plan {
    job.prescribed(&AREAS);
    let text = std::fs::read_to_string(job.path("out/summary.json")).unwrap();
    let summary = read_summary(&text, "summary.json").unwrap();
    let fields = Fields::done(FieldRow::of(&summary, id));
    let limits = YearLimits {
        place: Place::default(),
        written: vec!["1.3 ton".to_owned()],
        amounts: PlanAmounts::Product(vec![ProductMass::from_short_tons(1.3)]),
    };
    let asked = AllotmentPart {
        place: Place::default(),
        limits: Limits::ForAll(limits),
        take: Take::RateAreas,
        least_per_field: None,
        must: Vec::new(),
        not_this_year: Vec::new(),
        priority: Vec::new(),
        response: None,
        first_day: None,
    };
    allot(&fields, &asked, UnitSystem::Us).unwrap()
}

#[test]
fn a_plan_is_written_as_text_page_and_table() {
    let plan = planned(&Job::on(&ground()), "=quarter<b>");
    let set = plan.fields[0].set.clone().unwrap();
    let text = plan_text(&plan);
    for part in ["1.19 ton of 1.30 ton", "=quarter<b>", set.as_str(), "held back", "The rule"] {
        assert!(text.contains(part), "{part}: {text}");
    }
    assert!(text.lines().all(|line| line.chars().count() <= 90), "{text}");
    let page = plan_page(&plan).into_string();
    assert!(page.contains("=quarter&lt;b&gt;") && !page.contains("<b>"), "{page}");
    assert!(page.contains(&set) && page.contains("When there is not enough"), "{page}");
    let table = plan_csv(&plan, UnitSystem::Us);
    let mut reader = csv::Reader::from_reader(table.as_slice());
    let heads = reader.headers().unwrap().clone();
    let row = reader.records().next().unwrap().unwrap();
    let cell = |head: &str| &row[heads.iter().position(|own| own == head).unwrap()];
    assert_eq!((cell("id"), cell("decision")), ("'=quarter<b>", "part"));
    let number = |head: &str| cell(head).parse::<f64>().unwrap();
    assert_near(number("order_ton"), 3.0 * CELL_AC, 1e-4, "order");
    let right =
        number("supplied_caco3_ton") + number("unmet_caco3_ton") + number("held_back_caco3_ton")
            - number("excess_caco3_ton");
    assert_near(number("need_caco3_ton"), right, 1e-5, "ledger");
}

#[test]
fn the_line_of_the_plan_makes_the_map_that_the_plan_counted_with() {
    let job = Job::on(&ground());
    let plan = planned(&job, "quarter");
    let field = &plan.fields[0];
    assert_eq!(field.decision, "part");
    // 1.19 ton on the ground at risk; then 0.40 ton do not fit, and of what is left nothing does.
    let set = field.set.as_ref().unwrap();
    let outcome = job.prescribed(&with(set));
    let ledger: Value = serde_json::to_value(&field.ledger).unwrap();
    let entry = |key: &str| ledger[key]["value"].as_f64().unwrap();
    for (key, pointer) in [
        ("need", "/ledger/need"),
        ("supplied", "/ledger/supplied"),
        ("held_back", "/ledger/held_back"),
        ("excess", "/excess_total"),
    ] {
        assert_near(outcome.value(pointer), entry(key), 1e-9, key);
    }
    let unmet = outcome.value("/unmet_total") - outcome.value("/ledger/held_back");
    assert_near(unmet, entry("unmet"), 1e-9, "unmet");
    assert_near(outcome.value("/product_total"), field.product.value, 1e-9, "product");
    assert_near(outcome.value("/to_order"), field.order.value, 1e-9, "order");
    assert_near(outcome.value("/benefit/ph_gain"), field.ph_gain.value, 1e-9, "gain");
    let risk = outcome.value("/benefit/aluminium_possible_area");
    assert_near(risk, field.aluminium_area.value, 1e-9, "risk");
    assert_near(risk, CELL_AC, 1e-5, "the ground at risk is limed");
}
