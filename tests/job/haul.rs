//! Money and haul on the field of four cells: 4,744.42 lb of material half effective, 2.3722 ton,
//! in trucks of one ton. Three trucks are ordered, 3 ton with 1.5 ton of effective CaCO3. All
//! prices are invented.

use super::four_cells::ground;
use super::support::{JOB, Job, Outcome, assert_near};

const PRESCRIBED_TON: f64 = 4_744.42 / 2_000.0;

fn job(haul: &str) -> Job {
    let ground = ground();
    let haul =
        format!("{JOB}[haul]\none_way_distance = \"42 mi\"\ntruck_payload = \"1 ton\"\n{haul}\n");
    Job::new(&haul, &ground.boundary(), &ground.table())
}

fn cost_of(haul: &str) -> f64 {
    job(haul).prescribed(&[]).value("/haul/cost")
}

#[test]
fn each_way_of_charging_counts_what_it_says() {
    assert_near(cost_of("cost = \"12 $/ton\""), 12.0 * 3.0, 1e-9, "by the ton");
    assert_near(cost_of("cost = \"0.25 $/ton-mile\""), 0.25 * 3.0 * 42.0, 1e-9, "ton-mile");
    assert_near(cost_of("cost = \"4 $/loaded mile\""), 4.0 * 42.0 * 3.0, 1e-9, "loaded mile");
    let hourly = "cost = \"95 $/h\"\nround_trip = \"2.5 h\"";
    assert_near(cost_of(hourly), 95.0 * 2.5 * 3.0, 1e-9, "hour");
    // 84 miles at 42 mph are two hours, and 30 minutes to load and unload.
    let hourly = "cost = \"95 $/h\"\nroad_speed = \"42 mph\"\nload_time = \"30 min\"";
    let outcome = job(hourly).prescribed(&[]);
    assert_near(outcome.value("/haul/cost"), 95.0 * 2.5 * 3.0, 1e-9, "hour by speed");
    assert_near(outcome.value("/haul/truck_time"), 7.5, 1e-9, "hours");
    assert_eq!(outcome.summary["haul"]["charge"], "95 $/h");
}

#[test]
fn metric_charges_are_read_as_well() {
    let metric = |haul: &str| {
        let sets = ["units=metric", "haul.one_way_distance=35 km", "haul.truck_payload=1 t"];
        let outcome = job(haul).prescribed(&sets);
        assert_eq!(outcome.summary["haul"]["cost"]["unit"], "€");
        // 4,744.42 lb are 2.152 t, so three trucks.
        assert_eq!(outcome.value("/to_order"), 3.0);
        outcome.value("/haul/cost")
    };
    assert_near(metric("cost = \"13 €/t\""), 39.0, 1e-9, "by the tonne");
    assert_near(metric("cost = \"0.12 €/t-km\""), 0.12 * 3.0 * 35.0, 1e-9, "t-km");
    assert_near(metric("cost = \"2.5 €/loaded km\""), 2.5 * 3.0 * 35.0, 1e-9, "loaded km");
    let hourly = "cost = \"80 €/h\"\nround_trip = \"90 min\"";
    assert_near(metric(hourly), 80.0 * 1.5 * 3.0, 1e-9, "hour");
}

#[test]
fn a_minimum_holds_for_each_load() {
    let haul = "cost = \"12 $/ton\"\nminimum_charge = \"250 $/load\"";
    let outcome = job(haul).prescribed(&[]);
    assert_near(outcome.value("/haul/cost"), 750.0, 1e-9, "three loads");
    assert_eq!(outcome.value("/haul/loads_at_minimum"), 3.0);
    assert_eq!(outcome.summary["haul"]["minimum_charge"]["unit"], "$/load");
    // Without whole trucks the last load is 0.37 ton and costs the minimum, the others their ton.
    let haul = "cost = \"12 $/ton\"\nminimum_charge = \"10 $/load\"";
    let outcome = job(haul).prescribed(&["order.whole_trucks=false"]);
    assert_near(outcome.value("/haul/cost"), 12.0 + 12.0 + 10.0, 1e-9, "the last at the least");
    assert_eq!(outcome.value("/haul/loads_at_minimum"), 1.0);
    let text = job("cost = \"12 $/ton\"\nminimum_charge = \"250 $/load\"")
        .run(&["prescribe", "job.toml"])
        .stdout;
    let text = String::from_utf8(text).unwrap();
    // Three trucks of a ton over 42 miles.
    assert!(text.contains("126 ton-mile over 42.0 mi one way"), "{text}");
    let said = "$750.00, 12 $/ton, at least $250.00/load: holds for 3 loads";
    assert!(text.contains(said), "{text}");
}

