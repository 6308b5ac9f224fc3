//! Parts of a list: run by name or range, by several at a time, and put together.

use std::process::Stdio;

use crate::farm::Farm;

#[test]
fn pieces_of_a_list_come_to_the_whole() {
    let names = ["alder", "birch", "cedar", "dogwood", "elm"];
    let farm = Farm::new("jobs = [\"*/job.toml\"]", &names);
    farm.change("cedar/job.toml", "boundary.geojson", "none.geojson");
    farm.run(&["--out", "whole"]).came_to(4, "4 done, 1 failed");
    let first = farm.out(&["--only", "1-2"]);
    first
        .came_to(0, "2 done")
        .says("`limewright compare out --with fields.toml --out out` puts them together");
    assert!(!farm.path("out/fields.json").exists());
    farm.out(&["--only", "cedar, 5"]).came_to(4, "1 done, 1 failed");
    farm.out(&["--only", "dogwood/job.toml"]).came_to(0, "1 done");
    let mut whole = farm.files("whole");
    // What is of all fields together is written at the end.
    whole.retain(|name, _| name.contains('/'));
    assert_eq!(farm.files("out"), whole);
    // The last word is the same, too.
    farm.out(&[]).came_to(4, "0 done, 1 failed, 4 not changed.");
    assert_eq!(farm.read("out/fields.json"), farm.read("whole/fields.json"));
}

#[test]
fn two_that_write_to_one_place_at_the_same_time_both_work() {
    let names: Vec<String> = (0..8).map(|at| format!("field-{at}")).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let farm = Farm::new("jobs = [\"*/job.toml\"]", &names);
    farm.change("field-1/job.toml", "boundary.geojson", "none.geojson");
    farm.change("field-6/job.toml", "boundary.geojson", "none.geojson");
    let children: Vec<_> = ["1-4", "5-8"]
        .iter()
        .map(|only| {
            let mut command = farm.command(&["--out", "out", "--only", only]);
            command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap()
        })
        .collect();
    for child in children {
        let ran = crate::farm::Ran::of(child.wait_with_output().unwrap());
        ran.came_to(4, "3 done, 1 failed, 0 not changed.");
    }
    farm.run(&["--out", "whole"]).came_to(4, "6 done, 2 failed");
    let mut whole = farm.files("whole");
    // What is of all fields together is written at the end.
    whole.retain(|name, _| name.contains('/'));
    assert_eq!(farm.files("out"), whole);
}

#[test]
fn what_is_not_in_the_list_is_refused_with_the_nearest() {
    let farm = Farm::of_three();
    for (only, part) in [
        ("brich", "did you mean `birch`?"),
        ("2-9", "places from 1 to 3"),
        ("alder,0", "no range of a list of 3"),
    ] {
        farm.out(&["--only", only]).came_to(1, "Refused").says(part);
        assert!(!farm.path("out").exists());
    }
}

/// Runs `compare out` with more arguments, holds it to a status, and returns what it says.
fn compared(farm: &Farm, status: i32, more: &[&str]) -> crate::farm::Ran {
    let mut command = crate::support::limewright();
    command.current_dir(farm.path("")).args(["compare", "out"]).args(more);
    let ran = crate::farm::Ran::of(command.output().unwrap());
    assert_eq!(ran.status, Some(status), "{}", ran.said);
    ran
}

fn compared_with_the_list(farm: &Farm, status: i32) -> crate::farm::Ran {
    compared(farm, status, &["--with", "fields.toml"])
}

#[test]
fn fields_of_the_list_without_a_result_are_told_with_their_names() {
    let farm = Farm::of_three();
    farm.out(&["--only", "birch"]).came_to(0, "1 done");
    let ran = compared_with_the_list(&farm, 4);
    ran.says("finding: 2 of 3 fields of the list have no result here: alder, cedar.");
    assert!(ran.printed.contains("What 2 fields of the list"), "{}", ran.printed);
    farm.out(&["--only", "1,3"]).came_to(0, "2 done");
    assert!(!compared_with_the_list(&farm, 0).said.contains("of the list"));
    farm.change("fields.toml", "*/job.toml", "alder/job.toml");
    compared_with_the_list(&farm, 0)
        .says("finding: 2 results are here that the list does not name: birch, cedar.");
    farm.change("fields.toml", "alder/job.toml", "none/*.toml");
    compared_with_the_list(&farm, 0)
        .says("It is not known whether fields of the list have no result");
}

#[test]
fn files_of_all_fields_that_go_or_are_out_of_date_are_told() {
    let farm = Farm::of_three();
    farm.out(&[]).came_to(0, "3 done");
    let whole = farm.read("out/fields.json");
    farm.out(&["--only", "birch"]).came_to(0, "1 not changed").says(
        "Until then these in out are of an earlier run and out of date: fields.json, fields.csv, \
         fields.html, order.csv, order_lines.csv, order.html.",
    );
    compared(&farm, 0, &["--out", "out"])
        .says("Taken away, because this comparison has none: order.csv, order.html, order_lines.csv; an order")
        .says("where --with names the list");
    assert!(!farm.path("out/order.csv").exists());
    compared(&farm, 0, &["--with", "fields.toml", "--out", "out"]);
    assert!(farm.path("out/order.csv").exists() && farm.path("out/order.html").exists());
    assert_eq!(farm.read("out/fields.json"), whole);
}

#[test]
fn what_a_killed_run_moved_aside_is_told_by_compare() {
    let farm = Farm::of_three();
    farm.out(&[]).came_to(0, "3 done");
    std::fs::create_dir(farm.path("out/.birch.Ab12Cd")).unwrap();
    std::fs::rename(farm.path("out/birch"), farm.path("out/.birch.Ab12Cd/old")).unwrap();
    compared(&farm, 0, &[]).says("finding: out: A run that was killed");
    compared(&farm, 3, &["--strict"]).says("has left .birch.Ab12Cd here");
    compared_with_the_list(&farm, 4).says("1 of 3 fields of the list have no result here: birch.");
}

/// A lock that is never let go ends the wait, and says nothing of the field.
#[test]
fn a_field_that_another_run_keeps_locked_is_not_written_down_as_failed() {
    let farm = Farm::of_three();
    farm.write("out/.birch.limewright-lock", "");
    let lock = std::fs::File::open(farm.path("out/.birch.limewright-lock")).unwrap();
    lock.lock().unwrap();
    let ran = farm.out(&[]);
    ran.came_to(4, "2 done, 1 failed").says("another run is writing to `out/birch`");
    assert!(!farm.path("out/failed").exists());
    drop(lock);
    farm.out(&[]).came_to(0, "1 done, 0 failed, 2 not changed.");
}
