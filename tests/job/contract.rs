//! The contract with users: streams, statuses, files, the shape of the results.

use std::fs;

use serde_json::Value;

use super::support::{Job, Outcome, limewright, root};

fn sample_job(field: &str) -> String {
    root().join("sample_fields").join(field).join("job.toml").display().to_string()
}

#[test]
fn alone_it_prints_the_first_steps() {
    let output = limewright().output().unwrap();
    assert!(output.status.success());
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(said.contains("limewright prescribe job.toml"), "{said}");
}

#[test]
fn a_command_typed_wrong_names_the_nearest_and_ends_with_two() {
    let output = limewright().args(["prescibe", "job.toml"]).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("'prescribe'"));
}

#[test]
fn a_set_without_a_value_is_wrong_usage() {
    let output = limewright()
        .args(["check", &sample_job("heron_flat"), "--set", "target.ph"])
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("key=value"));
}

#[test]
fn without_out_it_prints_and_says_that_nothing_was_written() {
    let output = limewright().args(["prescribe", &sample_job("heron_flat")]).output().unwrap();
    assert!(output.status.success());
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(said.contains("Prescribed") && said.contains("Ledger"), "{said}");
    assert!(String::from_utf8_lossy(&output.stderr).contains("Nothing was written"));
}

#[test]
fn results_go_to_stdout_and_findings_to_stderr() {
    let output =
        limewright().args(["prescribe", &sample_job("heron_flat"), "--json"]).output().unwrap();
    let summary: Value = serde_json::from_slice(&output.stdout).expect("JSON alone on stdout");
    assert_eq!(summary["units"], "us");
    assert!(String::from_utf8_lossy(&output.stderr).contains("finding: "));
    assert!(!String::from_utf8_lossy(&output.stderr).contains('\u{1b}'), "colour off a terminal");
}

#[test]
fn strict_ends_with_three_after_writing() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let output = limewright()
        .args(["prescribe", &sample_job("heron_flat"), "--strict", "--out"])
        .arg(&out)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(3));
    assert!(out.join("rate_map.geojson").exists());
}

#[test]
fn check_writes_nothing_and_says_so() {
    let output = limewright().args(["check", &sample_job("linden_bank")]).output().unwrap();
    assert!(output.status.success());
    assert!(String::from_utf8_lossy(&output.stdout).contains("Nothing was written"));
}

#[test]
fn a_second_run_replaces_the_first_and_a_users_file_stops_it() {
    let ground = super::support::Ground::square(
        200.0,
        vec![super::support::Sample { east_m: 0.0, north_m: 0.0, ph: 5.5, buffer_ph: Some(6.4) }],
    );
    let job = Job::on(&ground);
    job.prescribed(&[]);
    let second = job.prescribed(&["spreader.max_rate=2 ton/ac"]);
    assert_eq!(second.value("/rates/0/rate"), 2.0);
    fs::write(job.path("out/my notes.txt"), "mine").unwrap();
    let output = job.run(&["prescribe", "job.toml", "--out", "out"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stderr).contains("my notes.txt"));
    assert_eq!(fs::read(job.path("out/my notes.txt")).unwrap(), b"mine");
}

#[test]
fn the_effective_job_gives_the_same_result() {
    let folder = tempfile::tempdir().unwrap();
    for file in ["job.toml", "boundary.geojson", "samples.csv"] {
        fs::copy(root().join("sample_fields/linden_bank").join(file), folder.path().join(file))
            .unwrap();
    }
    let run = |job: &str, out: &str, sets: &[&str]| {
        let mut command = limewright();
        command.current_dir(folder.path()).args(["prescribe", job, "--out", out]);
        for set in sets {
            command.args(["--set", set]);
        }
        assert!(command.output().unwrap().status.success());
        fs::read(folder.path().join(out).join("rate_map.geojson")).unwrap()
    };
    let first = run("job.toml", "first", &["grid.cell=15 m", "spreader.below_min=raise"]);
    fs::copy(folder.path().join("first/job.effective.toml"), folder.path().join("again.toml"))
        .unwrap();
    assert!(first == run("again.toml", "second", &[]), "the maps differ");
    let text = fs::read_to_string(folder.path().join("again.toml")).unwrap();
    for default in
        ["applications = 1", "heading = \"0 deg\"", "below_min = \"raise\"", "cell = \"15 m\""]
    {
        assert!(text.contains(default), "{text}");
    }
}

