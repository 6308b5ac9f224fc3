//! How long the spreader works: the field of four cells, of which three get product, 40 m between
//! passes, 2 passes, one load.

use super::four_cells;
use super::support::{Job, Outcome, assert_near};

const MPH: f64 = 1_609.344 / 3_600.0;

fn run(sets: &[&str]) -> Outcome {
    Job::on(&four_cells::ground()).prescribed(sets)
}

/// A number of the summary's `work`.
fn of_work(outcome: &Outcome, path: &str) -> f64 {
    outcome.value(&["", "work", path].join("/"))
}

/// The pile so far from the middle of the field.
fn pile(east_m: f64, north_m: f64) -> String {
    let at = four_cells::ground().degrees(east_m, north_m);
    format!("field.pile=[{}, {}]", at.lon_deg, at.lat_deg)
}

#[test]
fn every_part_of_the_work_is_worked_out_from_what_the_job_states() {
    let pile = pile(0.0, 0.0);
    let outcome = run(&[
        "spreader.speed=10 mph",
        "spreader.turn_time=15 s",
        "spreader.load_time=5 min",
        "spreader.running_speed=12 mph",
        "spreader.run_factor=1.25",
        &pile,
    ]);
    let hours = |key: &str| of_work(&outcome, &format!("applications/0/{key}"));
    let driving = 3.0 * 1_600.0 / 40.0 / (10.0 * MPH) / 3_600.0;
    assert_near(hours("driving"), driving, driving * 1e-5, "driving");
    assert_near(hours("turning"), 15.0 / 3_600.0, 1e-12, "one turn");
    assert_near(hours("loading"), 5.0 / 60.0, 1e-12, "one load");
    // From the middle to the middle of each cell it is the same.
    let run_m = 800.0_f64.sqrt() * 1.25;
    assert_near(hours("run"), run_m / 0.3048, 0.05, "run in feet");
    let running = 2.0 * run_m / (12.0 * MPH) / 3_600.0;
    assert_near(hours("running"), running, running * 1e-3, "there and back");
    let sum = hours("driving") + hours("turning") + hours("loading") + hours("running");
    assert_near(of_work(&outcome, "hours"), sum, 1e-12, "all of it");
    let work = &outcome.summary["work"];
    assert_eq!(work["covers"].as_array().unwrap().len(), 4);
    assert!(work["leaves_out"].as_array().unwrap().is_empty());
    assert!(outcome.summary["delivery"]["pile_deg"].is_array());
}

#[test]
fn the_run_is_that_to_the_mean_treated_ground() {
    let pile = pile(-20.0, -20.0);
    let outcome = run(&["spreader.running_speed=12 mph", "spreader.run_factor=1", &pile]);
    // In the middle of one treated cell, 40 m from those of the two others.
    let expected = 80.0 / 3.0 / 0.3048;
    assert_near(of_work(&outcome, "applications/0/run"), expected, 0.05, "run in feet");
}

#[test]
fn what_is_not_given_is_left_out_and_named() {
    assert!(run(&[]).summary.get("work").is_none());
    let pile = pile(0.0, 0.0);
    // A straight line is no way without its factor.
    let some = run(&["spreader.speed=10 mph", "spreader.running_speed=12 mph", &pile]);
    let work = &some.summary["work"];
    assert_eq!(work["covers"].as_array().unwrap().len(), 1);
    assert_eq!(work["leaves_out"].as_array().unwrap().len(), 3);
    // Of the three keys of running only the one that lacks is named.
    let missing = ["spreader.turn_time", "spreader.load_time", "spreader.run_factor"];
    assert_eq!(work["missing"], serde_json::json!(missing));
    assert!(work["applications"][0].get("run").is_none());
    let arguments = ["prescribe", "job.toml", "--set", "spreader.speed=10 mph"];
    let output = Job::on(&four_cells::ground()).run(&arguments);
    let text = String::from_utf8(output.stdout).unwrap();
    for part in ["Spreading time", "(driving)", "`spreader.turn_time`", "`spreader.run_factor`"] {
        assert!(text.contains(part), "{part}: {text}");
    }
}

#[test]
fn keys_of_the_work_are_held_to_their_limits() {
    let job = Job::on(&four_cells::ground());
    for (set, part) in [
        ("spreader.load_time=5", "the time to load the spreader"),
        ("spreader.turn_time=1 h", "the time of a turn"),
        ("spreader.running_speed=200 mph", "the running speed"),
        ("spreader.run_factor=0.9", "a road factor"),
        ("haul.drop_site=", "`haul.drop_site`"),
    ] {
        let said = job.refused(&[set]);
        assert!(said.contains(part), "{set}: {said}");
    }
}
