//! The schemas as users meet them: `limewright schema`, and the head of a written job file.

use serde_json::Value;

use super::support::{Ground, JOB, Job, Sample, limewright};

fn printed(name: &str) -> Value {
    let output = limewright().args(["schema", name]).output().unwrap();
    assert!(output.status.success());
    serde_json::from_slice(&output.stdout).unwrap()
}

fn ground() -> Ground {
    let samples = vec![Sample { east_m: 0.0, north_m: 0.0, ph: 5.5, buffer_ph: Some(6.4) }];
    Ground::square(200.0, samples)
}

/// What the program says of `job`, which it must refuse.
fn refused(job: &toml::Table) -> String {
    let ground = ground();
    Job::new(&job.to_string(), &ground.boundary(), &ground.table()).refused(&[])
}

#[test]
fn a_schema_is_listed_printed_and_told_by_its_nearest_name() {
    let listed = limewright().arg("schema").output().unwrap();
    let listed = String::from_utf8(listed.stdout).unwrap();
    for name in ["job", "fields", "rate-map-us", "rate-map-metric", "summary", "method-table"] {
        assert!(listed.lines().any(|line| line.split_whitespace().next() == Some(name)), "{name}");
        assert_eq!(printed(name)["$schema"], "https://json-schema.org/draft/2020-12/schema");
    }
    let wrong = limewright().args(["schema", "rate-map-su"]).output().unwrap();
    assert_eq!(wrong.status.code(), Some(1));
    assert!(wrong.stdout.is_empty());
    assert!(String::from_utf8_lossy(&wrong.stderr).contains("did you mean `rate-map-us`?"));
}

#[test]
fn the_program_misses_every_key_that_the_schema_of_a_job_requires() {
    let schema = printed("job");
    let whole: toml::Table = JOB.parse().unwrap();
    let required = |of: &Value| -> Vec<String> {
        let list = of["required"].as_array().cloned().unwrap_or_default();
        list.iter().map(|key| key.as_str().unwrap().to_owned()).collect()
    };
    let mut tried = 0;
    // The target may be a laboratory's in place of the job's own, which this job has.
    for name in required(&schema).into_iter().chain(required(&schema["anyOf"][0])) {
        let mut without = whole.clone();
        assert!(without.remove(&name).is_some(), "{name}");
        assert!(refused(&without).contains(&name), "{name}");
        let table = &schema["properties"][&name];
        let mut keys = required(table);
        match name.as_str() {
            "spreader" => keys.extend(["min_rate", "max_rate", "step"].map(str::to_owned)),
            "samples" => keys.push("sampled_depth".to_owned()),
            "material" => keys.extend(["kind", "effective"].map(str::to_owned)),
            "target" => keys.push("ph".to_owned()),
            _ => {}
        }
        for key in keys {
            let mut without = whole.clone();
            let inner = without[&name].as_table_mut().unwrap();
            assert!(inner.remove(&key).is_some(), "{name}.{key}");
            assert!(refused(&without).contains(&key), "{name}.{key}");
            tried += 1;
        }
    }
    assert!(tried > 12, "{tried}");
}

#[test]
fn the_program_refuses_both_ways_to_state_rates_as_the_schema_does() {
    let mut both: toml::Table = JOB.parse().unwrap();
    let rates = vec!["0 ton/ac".into(), "2 ton/ac".into()];
    both["spreader"].as_table_mut().unwrap().insert("rates".to_owned(), toml::Value::Array(rates));
    assert!(refused(&both).contains("rates"));
    let spreader = &printed("job")["properties"]["spreader"];
    assert_eq!(spreader["oneOf"].as_array().unwrap().len(), 2);
}

#[test]
fn a_written_job_names_its_schema_and_uses_the_words_that_it_knows() {
    let job = Job::on(&ground());
    job.prescribed(&[
        "units=US",
        "samples.ph_measured_in=Water 1:1",
        "samples.buffer=SMP",
        "need.placement=Tilled",
        "material.kind=AgLime",
        "material.price=14 $/ton",
        "material.price_at=Plant",
        "spreader.below_min=Raise",
    ]);
    let text = std::fs::read_to_string(job.path("out/job.effective.toml")).unwrap();
    assert_eq!(text.lines().next(), Some("#:schema job.schema.json"));
    let schema = printed("job");
    let written: toml::Table = text.parse().unwrap();
    let mut held = 0;
    for (table, keys) in [
        ("samples", &["ph_measured_in", "buffer"][..]),
        ("need", &["method", "placement"]),
        ("material", &["kind", "price_at"]),
        ("spreader", &["below_min"]),
    ] {
        for key in keys {
            let of_key = &schema["properties"][table]["properties"][key];
            let words = of_key.get("enum").unwrap_or(&of_key["anyOf"][0]["enum"]);
            let words = words.as_array().unwrap();
            let word = written[table][key].as_str().unwrap();
            assert!(words.iter().any(|known| known == word), "{table}.{key} = {word}");
            held += 1;
        }
    }
    assert_eq!(held, 7);
    assert_eq!(written["units"].as_str(), Some("us"));
}
