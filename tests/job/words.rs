//! What the program says to people about one field: each sentence beside its number.

use super::four_cells::ground;
use super::support::{Ground, JOB, Job, Sample, assert_near};

/// What `prescribe` prints, its line breaks taken out.
fn told(job: &Job, sets: &[&str]) -> (String, String) {
    let mut arguments = vec!["prescribe", "job.toml"];
    for set in sets {
        arguments.extend(["--set", set]);
    }
    let output = job.run(&arguments);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let plain = |bytes: &[u8]| {
        let text = String::from_utf8_lossy(bytes).into_owned();
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    (plain(&output.stdout), plain(&output.stderr))
}

fn uniform(ph: f64, buffer_ph: f64) -> Job {
    let sample = |east_m, north_m| Sample { east_m, north_m, ph, buffer_ph: Some(buffer_ph) };
    let samples = [(-20.0, -20.0), (20.0, -20.0), (-20.0, 20.0), (20.0, 20.0)];
    Job::on(&Ground::square(80.0, samples.map(|(e, n)| sample(e, n)).to_vec()))
}

#[test]
fn the_composite_says_what_it_would_have_read_and_asked_for() {
    // The mean pH of 5.5, 5.8, 6.2 and 6.9 is 6.1, the mean buffer of 6.4, 6.6, 6.8 and the blank
    // taken as 7.0 is 6.7; Iowa to 6.5 prints 2,100 lb/ac at 6.6 and 600 at 6.8 (Iowa State University Extension,
    // PM 1688, 2002), so 1,350 between them: 1.35 ton/ac of a half effective material in steps of 0.5.
    let job = Job::on(&ground());
    let outcome = job.prescribed(&[]);
    let soil = "/flat_rate/composite_soil/0";
    assert_near(outcome.value(&format!("{soil}/ph")), 6.1, 1e-12, "pH");
    assert_near(outcome.value(&format!("{soil}/buffer_ph")), 6.7, 1e-12, "buffer pH");
    assert_near(outcome.value(&format!("{soil}/blanks")), 1.0, 0.0, "blanks");
    assert_near(outcome.value(&format!("{soil}/blanks_read_as")), 7.0, 0.0, "read as");
    assert_near(outcome.value("/flat_rate/composite/asked_rate"), 1.35, 1e-9, "asked");
    assert_near(outcome.value("/flat_rate/composite/rate"), 1.5, 1e-12, "rate");
    let (text, _) = told(&job, &[]);
    let said = "would have read pH 6.10 and buffer pH 6.70 (1 blank taken as 7.0), the mean of \
                the samples. It asks for 1.350 ton/ac, rounded to 1.500 ton/ac everywhere";
    assert!(text.contains(said), "{text}");
    assert!(text.contains("The same tons spread evenly"), "{text}");
}

#[test]
fn a_composite_beyond_the_machine_says_what_became_of_it() {
    // Buffer 6.8 asks for 600 lb/ac, 0.6 ton/ac of the material; 6.4 for 3.5 ton/ac.
    let (text, findings) = told(&uniform(6.0, 6.8), &[]);
    assert!(
        text.contains("asks for 0.600 ton/ac, raised to the spreader's least, 1.000"),
        "{text}"
    );
    assert!(findings.contains("the least is spread, and"), "{findings}");
    let (text, _) = told(&uniform(6.0, 6.4), &[]);
    assert!(text.contains("3.500 ton/ac, held to the spreader's greatest, 3.000"), "{text}");
    assert!(text.contains("It would leave 0.40 ton of the need unmet on 1.58 ac."), "{text}");
    let (text, findings) = told(&uniform(6.0, 6.8), &["spreader.below_min=drop"]);
    assert!(text.contains("To order nothing"), "{text}");
    assert!(
        text.contains("It asks for no lime either.")
            || text.contains("which the spreader's limits drop"),
        "{text}"
    );
    // 600 lb/ac on 1.5815 ac are 0.474 ton of CaCO3.
    let said = "on 1.58 ac nothing is spread, and 0.47 ton of CaCO3 stay unmet \
                (spreader.below_min = \"drop\")";
    assert!(findings.contains(said), "{findings}");
}

#[test]
fn a_field_that_needs_nothing_gets_a_short_report() {
    let (text, _) = told(&uniform(6.9, 6.9), &[]);
    for absent in ["Mean rate", "overlap", "pile loss", "Spreader loads", "Rounded", "0.00 ton of"]
    {
        assert!(!text.contains(absent), "{absent}: {text}");
    }
    assert!(text.contains("No ground needs lime, and none gets any."), "{text}");
    assert!(text.contains("It asks for no lime either."), "{text}");
    assert!(text.contains("No ground lies within 0.1 pH of the trigger."), "{text}");
}

#[test]
fn metric_jobs_speak_of_tonnes() {
    let job = Job::on(&ground());
    let (text, _) = told(&job, &["units=metric"]);
    assert!(text.contains("The same tonnes spread evenly"), "{text}");
    assert!(!text.contains("tons"), "{text}");
}

#[test]
fn keys_that_nothing_depends_on_are_told() {
    let job = Job::on(&ground());
    let outcome = job.prescribed(&[
        "need.soil_class=mineral",
        "material.price_at=plant",
        "spreader.box_volume=450 ft3",
    ]);
    let text = outcome.finding("unused_keys").expect("told");
    for key in ["need.soil_class", "material.price_at", "spreader.box_volume"] {
        assert!(text.contains(key), "{key}: {text}");
    }
    assert!(!text.contains("samples.buffer"), "{text}");
    assert!(job.prescribed(&[]).finding("unused_keys").is_none());
}

#[test]
fn a_density_from_a_pail_names_its_rule() {
    // 60 lb in five gallons are 90 lb/ft3.
    let job = Job::on(&ground());
    let (text, _) = told(&job, &["material.bulk_density=60 lb in 5 gal"]);
    let said = "Bulk density 90.0 lb/ft3, from 60 lb in 5 gal: net pounds x 1.5 are pounds per \
                cubic foot (Certification manual";
    assert!(text.contains(said), "{text}");
}

#[test]
fn only_a_charge_by_distance_asks_for_the_distance() {
    let ground = ground();
    let job = |haul: &str| {
        let text = format!("{JOB}[haul]\ntruck_payload = \"1 ton\"\n{haul}\n");
        Job::new(&text, &ground.boundary(), &ground.table())
    };
    let outcome = job("cost = \"12 $/ton\"").prescribed(&[]);
    assert_near(outcome.value("/haul/cost"), 36.0, 1e-9, "three trucks of a ton");
    assert!(outcome.summary["haul"].get("ton_miles").is_none());
    let outcome = job("cost = \"95 $/h\"\nround_trip = \"2 h\"").prescribed(&[]);
    assert_near(outcome.value("/haul/cost"), 95.0 * 2.0 * 3.0, 1e-9, "three trips");
    for cost in ["0.25 $/ton-mile", "4 $/loaded mile"] {
        let said = job(&format!("cost = \"{cost}\"")).refused(&[]);
        assert!(said.contains("haul.one_way_distance") && said.contains("by distance"), "{said}");
    }
    let timed = "cost = \"95 $/h\"\nroad_speed = \"42 mph\"\nload_time = \"30 min\"";
    let said = job(timed).refused(&[]);
    assert!(said.contains("haul.one_way_distance"), "{said}");
}

#[test]
fn an_explanation_tells_findings_excess_and_why_no_cell_holds_a_place() {
    let job = uniform(6.0, 6.8);
    let at = "--at=-93.20022,41.99983";
    let output = job.run(&["explain", "job.toml", at, "--strict"]);
    assert_eq!(output.status.code(), Some(3));
    assert!(String::from_utf8_lossy(&output.stderr).contains("least"));
    // 1 ton/ac of a half effective material on a need of 600 lb/ac.
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(text.contains("beyond the need: 0.2000 ton/ac CaCO3"), "{text}");
    let ground = ground();
    let well = ground.degrees(0.0, 0.0);
    let point =
        format!("{{\"type\":\"Point\",\"coordinates\":[{},{}]}}", well.lon_deg, well.lat_deg);
    std::fs::write(job.path("wells.geojson"), point).unwrap();
    let sets = ["--set", "field.keep_out=wells.geojson", "--set", "field.setback=50 ft"];
    let at_well = format!("--at={},{}", well.lon_deg, well.lat_deg);
    let output = job.run(&[&["explain", "job.toml", &at_well], &sets[..]].concat());
    assert_eq!(output.status.code(), Some(1));
    let text =
        String::from_utf8_lossy(&output.stderr).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("it is kept out of the map"), "{text}");
}

