//! A job file from a boundary and samples: what they show is filled in, the rest is blank.

use std::fs;

use serde_json::Value;

use super::four_cells::ground as four_corners;
use super::support::{JOB, Job, Outcome};
use super::zones::zones;

/// What a person writes into the blanks to get the plain job of the tests.
const FILLED: &[(&str, &str)] = &[
    ("units", "\"us\""),
    ("sampled_depth", "\"0-6 in\""),
    ("ph_measured_in", "\"water 1:1\""),
    ("buffer", "\"smp\""),
    ("buffer_blank_above", "6.5"),
    ("ph", "6.5"),
    ("method", "\"smp-iowa\""),
    ("limed_depth", "\"6 in\""),
    ("placement", "\"tilled\""),
    ("kind", "\"calcitic limestone\""),
    ("effective", "\"50 % as received\""),
    ("min_rate", "\"1 ton/ac\""),
    ("max_rate", "\"3 ton/ac\""),
    ("step", "\"0.5 ton/ac\""),
    ("pass_spacing", "\"40 m\""),
    ("payload", "\"16 ton\""),
];

const START: [&str; 5] = ["start", "--boundary", "boundary.geojson", "--samples", "samples.csv"];

fn started(job: &Job, more: &[&str]) -> Value {
    let output = job.run(&[&START[..], more, &["--json"]].concat());
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn refused(job: &Job, more: &[&str]) -> String {
    let output = job.run(&[&START[..], more].concat());
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(output.stdout.is_empty());
    said
}

pub(super) fn filled(text: &str) -> String {
    FILLED.iter().fold(text.to_owned(), |text, (key, value)| {
        text.replace(&format!("\n{key} = \"?\""), &format!("\n{key} = {value}"))
    })
}

#[test]
fn every_blank_is_refused_by_name_and_line_and_the_filled_job_runs() {
    let ground = four_corners();
    let job = Job::on(&ground);
    let by_hand = job.prescribed(&[]);
    fs::remove_dir_all(job.path("out")).unwrap();
    let told = started(&job, &["--out", "made/new.toml"]);
    let text = fs::read_to_string(job.path("made/new.toml")).unwrap();
    assert!(text.starts_with("#:schema job.schema.json\n"), "{text}");
    assert!(text.contains("boundary = \"../boundary.geojson\""), "{text}");

    let output = job.run(&["check", "made/new.toml"]);
    assert_eq!(output.status.code(), Some(1));
    let said = String::from_utf8(output.stderr).unwrap();
    let blanks = told["blanks"].as_array().unwrap();
    assert!(blanks.len() >= 14, "{blanks:?}");
    for blank in blanks {
        let blank = blank.as_str().unwrap();
        assert!(said.contains(&format!("`{blank}` is still a blank")), "{blank}: {said}");
        let key = blank.rsplit('.').next().unwrap();
        let line = text.lines().position(|line| line == format!("{key} = \"?\"")).unwrap() + 1;
        assert!(said.contains(&format!("made/new.toml:{line}:")), "{blank} in line {line}: {said}");
    }
    assert_eq!(said.matches("is still a blank").count(), blanks.len());

    fs::write(job.path("made/new.toml"), filled(&text)).unwrap();
    let output = job.run(&["prescribe", "made/new.toml", "--out", "out"]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let from_start = Outcome::read(&job.path("out"));
    assert!(from_start.value("/product_total") > 0.0);
    assert_eq!(from_start.map, by_hand.map);

    // What is offered as a default changes nothing where it is written out.
    let keys = ["below_min", "applications", "heading", "overlap_allowance", "pile_loss"];
    let mut written = filled(&text).replace("# [grid]", "[grid]").replace("# [order]", "[order]");
    for key in keys.into_iter().chain(["whole_trucks"]) {
        assert!(written.contains(&format!("\n# {key} = ")), "{key}");
        written = written.replace(&format!("\n# {key} = "), &format!("\n{key} = "));
    }
    fs::write(job.path("made/new.toml"), written).unwrap();
    fs::remove_dir_all(job.path("out")).unwrap();
    let output = job.run(&["prescribe", "made/new.toml", "--out", "out"]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    assert_eq!(Outcome::read(&job.path("out")).map, by_hand.map);
}

#[test]
fn what_is_set_is_filled_in_and_checked() {
    let job = Job::on(&four_corners());
    let sets: Vec<String> = FILLED
        .iter()
        .map(|(key, value)| {
            let table = JOB.split(&format!("\n{key} = ")).next().unwrap().rsplit("\n[").next();
            let table = table.unwrap().split(']').next().unwrap();
            match *key {
                "units" => format!("units={value}"),
                key => format!("{table}.{key}={value}"),
            }
        })
        .collect();
    let mut more = vec!["--out", "."];
    for set in &sets {
        more.extend(["--set", set]);
    }
    fs::remove_file(job.path("job.toml")).unwrap();
    let told = started(&job, &more);
    assert_eq!(told["blanks"], serde_json::json!([]), "{told}");
    assert!(job.prescribed(&[]).value("/product_total") > 0.0);

    let said = refused(&job, &["--set", "target.ph=65", "--set", "need.methd=x"]);
    assert!(said.contains("did you mean `method`?"), "{said}");
    assert!(refused(&job, &["--set", "target.ph=65"]).contains("target pH"));
    assert!(refused(&job, &["--method", "smp-iwoa"]).contains("did you mean `smp-iowa`?"));
}

#[test]
fn how_a_value_of_the_method_was_read_is_a_blank() {
    let job = Job::on(&four_corners());
    let blank = |method: &str, key: &str| {
        let told = started(&job, &["--set", &format!("need.method={method}")]);
        told["blanks"].as_array().unwrap().iter().any(|blank| blank == key)
    };
    assert!(blank("ph-aluminium-vermont", "samples.al_extract"));
    assert!(blank("titration", "samples.buffer_capacity_read"));
    assert!(!blank("smp-iowa", "samples.al_extract"));
}

#[test]
fn nothing_that_stands_there_is_overwritten() {
    let job = Job::on(&four_corners());
    let before = fs::read(job.path("job.toml")).unwrap();
    for out in [".", "job.toml"] {
        assert!(refused(&job, &["--out", out]).contains("exists already"), "{out}");
    }
    assert_eq!(fs::read(job.path("job.toml")).unwrap(), before);
}

#[test]
fn headers_tell_medium_buffer_and_depth_and_what_is_in_doubt_has_candidates() {
    let ground = four_corners();
    let table = ground.table();
    let mut rows = table.lines().skip(1).map(|row| format!("{row},0-20 cm,7\n"));
    let head = "sample_id,lon,lat,pH CaCl2,SMP pH,depth,Lab No\n";
    let body: String = rows.by_ref().collect();
    let job = Job::new("", &ground.boundary(), &format!("{head}{body}"));
    let told = started(&job, &["--out", "new.toml"]);
    let text = fs::read_to_string(job.path("new.toml")).unwrap();
    for known in [
        "\nph_measured_in = \"CaCl2 0.01 M\"",
        "\nbuffer = \"smp\"",
        "\nsampled_depth = \"0-20 cm\"",
        "\nph = \"pH CaCl2\"",
        "# Not recognised: `Lab No`.",
    ] {
        assert!(text.contains(known), "{known}: {text}");
    }
    assert!(!text.contains("`sikora-oregon`: Sikora"), "the header names another buffer");
    assert_eq!(told["not_recognised"], serde_json::json!(["Lab No"]));

    let doubtful =
        format!("{}{body}", head.replace("pH CaCl2", "soil pH").replace("Lab No", "waterpH"));
    let job = Job::new("", &ground.boundary(), &doubtful);
    let told = started(&job, &["--out", "new.toml"]);
    assert_eq!(told["in_doubt"]["samples.columns.ph"], serde_json::json!(["soil pH", "waterpH"]));
    let blanks = told["blanks"].as_array().unwrap();
    assert!(blanks.contains(&"samples.columns.ph".into()), "{blanks:?}");
    let text = fs::read_to_string(job.path("new.toml")).unwrap();
    assert!(text.contains("Several columns could be it: `soil pH`, `waterpH`."), "{text}");
}

#[test]
fn samples_of_another_place_are_refused_with_the_cause() {
    let ground = four_corners();
    let mut elsewhere = ground.clone();
    elsewhere.at.lat_deg += 1.0;
    let job = Job::new("", &ground.boundary(), &elsewhere.table());
    let said = refused(&job, &["--out", "new.toml"]);
    assert!(said.contains("0 of") || said.contains("none of"), "{said}");
    assert!(!job.path("new.toml").exists());
}

#[test]
fn what_zones_give_is_asked_of_no_column_of_the_samples() {
    let job = Job::on(&four_corners());
    let blanks = |more: &[&str]| -> Vec<String> {
        let told = started(&job, more);
        let list = told["blanks"].as_array().unwrap();
        list.iter().map(|blank| blank.as_str().unwrap().to_owned()).collect()
    };
    let table = fs::read_to_string(job.path("samples.csv")).unwrap();
    fs::write(job.path("samples.csv"), table.replace("pH,BpH", "other,BpH")).unwrap();
    let asked = blanks(&[]);
    assert!(asked.iter().any(|key| key == "samples.columns.ph"), "{asked:?}");
    let halves = [("West", [-40.0, -40.0, 0.0, 40.0]), ("East", [0.0, -40.0, 40.0, 40.0])];
    fs::write(job.path("zones.geojson"), zones(&halves)).unwrap();
    let by_zone = |given: &'static str| {
        ["--zones", "zones.geojson", "--set", "samples.zone_key=zone", "--set", given]
    };
    let given = blanks(&by_zone("samples.by_zone=[\"ph\"]"));
    assert!(!given.iter().any(|key| key == "samples.columns.ph"), "{given:?}");
    assert!(given.iter().any(|key| key == "samples.ph_measured_in"), "{given:?}");
    // A column of the samples would be looked for in the table of the zones.
    let text = job.run(&[&START[..], &by_zone("samples.by_zone=[\"buffer_ph\"]")].concat());
    assert!(text.status.success(), "{}", String::from_utf8_lossy(&text.stderr));
    let text = String::from_utf8(text.stdout).unwrap();
    assert!(!text.contains("\nbuffer_ph = \"BpH\""), "{text}");
}

#[test]
fn a_job_by_the_laboratorys_recommendation_is_drafted_with_what_the_report_states() {
    let job = Job::on(&four_corners());
    let told = started(&job, &["--method", "lab-recommendation", "--out", "new.toml"]);
    let blanks: Vec<&str> =
        told["blanks"].as_array().unwrap().iter().map(|blank| blank.as_str().unwrap()).collect();
    for key in [
        "need.lab.basis",
        "need.lab.depth",
        "need.lab.target",
        "samples.columns.lab_recommendation",
        "samples.units.lab_recommendation",
    ] {
        assert!(blanks.contains(&key), "{key}: {blanks:?}");
    }
    assert!(!blanks.contains(&"target.ph"), "{blanks:?}");
    let text = fs::read_to_string(job.path("new.toml")).unwrap();
    assert!(text.contains("\n[need.lab]\n"), "{text}");
    // Filled in, it runs.
    let table = fs::read_to_string(job.path("samples.csv")).unwrap();
    let rows: Vec<String> = table
        .lines()
        .enumerate()
        .map(|(row, line)| if row == 0 { format!("{line},Lime") } else { format!("{line},1.5") })
        .collect();
    fs::write(job.path("samples.csv"), rows.join("\n")).unwrap();
    let text = filled(&text)
        .replace("lab_recommendation = \"?\"", "LAB")
        .replacen("LAB", "lab_recommendation = \"Lime\"", 1)
        .replacen("LAB", "lab_recommendation = \"ton/ac\"", 1)
        .replace("basis = \"?\"", "basis = \"100 % CCE\"")
        .replace("depth = \"?\"", "depth = \"6 in\"")
        .replace("target = \"?\"", "target = 6.5");
    fs::write(job.path("job.toml"), &text).unwrap();
    let outcome = job.prescribed(&[]);
    let mean = outcome.value("/need_total") / outcome.value("/area");
    assert!((mean - 1.5).abs() < 1e-6, "{mean}: {text}");
}
