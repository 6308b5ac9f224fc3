//! What the fields of a list share with each other, and what is their own.

use crate::farm::{BARE, Farm};

fn effective(farm: &Farm, id: &str) -> toml::Table {
    farm.read(&format!("out/{id}/job.effective.toml")).parse().unwrap()
}

#[test]
fn a_fields_own_settings_win_key_by_key_and_set_goes_over_both() {
    let farm = Farm::of_three();
    farm.write(
        "birch/job.toml",
        &format!(
            "units = \"?\"\n{BARE}[target]\nph = 6.8\n[spreader]\nmax_rate = \"2.5 ton/ac\"\n"
        ),
    );
    farm.write("cedar/job.toml", &format!("units = \"metric\"\n{BARE}"));
    farm.out(&["--set", "spreader.payload=20 ton"]).came_to(0, "3 done");
    let (alder, birch, cedar) =
        (effective(&farm, "alder"), effective(&farm, "birch"), effective(&farm, "cedar"));
    for (table, units, ph, most) in [
        (&alder, "us", 6.5, "3 ton/ac"),
        (&birch, "us", 6.8, "2.5 ton/ac"),
        (&cedar, "metric", 6.5, "3 ton/ac"),
    ] {
        assert_eq!(table["units"].as_str(), Some(units));
        assert_eq!(table["target"]["ph"].as_float(), Some(ph));
        assert_eq!(table["spreader"]["max_rate"].as_str(), Some(most));
        assert_eq!(table["spreader"]["min_rate"].as_str(), Some("1 ton/ac"));
        assert_eq!(table["spreader"]["payload"].as_str(), Some("20 ton"));
    }
}

#[test]
fn what_a_field_says_in_another_way_is_its_own() {
    let farm = Farm::of_three();
    farm.write(
        "birch/job.toml",
        &format!(
            "{BARE}[target]\ncrop = \"corn\"\nguide = \"pennsylvania\"\n[spreader]\nrates = [\"0 ton/ac\", \"2 ton/ac\"]\n\
             [material]\ncce = \"92 % dry\"\nmoisture = \"6 %\"\n\
             fineness = {{ scheme = \"iowa\", passing = {{ \"4\" = \"100 %\", \"8\" = \"90 %\", \
             \"60\" = \"55 %\" }} }}\n"
        ),
    );
    farm.out(&[]).came_to(0, "3 done");
    let birch = effective(&farm, "birch");
    assert!(birch["target"].get("ph").is_none() && birch["spreader"].get("step").is_none());
    assert!(birch["material"].get("effective").is_none());
    assert_eq!(birch["material"]["kind"].as_str(), Some("calcitic limestone"));
}

#[test]
fn each_fault_is_told_where_it_stands() {
    let farm = Farm::of_three();
    farm.write("alder/job.toml", &format!("{BARE}[target]\nph = 64\n"));
    farm.write("birch/job.toml", &format!("{BARE}[need]\nmetod = \"x\"\n"));
    farm.change("fields.toml", "payload = \"16 ton\"", "payload = \"16 lightyears\"");
    let ran = farm.out(&[]);
    ran.came_to(4, "0 done, 3 failed")
        .says("alder/job.toml:6:6")
        .says("birch/job.toml:6:1")
        .says("did you mean `method`?")
        .says("fields.toml:23:11");
    let reasons = |id: &str| farm.json(&format!("out/failed/{id}.json"))["reasons"].to_string();
    for (id, part) in [
        ("alder", "alder/job.toml, line 6, character 6"),
        ("alder", "fields.toml, line 23, character 11"),
        ("birch", "birch/job.toml, line 6, character 1: unknown key `need.metod`"),
        ("cedar", "fields.toml, line 23, character 11"),
    ] {
        assert!(reasons(id).contains(part), "{id} {part}: {}", reasons(id));
    }
    // A value of the wrong kind is found when the list is read.
    farm.change("fields.toml", "ph = 6.5", "ph = \"6.5\"");
    farm.out(&[]).came_to(1, "Refused").says("fields.toml:10:6");
}

#[test]
fn a_fault_in_set_is_told_of_set() {
    let farm = Farm::of_three();
    let ran = farm.out(&["--set", "target.ph=64"]);
    ran.came_to(4, "3 failed").says("where: --set target.ph=64");
}

#[test]
fn a_set_that_no_job_can_take_is_refused_before_any_field_runs() {
    let farm = Farm::of_three();
    farm.out(&["--set", "targt.ph=6.5"])
        .came_to(1, "Refused; nothing was written.")
        .says("where: --set targt.ph=6.5");
    assert!(!farm.path("out").exists());
}

#[test]
fn where_every_field_fails_the_files_of_all_stand_as_they_were() {
    let farm = Farm::of_three();
    farm.out(&[]).came_to(0, "3 done");
    let before = farm.files("out");
    farm.out(&["--set", "target.ph=64"]).came_to(4, "0 done, 3 failed").says(
        "Every field failed, so these in out stand as an earlier run wrote them: fields.json, \
         fields.csv, fields.html, order.csv, order_lines.csv, order.html.",
    );
    let mut after = farm.files("out");
    after.retain(|name, _| !name.starts_with("failed/"));
    assert_eq!(after, before);
}

#[test]
fn a_blank_that_nobody_filled_in_is_told_in_the_job() {
    let farm = Farm::of_three();
    farm.write("birch/job.toml", &format!("{BARE}[haul]\ntruck_payload = \"?\"\n"));
    farm.out(&[]).came_to(4, "2 done, 1 failed").says("`haul.truck_payload` is still a blank");
    farm.write("fields.toml", &(farm.read("fields.toml") + "[haul]\ntruck_payload = \"25 ton\"\n"));
    farm.out(&[]).came_to(0, "3 done");
}

#[test]
fn what_start_writes_of_many_fields_runs() {
    let farm = Farm::of_three();
    let shared = "jobs = [\"one.toml\"]\n#:schema fields.schema.json\nunits = \"?\"\n";
    farm.change("fields.toml", "jobs = [\"*/job.toml\"]", shared);
    farm.change("fields.toml", "units = \"us\"\n", "");
    let own =
        BARE.replace("\"boundary", "\"alder/boundary").replace("\"samples.", "\"alder/samples.");
    farm.write("one.toml", &format!("units = \"us\"\n{own}"));
    farm.out(&[]).came_to(0, "1 done");
}
