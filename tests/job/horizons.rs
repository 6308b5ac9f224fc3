//! Materials compared over each number of years that their fineness schemes count over. All
//! materials and prices are invented; the factors of the scheme are in its file.

use serde_json::Value;

use super::four_cells::ground;
use super::support::{JOB, Job, assert_near};

/// By class 10, 30, 30 and 30 %: 0.05, 0.2, 0.5 and 1 in one year make 0.515, and 0.15, 0.45, 1 and 1
/// in four years 0.75.
const LIST: &str = r#"
[[material]]
name = "Coarse"
kind = "aglime"
cce = "90 % as received"
fineness = { scheme = "illinois", horizon = "4 years", passing = { "8" = "90 %", "30" = "60 %", "60" = "30 %" } }
price = "20 $/ton"
price_at = "delivered"

[[material]]
name = "Fine"
kind = "pelletised lime"
effective = "95 % as received"
price = "35 $/ton"
price_at = "delivered"

[[material]]
name = "One year"
kind = "aglime"
cce = "90 % as received"
fineness = { scheme = "new-york", passing = { "20" = "90 %", "60" = "60 %", "100" = "50 %" } }
price = "90 $/ton"
price_at = "delivered"
"#;

const TRUCKS: &str = "[haul]\none_way_distance = \"42 mi\"\ntruck_payload = \"1 ton\"\n";

fn on_field(list: &str, name: &str) -> Job {
    let stated = "kind = \"calcitic limestone\"\neffective = \"50 % as received\"\n";
    assert!(JOB.contains(stated));
    let taken = format!("from = \"materials.toml\"\nname = \"{name}\"\n");
    let ground = ground();
    let text = JOB.replace(stated, &taken) + TRUCKS;
    let job = Job::new(&text, &ground.boundary(), &ground.table());
    std::fs::write(job.path("materials.toml"), list).unwrap();
    job
}

fn compared(list: &str, name: &str) -> Value {
    let arguments = ["materials", "job.toml", "--json", "--allow-unverified"];
    let output = on_field(list, name).run(&arguments);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn words(list: &str, name: &str) -> String {
    let output = on_field(list, name).run(&["materials", "job.toml", "--allow-unverified"]);
    let text = String::from_utf8(output.stdout).unwrap();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn names(comparison: &Value) -> Vec<&str> {
    let parts = comparison["horizons"].as_array().unwrap();
    parts.iter().map(|part| part["horizon"].as_str().unwrap_or("none")).collect()
}

fn order(comparison: &Value, horizon: usize) -> Vec<&str> {
    let parts = comparison["horizons"][horizon]["materials"].as_array().unwrap();
    parts.iter().map(|one| one["material"]["name"].as_str().unwrap()).collect()
}

fn named<'v>(comparison: &'v Value, horizon: usize, name: &str) -> &'v Value {
    let parts = comparison["horizons"][horizon]["materials"].as_array().unwrap();
    parts.iter().find(|one| one["material"]["name"] == name).unwrap()
}

fn value(part: &Value, pointer: &str) -> f64 {
    part.pointer(pointer).unwrap_or_else(|| panic!("no {pointer}"))["value"].as_f64().unwrap()
}

const CELL_AC: f64 = 0.395_368_6;

#[test]
fn each_material_is_compared_over_every_horizon_of_its_scheme() {
    let comparison = compared(LIST, "Coarse");
    assert_eq!(names(&comparison), ["4 years", "1 year"], "first the one of the job's material");
    // The cells need 3,500, 2,100 and 600 lb/ac. Over four years, of 67.5 %, 2.59, 1.56 and 0.44
    // ton/ac: 2.5, 1.5 and none. Over one, of 46.35 %, 3.78, 2.27 and 0.65 ton/ac: 3 (the most),
    // 2.5 and 1.
    for (at, effective, tons, trucks) in [(0, 0.675, 4.0, 2), (1, 0.463_5, 6.5, 3)] {
        let coarse = named(&comparison, at, "Coarse");
        assert_near(
            coarse["material"]["effective_as_spread"].as_f64().unwrap(),
            effective,
            1e-12,
            "",
        );
        assert_near(value(coarse, "/product_total"), tons * CELL_AC, 1e-4, "prescribed");
        assert_eq!(coarse["loads"]["truck"]["count"], trucks);
        let cost = value(coarse, "/costs/per_effective_delivered");
        assert_near(cost, 20.0 / effective, 1e-9, "delivered");
        assert_near(value(coarse, "/costs/total"), 20.0 * f64::from(trucks), 1e-9, "total");
    }
    // A stated figure, and a scheme with one horizon, count alike in both.
    for name in ["Fine", "One year"] {
        let [one, other] = [0, 1].map(|at| named(&comparison, at, name));
        assert_eq!(one["costs"], other["costs"], "{name}");
        assert_eq!(one["product_total"], other["product_total"], "{name}");
    }
    assert_eq!(named(&comparison, 0, "One year")["material"]["analysis"]["horizon"], "1 year");
    // 20 / 0.675 = 29.63 and 20 / 0.4635 = 43.15 $ beside 35 / 0.95 = 36.84 $.
    assert_eq!(order(&comparison, 0), ["Coarse", "Fine", "One year"]);
    assert_eq!(order(&comparison, 1), ["Fine", "Coarse", "One year"]);
}

