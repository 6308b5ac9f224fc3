//! Many fields: results, failures, names, and files of the user's.

use std::fs;

use crate::farm::{BARE, Farm, SHARED};

const THREE: &str = "3 done, 0 failed, 0 not changed.";

#[test]
fn each_field_has_a_folder_and_all_together_a_file() {
    let farm = Farm::of_three();
    let ran = farm.out(&[]);
    ran.came_to(0, THREE).says("Written to out.");
    assert!(ran.printed.starts_with("3 fields compared"), "{}", ran.printed);
    assert!(ran.printed.contains("\nOrder sheet"), "{}", ran.printed);
    for name in ["alder", "birch", "cedar"] {
        assert!(ran.printed.lines().any(|line| line.starts_with(name)), "{name} {}", ran.printed);
        for file in ["rate_map.geojson", "summary.json", "driver.html", "run.json"] {
            assert!(farm.path(&format!("out/{name}/{file}")).exists(), "{name} {file}");
        }
    }
    let all = farm.json("out/fields.json");
    let ids: Vec<&str> =
        all["fields"].as_array().unwrap().iter().map(|row| row["id"].as_str().unwrap()).collect();
    assert_eq!(ids, ["alder", "birch", "cedar"]);
    // Without a name of its own a field is called as its folder is, not as its boundary's file.
    assert_eq!(all["fields"][0]["field"]["name"], "alder");
    assert!(!farm.path("out/failed").exists());
    for file in ["fields.csv", "fields.html", "order.csv", "order_lines.csv", "order.html"] {
        assert!(farm.path(&format!("out/{file}")).exists(), "{file}");
    }
    assert!(!farm.path("out/plan.csv").exists(), "no plan was asked for");
    let printed = farm.run(&["--json"]);
    printed.came_to(0, THREE).says("Nothing was written; name a folder with --out");
    assert_eq!(printed.printed, farm.read("out/fields.json"));
}

#[test]
fn the_list_of_the_sample_fields_runs_and_holds_both() {
    let place = tempfile::tempdir().unwrap();
    let list = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_fields/fields.toml");
    let output = crate::support::limewright()
        .current_dir(place.path())
        .arg("fields")
        .arg(list)
        .args(["--out", "season"])
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let text = fs::read_to_string(place.path().join("season/fields.json")).unwrap();
    let result: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(result["comparison"]["totals"]["all"]["fields"], 2);
    assert_eq!(result["order"]["visits"].as_array().unwrap().len(), 2);
    assert_eq!(result["order"]["visits"][0]["begins"], "2026-10-05");
    assert!(result["fields"][0]["work"]["covers"].as_array().unwrap().len() > 2, "{text}");
}

#[test]
fn a_plan_leaves_out_what_does_not_fit_and_the_order_follows_it() {
    let farm = Farm::of_three();
    let list = farm.read("fields.toml");
    let asks = |table: &str| farm.write("fields.toml", &format!("{list}\n{table}"));
    farm.out(&[]).came_to(0, THREE);
    let whole = farm.json("out/fields.json");
    let order_of = |at: usize| whole["fields"][at]["to_order"]["value"].as_f64().unwrap();
    // Enough for one of them and not for two.
    let limit = (0..3).map(order_of).fold(0.0, f64::max) + 1.0;
    asks(&format!("[allotment]\nlimit = \"{limit} ton\"\nmust = [\"cedar\"]\n"));
    let planned = farm.out(&[]);
    planned.came_to(0, "0 done, 0 failed, 3 not changed.");
    assert!(planned.printed.contains("When there is not enough"), "{}", planned.printed);
    let result = farm.json("out/fields.json");
    let decisions: Vec<&str> = result["plan"]["fields"]
        .as_array()
        .unwrap()
        .iter()
        .map(|field| field["decision"].as_str().unwrap())
        .collect();
    assert_eq!(decisions, ["held back", "held back", "all"]);
    let visits = result["order"]["visits"].as_array().unwrap();
    assert_eq!(visits.len(), 1, "{visits:?}");
    assert_eq!(visits[0]["id"], "cedar");
    assert!(farm.path("out/plan.csv").exists());
    // What cannot be planned is told, and what is written of the fields stands.
    asks("[allotment]\nlimit = \"1 ton\"\nmust = [\"cedar\"]\n");
    let refused = farm.out(&[]);
    refused.came_to(4, "0 done, 0 failed, 3 not changed. There is no plan.");
    let all_fields = "This order is of all fields: the plan was refused.";
    assert!(refused.printed.contains(all_fields), "{}", refused.printed);
    let result = farm.json("out/fields.json");
    let why = result["plan_refused"][0].as_str().unwrap();
    assert!(why.contains("and the limit is 1 ton"), "{why}");
    assert_eq!(result["order"]["holds"][0], all_fields);
    assert!(farm.read("out/order.html").contains(all_fields));
    let page = farm.read("out/fields.html");
    assert!(page.contains(all_fields) && page.contains("There is no plan"), "{page}");
    assert!(farm.json("out/fields.json").get("plan").is_none());
    assert!(!farm.path("out/plan.csv").exists(), "the plan of before is none now");
    // A plan that limes nothing says so, and counts as a finding.
    asks("[allotment]\nlimit = \"0 ton\"\n");
    let nothing = farm.out(&[]);
    nothing.came_to(0, "0 done, 0 failed, 3 not changed.").says("The plan limes nothing");
    assert!(nothing.printed.contains("no field, and no part"), "{}", nothing.printed);
}

