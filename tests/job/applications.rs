//! A need above one application, spread over several, on the field of four cells.
//!
//! With a material that is 29.1667 % effective and a spreader of 1 to 4 ton/ac in steps of 0.5 the
//! four cells ask for 6, 3.6, 1.03 and 0 ton/ac of material. Six tons under a limit of four are
//! 3 + 3 or 4 + 2; clipped to four, two stay unmet: The Agronomy Guide, Penn State Extension,
//! section 2, liming, splits at 4 ton/ac and more.

use serde_json::Value;

use super::four_cells::ground;
use super::support::{Job, Outcome, assert_near};

const CELL_AC: f64 = 0.395_368_6;

const SIX_TONS: [&str; 2] =
    ["material.effective=29.1667 % as received", "spreader.max_rate=4 ton/ac"];

fn run(more: &[&str]) -> Outcome {
    Job::on(&ground()).prescribed(&[&SIX_TONS, more].concat())
}

/// The rates of a map by cell: south-west, south-east, north-west, north-east.
fn rates(map: &Value) -> Vec<f64> {
    let mut cells: Vec<(String, f64)> = map["features"]
        .as_array()
        .unwrap()
        .iter()
        .map(|feature| {
            let properties = &feature["properties"];
            let name = properties["cell"].as_str().unwrap().to_owned();
            (name, properties["rate_ton_ac"].as_f64().unwrap())
        })
        .collect();
    cells.sort_by(|a, b| a.0.cmp(&b.0));
    cells.into_iter().map(|cell| cell.1).collect()
}

#[test]
fn a_rate_above_the_limit_is_split_and_the_parts_add_up_everywhere() {
    for (split, first, second) in [
        ("equal", [3.0, 2.0, 1.0, 0.0], [3.0, 1.5, 0.0, 0.0]),
        ("capped", [4.0, 3.5, 1.0, 0.0], [2.0, 0.0, 0.0, 0.0]),
    ] {
        let split = format!("spreader.split={split}");
        let job = Job::on(&ground());
        let outcome =
            job.prescribed(&[&SIX_TONS[..], &["spreader.applications=2", &split]].concat());
        let map = |name: &str| -> Value {
            let text = std::fs::read_to_string(job.path("out").join(name)).unwrap();
            serde_json::from_str(&text).unwrap()
        };
        assert_eq!(rates(&map("rate_map.geojson")), [6.0, 3.5, 1.0, 0.0], "{split}");
        assert_eq!(rates(&map("rate_map_1_of_2.geojson")), first, "{split}");
        assert_eq!(rates(&map("rate_map_2_of_2.geojson")), second, "{split}");
        assert_near(outcome.value("/product_total"), 10.5 * CELL_AC, 1e-4, "product");
        let parts = outcome.summary["applications"].as_array().unwrap();
        for (part, rates) in parts.iter().zip([first, second]) {
            let product = part["product_total"]["value"].as_f64().unwrap();
            assert_near(product, rates.iter().sum::<f64>() * CELL_AC, 1e-4, "product of a part");
        }
        for pointer in ["/need", "/supplied", "/rounded_down", "/rounded_up", "/capped", "/product"]
        {
            let of = |ledger: &Value| ledger.pointer(pointer).unwrap()["value"].as_f64().unwrap();
            let sum: f64 = parts.iter().map(|part| of(&part["ledger"])).sum();
            assert_near(sum, of(&outcome.summary["ledger"]), 1e-9, pointer);
        }
        // What each cell needs of one application is the part that this one meets.
        let need = |name: &str| -> f64 {
            let map = map(name);
            let needs = map["features"].as_array().unwrap().iter();
            needs.map(|feature| feature["properties"]["need_ton_ac"].as_f64().unwrap()).sum()
        };
        let both = need("rate_map_1_of_2.geojson") + need("rate_map_2_of_2.geojson");
        assert_near(both, need("rate_map.geojson"), 1e-6, "need");
        assert_near(outcome.value("/ledger/capped"), 0.0, 1e-12, "capped");
    }
}

#[test]
fn one_application_that_is_clipped_reports_what_stays_unmet() {
    let outcome = run(&[]);
    assert_eq!(rates(&outcome.map), [4.0, 3.5, 1.0, 0.0]);
    assert!(outcome.summary.get("applications").is_none());
    // Two tons of material on one cell, as CaCO3.
    assert_near(outcome.value("/ledger/capped"), 2.0 * 0.291_667 * CELL_AC, 1e-4, "capped");
    let said = outcome.finding("need_left_unmet").unwrap();
    assert!(said.contains("2 applications of at most that"), "{said}");
}

