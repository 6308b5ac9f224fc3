//! What the spreader itself can do, told beside the map: flow, rate changes, throw, heading. The
//! field of four cells gets 3 and 2 ton/ac in the south, 1 and 0 in the north, with 40 m, 131.234
//! ft, between passes.

use std::f64::consts::PI;
use std::fs;

use super::four_cells;
use super::regions::{self, M2_PER_ACRE, point};
use super::support::{Ground, JOB, Job, Outcome, Sample, assert_near};

const FT_PER_M: f64 = 1.0 / 0.3048;
const CELL_AC: f64 = 1_600.0 / M2_PER_ACRE;

/// Pounds a minute at a rate in tons an acre and 10 mph. Source of the identity: Stationary
/// calibration method for boom sprayers, Mesa County, Colorado, weed and pest pages, undated, which
/// prints it for gallons.
fn pounds_a_minute(tons_an_acre: f64) -> f64 {
    tons_an_acre * 2_000.0 * 10.0 * (40.0 * FT_PER_M) / 495.0
}

fn run(sets: &[&str]) -> Outcome {
    Job::on(&four_cells::ground()).prescribed(sets)
}

fn text(sets: &[&str]) -> String {
    let mut arguments = vec!["prescribe", "job.toml"];
    for set in sets {
        arguments.extend(["--set", set]);
    }
    let output = Job::on(&four_cells::ground()).run(&arguments);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn a_rate_is_told_with_its_flow_and_the_speeds_at_which_it_is_held() {
    let outcome = run(&[
        "spreader.speed=10 mph",
        "spreader.top_speed=15 mph",
        "spreader.min_flow=6000 lb/min",
        "spreader.max_flow=12000 lb/min",
    ]);
    let rates = outcome.summary["machine"]["rates"].as_array().unwrap();
    assert_eq!(rates.len(), 3, "nothing flows at 0");
    for (at, (rate, held)) in
        [(1.0, "too little"), (2.0, "held"), (3.0, "too much")].into_iter().enumerate()
    {
        let value = |key: &str| outcome.value(&format!("/machine/rates/{at}/{key}"));
        assert_eq!((value("rate"), rates[at]["at_speed"].as_str()), (rate, Some(held)));
        let flow = pounds_a_minute(rate);
        assert_near(value("flow"), flow, 1e-6 * flow, "flow");
        assert_eq!(rates[at]["flow"]["unit"], "lb/min");
        let fastest = (12_000.0 / flow * 10.0).min(15.0);
        assert_near(value("fastest_speed"), fastest, 1e-6, "fastest");
        assert_near(value("slowest_speed"), 6_000.0 / flow * 10.0, 1e-6, "slowest");
    }
    let one_ton = pounds_a_minute(1.0);
    assert_near(outcome.value("/machine/least_rate"), 6_000.0 / one_ton, 1e-9, "least");
    assert_near(outcome.value("/machine/greatest_rate"), 12_000.0 / one_ton, 1e-9, "greatest");
    // 1 ton/ac takes 5,302 lb/min; 3 take 15,907, of which 12,000 are 2.26.
    let said = outcome.finding("rate_above_the_flow").unwrap();
    for words in [
        "At 10.0 mph and 131.2 ft between passes the spreader's most flow of 12000 lb/min comes to \
         2.26 ton/ac.",
        "asks for more on 0.40 ac, up to 3 ton/ac, which would take 15907 lb/min.",
        "Drive no faster than 7.5 mph there, or hold the map to 2 ton/ac",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let said = outcome.finding("rate_below_the_flow").unwrap();
    for words in [
        "the spreader's least flow of 6000 lb/min comes to 1.13 ton/ac.",
        "asks for less on 0.40 ac, down to 1 ton/ac. Drive 11.4 mph or more there, or raise \
         `spreader.min_rate`.",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    // All of it is told and changes no rate.
    assert_eq!(outcome.map, run(&[]).map);
}

#[test]
fn a_rate_that_flows_at_no_speed_is_told_with_the_top_speed() {
    let sets = ["spreader.top_speed=11 mph", "spreader.min_flow=6000 lb/min"];
    let outcome = run(&sets);
    let said = outcome.finding("rate_below_the_flow").unwrap();
    assert!(said.starts_with("The spreader's least flow is 6000 lb/min."), "{said}");
    // 6,000 of 5,302 lb/min are 1.13 at 10 mph, and 1.03 ton/ac at 11.
    for words in [
        "would have to drive 11.4 mph or more there, beyond its top speed of 11.0 mph, at which",
        "the least flow comes to 1.03 ton/ac: raise `spreader.min_rate` to that or more.",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    // No speed is stated, so nothing is said of flows at it.
    let part = &outcome.summary["machine"];
    assert!(part.get("speed").is_none() && part.get("rate_change").is_none(), "{part}");
    assert!(part["rates"][0].get("flow").is_none(), "{part}");
    assert!(part["rates"][0].get("at_speed").is_none(), "{part}");
    let enough = run(&["spreader.top_speed=12 mph", "spreader.min_flow=6000 lb/min"]);
    assert!(enough.finding("rate_below_the_flow").is_none());
}

#[test]
fn a_metric_job_is_told_in_kilograms_and_kilometres() {
    let outcome = run(&["units=metric", "spreader.speed=12 km/h", "spreader.max_flow=5000 kg/min"]);
    // 3 ton/ac are 6,725.1 kg/ha; x 12 km/h x 40 m / 600.
    let flow = 3.0 * 907.184_74 / 0.404_685_642_24 * 12.0 * 40.0 / 600.0;
    assert_near(outcome.value("/machine/rates/2/flow"), flow, 1e-6 * flow, "flow");
    assert_eq!(outcome.summary["machine"]["rates"][2]["flow"]["unit"], "kg/min");
    let said = outcome.finding("rate_above_the_flow").unwrap();
    assert!(said.contains("At 12.0 km/h and 40 m between passes"), "{said}");
    assert!(said.contains("5000 kg/min") && said.contains("no faster than 11.1 km/h"), "{said}");
}

#[test]
fn patches_that_end_before_the_rate_has_changed_are_told_with_the_published_time() {
    // 20 mph are 29.33 ft/s: 88 to 147 ft in the published 3 to 5 s; the cells are 131 ft.
    let outcome = run(&["spreader.speed=20 mph"]);
    let part = &outcome.summary["machine"]["rate_change"];
    assert_eq!(
        (part["least_time"]["value"].as_f64(), &part["least_time"]["unit"]),
        (Some(3.0), &"s".into())
    );
    assert_near(outcome.value("/machine/rate_change/least_distance"), 88.0, 1e-9, "least");
    assert_near(outcome.value("/machine/rate_change/most_distance"), 146.667, 1e-3, "most");
    let shortest = outcome.value("/machine/rate_change/shortest_run");
    assert_near(shortest, 40.0 * FT_PER_M, 0.1, "shortest");
    assert_near(outcome.value("/machine/rate_change/short_of_least_area"), 0.0, 1e-12, "least");
    let all = outcome.value("/machine/rate_change/short_of_most_area");
    assert_near(all, 4.0 * CELL_AC, 1e-4, "each cell has another rate before or behind it");
    let said = outcome.finding("patches_shorter_than_the_rate_change").unwrap();
    for words in [
        "A rate change of a spinner spreader takes 3 to 5 s [",
        "University of Georgia Extension, precision agriculture pages, 2024], 88 ft to 147 ft at",
        "1.58 ac in patches shorter than 147 ft along the travel (the shortest is 131 ft long)",
        "make the cells at least 147 ft long (`grid.cell`)",
        "`spreader.rate_change_time`",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    // The machine's own time: 2 s are 59 ft, within a cell; 5 s are not.
    let own = run(&["spreader.speed=20 mph", "spreader.rate_change_time=2 s"]);
    assert!(own.finding("patches_shorter_than_the_rate_change").is_none());
    assert_eq!(own.summary["machine"]["rate_change"]["source"], "the job");
    let own = run(&["spreader.speed=20 mph", "spreader.rate_change_time=5 s"]);
    let said = own.finding("patches_shorter_than_the_rate_change").unwrap();
    assert!(
        said.starts_with("The spreader's rate change takes 5 s, 147 ft at 20.0 mph."),
        "{said}"
    );
    assert!(!said.contains("Georgia"), "{said}");
    // Where each pass keeps its rate from end to end, nothing has to change on the way.
    let one = Job::on(&regions::ground()).prescribed(&["spreader.speed=20 mph"]);
    assert!(one.finding("patches_shorter_than_the_rate_change").is_none());
    assert!(one.summary["machine"]["rate_change"].get("shortest_run").is_none());
}

/// Case of as-applied maps: cells of 1, 4, 1 and 4 t/ha at 10 m, under a spreader that throws
/// wider. In trials of lime trucks the rate varied by 22 % (CV) along the track (Lincoln University,
/// New Zealand, research archive 10182/11724).
#[test]
fn cells_narrower_than_the_throw_are_warned() {
    let sample =
        |north_m, buffer| Sample { east_m: 0.0, north_m, ph: 5.5, buffer_ph: Some(buffer) };
    let ground = Ground {
        outline_m: vec![[-5.0, -20.0], [5.0, -20.0], [5.0, 20.0], [-5.0, 20.0]],
        samples: vec![sample(-15.0, 6.8), sample(-5.0, 6.4), sample(5.0, 6.8), sample(15.0, 6.4)],
        ..Ground::square(10.0, Vec::new())
    };
    let job = JOB
        .replace("units = \"us\"", "units = \"metric\"")
        .replace(
            "min_rate = \"1 ton/ac\"\nmax_rate = \"3 ton/ac\"\nstep = \"0.5 ton/ac\"",
            "rates = [\"1 t/ha\", \"4 t/ha\"]",
        )
        .replace("40 m", "10 m");
    let run = |sets: &[&str]| Job::new(&job, &ground.boundary(), &ground.table()).prescribed(sets);
    let outcome = run(&["spreader.throw_width=20 m", "spreader.speed=10 km/h"]);
    let rates: Vec<f64> = outcome
        .features()
        .iter()
        .map(|feature| feature["properties"]["rate_t_ha"].as_f64().unwrap())
        .collect();
    assert_eq!(rates, [1.0, 4.0, 1.0, 4.0]);
    let said = outcome.finding("cells_narrower_than_the_throw").unwrap();
    assert!(
        said.starts_with("Cells of 10.0 m are narrower than the throw width of 20.0 m"),
        "{said}"
    );
    assert!(said.contains("Make the cells 20.0 m or wider (`grid.cell`)"), "{said}");
    // 10 km/h are 2.78 m/s: 8.3 to 13.9 m in 3 to 5 s, and every patch is 10 m long.
    let said = outcome.finding("patches_shorter_than_the_rate_change").unwrap();
    assert!(said.contains("0.04 ha in patches shorter than 14 m"), "{said}");
    assert!(run(&["spreader.throw_width=10 m"]).finding("cells_narrower_than_the_throw").is_none());
    let wide = run(&["spreader.throw_width=20 m", "grid.cell=20 m"]);
    assert!(wide.finding("cells_narrower_than_the_throw").is_none());
}

#[test]
fn product_that_flies_into_a_setback_or_over_the_boundary_is_told_with_the_inset() {
    let job = || {
        let job = Job::on(&regions::ground());
        fs::write(job.path("well.geojson"), point(0.0, 0.0)).unwrap();
        job
    };
    // 60 m of throw with 40 m between passes: 10 m beyond each edge.
    let sets = |setback| ["field.keep_out=well.geojson", setback, "spreader.throw_width=60 m"];
    let outcome = job().prescribed(&sets("field.setback=50 ft"));
    let acres = |square_metres: f64| square_metres / M2_PER_ACRE;
    let ring = PI * (15.24 * 15.24 - 5.24 * 5.24);
    assert_near(outcome.value("/machine/throw/kept_out_area"), acres(ring), 2e-4, "kept out");
    let band = 320.0 * 10.0 + PI * 100.0;
    assert_near(outcome.value("/machine/throw/off_field_area"), acres(band), 1e-3, "off field");
    assert_near(outcome.value("/machine/throw/beyond_edge"), 10.0 * FT_PER_M, 1e-9, "beyond");
    let said = outcome.finding("throw_reaches_keep_out").unwrap();
    for words in [
        "throws 98.4 ft to each side. With the outermost driving line 65.6 ft (half the pass \
         spacing) inside the edge of what is spread, product flies 32.8 ft beyond",
        "reaches 0.16 ac of ground that is kept out, setback included. Drive the outermost line \
         98.4 ft from there",
        "or add 32.8 ft of setback (`field.setback = \"82.8 ft\"`), which then takes what flies",
        "wells and water",
        "label and local rules",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let said = outcome.finding("throw_reaches_over_the_boundary").unwrap();
    for words in [
        "reaches 0.87 ac outside the boundary",
        "Drive the outermost line 98.4 ft inside the boundary, 32.8 ft further in",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    // A setback of 20 ft is narrower than the throw: it reaches the well.
    let outcome = job().prescribed(&sets("field.setback=20 ft"));
    let said = outcome.finding("throw_reaches_keep_out").unwrap();
    assert!(said.contains("onto the wells, water or yards themselves"), "{said}");
    // Driven as far inside as it throws, nothing flies over an edge; nor where it throws no wider
    // than its passes lie apart.
    let line = [&sets("field.setback=50 ft")[..], &["spreader.outermost_line=30 m"]].concat();
    let outcome = job().prescribed(&line);
    assert!(outcome.finding("throw_reaches_keep_out").is_none());
    assert!(outcome.finding("throw_reaches_over_the_boundary").is_none());
    let line = [&sets("field.setback=50 ft")[..], &["spreader.outermost_line=25 m"]].concat();
    let outcome = job().prescribed(&line);
    assert_near(outcome.value("/machine/throw/beyond_edge"), 5.0 * FT_PER_M, 1e-9, "beyond");
    let sets = ["field.keep_out=well.geojson", "field.setback=50 ft", "spreader.throw_width=40 m"];
    let outcome = job().prescribed(&sets);
    assert_near(outcome.value("/machine/throw/beyond_edge"), 0.0, 0.0, "as wide as the passes");
    assert!(outcome.finding("throw_reaches_keep_out").is_none());
    assert!(outcome.finding("throw_reaches_over_the_boundary").is_none());
}

#[test]
fn a_heading_across_the_field_is_told_with_the_passes_of_a_better_one() {
    let sample = Sample { east_m: 0.0, north_m: 0.0, ph: 5.5, buffer_ph: Some(6.4) };
    let strip = Ground {
        outline_m: vec![[-300.0, -60.0], [300.0, -60.0], [300.0, 60.0], [-300.0, 60.0]],
        turned_deg: 20.0,
        ..Ground::square(10.0, vec![sample])
    };
    let sets = ["spreader.pass_spacing=12 m", "units=metric"];
    let outcome = Job::on(&strip).prescribed(&sets);
    let said = outcome.finding("heading_takes_more_passes").unwrap();
    assert!(
        said.starts_with("Driven at a heading of 0 deg, which is the default, the field"),
        "{said}"
    );
    assert!(
        said.contains("at 110 deg, along a straight side of 600 m, it takes 10 passes and 9"),
        "{said}"
    );
    assert!(said.contains("set `grid.heading = \"110 deg\"`"), "{said}");
    let heading = &outcome.summary["machine"]["heading"];
    assert_eq!(heading["fewest"]["passes"], 10);
    assert_eq!(heading["fewest"]["turns"], 9);
    // 600 x cos 20 deg + 120 x sin 20 deg = 604.9 m of box, 50 lines of 12 m.
    assert_eq!(heading["passes"], 50);
    let set = Job::on(&strip).prescribed(&[&sets[..], &["grid.heading=110 deg"]].concat());
    assert!(set.finding("heading_takes_more_passes").is_none());
    assert!(
        set.summary["machine"]["heading"].get("fewest").is_none(),
        "{}",
        set.summary["machine"]
    );
    let across = Job::on(&strip).prescribed(&[&sets[..], &["grid.heading=20 deg"]].concat());
    let said = across.finding("heading_takes_more_passes").unwrap();
    assert!(
        said.starts_with("Driven at the stated heading of 20 deg, the field takes 50 passes"),
        "{said}"
    );
    assert!(
        run(&[]).finding("heading_takes_more_passes").is_none(),
        "a square is as good either way"
    );
}

#[test]
fn the_spreader_has_a_section_where_something_of_it_is_known() {
    assert!(!text(&[]).contains("The spreader\n"));
    let said = text(&[
        "spreader.speed=10 mph",
        "spreader.max_flow=12000 lb/min",
        "spreader.throw_width=60 m",
    ]);
    let start = said.find("\nThe spreader\n").unwrap();
    let section = &said[start..];
    let words = section.split_whitespace().collect::<Vec<_>>().join(" ");
    for told in [
        "At 10.0 mph, passes 131.2 ft apart; it lets at most 12,000 lb/min flow, which is 2.26 ton/ac",
        "Rate, ton/ac Flow, lb/min Fastest, mph At speed",
        "1.000 5,302 22.6 held 2.000 10,605 11.3 held 3.000 15,907 7.5 too much",
        "A rate change takes 3 to 5 s, 44 to 73 ft (",
        "It throws 196.9 ft: 32.8 ft beyond the edge of what is spread, onto",
        "2 passes and 1 turn at a heading of 0 deg",
    ] {
        assert!(words.contains(told), "{told}: {section}");
    }
    assert!(section.lines().all(|line| line.chars().count() <= 80), "{section}");
}

#[test]
fn what_cannot_be_of_one_spreader_is_refused_with_its_line() {
    for (sets, said_of_it) in [
        (
            &["spreader.min_flow=900 lb/min", "spreader.max_flow=400 kg/min"][..],
            "`spreader.max_flow` is `400 kg/min`",
        ),
        (&["spreader.speed=10 mph", "spreader.top_speed=15 km/h"], "`spreader.speed` or more"),
        (&["spreader.throw_width=30 m"], "a narrower throw leaves strips without product"),
        (&["spreader.throw_width=60"], "`ft`"),
        (&["spreader.max_flow=100 lb"], "`lb/min`, `kg/min`"),
        (&["spreader.rate_change_time=2 min"], "`s`"),
        (&["spreader.rate_change_time=-1 s"], "the rate change time from 0 to 60 s"),
        (&["spreader.min_flow=0 lb/min"], "a flow of the spreader from"),
    ] {
        let job = Job::on(&four_cells::ground());
        let said = job.refused(sets);
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        if said_of_it.contains("400") {
            // 900 lb/min are 408 kg/min.
            assert!(said.contains("more than `spreader.min_flow`"), "{said}");
        }
        assert!(said.contains(said_of_it), "{said_of_it}: {said}");
    }
    // Nothing is wrong with a spreader whose limits meet.
    run(&["spreader.speed=15 km/h", "spreader.top_speed=15 km/h", "spreader.throw_width=40 m"]);
}

#[test]
fn the_effective_job_keeps_what_was_said_of_the_spreader() {
    let job = Job::on(&four_cells::ground());
    job.prescribed(&["spreader.speed=20 mph", "spreader.rate_change_time=2 s"]);
    let text = fs::read_to_string(job.path("out/job.effective.toml")).unwrap();
    assert!(text.contains("rate_change_time = \"2 s\""), "{text}");
    assert!(!text.contains("throw_width"), "{text}");
}
