//! Finished fields side by side: `compare` as its users meet it.

use std::fs;
use std::path::Path;

use serde_json::Value;

use super::support::{Ground, JOB, Job, Sample, assert_near, limewright};

/// A field of 300 m whose pH rises to the east, in a folder of its own below `maps`.
fn ground() -> Ground {
    let sample = |east_m: f64, north_m: f64| Sample {
        east_m,
        north_m,
        ph: 5.6 + east_m / 500.0 + north_m / 2_000.0,
        buffer_ph: Some(6.3 + east_m / 1_000.0),
    };
    let places = [-120.0, 0.0, 120.0];
    let samples = places.iter().flat_map(|&east| places.map(|north| sample(east, north))).collect();
    Ground::square(300.0, samples)
}

/// Fields prescribed into `maps/NAME`, each with what is set over the job.
fn fields(list: &[(&str, &[&str])]) -> Job {
    let job = Job::on(&ground());
    for (name, sets) in list {
        let out = format!("maps/{name}");
        let mut arguments = vec!["prescribe", "job.toml", "--out", &out];
        for set in *sets {
            arguments.extend(["--set", set]);
        }
        let output = job.run(&arguments);
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    }
    job
}

fn json(path: &Path) -> Value {
    serde_json::from_slice(&fs::read(path).unwrap()).unwrap()
}

/// Runs `compare`, which must end with `status`; what it prints and what it says.
fn compared(job: &Job, status: i32, arguments: &[&str]) -> (String, String) {
    let mut all = vec!["compare"];
    all.extend(arguments);
    let output = job.run(&all);
    let [out, said] = [output.stdout, output.stderr].map(|text| String::from_utf8(text).unwrap());
    assert_eq!(output.status.code(), Some(status), "{said}");
    (out, said)
}

#[test]
fn two_fields_are_compared_and_the_files_written_beside_them() {
    let job = fields(&[
        ("north", &["field.name=\"North, upper\"", "field.customer=\"=Fen <b>\""]),
        ("south", &["material.effective=\"80 % as received\"", "units=\"metric\""]),
    ]);
    let (text, said) =
        compared(&job, 0, &["maps", "--units", "us", "--sort", "need", "--out", "maps"]);
    assert!(text.contains("2 fields compared") && text.contains("=Fen <b>"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 100), "{text}");
    assert!(
        said.contains("Converted from hectares") && said.contains("1 of 2 fields (south)"),
        "{said}"
    );
    let result = json(&job.path("maps/fields.json"));
    let summary = |name: &str| json(&job.path(&format!("maps/{name}/summary.json")));
    let value = |of: &Value, pointer: &str| of.pointer(pointer).unwrap().as_f64().unwrap();
    let (north, south) = (summary("north"), summary("south"));
    // Short tons of 907.18474 kg.
    let need =
        value(&north, "/need_total/value") + value(&south, "/need_total/value") / 0.907_184_74;
    let all = &result["comparison"]["totals"]["all"];
    assert_near(value(all, "/need_total/value"), need, need * 1e-9, "need of both");
    assert_eq!(all["products"].as_array().unwrap().len(), 2, "product is not added");
    let row = &result["fields"][1];
    assert_eq!(row["product_total"], south["product_total"], "rows stay in their own units");

    let mut table = csv::Reader::from_path(job.path("maps/fields.csv")).unwrap();
    let heads = table.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = table.records().map(Result::unwrap).collect();
    let cell = |row: usize, head: &str| {
        let at = heads.iter().position(|found| found == head).unwrap();
        rows[row].get(at).unwrap().to_owned()
    };
    let north_row = usize::from(cell(0, "id") != "north");
    assert_eq!(cell(north_row, "customer"), "'=Fen <b>");
    assert_eq!(cell(north_row, "field"), "North, upper");
    let number = |head: &str| cell(north_row, head).parse::<f64>().unwrap();
    assert_eq!(number("need_ton"), value(&north, "/need_total/value"), "in full precision");
    let sorted: Vec<f64> = (0..2).map(|row| cell(row, "need_ton").parse().unwrap()).collect();
    assert!(sorted[0] >= sorted[1]);
    assert_eq!(cell(1 - north_row, "converted_from"), "metric");

    let page = fs::read_to_string(job.path("maps/fields.html")).unwrap();
    assert!(page.contains("=Fen &lt;b&gt;") && !page.contains("<b>"));
    assert_eq!(page.matches("<figure>").count(), 2);
    let outside = page.replace("http://www.w3.org/2000/svg", "");
    let asks = ["http://", "https://", "src=\"", "@import", "url(http"];
    assert!(asks.iter().all(|part| !outside.contains(part)), "the page asks for nothing");

    // Its own files are replaced; a comparison of the result is the result.
    let first = fs::read(job.path("maps/fields.json")).unwrap();
    compared(&job, 0, &["maps", "--units", "us", "--out", "maps"]);
    assert_eq!(fs::read(job.path("maps/fields.json")).unwrap(), first);
    let (again, _) = compared(&job, 0, &["maps/fields.json", "--units", "us", "--json"]);
    assert_eq!(again.as_bytes(), first);
    fs::write(job.path("maps/fields.csv"), "mine").unwrap();
    let (_, said) = compared(&job, 1, &["maps", "--out", "maps"]);
    assert!(said.contains("fields.csv (changed since it was written)"), "{said}");
    assert_eq!(fs::read(job.path("maps/fields.csv")).unwrap(), b"mine");
}