#[test]
fn lime_of_which_nothing_is_left_is_not_called_a_credit_of_nothing() {
    let text = JOB
        .replace("[samples]", "[dates]\nsampled = 2026-03-15\n[samples]")
        .replace("buffer = \"smp\"\nbuffer_blank_above = 6.5", "buffer = \"mehlich\"")
        .replace("ph = 6.5", "ph = 6.0")
        .replace("smp-iowa", "mehlich-north-carolina")
        .replace(
            "[material]",
            "soil_class = \"mineral\"\n[[history]]\napplied = 2023-10-01\nrate = \"1 ton/ac\"\n\
             [material]",
        );
    let ground = uniform_ground();
    let outcome = Job::new(&text, &ground.boundary(), &ground.table()).prescribed(&[]);
    let said = outcome.finding("history_credited").expect("told");
    assert!(said.contains("nothing is left") && said.contains("29 months"), "{said}");
}

fn uniform_ground() -> Ground {
    let sample = |east_m, north_m| Sample { east_m, north_m, ph: 5.0, buffer_ph: Some(6.0) };
    let samples = [(-20.0, -20.0), (20.0, -20.0), (-20.0, 20.0), (20.0, 20.0)];
    Ground::square(80.0, samples.map(|(e, n)| sample(e, n)).to_vec())
}