fn covers(outcome: &Outcome) -> Vec<&str> {
    let covers = outcome.summary["haul"]["cost_covers"].as_array().unwrap();
    covers.iter().map(|name| name.as_str().unwrap()).collect()
}

#[test]
fn the_cost_per_effective_ton_counts_what_the_price_does_not_hold() {
    let job = job("cost = \"12 $/ton\"");
    let area = 4.0 * 0.395_368_6;
    // 3 ton x 14 $ + 36 $ = 78 $ for 1.5 ton of CaCO3.
    let plant = job.prescribed(&["material.price=14 $/ton", "material.price_at=plant"]);
    assert_near(plant.value("/haul/cost_total"), 78.0, 1e-9, "total");
    assert_near(plant.value("/haul/cost_per_effective"), 52.0, 1e-9, "per effective ton");
    assert_eq!(plant.summary["haul"]["cost_per_effective"]["unit"], "$/ton CaCO3");
    assert_near(plant.value("/haul/cost_per_area"), 78.0 / area, 1e-4, "per acre");
    assert_eq!(covers(&plant), ["product", "haul"]);
    // Delivered, the haul is in the price.
    let there = job.prescribed(&["material.price=14 $/ton", "material.price_at=delivered"]);
    assert_near(there.value("/haul/cost_per_effective"), 28.0, 1e-9, "per effective ton");
    assert_near(there.value("/haul/cost_total"), 42.0, 1e-9, "total");
    assert_eq!(covers(&there), ["product"]);
    // Without a price a cost of material cannot be told.
    let haul = job.prescribed(&[]);
    assert!(haul.summary["haul"].get("cost_per_effective").is_none());
    assert_eq!(covers(&haul), ["haul"]);
}

#[test]
fn spreading_is_paid_where_lime_is_spread() {
    let job = job("cost = \"12 $/ton\"\nspreading_cost = \"8 $/ac\"");
    let sets = ["material.price=14 $/ton", "material.price_at=plant"];
    let outcome = job.prescribed(&sets);
    let spreading = 3.0 * 0.395_368_6 * 8.0;
    assert_near(outcome.value("/haul/spreading_cost"), spreading, 1e-4, "three cells");
    assert_near(outcome.value("/haul/cost_total"), 78.0 + spreading, 1e-4, "total");
    assert_near(outcome.value("/haul/cost_per_effective"), 52.0, 1e-9, "spreading is not material");
    assert_eq!(covers(&outcome), ["product", "haul", "spreading"]);
    let metric = job.prescribed(&["haul.spreading_cost=20 $/ha", "units=metric"]);
    assert_near(metric.value("/haul/spreading_cost"), 3.0 * 0.16 * 20.0, 1e-4, "by the hectare");
    let text = String::from_utf8(job.run(&["prescribe", "job.toml"]).stdout).unwrap();
    assert!(text.contains("(haul + spreading)"), "{text}");
}

#[test]
fn each_thing_between_prescribed_and_ordered_is_itemised() {
    let job = job("");
    let sets = ["order.overlap_allowance=5 %", "order.pile_loss=2 %"];
    let outcome = job.prescribed(&sets);
    let to_load = PRESCRIBED_TON * 1.05;
    let delivered = to_load / 0.98;
    assert_near(outcome.value("/order/overlap"), PRESCRIBED_TON * 0.05, 1e-5, "overlap");
    assert_near(outcome.value("/to_load"), to_load, 1e-5, "to load");
    assert_near(outcome.value("/order/pile_loss"), delivered - to_load, 1e-5, "pile loss");
    assert_near(outcome.value("/order/truck_fill"), 3.0 - delivered, 1e-5, "truck fill");
    assert_near(outcome.value("/to_order"), 3.0, 1e-12, "to order");
    assert!(outcome.finding("no_allowances").is_none());
    let arguments = ["prescribe", "job.toml", "--set", sets[0], "--set", sets[1]];
    let text = String::from_utf8(job.run(&arguments).stdout).unwrap();
    for row in ["    overlap       + 0.12 ton\n", "    pile loss     + 0.05 ton\n"] {
        assert!(text.contains(row), "{text}");
    }
    assert!(text.contains("    truck fill    + 0.46 ton\n"), "{text}");
}