#[test]
fn fields_are_told_apart_by_their_folders() {
    let job = fields(&[
        ("north", &["field.name=\"The long field behind the mill\"", "field.customer=\" \""]),
        ("south", &["field.name=\"The long field behind the moor\""]),
        ("west", &["field.name=\"\""]),
    ]);
    let (text, _) = compared(&job, 0, &["maps"]);
    // Names that look alike when they are cut give way to the folders in every table.
    let rows = |name: &str| text.lines().filter(|line| line.starts_with(name)).count();
    assert!(rows("north ") > 1 && rows("north ") == rows("south "), "{text}");
    assert_eq!((rows("The long"), rows("west ")), (0, rows("north ")), "{text}");
    assert!(text.contains("Folder") && !text.contains("By customer"), "{text}");
    let (csv, _) = compared(&job, 0, &["maps", "--csv"]);
    assert!(csv.contains("\r\nwest,west,"), "{csv}");
}

#[test]
fn one_name_from_two_places_is_told_with_both_unless_it_is_the_same_result() {
    let job = fields(&[("north", &[])]);
    let copy = |to: &str| {
        fs::create_dir_all(job.path(to)).unwrap();
        fs::copy(job.path("maps/north/summary.json"), job.path(&format!("{to}/summary.json")))
            .unwrap();
    };
    copy("other/north");
    let (text, _) = compared(&job, 0, &["maps", "other", "maps/north"]);
    assert!(text.contains("1 field compared"), "{text}");
    let path = job.path("other/north/summary.json");
    let mut changed = json(&path);
    changed["job_effective_sha256"] = "0".repeat(64).into();
    let changed = changed.to_string();
    fs::write(&path, changed).unwrap();
    let (out, said) = compared(&job, 1, &["maps", "other"]);
    assert!(out.is_empty());
    assert!(
        said.contains("other/north/summary.json") && said.contains("maps/north/summary.json"),
        "{said}"
    );
}