#[test]
fn a_distance_to_a_field_that_the_list_has_not_is_refused_before_any_runs() {
    let farm = Farm::of_three();
    let list = farm.read("fields.toml");
    let supplier = "[[supplier]]\nname = \"Pit\"\ndistance = { bich = \"12 mi\" }\n\
                    haul = { cost = \"0.25 $/ton-mile\" }\n[supplier.material]\n\
                    kind = \"calcitic limestone\"\neffective = \"60 % as received\"\n\
                    price = \"14 $/ton\"\nprice_at = \"plant\"\n";
    farm.write("fields.toml", &format!("{list}\n{supplier}"));
    farm.out(&[])
        .came_to(1, "bich")
        .says("`supplier.distance` names `bich`, and no field is called so")
        .says("did you mean `birch`?");
    assert!(!farm.path("out/birch").exists());
}

#[test]
fn a_slip_in_the_sequence_is_refused_before_any_field_runs() {
    let farm = Farm::of_three();
    let list = farm.read("fields.toml");
    farm.write("fields.toml", &format!("{list}\n[calendar]\nsequence = [\"ceder\", \"birch\"]\n"));
    let refused = farm.out(&[]);
    assert_eq!(refused.status, Some(1), "{}", refused.said);
    refused.says("`calendar.sequence` names `ceder`").says("did you mean `cedar`?");
    assert!(!farm.path("out/fields.json").exists() && !farm.path("out/birch").exists());
}

#[test]
fn a_field_of_many_comes_out_as_it_does_alone() {
    let farm = Farm::of_three();
    farm.out(&[]).came_to(0, THREE);
    fs::copy(farm.path("out/birch/job.effective.toml"), farm.path("birch/alone.toml")).unwrap();
    let mut alone = crate::support::limewright();
    let output = alone
        .current_dir(farm.path(""))
        .args(["prescribe", "birch/alone.toml", "--out", "alone"])
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    for file in ["rate_map.geojson", "map.svg", "driver.html", "job.effective.toml"] {
        assert_eq!(
            farm.read(&format!("out/birch/{file}")),
            farm.read(&format!("alone/{file}")),
            "{file}"
        );
    }
    let (mut of_many, mut alone) =
        (farm.json("out/birch/summary.json"), farm.json("alone/summary.json"));
    for summary in [&mut of_many, &mut alone] {
        // The job file is another one, and so is its fingerprint.
        summary["inputs"].as_array_mut().unwrap().retain(|input| input["role"] != "job");
    }
    assert_eq!(of_many, alone);
}

#[test]
fn the_bytes_are_the_same_whatever_the_threads() {
    let names = ["alder", "birch", "cedar", "dogwood", "elm"];
    let farm = Farm::new("jobs = [\"*/job.toml\"]", &names);
    for threads in ["1", "2", "8"] {
        let out = format!("out{threads}");
        let mut command = farm.command(&["--out", &out]);
        let output = command.env("RAYON_NUM_THREADS", threads).output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    }
    let first = farm.files("out1");
    assert!(first.len() > 5 * 5, "{:?}", first.keys());
    assert_eq!(first, farm.files("out2"));
    assert_eq!(first, farm.files("out8"));
}

#[test]
fn a_field_that_fails_stops_no_other_and_is_told_and_written_down() {
    let farm = Farm::of_three();
    farm.change("birch/samples.csv", "6.", "x.");
    farm.change("cedar/job.toml", "boundary.geojson", "none.geojson");
    let ran = farm.out(&[]);
    ran.came_to(4, "1 done, 2 failed, 0 not changed.")
        .says("failed: birch (birch/job.toml)")
        .says("failed: cedar (cedar/job.toml)")
        .says("none.geojson");
    assert!(ran.printed.starts_with("1 field compared"), "{}", ran.printed);
    assert!(farm.path("out/alder/summary.json").exists() && !farm.path("out/birch").exists());
    let failed = farm.json("out/failed/cedar.json");
    assert_eq!((&failed["id"], &failed["job"]), (&"cedar".into(), &"cedar/job.toml".into()));
    let reason = failed["reasons"][0].as_str().unwrap();
    assert!(reason.starts_with("none.geojson: the boundary file cannot be read"), "{reason}");
    let all = farm.json("out/fields.json");
    assert_eq!(all["failed"].as_array().unwrap().len(), 2);
    assert_eq!(all["fields"].as_array().unwrap().len(), 1);
    // Mended, it is forgotten that they failed.
    farm.change("cedar/job.toml", "none.geojson", "boundary.geojson");
    farm.field("birch", 1);
    farm.out(&[]).came_to(0, "2 done, 0 failed, 1 not changed.");
    assert!(!farm.path("out/failed").exists());
    assert!(farm.json("out/fields.json")["failed"].as_array().unwrap().is_empty());
}

