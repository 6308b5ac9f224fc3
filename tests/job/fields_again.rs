//! A list that is run again: what changed is run, what did not is skipped, and a run that was
//! killed goes on.

use std::fs;
use std::process::Stdio;
use std::thread;
use std::time::{Duration, Instant};

use crate::farm::{BARE, Farm};

const NONE: &str = "0 done, 0 failed, 3 not changed.";
const ONE: &str = "1 done, 0 failed, 2 not changed.";

#[test]
fn nothing_is_run_again_where_nothing_changed() {
    let farm = Farm::of_three();
    let first = farm.out(&[]);
    let before = farm.files("out");
    let second = farm.out(&[]);
    second.came_to(0, NONE);
    assert_eq!(farm.files("out"), before);
    assert_eq!(second.printed, first.printed);
    farm.out(&["--again"]).came_to(0, "3 done, 0 failed, 0 not changed.");
    assert_eq!(farm.files("out"), before);
}

#[test]
fn each_kind_of_change_runs_the_fields_that_it_touches() {
    let farm = Farm::of_three();
    farm.out(&[]).came_to(0, "3 done");
    let changes: [(&str, &dyn Fn()); 6] = [
        ("the samples", &|| farm.change("birch/samples.csv", "5.55", "5.5")),
        ("the job's own settings", &|| {
            farm.write("birch/job.toml", &format!("{BARE}[target]\nph = 6.8\n"));
        }),
        ("a file that belongs to the boundary comes", &|| farm.write("birch/boundary.prj", "x")),
        ("and goes", &|| fs::remove_file(farm.path("birch/boundary.prj")).unwrap()),
        ("a file of the result is gone", &|| {
            fs::remove_file(farm.path("out/birch/map.svg")).unwrap();
        }),
        ("the record is of another program", &|| {
            let record = farm.read("out/birch/run.json");
            let other = record.replacen("\"version\": \"", "\"version\": \"9", 1);
            farm.write("out/birch/run.json", &other);
            // As that other program would have written it down.
            let list = "out/birch/.limewright-files.json";
            let sum = |text: &str| limewright::hash::sha256(text.as_bytes());
            farm.change(list, &sum(&record), &sum(&other));
        }),
    ];
    for (what, change) in changes {
        change();
        let ran = farm.out(&[]);
        assert!(ran.said.contains(ONE), "{what}: {}", ran.said);
        farm.out(&[]).came_to(0, NONE);
    }
    farm.out(&["--set", "spreader.payload=12 ton"]).came_to(0, "3 done");
    farm.out(&[]).came_to(0, "3 done");
    farm.change("fields.toml", "payload = \"16 ton\"", "payload = \"14 ton\"");
    farm.out(&[]).came_to(0, "3 done");
    farm.out(&["--allow-unverified"]).came_to(0, "3 done");
}

#[test]
fn a_result_that_the_user_changed_is_not_written_over() {
    let farm = Farm::of_three();
    farm.out(&[]).came_to(0, "3 done");
    farm.write("out/birch/driver.html", "mine");
    let ran = farm.out(&[]);
    ran.came_to(4, "0 done, 1 failed, 2 not changed.").says("driver.html (changed");
    assert_eq!(farm.read("out/birch/driver.html"), "mine");
}

#[test]
fn a_comment_in_what_is_shared_changes_nothing_and_a_new_job_runs_alone() {
    let farm = Farm::of_three();
    farm.out(&[]).came_to(0, "3 done");
    farm.change("fields.toml", "[target]", "# a remark\n[target]");
    farm.out(&[]).came_to(0, NONE);
    farm.write("dogwood/job.toml", BARE);
    farm.field("dogwood", 4);
    farm.out(&[]).came_to(0, "1 done, 0 failed, 3 not changed.");
    assert_eq!(farm.json("out/fields.json")["fields"].as_array().unwrap().len(), 4);
}

#[test]
fn results_of_fields_that_are_no_longer_in_the_list_are_told_and_left() {
    let farm = Farm::of_three();
    farm.change("cedar/job.toml", "boundary.geojson", "none.geojson");
    farm.out(&[]).came_to(4, "2 done, 1 failed");
    farm.change("fields.toml", "*/job.toml", "alder/job.toml");
    let ran = farm.out(&[]);
    ran.came_to(0, "0 done, 0 failed, 1 not changed.")
        .says("finding: out: It holds results of fields that the list does not name: birch;");
    ran.says("Failures of fields that the list does not name are forgotten: cedar.");
    assert!(!farm.path("out/failed").exists());
    assert!(farm.path("out/birch/summary.json").exists());
    farm.out(&["--strict"]).came_to(3, "1 not changed");
    assert!(!farm.out(&["--only", "alder"]).said.contains("does not name"));
}

/// Killed at whatever moment, a run leaves whole results only, and the next one goes on.
#[test]
fn a_run_that_is_killed_goes_on_where_it_was() {
    let names: Vec<String> = (0..12).map(|at| format!("field-{at:02}")).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let farm = Farm::new("jobs = [\"*/job.toml\"]", &names);
    farm.run(&["--out", "whole"]).came_to(0, "12 done");
    let whole = farm.files("whole");
    let mut went_on = false;
    for wanted in [1, 4, 8] {
        let _ = fs::remove_dir_all(farm.path("out"));
        let mut command = farm.command(&["--out", "out"]);
        command.env("RAYON_NUM_THREADS", "2").stdout(Stdio::null()).stderr(Stdio::null());
        let mut child = command.spawn().unwrap();
        let finished = |at: &&&str| farm.path(&format!("out/{at}/summary.json")).exists();
        let start = Instant::now();
        while names.iter().filter(finished).count() < wanted && start.elapsed().as_secs() < 60 {
            thread::sleep(Duration::from_millis(1));
        }
        child.kill().unwrap();
        child.wait().unwrap();
        for name in names.iter().filter(finished) {
            let inner = |file: &&String| file.starts_with(&format!("{name}/"));
            let files = farm.files(&format!("out/{name}"));
            assert_eq!(files.len(), whole.keys().filter(inner).count(), "{name} is half-written");
        }
        let ran = farm.out(&[]);
        assert_eq!(ran.status, Some(0), "{}", ran.said);
        went_on |= !ran.said.contains(" 0 not changed");
        assert_eq!(farm.files("out"), whole, "after {wanted}");
    }
    assert!(went_on, "no run was killed after its first field");
}

#[test]
fn what_a_kill_between_two_steps_leaves_is_cleared_away() {
    let farm = Farm::of_three();
    farm.out(&[]).came_to(0, "3 done");
    let before = farm.files("out");
    // As between the two renames of a field: the old result is moved aside, the new one not there.
    fs::create_dir(farm.path("out/.birch.Ab12Cd")).unwrap();
    fs::rename(farm.path("out/birch"), farm.path("out/.birch.Ab12Cd/old")).unwrap();
    farm.write("out/.birch.Ab12Cd/new/summary.json", "half");
    farm.write("out/.limewright-new.Ab12Cd/fields.json", "half");
    farm.out(&[]).came_to(0, NONE);
    assert_eq!(farm.files("out"), before);
}
