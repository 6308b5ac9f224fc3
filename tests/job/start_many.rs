//! Jobs of many fields from one file of boundaries and one of samples.

use std::fs;

use serde_json::{Value, json};

use super::start_file::filled;
use super::support::{Ground, JOB, Job, Outcome, Sample};

/// A field of 200 m with four samples, so many metres to the east of the first.
fn ground(east_m: f64, ph: f64) -> Ground {
    let samples = [[-60.0, -60.0], [60.0, -60.0], [60.0, 60.0], [-60.0, 60.0]];
    let samples = samples.iter().enumerate().map(|(at, &[east_m, north_m])| Sample {
        east_m,
        north_m,
        ph: ph + 0.2 * at as f64,
        buffer_ph: Some(6.2 + 0.05 * at as f64),
    });
    let ground = Ground::square(200.0, samples.collect());
    Ground { at: ground.degrees(east_m, 0.0), ..ground }
}

fn feature(ground: &Ground, properties: &Value) -> Value {
    let geometry: Value = serde_json::from_str(&ground.boundary()).unwrap();
    json!({ "type": "Feature", "properties": properties, "geometry": geometry })
}

const NORTH: f64 = 0.0;
const EAST: f64 = 250.0;
const WEST: f64 = -400.0;

fn boundaries() -> Value {
    json!({ "type": "FeatureCollection", "features": [
        feature(&ground(NORTH, 0.0), &json!({ "no": 1, "NAME": "North 3", "farm": "Home" })),
        feature(&ground(EAST, 0.0), &json!({ "no": 2, "NAME": "East 07", "farm": "Home" })),
        feature(&ground(WEST, 0.0), &json!({ "no": 3, "NAME": "West", "farm": "Hill" })),
    ]})
}

/// The rows of a field: its name before them, and a letter before the names of its samples.
fn rows(ground: &Ground, field: &str, letter: &str) -> String {
    let table = ground.table();
    let rows = table.lines().skip(1).map(|row| format!("{field},{letter}{row}\n"));
    rows.collect::<Vec<_>>().concat()
}

const HEAD: &str = "Field,sample_id,lon,lat,pH,BpH\n";

fn batch() -> String {
    let stray = rows(&ground(NORTH, 5.0), "EAST 7", "X").lines().next().unwrap().to_owned() + "\n";
    [
        HEAD,
        &rows(&ground(EAST, 5.4), "EAST 7", "E"),
        &rows(&ground(NORTH, 5.1), "North 3", "N"),
        &stray,
        &rows(&ground(WEST, 5.0), "South 9", "S"),
        rows(&ground(EAST, 5.0), "", "B").lines().next().unwrap(),
        "\n",
    ]
    .concat()
}

fn job_with(boundaries: &Value, batch: &str) -> Job {
    let job = Job::new(JOB, "", "");
    fs::write(job.path("fields.geojson"), boundaries.to_string()).unwrap();
    fs::write(job.path("batch.csv"), batch).unwrap();
    job
}

/// One sample of `EAST 7` lies in another field, 210 m away.
const WITHIN: &str = "samples.outside_within=300 m";

const START: [&str; 7] =
    ["start", "--boundary", "fields.geojson", "--samples", "batch.csv", "--field-column", "Field"];

