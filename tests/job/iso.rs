//! ISO 11783-10 task data of whole jobs: written, read again with `read`, and refused where they
//! cannot hold the map. Cases P40 to P42 of what goes wrong with such files; the readers of others
//! are tried in `tests/outside`.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

use super::cases;
use super::support::{Job, Outcome, assert_near, limewright, root};

const DATES: &str = "[dates]\nspread = 2026-10-20\nrevision = 1\n";
const ALL: &str = "export.files=[\"iso-xml polygons\", \"iso-xml grid 1\", \"iso-xml grid 2\"]";
const FORMS: [(&str, f64); 3] =
    [("iso-polygons", 0.001), ("iso-grid-1", 0.01), ("iso-grid-2", 0.01)];

/// The job of the other cases, on a square of 400 m, with a day and a revision.
fn square(samples: &str) -> Job {
    let job = cases::JOB.replace("[samples]", &format!("{DATES}[samples]"));
    Job::new(&job.replace("0.001 t/ha", "0.25 t/ha"), cases::SQUARE, samples)
}

/// The folder of a form in a result, with TASKDATA in it.
fn folder(out: &Path, form: &str) -> PathBuf {
    let folders = fs::read_dir(out.join("exports")).unwrap();
    let folders = folders.map(|entry| entry.unwrap().path());
    let of_form = |path: &PathBuf| path.to_string_lossy().ends_with(form);
    folders.into_iter().find(of_form).unwrap()
}

/// What `read` says of a path, and its status.
fn read(path: &Path, more: &[&str]) -> (Value, Option<i32>) {
    let mut command = limewright();
    let done = command.arg("read").arg(path).arg("--json").args(more).output().unwrap();
    let text = String::from_utf8(done.stdout).unwrap();
    let read = serde_json::from_str(&text);
    (read.unwrap_or_else(|_| String::from_utf8(done.stderr).unwrap().into()), done.status.code())
}

fn faults(read: &Value) -> Vec<&str> {
    let faults = read["exports"][0]["faults"].as_array().unwrap().iter();
    faults.map(|fault| fault["key"].as_str().unwrap()).collect()
}

fn check_forms(outcome: &Outcome, out: &Path) {
    let exports = outcome.summary["exports"].as_array().unwrap();
    for ((form, most), export) in FORMS.iter().zip(exports) {
        assert!(export["difference"].as_f64().unwrap().abs() <= *most, "{form}: {export}");
        let summary = out.join("summary.json");
        let against = ["--against", summary.to_str().unwrap(), "--strict"];
        let (read, status) = read(&folder(out, form), &against);
        assert_eq!(status, Some(0), "{form}: {read}");
        let map = &read["exports"][0]["maps"][0];
        assert_eq!(map["unit"], "mg/m2", "{form}");
        assert_eq!(map["against"]["within"], true, "{form}: {map}");
    }
}

#[test]
fn every_form_comes_to_the_ledger_when_it_is_read_again() {
    for field in ["heron_flat", "linden_bank"] {
        let place = tempfile::tempdir().unwrap();
        let out = place.path().join("out");
        let job = root().join("sample_fields").join(field).join("job.toml");
        let mut command = limewright();
        command.arg("prescribe").arg(&job).arg("--out").arg(&out);
        command.args(["--set", "dates.spread=2026-10-20", "--set", "dates.revision=3"]);
        for form in ["iso-xml polygons", "iso-xml grid 1", "iso-xml grid 2"] {
            command.args(["--export", form]);
        }
        let done = command.output().unwrap();
        assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
        check_forms(&Outcome::read(&out), &out);
    }
}

#[test]
fn an_area_that_needs_nothing_is_in_the_file_with_the_rate_0() {
    // P40: the samples of the east need nothing.
    let samples = cases::plain();
    let rows: Vec<String> = samples
        .lines()
        .map(|row| {
            let cells: Vec<&str> = row.split(',').collect();
            let east = cells.get(2).and_then(|lon| lon.parse::<f64>().ok());
            match east {
                Some(lon) if lon > -89.0007 => format!("{},6.8", cells[..3].join(",")),
                _ => row.to_owned(),
            }
        })
        .collect();
    let job = square(&(rows.join("\n") + "\n"));
    let outcome = job.prescribed(&[ALL]);
    check_forms(&outcome, &job.path("out"));
    let rates = outcome.summary["rates"].as_array().unwrap();
    assert!(rates.len() > 1, "{rates:?}");
    for (form, _) in FORMS {
        let (read, _) = read(&folder(&job.path("out"), form), &[]);
        let map = &read["exports"][0]["maps"][0];
        assert_eq!(map["least"], 0.0, "{form}: {map}");
        // Nothing of the field is without a rate, and nothing outside has one.
        assert_eq!(map["area_without_rate"]["value"], 0.0, "{form}");
        let area = map["area"]["value"].as_f64().unwrap();
        let whole = outcome.value("/area");
        assert_near(area / whole, 1.0, 0.01, form);
    }
}

