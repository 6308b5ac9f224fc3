//! Jobs started from samples that stand in other files than one table: a laboratory's file, map
//! files, zones, and several depths.

use std::fs;

use serde_json::{Value, json};

use super::sample_maps::{geojson, write_geopackage, write_shapefile};
use super::start_file::filled;
use super::support::{Ground, JOB, Job, Outcome};
use super::{cases, four_cells, layers, zones};

fn started(job: &Job, arguments: &[&str]) -> Value {
    let output = job.run(&[&["start", "--json"], arguments].concat());
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// What is prescribed by the started job `new.toml` once its blanks are filled in.
fn prescribed(job: &Job, also: &[(&str, &str)]) -> Outcome {
    let text = fs::read_to_string(job.path("new.toml")).unwrap();
    let text = also.iter().fold(text, |text, (blank, value)| {
        let blank = format!("\n{blank} = \"?\"");
        assert!(text.contains(&blank), "{blank}: {text}");
        text.replace(&blank, &format!("\n{value}"))
    });
    fs::write(job.path("new.toml"), filled(&text)).unwrap();
    let output = job.run(&["prescribe", "new.toml", "--out", "new"]);
    assert!(output.status.success(), "{}\n{text}", String::from_utf8_lossy(&output.stderr));
    Outcome::read(&job.path("new"))
}

/// The points of a table of samples, and its results under ids in small letters.
fn apart(table: &str) -> (String, String) {
    let rows = table.lines().map(|row| row.split(',').collect::<Vec<_>>());
    rows.map(|cells| {
        let id = cells[0].to_lowercase().replace("sample_id", "Sample");
        (
            format!("{},{},{}\n", cells[0], cells[1], cells[2]),
            format!("{id},{},{}\n", cells[3], cells[4]),
        )
    })
    .unzip()
}

fn with_lab(ground: &Ground, lab: &str, points: &str) -> Job {
    let job = Job::new(JOB, &ground.boundary(), points);
    fs::write(job.path("lab.csv"), lab).unwrap();
    job
}

const LAB: [&str; 8] = [
    "--boundary",
    "boundary.geojson",
    "--samples",
    "samples.csv",
    "--lab",
    "lab.csv",
    "--out",
    "new.toml",
];

#[test]
fn a_laboratorys_file_is_joined_and_the_filled_job_gives_the_result_of_one_table() {
    let ground = four_cells::ground();
    let by_hand = Job::on(&ground).prescribed(&[]);
    let (points, lab) = apart(&ground.table());
    let job = with_lab(&ground, &lab, &points);
    let told = started(&job, &LAB);
    assert_eq!(told["recognised"]["samples.columns.buffer_ph"], "BpH");
    assert!(told["about"][2].as_str().unwrap().contains("with a result"), "{told}");
    assert_eq!(told["findings"][0]["key"], "ids_matched_without_case");
    let text = fs::read_to_string(job.path("new.toml")).unwrap();
    for line in ["lab = \"lab.csv\"", "lab_key = \"Sample\"", "key = \"sample_id\""] {
        assert!(text.contains(&format!("\n{line} ")), "{line}: {text}");
    }
    assert_eq!(prescribed(&job, &[]).map, by_hand.map);
}

#[test]
fn points_without_a_result_are_told_and_what_cannot_be_joined_is_refused() {
    let ground = four_cells::ground();
    let (points, lab) = apart(&ground.table());
    let less: String = lab.split_inclusive('\n').take(3).collect();
    let job = with_lab(&ground, &less, &points);
    let told = started(&job, &LAB);
    let findings = told["findings"].to_string();
    assert!(findings.contains("the job will be refused unless samples.missing"), "{findings}");
    let text = fs::read_to_string(job.path("new.toml")).unwrap();
    assert!(text.contains("# missing = \"leave out\""), "{text}");
    let twice = lab.clone() + lab.lines().last().unwrap() + "\n";
    let output = with_lab(&ground, &twice, &points).run(&[&["start"], &LAB[..]].concat());
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(said.contains("samples.repeats = \"mean\""), "{said}");
    let nameless = lab.replace("Sample,", "Labor,");
    let output = with_lab(&ground, &nameless, &points).run(&[&["start"], &LAB[..]].concat());
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("`samples.lab_key`") && said.contains("`Labor`"), "{said}");
}