fn started(job: &Job, more: &[&str]) -> Value {
    let output = job.run(&[&START[..], more, &["--json"]].concat());
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn refused(job: &Job, more: &[&str]) -> String {
    let output = job.run(&[&START[..], more].concat());
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(output.stdout.is_empty() && !job.path("jobs").exists(), "something was written");
    said
}

fn keys(told: &Value) -> Vec<&str> {
    told["findings"].as_array().unwrap().iter().map(|f| f["key"].as_str().unwrap()).collect()
}

#[test]
fn each_field_gets_a_job_that_gives_the_result_of_one_made_by_hand() {
    let job = job_with(&boundaries(), &batch());
    let told = started(&job, &["--out", "jobs"]);
    let mut names: Vec<String> = fs::read_dir(job.path("jobs"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    assert_eq!(names, ["east-07.toml", "fields.toml", "north-3.toml"]);
    let blanks = told["fields"][0]["blanks"].as_array().unwrap().len();
    assert!(blanks >= 14, "{told}");
    for (file, at, ph, letter) in [("north-3", NORTH, 5.1, "N"), ("east-07", EAST, 5.4, "E")] {
        let path = job.path(&format!("jobs/{file}.toml"));
        let text = fs::read_to_string(&path).unwrap();
        fs::write(&path, filled(&text)).unwrap();
        let output =
            job.run(&["prescribe", &format!("jobs/{file}.toml"), "--out", file, "--set", WITHIN]);
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        let made = Outcome::read(&job.path(file));
        let ground = ground(at, ph);
        let mut table = HEAD.to_owned() + &rows(&ground, "x", letter);
        if letter == "E" {
            table += rows(&self::ground(NORTH, 5.0), "x", "X").lines().next().unwrap();
        }
        let by_hand = Job::new(JOB, &ground.boundary(), &table).prescribed(&[WITHIN]);
        assert_eq!(made.map, by_hand.map, "{file}");
        for key in ["product_total", "to_order", "area"] {
            assert_eq!(made.summary[key], by_hand.summary[key], "{file} {key}");
        }
        assert!(made.value("/product_total") > 0.0);
    }
    let head = fs::read_to_string(job.path("jobs/north-3.toml")).unwrap();
    for line in [
        "name = \"North 3\"",
        "select = { \"NAME\" = \"North 3\" }",
        "select = { \"Field\" = \"North 3\" }",
        "file = \"../batch.csv\"",
        "boundary = \"../fields.geojson\"",
    ] {
        assert!(head.contains(&format!("\n{line}")), "{line}: {head}");
    }
}

#[test]
fn what_does_not_come_together_is_listed_for_people_and_programs() {
    let job = job_with(&boundaries(), &batch());
    let told = started(&job, &[]);
    assert_eq!(told["field_attribute"], "NAME");
    assert_eq!(told["boundaries_without_samples"], json!(["West"]));
    let unclaimed = &told["samples_without_boundary"];
    assert_eq!(unclaimed[0]["field"], "South 9");
    assert_eq!(unclaimed[0]["samples"], json!(["SS00", "SS01", "SS02", "SS03"]));
    assert_eq!(unclaimed[0]["lie_in"], json!(["West"]));
    assert_eq!(unclaimed[1]["field"], Value::Null);
    assert_eq!(unclaimed[1]["samples"], json!(["BS00"]));
    assert_eq!(unclaimed[1]["lie_in"], json!(["East 07"]));
    let stray = json!([{ "sample": "XS00", "names": "East 07", "lies_in": "North 3" }]);
    assert_eq!(told["samples_in_other_fields"], stray);
    assert!(keys(&told).contains(&"fields_matched_without_zeros"), "{told}");
    let fields: Vec<&str> =
        told["fields"].as_array().unwrap().iter().map(|f| f["field"].as_str().unwrap()).collect();
    assert_eq!(fields, ["North 3", "East 07"]);

    let output = job.run(&START);
    let (text, said) =
        (String::from_utf8(output.stdout).unwrap(), String::from_utf8(output.stderr).unwrap());
    for line in [
        "2 fields\n  North 3\n",
        "samples: 4 rows, 4 inside the boundary\n",
        "samples: 5 rows, 4 inside the boundary\n",
        "Boundaries without samples: West\n",
        "`sample_id`\nBlanks to fill in, in each job or once in the list: units, ",
        "Samples without a boundary:\n  4 samples of South 9: SS00, SS01, SS02, SS03; inside West\n",
        "  1 sample without the name of a field: BS00; inside East 07\n",
        "the one they name:\n  XS00 names East 07, lies in North 3\n",
    ] {
        assert!(text.contains(line), "{line}: {text}");
    }
    assert!(said.contains("1 field that samples and boundaries write differently"), "{said}");
    assert!(said.contains("leading zeros, matched: EAST 7 = East 07"), "{said}");
    assert!(said.contains("finding: East 07: "), "{said}");
    assert!(said.contains("Nothing was written; name a folder"), "{said}");
}

#[test]
fn the_list_names_the_jobs_and_has_room_for_what_they_share() {
    let job = job_with(&boundaries(), &batch());
    started(&job, &["--out", "jobs", "--units", "us"]);
    let text = fs::read_to_string(job.path("jobs/fields.toml")).unwrap();
    assert!(text.starts_with("#:schema fields.schema.json\n"), "{text}");
    let list: toml::Table = text.parse().unwrap();
    let jobs: Vec<&str> =
        list["jobs"].as_array().unwrap().iter().map(|job| job.as_str().unwrap()).collect();
    assert_eq!(jobs, ["north-3.toml", "east-07.toml"]);
    assert_eq!(list["need"]["method"].as_str(), Some("?"));
    assert!(!list.contains_key("units"), "it stands in the jobs: {text}");
    assert!(!list.contains_key("field"), "{text}");
    let (read, _) = limewright::inputs::read_fields_file(&job.path("jobs/fields.toml")).unwrap();
    assert_eq!(read.jobs.len(), 2);
    assert!(read.shared.need.unwrap().value.method.is_none(), "a blank is no setting");
}

#[test]
fn nothing_is_written_over_and_a_file_for_many_jobs_is_refused() {
    let job = job_with(&boundaries(), &batch());
    fs::create_dir(job.path("mine")).unwrap();
    fs::write(job.path("mine/east-07.toml"), "mine").unwrap();
    let said = refused(&job, &["--out", "mine"]);
    assert!(said.contains("east-07.toml` exists already"), "{said}");
    assert_eq!(fs::read_dir(job.path("mine")).unwrap().count(), 1);
    assert!(refused(&job, &["--out", "jobs.toml"]).contains("name a folder"));
    started(&job, &["--out", "."]);
    assert!(job.path("north-3.toml").exists() && job.path("job.toml").exists());
}

#[test]
fn names_that_cannot_be_told_apart_and_names_of_nothing_are_refused() {
    let twice = batch().replace('X', "East 7,X").replace("EAST 7,East 7,", "East 7,");
    let said = refused(&job_with(&boundaries(), &twice), &["--out", "jobs"]);
    assert!(said.contains("cannot be told apart: EAST 7, East 7 among the samples"), "{said}");
    let said = refused(&job_with(&boundaries(), &batch()), &["--field-attribute", "farm"]);
    assert!(said.contains("no field that the samples name has a boundary"), "{said}");
    assert!(said.contains("`farm` of fields.geojson has Home, Hill"), "{said}");
    let said = refused(&job_with(&boundaries(), &batch()), &["--field-attribute", "nam"]);
    assert!(said.contains("did you mean `NAME`?"), "{said}");
    let job = job_with(&boundaries(), &batch().replace("Field,", "Feld,"));
    let said = refused(&job, &[]);
    assert!(said.contains("the rows have no column `Field`"), "{said}");
    assert!(said.contains("did you mean `Feld`?"), "{said}");
    let output = job.run(&[
        "start",
        "--boundary",
        "fields.geojson",
        "--samples",
        "batch.csv",
        "--field-attribute",
        "x",
    ]);
    assert_eq!(output.status.code(), Some(2), "wrong usage");
}

#[test]
fn samples_that_fit_no_field_are_refused_with_the_cause_and_one_field_alone_is_told() {
    let swapped = batch().replace("lon,lat", "lat,lon");
    let said = refused(&job_with(&boundaries(), &swapped), &["--out", "jobs"]);
    assert!(said.contains("longitude and latitude (or x and y) exchanged"), "{said}");
    let far = rows(&ground(EAST, 5.4), "EAST 7", "E");
    let moved: String = batch().replace(&far, &rows(&ground(9000.0, 5.4), "EAST 7", "E"));
    let moved = moved.lines().filter(|row| !row.contains("XS00")).collect::<Vec<_>>().join("\n");
    let told = started(&job_with(&boundaries(), &moved), &["--out", "jobs"]);
    let east = &told["fields"][1]["findings"];
    assert_eq!(east[0]["key"], "samples_do_not_fit");
    assert!(east[0]["text"].as_str().unwrap().contains("0 of 4 samples lie in the field"));
}

#[test]
fn a_field_of_several_features_and_features_without_a_name_are_told() {
    let mut map = boundaries();
    let more = feature(&ground(800.0, 0.0), &json!({ "no": 4, "NAME": "North 3", "farm": "x" }));
    let nameless = feature(&ground(1200.0, 0.0), &json!({ "no": 5, "NAME": "", "farm": "x" }));
    map["features"].as_array_mut().unwrap().extend([more, nameless]);
    let job = job_with(&map, &batch());
    let told = started(&job, &[]);
    assert!(keys(&told).contains(&"boundaries_without_names"), "{told}");
    assert_eq!(keys(&told["fields"][0]), ["boundary_of_several_features"]);
    // Chosen by another attribute, too, it is one feature again.
    let told = started(&job, &["--select", "farm=Home", "--out", "jobs"]);
    assert!(keys(&told["fields"][0]).is_empty(), "{told}");
    let text = fs::read_to_string(job.path("jobs/north-3.toml")).unwrap();
    assert!(text.contains("select = { \"NAME\" = \"North 3\", \"farm\" = \"Home\" }"), "{text}");
}

#[test]
fn results_of_a_laboratory_are_joined_before_the_fields_are_told_apart() {
    let (mut points, mut lab) = (String::new(), String::new());
    let mut in_lab = String::new();
    for row in batch().lines().filter(|row| !row.starts_with(',')) {
        let cells: Vec<&str> = row.split(',').collect();
        points += &(cells[..4].join(",") + "\n");
        in_lab += &([&cells[..2], &cells[4..]].concat().join(",") + "\n");
        if cells[1] != "NS03" {
            lab += &([cells[1], cells[4], cells[5]].join(",") + "\n");
        }
    }
    let job = job_with(&boundaries(), &points);
    fs::write(job.path("lab.csv"), lab).unwrap();
    let told = started(&job, &["--lab", "lab.csv", "--out", "jobs"]);
    let text = fs::read_to_string(job.path("jobs/north-3.toml")).unwrap();
    assert!(text.contains("\nlab = \"../lab.csv\"") && text.contains("1 point without a result"));
    let east = fs::read_to_string(job.path("jobs/east-07.toml")).unwrap();
    assert!(!east.contains("without a result\n"), "{east}");
    assert!(keys(&told).contains(&"points_without_results"), "{told}");
    fs::write(job.path("jobs/east-07.toml"), filled(&east)).unwrap();
    let output = job.run(&["prescribe", "jobs/east-07.toml", "--out", "out", "--set", WITHIN]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let stray = rows(&ground(NORTH, 5.0), "x", "X").lines().next().unwrap().to_owned();
    let table = HEAD.to_owned() + &rows(&ground(EAST, 5.4), "x", "E") + &stray;
    let by_hand = Job::new(JOB, &ground(EAST, 0.0).boundary(), &table).prescribed(&[WITHIN]);
    assert_eq!(Outcome::read(&job.path("out")).map, by_hand.map);

    // Where only the results say the field, no row of the points can be chosen by it.
    let nameless: String =
        points.lines().map(|row| row.split_once(',').unwrap().1.to_owned() + "\n").collect();
    let job = job_with(&boundaries(), &nameless);
    fs::write(job.path("lab.csv"), in_lab).unwrap();
    let said = refused(&job, &["--lab", "lab.csv"]);
    assert!(said.contains("the column stands in the laboratory's file"), "{said}");
}