#[test]
fn the_rate_map_is_what_the_contract_says() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let output = limewright()
        .args(["prescribe", &sample_job("heron_flat"), "--out"])
        .arg(&out)
        .output()
        .unwrap();
    assert!(output.status.success());
    let outcome = Outcome::read(&out);
    let bbox: Vec<f64> =
        outcome.map["bbox"].as_array().unwrap().iter().map(|n| n.as_f64().unwrap()).collect();
    let names = [
        "cell",
        "area_ac",
        "ph",
        "buffer_ph",
        "need_ton_ac",
        "rate_ton_ac",
        "product_ton",
        "unmet_need_ton_ac",
        "limit",
        "table_limit",
        "samples",
        "risk",
    ];
    let mut ids = std::collections::BTreeSet::new();
    let (mut product, mut area) = (0.0, 0.0);
    for feature in outcome.features() {
        let properties = feature["properties"].as_object().unwrap();
        let found: Vec<&str> = properties.keys().map(String::as_str).collect();
        assert_eq!(found.len(), names.len(), "{found:?}");
        assert!(names.iter().all(|name| properties.contains_key(*name)), "{found:?}");
        assert!(ids.insert(properties["cell"].as_str().unwrap().to_owned()), "a cell twice");
        product += properties["product_ton"].as_f64().unwrap();
        area += properties["area_ac"].as_f64().unwrap();
        let rate = properties["rate_ton_ac"].as_f64().unwrap();
        assert!(rate == 0.0 || (1.0..=4.0).contains(&rate), "{rate}");
        assert_eq!(rate * 4.0, (rate * 4.0).round(), "a rate off the quarter tons");
    }
    assert!((product - outcome.value("/product_total")).abs() < 1e-6);
    assert!((area - outcome.value("/area")).abs() < 1e-6);
    let mut corners = Vec::new();
    outcome.features().iter().for_each(|feature| positions(&feature["geometry"], &mut corners));
    let ends = |axis: usize| {
        let along = || corners.iter().map(|at: &[f64; 2]| at[axis]);
        (along().fold(f64::INFINITY, f64::min), along().fold(f64::NEG_INFINITY, f64::max))
    };
    let ((west, east), (south, north)) = (ends(0), ends(1));
    assert_eq!(bbox, [west, south, east, north]);
}

/// All positions of a geometry, however deep.
fn positions(value: &Value, found: &mut Vec<[f64; 2]>) {
    if let Some(inner) = value.get("coordinates") {
        return positions(inner, found);
    }
    let list = value.as_array().unwrap();
    match (list.first().and_then(Value::as_f64), list.get(1).and_then(Value::as_f64)) {
        (Some(lon), Some(lat)) => found.push([lon, lat]),
        _ => list.iter().for_each(|inner| positions(inner, found)),
    }
}

#[test]
fn the_summary_reads_back_as_it_was_written() {
    let output =
        limewright().args(["prescribe", &sample_job("linden_bank"), "--json"]).output().unwrap();
    let summary: limewright::summary::Summary = serde_json::from_slice(&output.stdout).unwrap();
    let again = limewright::outputs::summary_json(&summary).unwrap();
    assert!(again.as_bytes() == output.stdout, "the bytes differ");
    assert_eq!(summary.inputs.len(), 3);
    assert!(summary.inputs.iter().all(|input| input.sha256.len() == 64));
}

#[test]
fn another_proj_on_the_machine_does_not_disturb() {
    // A declared system goes through PROJ; a foreign database would break it.
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("proj.db"), "not a database").unwrap();
    let ground = root().join("tests/data/share_alike/real_field/job.toml");
    let output = limewright()
        .env("PROJ_DATA", folder.path())
        .env("PROJ_LIB", folder.path())
        .env("PROJ_DEBUG", "3")
        .args(["check", &ground.display().to_string()])
        .args(["--set", "samples.coordinate_system=EPSG:25833"])
        .args(["--set", "samples.columns.easting=easting"])
        .args(["--set", "samples.columns.northing=northing"])
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{said}");
    assert!(!said.contains("proj"), "{said}");
}

#[test]
fn methods_are_listed_and_worked() {
    let output = limewright().args(["methods"]).output().unwrap();
    let said = String::from_utf8(output.stdout).unwrap();
    for id in ["smp-iowa", "ph-uk-arable", "ph-uk-grass"] {
        assert!(said.contains(id), "{said}");
        let one = limewright().args(["methods", id]).output().unwrap();
        let one = String::from_utf8(one.stdout).unwrap();
        assert!(one.contains("printed: ") && !one.contains("DISAGREES"), "{one}");
    }
    let wrong = limewright().args(["methods", "smp-iwoa"]).output().unwrap();
    assert_eq!(wrong.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&wrong.stderr).contains("did you mean `smp-iowa`"));
}