#[test]
fn a_horizon_comes_to_what_a_prescription_over_it_comes_to() {
    let comparison = compared(LIST, "Coarse");
    for (at, horizon) in [(0, "4 years"), (1, "1 year")] {
        let stated = LIST.replace("4 years", horizon);
        let job = on_field(&stated, "Coarse");
        let arguments = ["prescribe", "job.toml", "--json", "--allow-unverified"];
        let summary: Value = serde_json::from_slice(&job.run(&arguments).stdout).unwrap();
        let coarse = named(&comparison, at, "Coarse");
        assert_eq!(coarse["material"], summary["material"], "{horizon}");
        assert_eq!(coarse["loads"], summary["loads"], "{horizon}");
        for key in ["product_total", "to_load", "to_order", "unmet_total", "treated_area"] {
            assert_near(
                coarse[key]["value"].as_f64().unwrap(),
                value(&summary, &format!("/{key}")),
                1e-9,
                key,
            );
        }
        let cost = value(&summary, "/haul/cost_per_effective");
        assert_near(value(coarse, "/costs/per_effective_delivered"), cost, 1e-9, horizon);
    }
}

#[test]
fn the_order_goes_by_the_jobs_horizon_and_says_where_another_changes_it() {
    let over_four = words(LIST, "Coarse");
    for said in [
        "The first order counts fineness over 4 years, as stated for Coarse.",
        "Over 1 year the order is another: Coarse goes from place 1 to 2, Fine goes from place 2 to 1.",
        "By cost of effective CaCO3, delivered over 4 years",
        "By cost of effective CaCO3, delivered over 1 year",
        "Effective 67.5 % as spread (wet), fineness counted over 4 years",
        "Effective 46.4 % as spread (wet), fineness counted over 1 year",
    ] {
        assert!(over_four.contains(said), "{said} is not in {over_four}");
    }
    // Of a job whose material has no horizon, the list's first that has several leads.
    let of_list = words(LIST, "Fine");
    assert!(of_list.contains("over 4 years, as stated for Coarse."), "{of_list}");
    let short = LIST.replace("4 years", "1 year");
    assert_eq!(names(&compared(&short, "Coarse")), ["1 year", "4 years"]);
    let told = words(&short, "Coarse");
    assert!(
        told.contains(
            "Over 4 years the order is another: Fine goes from place 1 to 2, Coarse goes"
        ),
        "{told}"
    );
    // Where nothing overtakes, that is said too.
    let dear = LIST.replace("35 $/ton", "95 $/ton");
    assert!(words(&dear, "Coarse").contains("Over 1 year the order is the same."));
    let unpriced = LIST.replace("price = ", "# price = ").replace("price_at", "# price_at");
    assert!(words(&unpriced, "Coarse").contains("Over 1 year no material is ranked either."));
    // A quality is of the material and told once.
    let count = over_four.matches("Minimum quality").count();
    let fine_alone = LIST.replace(
        "scheme = \"illinois\", horizon = \"4 years\"",
        "scheme = \"illinois\", horizon = \"1 year\"",
    );
    assert_eq!(words(&fine_alone, "Coarse").matches("Minimum quality").count(), count);
}

#[test]
fn the_job_taken_may_state_another_horizon_than_the_first_of_the_list() {
    let second = LIST.replace("name = \"Fine\"", "name = \"Other\"").replace(
        "effective = \"95 % as received\"",
        "cce = \"95 % as received\"\nfineness = { scheme = \"illinois\", horizon = \"1 year\", passing = { \"8\" = \"100 %\", \"30\" = \"95 %\", \"60\" = \"80 %\" } }",
    );
    assert_eq!(names(&compared(&second, "Other")), ["1 year", "4 years"]);
    assert_eq!(names(&compared(&second, "Coarse")), ["4 years", "1 year"]);
    assert!(words(&second, "Other").contains("over 1 year, as stated for Other."));
}

#[test]
fn without_several_horizons_there_is_one_comparison_without_a_name() {
    let entries: Vec<&str> = LIST.split("[[material]]").collect();
    let alone = format!("[[material]]{}[[material]]{}", entries[2], entries[3]);
    let comparison = compared(&alone, "Fine");
    assert_eq!(names(&comparison), ["none"]);
    assert!(comparison.get("horizon_notes").is_none());
    assert!(!words(&alone, "Fine").contains("Years over which"));
}

#[test]
fn factors_from_memory_count_in_a_list_only_where_that_is_allowed() {
    let output = on_field(LIST, "Fine").run(&["materials", "job.toml"]);
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1), "{said}");
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in ["`Coarse`", "`illinois`", "from memory", "--allow-unverified", "materials.toml"] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let unstated = LIST.replace(" horizon = \"4 years\",", "");
    let output = on_field(&unstated, "Fine").run(&["materials", "job.toml", "--allow-unverified"]);
    assert_eq!(output.status.code(), Some(1), "which tons count is not guessed");
    assert!(String::from_utf8_lossy(&output.stderr).contains("over several horizons"));
}