#[test]
fn what_is_spread_outside_the_field_is_in_its_cells_and_not_in_its_total() {
    let job = square(&cases::plain());
    let sets = [ALL, "export.out_of_field_rate=2 t/ha", "export.signal_lost_rate=1 t/ha"];
    let outcome = job.prescribed(&sets);
    check_forms(&outcome, &job.path("out"));
    let text =
        fs::read_to_string(folder(&job.path("out"), "iso-grid-2").join("TASKDATA/TASKDATA.XML"));
    let text = text.unwrap();
    // 1 t/ha is 100,000 mg/m2.
    for (zone, value) in [("Out of field", 200_000), ("Position lost", 100_000)] {
        let (_, rest) = text.split_once(zone).unwrap();
        let (found, _) = rest.split_once("</TZN>").unwrap();
        assert!(found.contains(&format!("B=\"{value}\"")), "{zone}: {found}");
    }
    let effective = fs::read_to_string(job.path("out/job.effective.toml")).unwrap();
    assert!(effective.contains("out_of_field_rate = \"2 t/ha\""), "{effective}");
    assert!(outcome.finding("export_rate_above_the_greatest").is_none());
    let much = square(&cases::plain()).prescribed(&[ALL, "export.signal_lost_rate=99 t/ha"]);
    let said = much.finding("export_rate_above_the_greatest").unwrap();
    assert!(said.contains("`export.signal_lost_rate` is 99 t/ha"), "{said}");
    let told = square(&cases::plain()).prescribed(&sets[1..]);
    let told = told.finding("unused_keys").unwrap_or_default().to_owned();
    assert!(told.contains("export.out_of_field_rate"), "{told}");
    assert!(told.contains("export.signal_lost_rate"), "{told}");
    let refused = square(&cases::plain()).refused(&[ALL, "export.out_of_field_rate=2 miles"]);
    assert!(refused.contains("2 miles"), "{refused}");
}

#[test]
fn more_rates_than_a_file_has_codes_for_are_refused_with_what_to_do() {
    let job = square(&cases::plain());
    let many = ["spreader.step=1 kg/ha", "grid.cell=10 m"];
    let refused = job.refused(&[&many[..], &["export.files=[\"iso-xml grid 1\"]"]].concat());
    for word in ["iso-xml grid 1", "252", "coarser step", "iso-xml grid 2"] {
        assert!(refused.contains(word), "{word}: {refused}");
    }
    let outcome = job.prescribed(&[&many[..], &["export.files=[\"iso-xml grid 2\"]"]].concat());
    assert_eq!(outcome.summary["exports"][0]["format"], "iso-xml grid 2");
}

/// A copy of a folder of the test data in a folder TASKDATA.
fn copied(name: &str, into: &Path) -> PathBuf {
    let folder = into.join("TASKDATA");
    fs::create_dir_all(&folder).unwrap();
    for entry in fs::read_dir(root().join("tests/data/isoxml").join(name)).unwrap() {
        let path = entry.unwrap().path();
        fs::copy(&path, folder.join(path.file_name().unwrap())).unwrap();
    }
    folder
}

#[test]
fn task_data_of_others_are_read_from_folders_files_and_archives() {
    let place = tempfile::tempdir().unwrap();
    let folder = copied("tiny_type2", place.path());
    for path in [place.path().to_owned(), folder.clone(), folder.join("TASKDATA.XML")] {
        let (read, status) = read(&path, &["--strict"]);
        assert_eq!(status, Some(0), "{read}");
        assert_eq!(read["exports"][0]["format"], "ISO 11783-10, grid type 2");
        let map = &read["exports"][0]["maps"][0];
        assert_eq!((&map["least"], &map["greatest"]), (&0.0.into(), &450_000.0.into()));
        assert_eq!(map["cells"], 4);
    }
    fs::write(folder.join("._TASKDATA.XML"), b"\0").unwrap();
    fs::remove_file(folder.join("GRD00001.bin")).unwrap();
    let (read, status) = read(place.path(), &["--strict"]);
    assert_eq!(status, Some(3), "{read}");
    let told = faults(&read);
    assert!(told.contains(&"stray_files") && told.contains(&"iso_grid_file_missing"), "{told:?}");
}

#[test]
fn the_folder_of_all_exports_shows_task_data_among_them() {
    let job = Job::on(&super::four_cells::ground());
    job.prescribed(&[
        "dates.spread=2026-10-20",
        "dates.revision=1",
        "export.files=[\"csv\",\"iso-xml grid 2\",\"iso-xml polygons\"]",
    ]);
    let read = job.run(&["read", "out/exports"]);
    let told = String::from_utf8(read.stdout).unwrap();
    assert!(read.status.success(), "{}", String::from_utf8_lossy(&read.stderr));
    assert_eq!(told.matches("TASKDATA.XML").count(), 2, "{told}");
    assert!(told.contains(".csv"), "{told}");
}