#[test]
fn points_of_map_files_are_recognised_by_their_attributes() {
    let ask = |file| ["--boundary", "boundary.geojson", "--samples", file, "--out", "new.toml"];
    let by_hand = Job::new(cases::JOB, cases::SQUARE, &cases::plain());
    let check = |job: &Job, told: &Value, what: &str| {
        assert_eq!(told["recognised"]["samples.columns.ph"], "pH", "{what}: {told}");
        assert_eq!(told["about"][1], "samples: 9 rows, 9 inside the boundary", "{what}");
        let blanks = told["blanks"].to_string();
        assert!(!blanks.contains("samples.columns"), "{what}: {blanks}");
        // The blanks of a job of another method; its map is held against the table's own.
        let sets = [
            "units=metric",
            "samples.sampled_depth=0-20 cm",
            "samples.ph_measured_in=water 1:2.5",
            "target.ph=6.7",
            "need.method=ph-uk-arable",
            "need.limed_depth=20 cm",
            "need.placement=tilled",
            "material.kind=calcitic limestone",
            "material.effective=50 % as received",
            "spreader.min_rate=1 t/ha",
            "spreader.max_rate=10 t/ha",
            "spreader.step=0.5 t/ha",
            "spreader.pass_spacing=30 m",
            "spreader.payload=16 t",
        ];
        let map = |path: &str, job: &Job| {
            let mut arguments = vec!["prescribe", path, "--out", "out"];
            for set in &sets {
                arguments.extend(["--set", set]);
            }
            let _ = fs::remove_dir_all(job.path("out"));
            let output = job.run(&arguments);
            assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
            Outcome::read(&job.path("out")).value("/product_total")
        };
        assert!((map("new.toml", job) - map("job.toml", &by_hand)).abs() < 1e-3, "{what}");
    };
    let job = Job::new("", cases::SQUARE, "");
    fs::write(job.path("points.geojson"), geojson("pH").to_string()).unwrap();
    check(&job, &started(&job, &ask("points.geojson")), "GeoJSON");

    let job = Job::new("", cases::SQUARE, "");
    write_shapefile(&job.path("points.shp"), "EPSG:32616");
    let output = job.run(&[&["start"], &ask("points.shp")[..]].concat());
    assert!(String::from_utf8_lossy(&output.stderr).contains("coordinate_system"));
    let stated = ["--set", "samples.coordinate_system=EPSG:32616"];
    check(&job, &started(&job, &[&ask("points.shp")[..], &stated].concat()), "shapefile");

    let job = Job::new("", cases::SQUARE, "");
    write_geopackage(&job.path("points.gpkg"));
    let output = job.run(&[&["start"], &ask("points.gpkg")[..]].concat());
    assert!(String::from_utf8_lossy(&output.stderr).contains("`spring`, `autumn`"));
    let chosen = ["--samples-layer", "spring", "--set", "samples.select.depth=0-20 cm"];
    check(&job, &started(&job, &[&ask("points.gpkg")[..], &chosen].concat()), "GeoPackage");

    let mut doubtful = geojson("soil pH");
    for feature in doubtful["features"].as_array_mut().unwrap() {
        feature["properties"]["waterpH"] = json!(6.1);
    }
    let job = Job::new("", cases::SQUARE, "");
    fs::write(job.path("points.geojson"), doubtful.to_string()).unwrap();
    let told = started(&job, &ask("points.geojson"));
    assert_eq!(told["in_doubt"]["samples.columns.ph"], json!(["soil pH", "waterpH"]));
}

const RECTANGLES: [(&str, [f64; 4]); 2] =
    [("West", [-40.0, -40.0, 0.0, 40.0]), ("East", [0.0, -40.0, 40.0, 40.0])];