#[test]
fn the_order_the_loads_and_the_haul_are_of_each_application() {
    let haul = [
        "haul.one_way_distance=10 mi",
        "haul.truck_payload=2 ton",
        "haul.cost=0.25 $/ton-mile",
        "spreader.applications=2",
        "dates.sampled=2026-08-01",
        "dates.spread=2026-10-20",
        "dates.further_spread=[2027-10-15]",
    ];
    let outcome = run(&haul);
    // 6 ton/ac on one cell each are 2.37 ton in two trucks, 4.5 are 1.78 ton in one.
    assert_near(outcome.value("/to_order"), 6.0, 1e-12, "to order");
    assert_eq!(outcome.summary["loads"]["truck"]["count"], 3);
    assert!(outcome.summary["loads"]["truck"].get("last").is_none());
    assert_near(outcome.value("/haul/cost"), 6.0 * 10.0 * 0.25, 1e-9, "haul");
    let parts = outcome.summary["applications"].as_array().unwrap();
    let of = |at: usize, pointer: &str| parts[at].pointer(pointer).unwrap().clone();
    assert_eq!((of(0, "/date"), of(1, "/date")), ("2026-10-20".into(), "2027-10-15".into()));
    assert_eq!((of(0, "/to_order/value"), of(1, "/to_order/value")), (4.0.into(), 2.0.into()));
    assert_eq!((of(0, "/loads/truck/count"), of(1, "/loads/truck/count")), (2.into(), 1.into()));
    assert_eq!((of(0, "/haul_cost/value"), of(1, "/haul_cost/value")), (10.0.into(), 5.0.into()));
    // The composite's rate is split, ordered and hauled in the same way.
    let composite = &outcome.summary["flat_rate"]["composite"];
    assert!(composite["to_order"]["value"].as_f64().unwrap() >= 6.0, "{composite}");
}

#[test]
fn a_stated_most_comes_before_the_spreaders_and_holds_each_application() {
    let most = "need.single_application_max=3 ton/ac";
    let once = run(&[most]);
    assert_eq!(rates(&once.map), [3.0, 3.0, 1.0, 0.0]);
    let twice = run(&[most, "spreader.applications=2"]);
    assert_eq!(rates(&twice.map), [6.0, 3.5, 1.0, 0.0]);
    assert_eq!(twice.value("/single_application/greatest_rate"), 3.0);
    let published = twice.summary["single_application"]["published"].as_array().unwrap();
    assert!(published.iter().all(|limit| limit["applications"].as_u64().unwrap() >= 1));
    // Published practice is told for what goes on the ground at once, with what would keep to it.
    let surface = run(&["need.placement=no-till", "spreader.applications=2"]);
    let said = surface.finding("more_than_published_single_rates").unwrap();
    assert!(said.contains("up to 3 ton/ac of material"), "{said}");
    // Victoria's 2 t/ha are 0.892 ton/ac: 6 ton/ac in 7.
    assert!(said.contains("7 applications would keep to all of them"), "{said}");
    assert_eq!(rates(&surface.map), [6.0, 3.5, 1.0, 0.0]);
}

#[test]
fn an_overridden_rate_is_of_all_applications_and_explain_tells_the_parts() {
    let job = Job::on(&ground());
    let at = ground().degrees(-20.0, -20.0);
    let at = format!("{:.7},{:.7}", at.lon_deg, at.lat_deg);
    let sets: Vec<&str> = SIX_TONS
        .iter()
        .chain(&["spreader.applications=2"])
        .flat_map(|&set| ["--set", set])
        .collect();
    let told = job.run(&[&["explain", "job.toml", "--at", &at], &sets[..]].concat());
    let told = String::from_utf8(told.stdout).unwrap();
    assert!(told.contains("in 2 applications: 3.0000 ton/ac + 3.0000 ton/ac"), "{told}");
}

#[test]
fn wrong_numbers_splits_and_days_of_applications_are_refused() {
    for (sets, said_of_it) in [
        (&["spreader.applications=0"][..], "a whole number from 1 to 10"),
        (&["spreader.applications=11"], "a whole number from 1 to 10"),
        (&["spreader.split=half"], "`equal`, `capped`"),
        (&["dates.spread=2026-10-20", "dates.further_spread=[2027-10-15]"], "0 of them"),
        (&["spreader.applications=2", "dates.further_spread=[2027-10-15]"], "no first one"),
        (
            &[
                "spreader.applications=2",
                "dates.spread=2026-10-20",
                "dates.further_spread=[2026-10-20]",
            ],
            "each later than the one before it",
        ),
    ] {
        let said = Job::on(&ground()).refused(sets);
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains(said_of_it), "{sets:?}: {said}");
    }
}
