//! A user's own method table: the same tons as the program's own, named wherever it counts.

use std::fs;

use super::four_cells::ground;
use super::support::{JOB, Job, root};

const METHOD: &str = "need.method=file:my_table.toml";

fn iowa() -> serde_json::Value {
    let path = root().join("src/agronomy/tables/iowa2002_smp.json");
    serde_json::from_slice(&fs::read(path).unwrap()).unwrap()
}

fn iowa_as_toml() -> String {
    toml::to_string(&iowa()).unwrap()
}

fn job_with(table: &str) -> Job {
    let job = Job::on(&ground());
    fs::write(job.path("my_table.toml"), table).unwrap();
    job
}

#[test]
fn a_copy_of_iowas_table_gives_its_tons_and_is_named_as_the_users() {
    let job = job_with(&iowa_as_toml());
    let own = job.prescribed(&[METHOD]);
    let iowa = Job::on(&ground()).prescribed(&[]);
    assert_eq!(own.map["features"], iowa.map["features"]);
    for total in ["need_total", "product_total", "to_order", "ledger"] {
        assert_eq!(own.summary[total], iowa.summary[total], "{total}");
    }
    let method = &own.summary["method"];
    assert_eq!(method["id"], "file:my_table.toml");
    assert_eq!(method["own_table"], "my_table.toml");
    assert!(method["title"].as_str().unwrap().contains("(your own table my_table.toml)"));
    assert!(iowa.summary["method"]["own_table"].is_null());
    let told = own.finding("own_method_table").expect("told");
    assert!(told.contains("my_table.toml") && told.contains("4 check cells come out"), "{told}");
    let inputs = own.summary["inputs"].as_array().unwrap();
    let table = inputs.iter().find(|input| input["path"] == "my_table.toml").expect("listed");
    assert_eq!(table["bytes"], iowa_as_toml().len());
    let effective = fs::read_to_string(job.path("out/job.effective.toml")).unwrap();
    assert!(effective.contains("file:my_table.toml"), "{effective}");
}

#[test]
fn terminal_and_explanation_name_it_as_the_users() {
    let job = job_with(&iowa_as_toml());
    let at = ground().degrees(-20.0, -20.0);
    let at = format!("{},{}", at.lon_deg, at.lat_deg);
    for arguments in [
        vec!["prescribe", "job.toml", "--set", METHOD],
        vec!["explain", "job.toml", "--set", METHOD, "--at", &at],
        vec!["methods", "file:my_table.toml"],
    ] {
        let output = job.run(&arguments);
        let said = String::from_utf8(output.stdout).unwrap();
        let words = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains("your own table my_table.toml"), "{arguments:?}: {said}");
    }
    let output = job.run(&["methods", "file:my_table.toml"]);
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(said.contains("buffer pH 6.4 to pH 6.5: 3500.00 lb/ac; printed: 3500"), "{said}");
    assert!(said.contains("this program has not seen the source"), "{said}");
}

#[test]
fn a_table_in_json_serves_as_well_and_lies_beside_the_job() {
    let job = Job::on(&ground());
    fs::create_dir(job.path("tables")).unwrap();
    fs::write(job.path("tables/own.json"), iowa().to_string()).unwrap();
    let own = job.prescribed(&["need.method=file:tables/own.json"]);
    assert_eq!(
        own.summary["product_total"],
        Job::on(&ground()).prescribed(&[]).summary["product_total"]
    );
    assert_eq!(own.summary["method"]["own_table"], "tables/own.json");
}

#[test]
fn a_check_cell_that_does_not_come_out_is_refused_with_both_numbers() {
    let mut table = iowa();
    table["rows"][3]["needs"][0] = serde_json::json!(3600.0);
    let said = job_with(&toml::to_string(&table).unwrap()).refused(&[METHOD]);
    assert!(said.contains("my_table.toml"), "{said}");
    assert!(said.contains("comes out as 3600 lb/ac") && said.contains("3500 lb/ac"), "{said}");
}

#[test]
fn tables_that_are_none_are_refused_with_what_to_do() {
    let odd = iowa_as_toml().replace("basis =", "basys =");
    let said = job_with(&odd).refused(&[METHOD]);
    assert!(
        said.contains("unknown key `basys`") && said.contains("did you mean `basis`"),
        "{said}"
    );
    let mut bare = iowa();
    bare["examples"] = serde_json::json!([]);
    bare["source"] = serde_json::json!("a leaflet");
    let said = job_with(&toml::to_string(&bare).unwrap()).refused(&[METHOD]);
    assert!(said.contains("no check cell") && said.contains("states no year"), "{said}");
    let job = job_with("");
    assert!(job.refused(&[METHOD]).contains("missing field"), "an empty table");
    let said = job.refused(&["need.method=file:nowhere.toml"]);
    assert!(said.contains("the method table file cannot be read"), "{said}");
    let said = job.refused(&["need.method=file:samples.csv"]);
    assert!(said.contains(".toml or .json"), "{said}");
    let said = job.refused(&["need.method=my_table.toml"]);
    assert!(said.contains("`file:my_table.toml`"), "{said}");
    let said = job.refused(&["need.method=file:"]);
    assert!(said.contains("without a file"), "{said}");
}

#[test]
fn another_buffer_is_refused_as_with_the_programs_own() {
    let table = iowa_as_toml().replace("buffer = \"smp\"", "buffer = \"sikora\"");
    let said = job_with(&table).refused(&[METHOD]);
    assert!(said.contains("the SMP buffer") || said.contains("smp"), "{said}");
    assert!(said.contains("sikora"), "{said}");
    assert!(JOB.contains("buffer = \"smp\""));
}

#[test]
fn the_table_that_the_readme_shows_runs() {
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    let from = readme.find("id = \"my-smp\"").expect("shown");
    let table = &readme[from..from + readme[from..].find("```").unwrap()];
    let outcome = job_with(table).prescribed(&[METHOD]);
    assert_eq!(
        outcome.summary["product_total"],
        Job::on(&ground()).prescribed(&[]).summary["product_total"]
    );
}

#[test]
fn every_result_says_whose_numbers_they_are() {
    // Of a method of the program that was seen in its source nothing is said.
    let job = Job::on(&ground());
    let plain = job.prescribed(&[]);
    assert!(plain.map.get("caveat").is_none() && plain.summary["method"].get("caveat").is_none());
    let told = Job::on(&ground());
    let output = told.run(&[
        "prescribe",
        "job.toml",
        "--allow-unverified",
        "--set",
        "need.method=smp-north-central",
        "--out",
        "out",
    ]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let read = |name: &str| fs::read_to_string(told.path("out").join(name)).unwrap();
    for name in ["rate_map.geojson", "summary.json"] {
        let text = read(name);
        assert!(
            text.contains("smp-north-central, whose numbers were written from memory"),
            "{name}"
        );
    }
    for name in ["map.svg", "driver.html"] {
        assert!(read(name).contains("smp-north-central"), "{name}");
    }
}