#[test]
fn zones_are_named_by_the_attribute_that_the_samples_know() {
    let table = "zone_no,pH,BpH\nwest,5.5,6.4\nEAST,5.8,6.6\n";
    let job = zones::job_of(&RECTANGLES, table);
    let by_hand = job.prescribed(&[&zones::ZONES[..], &["samples.key=zone_no"]].concat());
    let ask = [
        "--boundary",
        "boundary.geojson",
        "--samples",
        "samples.csv",
        "--zones",
        "zones.geojson",
        "--out",
        "new.toml",
    ];
    let told = started(&job, &[&ask[..], &["--set", "samples.key=zone_no"]].concat());
    assert_eq!(told["about"][2], "zones: 2 areas, 2 of 2 names of the samples among their names");
    let text = fs::read_to_string(job.path("new.toml")).unwrap();
    assert!(text.contains("\nzone_key = \"zone\" "), "{text}");
    assert!(!text.contains("\nlon = \"?\""), "{text}");
    assert_eq!(prescribed(&job, &[]).map, by_hand.map);
    // Without the column of the names both are blanks, with their candidates.
    let told = started(&job, &[&ask[..6], &["--out", "other.toml"]].concat());
    let blanks = told["blanks"].to_string();
    assert!(blanks.contains("samples.key") && blanks.contains("samples.zone_key"), "{blanks}");
    let text = fs::read_to_string(job.path("other.toml")).unwrap();
    assert!(text.contains("One of `crop`, `zone`?"), "{text}");
}

#[test]
fn zones_that_carry_the_results_need_no_table() {
    let mut areas: Value = serde_json::from_str(&zones::zones(&RECTANGLES)).unwrap();
    for (feature, ph) in areas["features"].as_array_mut().unwrap().iter_mut().zip([5.5, 5.8]) {
        let name = feature["properties"]["zone"].clone();
        feature["properties"] = json!({ "sample_id": name, "pH": ph, "BpH": ph + 0.9 });
    }
    let job = Job::new("", &zones::ground().boundary(), "");
    fs::write(job.path("zones.geojson"), areas.to_string()).unwrap();
    let ask = ["--boundary", "boundary.geojson", "--zones", "zones.geojson", "--out", "new.toml"];
    let told = started(&job, &ask);
    let text = fs::read_to_string(job.path("new.toml")).unwrap();
    assert!(text.contains("\nzone_key = \"sample_id\" "), "{text}");
    assert!(!text.contains("\nfile = "), "{text}");
    assert_eq!(told["recognised"]["samples.columns.ph"], "pH");
    let outcome = prescribed(&job, &[]);
    assert_eq!(outcome.value("/soil/ph/samples"), 2.0);
    let wrong = job.run(&["start", "--boundary", "boundary.geojson"]);
    assert_eq!(wrong.status.code(), Some(2), "neither samples nor zones");
}

#[test]
fn layers_are_read_from_two_columns_with_the_ends_of_the_depth() {
    let ends = |table: &str, head: &str| -> String {
        let mut rows = table.lines();
        let first = rows.next().unwrap().replace("depth", head);
        let rows = rows.map(|row| row.replace("-6 in", ",6").replace("-12 in", ",12"));
        std::iter::once(first).chain(rows).map(|row| row + "\n").collect()
    };
    let ask = ["--boundary", "boundary.geojson", "--samples", "samples.csv", "--out", "new.toml"];
    let table = layers::table(&layers::ALIKE);
    let by_hand = layers::layered(layers::TWO, "6 in", &table).prescribed(&[]);
    let job = Job::new("", &layers::ground().boundary(), &ends(&table, "top_in,bottom_in"));
    started(&job, &ask);
    let text = fs::read_to_string(job.path("new.toml")).unwrap();
    assert!(text.contains("\nlayers = [\"0-6 in\", \"6-12 in\"] "), "{text}");
    assert!(text.contains("as the columns of the depth say"), "{text}");
    assert_eq!(prescribed(&job, &[]).map, by_hand.map);

    let job = Job::new("", &layers::ground().boundary(), &ends(&table, "top,bottom"));
    let told = started(&job, &ask);
    let blanks = told["blanks"].to_string();
    assert!(blanks.contains("samples.layers") && blanks.contains("samples.depth_unit"), "{blanks}");
    let text = fs::read_to_string(job.path("new.toml")).unwrap();
    assert!(text.contains("have `0-6`, `6-12`"), "{text}");
    let filled =
        [("layers", "layers = [\"0-6 in\", \"6-12 in\"]"), ("depth_unit", "depth_unit = \"in\"")];
    assert_eq!(prescribed(&job, &filled).map, by_hand.map);

    let one: String = table.split_inclusive('\n').filter(|row| !row.contains("12 in")).collect();
    let job =
        Job::new("", &layers::ground().boundary(), &ends(&one, "depth_top_cm,depth_bottom_cm"));
    started(&job, &ask);
    let text = fs::read_to_string(job.path("new.toml")).unwrap();
    assert!(text.contains("\nsampled_depth = \"0-6 cm\" "), "{text}");
}