#[test]
fn what_cannot_be_read_is_listed_all_and_nothing_is_written() {
    let job = fields(&[("north", &[])]);
    for (name, text) in [
        ("maps/east/summary.json", "{"),
        ("maps/west/summary.json", "{\"schema\": \"something-else\"}"),
        ("empty/readme.txt", ""),
    ] {
        fs::create_dir_all(job.path(name).parent().unwrap()).unwrap();
        fs::write(job.path(name), text).unwrap();
    }
    let (out, said) = compared(&job, 1, &["maps", "empty", "none.json", "--out", "out"]);
    assert!(out.is_empty() && !job.path("out").exists());
    for part in [
        "maps/east/summary.json",
        "its `schema` is `something-else`",
        "the folder holds no finished result",
        "none.json",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    // A number that no result holds.
    let good = fs::read_to_string(job.path("maps/north/summary.json")).unwrap();
    let start = good.find("\"need_total\"").unwrap();
    let wrong = format!("{}{}", &good[..start], good[start..].replacen("\"ton\"", "\"lb\"", 1));
    fs::write(job.path("maps/north/summary.json"), wrong).unwrap();
    let (_, said) = compared(&job, 1, &["maps/north"]);
    assert!(said.contains("`need_total`") && said.contains("lb"), "{said}");
}

#[test]
fn failed_fields_are_listed_and_end_in_their_own_status() {
    let job = fields(&[("north", &[])]);
    fs::create_dir(job.path("maps/failed")).unwrap();
    let failed = "{\"id\": \"west\", \"job\": \"west.toml\", \"reasons\": [\"the <i>boundary</i> is missing\"]}";
    fs::write(job.path("maps/failed/west.json"), failed).unwrap();
    let (text, _) = compared(&job, 4, &["maps", "--out", "out"]);
    assert!(
        text.contains("1 failed") && text.contains("west (west.toml): the <i>boundary"),
        "{text}"
    );
    let page = fs::read_to_string(job.path("out/fields.html")).unwrap();
    assert!(page.contains("the &lt;i&gt;boundary&lt;/i&gt; is missing"));
    assert_eq!(json(&job.path("out/fields.json"))["failed"][0]["id"], "west");
}

#[test]
fn a_column_that_is_none_is_refused_with_the_nearest_and_findings_count_under_strict() {
    let job = fields(&[("north", &[]), ("south", &["target.ph=6.9"])]);
    let (_, said) = compared(&job, 1, &["maps", "--sort", "ned"]);
    assert!(said.contains("did you mean `need`?"), "{said}");
    let first = |sort: &str| {
        let (csv, _) = compared(&job, 0, &["maps", "--csv", "--sort", sort]);
        csv.lines().nth(1).unwrap().split(',').next().unwrap().to_owned()
    };
    assert_eq!((first("need"), first("-need")), ("south".to_owned(), "north".to_owned()));
    let (_, said) = compared(&job, 3, &["maps", "--strict"]);
    assert!(said.contains("2 different targets"), "{said}");
    fs::write(job.path("list.toml"), "jobs = [\"a.toml\"]\n[calender]\n").unwrap();
    let (_, said) = compared(&job, 1, &["maps", "--with", "list.toml"]);
    assert!(said.contains("calendar"), "{said}");
}

#[test]
fn of_very_many_fields_the_largest_orders_are_drawn_and_all_are_counted() {
    let job = fields(&[("north", &[])]);
    let text = fs::read(job.path("maps/north/summary.json")).unwrap();
    for number in 0..204 {
        let folder = job.path(&format!("maps/f{number:03}"));
        fs::create_dir(&folder).unwrap();
        fs::write(folder.join("summary.json"), &text).unwrap();
    }
    compared(&job, 0, &["maps", "--out", "out"]);
    let page = fs::read_to_string(job.path("out/fields.html")).unwrap();
    assert_eq!(page.matches("<figure>").count(), 200);
    assert!(page.contains("5 with smaller orders are not drawn"));
    assert_eq!(page.matches("<tr><th data-value=").count(), 205);
    let result = json(&job.path("out/fields.json"));
    assert_eq!(result["comparison"]["totals"]["all"]["fields"], 205);
    // The page is that of a folder run elsewhere too.
    let output =
        limewright().current_dir(job.path("maps")).args(["compare", "."]).output().unwrap();
    assert!(String::from_utf8(output.stdout).unwrap().contains("205 fields compared"));
}

/// The squares of a sketch, worked out again from the cells of the rate map.
#[test]
fn a_sketch_shows_the_commonest_rate_of_each_square() {
    let job = Job::new(JOB, &ground().boundary(), &ground().table());
    let outcome = job.prescribed(&["grid.cell=5 m", "grid.heading=20 deg"]);
    let sketch = &outcome.summary["sketch"];
    let rates: Vec<f64> =
        sketch["rates"].as_str().unwrap().split(' ').map(|rate| rate.parse().unwrap()).collect();
    let rows: Vec<Vec<char>> = sketch["rows"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| row.as_str().unwrap().chars().collect())
        .collect();
    let side_ft = sketch["square"]["value"].as_f64().unwrap();
    let together = (side_ft * 0.3048 / 5.0).round() as usize;
    assert!(rows.len().max(rows[0].len()) <= 32 && together > 1, "{together}");
    let mut squares = vec![vec![Vec::<(f64, f64)>::new(); rows[0].len()]; rows.len()];
    for feature in outcome.features() {
        let part = |key: &str| feature["properties"][key].as_f64().unwrap();
        let name = feature["properties"]["cell"].as_str().unwrap();
        let (row, column) = name.trim_end_matches(char::is_alphabetic).split_once('-').unwrap();
        let [row, column] = [row, column].map(|number| number.parse::<usize>().unwrap() / together);
        squares[row][column].push((part("rate_ton_ac"), part("area_ac")));
    }
    let whole_ac = (side_ft * side_ft) / 43_560.0;
    for (row, of_row) in squares.iter().enumerate() {
        for (column, square) in of_row.iter().enumerate() {
            let covered: f64 = square.iter().map(|(_, area)| area).sum();
            let shown = rows[row][column];
            if covered < whole_ac * 0.499_999 {
                assert_eq!(shown, '.', "{row} {column}");
                continue;
            }
            let area_of = |rate: f64| -> f64 {
                square.iter().filter(|one| one.0 == rate).map(|(_, area)| area).sum()
            };
            let most = square.iter().map(|one| area_of(one.0)).fold(0.0, f64::max);
            let rate = match shown {
                '.' => continue,
                '0' => 0.0,
                letter => rates[letter.to_digit(36).unwrap() as usize - 1],
            };
            assert_near(area_of(rate), most, 1e-6, &format!("{row} {column}"));
        }
    }
    let text = serde_json::to_string_pretty(sketch).unwrap();
    assert!(text.len() < 2_500, "{} bytes", text.len());
}

#[test]
fn of_more_rates_than_letters_neighbours_are_drawn_as_one() {
    let mut ground = ground();
    for sample in &mut ground.samples {
        sample.buffer_ph = sample.buffer_ph.map(|buffer| buffer + sample.north_m / 3_000.0);
    }
    let job = Job::new(JOB, &ground.boundary(), &ground.table());
    let outcome = job.prescribed(&[
        "grid.cell=8 m",
        "spreader.step=\"0.001 ton/ac\"",
        "spreader.max_rate=\"12 ton/ac\"",
    ]);
    let sketch = &outcome.summary["sketch"];
    let rates: Vec<&str> = sketch["rates"].as_str().unwrap().split(' ').collect();
    assert!((30..=61).contains(&rates.len()), "{}", rates.len());
    let in_map = |rate: &str| {
        let rate: f64 = rate.parse().unwrap();
        let rates = outcome.summary["rates"].as_array().unwrap();
        rates.iter().any(|part| part["rate"]["value"].as_f64() == Some(rate))
    };
    assert!(rates.iter().all(|rate| in_map(rate)), "{rates:?}");
    let letters = "123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz";
    let known = format!("0.{}", &letters[..rates.len()]);
    let rows = sketch["rows"].as_array().unwrap();
    let used: String = rows.iter().map(|row| row.as_str().unwrap()).collect();
    assert!(used.chars().all(|letter| known.contains(letter)), "{used}");
    assert!(used.contains(known.chars().last().unwrap()), "the greatest rate is shown");
}