#[test]
fn an_order_with_nothing_added_says_so_and_one_allowance_is_enough() {
    let plain = job("");
    assert!(plain.prescribed(&[]).finding("no_allowances").is_some());
    for key in ["order.overlap_allowance=5 %", "order.pile_loss=2 %"] {
        assert!(plain.prescribed(&[key]).finding("no_allowances").is_none(), "{key}");
    }
}

#[test]
fn the_composite_is_ordered_as_the_map_is() {
    // 1.5 ton/ac on 1.5815 ac are 2.3722 ton, 2.49 with 5 % overlap; in whole trucks three.
    let outcome = job("").prescribed(&["order.overlap_allowance=5 %"]);
    assert_eq!(outcome.value("/flat_rate/composite/to_order"), 3.0);
    let sets = ["order.overlap_allowance=5 %", "order.whole_trucks=false"];
    let loose = job("").prescribed(&sets);
    let expected = PRESCRIBED_TON * 1.05;
    assert_near(loose.value("/flat_rate/composite/to_order"), expected, 1e-5, "loose");
    assert_near(loose.value("/flat_rate/same_tons/to_order"), expected, 1e-5, "same tons");
}

#[test]
fn what_a_haul_may_not_say_is_refused_with_what_it_may() {
    for (haul, said_of_it) in [
        ("cost = \"12 $/mile\"", "`$/loaded mile`"),
        ("cost = \"-12 $/ton\"", "not below 0"),
        ("cost = \"1,400 $/ton\"", "1400 $/ton"),
        ("cost = \"12\"", "`$/ton`"),
        ("cost = \"95 $/h\"", "`haul.round_trip` is missing"),
        ("minimum_charge = \"250 $/load\"", "no cost"),
        ("cost = \"12 $/ton\"\nminimum_charge = \"250 $\"", "`$/load`"),
        ("cost = \"12 $/ton\"\nminimum_charge = \"250 $/ton\"", "`$/load`"),
        ("cost = \"12 $/ton\"\nminimum_charge = \"250 €/load\"", "the minimum charge is in €"),
        ("cost = \"12 $/ton\"\nspreading_cost = \"8 £/ac\"", "the spreading cost is in £"),
        ("spreading_cost = \"8 $/mile\"", "`$/ac`"),
        ("round_trip = \"2.5 h\"\nroad_speed = \"45 mph\"", "both a round trip and"),
        ("road_speed = \"45 mph\"", "`haul.load_time` is missing"),
        ("load_time = \"30 min\"", "`haul.road_speed` is missing"),
        ("round_trip = \"2.5\"", "`min`"),
        ("round_trip = \"0 h\"", "0.05"),
        ("road_speed = \"300 mph\"\nload_time = \"30 min\"", "80.77 mph"),
    ] {
        let said = job(haul).refused(&[]);
        assert!(said.contains(said_of_it), "{haul}: {said}");
    }
    // A sign and its code are one currency.
    let euro = ["material.price=14 EUR/ton", "material.price_at=plant"];
    job("cost = \"0.25 €/ton-mile\"").prescribed(&euro);
    let spread = ["material.price=30 $/ton", "material.price_at=spread"];
    let said = job("spreading_cost = \"8 $/ac\"").refused(&spread);
    assert!(said.contains("as well"), "{said}");
}

#[test]
fn a_charge_that_counts_loads_needs_to_know_the_truck() {
    let ground = ground();
    for haul in ["cost = \"4 $/loaded mile\"", "cost = \"12 $/ton\"\nminimum_charge = \"9 $/load\""]
    {
        let text = format!("{JOB}[haul]\none_way_distance = \"42 mi\"\n{haul}\n");
        let said = Job::new(&text, &ground.boundary(), &ground.table()).refused(&[]);
        assert!(said.contains("`haul.truck_payload` is missing"), "{said}");
    }
}