#[test]
fn an_earlier_result_of_a_field_that_fails_stands_as_it_was() {
    let farm = Farm::of_three();
    farm.out(&[]).came_to(0, THREE);
    let before = farm.files("out/birch");
    farm.change("birch/samples.csv", "6.", "x.");
    let ran = farm.out(&[]);
    ran.came_to(4, "0 done, 1 failed, 2 not changed.")
        .says("Earlier results are left as they were: birch.");
    assert_eq!(farm.files("out/birch"), before);
    assert_eq!(farm.json("out/failed/birch.json")["id"], "birch");
}

#[test]
fn the_same_reason_of_many_fields_is_told_once() {
    let farm = Farm::of_three();
    farm.change("fields.toml", "ph = 6.5", "ph = 65");
    let ran = farm.out(&[]);
    ran.came_to(4, "0 done, 3 failed, 0 not changed.")
        .says("failed: alder (alder/job.toml), birch (birch/job.toml), cedar (cedar/job.toml)")
        .says("fields.toml:10:6");
    assert_eq!(ran.said.matches("target pH is 65").count(), 1, "{}", ran.said);
}

#[test]
fn a_list_that_cannot_be_read_is_refused_before_any_field_runs() {
    for (jobs, part) in [
        ("jobs = [\"n*.toml\"]", "no job file is found by `n*.toml`"),
        ("jobs = [\"fields.toml\"]", "the list names itself"),
        ("jobs = []", "an empty list"),
        ("jobs = [\"*/job.toml\"]\njubs = 1", "unknown key `jubs`"),
    ] {
        let farm = Farm::new(jobs, &["alder"]);
        farm.out(&[]).came_to(1, "Refused; nothing was written.").says(part);
        assert!(!farm.path("out").exists());
    }
}

#[test]
fn a_field_is_called_by_its_job_and_one_named_twice_counts_once() {
    let farm =
        Farm::new("jobs = [\"north.toml\", \"*/job.toml\", \"a/../b/job.toml\"]", &["a", "b"]);
    farm.write(
        "north.toml",
        &BARE.replace("\"boundary", "\"a/boundary").replace("\"samples.", "\"a/samples."),
    );
    let ran = farm.out(&[]);
    ran.came_to(0, THREE).says("`a/../b/job.toml` is named twice in the list and counts once");
    let all = farm.json("out/fields.json");
    let ids: Vec<&str> =
        all["fields"].as_array().unwrap().iter().map(|row| row["id"].as_str().unwrap()).collect();
    assert_eq!(ids, ["a", "b", "north"]);
    farm.out(&["--strict", "--again"]).came_to(3, THREE);
}

#[test]
fn what_the_user_has_in_the_way_is_named_and_left() {
    let farm = Farm::of_three();
    farm.write("out/fields.json", "mine");
    farm.out(&[]).came_to(1, "fields.json").says("holds files that this program did not write");
    assert!(!farm.path("out/alder").exists(), "no field was run");
    assert_eq!(farm.read("out/fields.json"), "mine");
    fs::remove_file(farm.path("out/fields.json")).unwrap();
    farm.write("out/failed/birch.json", "{}");
    farm.out(&[]).came_to(1, "failed/birch.json");
    fs::remove_dir_all(farm.path("out/failed")).unwrap();
    // A field's own folder is that field's matter.
    farm.write("out/birch/notes.txt", "mine");
    farm.write("out/readme.txt", "mine");
    farm.out(&[]).came_to(4, "2 done, 1 failed").says("notes.txt");
    assert_eq!(farm.read("out/birch/notes.txt"), "mine");
    assert_eq!(farm.read("out/readme.txt"), "mine");
    assert!(farm.json("out/failed/birch.json")["reasons"][0].as_str().unwrap().contains("notes"));
    farm.write("out/fields.json", "edited");
    farm.out(&[]).came_to(1, "fields.json (changed since it was written)");
}

#[test]
fn every_line_of_a_written_list_leads_from_its_folder() {
    // Shared settings with paths, and jobs in folders of their own depth.
    let farm = Farm::new("jobs = [\"deep/in/here/job.toml\"]", &["deep/in/here"]);
    farm.write("deep/in/here/job.toml", "");
    let shared = SHARED.replace("[samples]\n", "[samples]\nfile = \"deep/in/here/samples.csv\"\n");
    let field = "[field]\nboundary = \"deep/in/here/boundary.geojson\"\n";
    farm.write("fields.toml", &format!("jobs = [\"deep/*/*/job.toml\"]\n{shared}{field}"));
    farm.out(&[]).came_to(0, "1 done");
    let effective = farm.read("out/here/job.effective.toml");
    assert!(
        effective.contains("boundary = \"../../../deep/in/here/boundary.geojson\""),
        "{effective}"
    );
}
