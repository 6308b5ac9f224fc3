//! Choosing a material on the field of four cells: the list, the comparison and its ranking, what
//! does not lime, and a job that takes its material from the list. All materials, suppliers
//! and prices are invented.

use serde_json::Value;

use super::four_cells::ground;
use super::support::{JOB, Job, Outcome, assert_near, limewright};

const STATED: &str = "kind = \"calcitic limestone\"\neffective = \"50 % as received\"\n";

const HAUL: &str =
    "[haul]\none_way_distance = \"42 mi\"\ntruck_payload = \"1 ton\"\ncost = \"12 $/ton\"\n";

const LIST: &str = r#"
[[material]]
name = "Pit 4"
lot = "A"
supplier = "Stone Creek"
analysed = 2026-06-01
kind = "aglime"
effective = "50 % as received"
price = "14 $/ton"
price_at = "plant"

[[material]]
name = "Mill fines"
kind = "pelletised lime"
effective = "95 % as received"
price = "48 $/ton"
price_at = "delivered"
magnesium = "11 % as received"
nutrients = { P2O5 = { content = "20 lb/ton", price = "0.5 $/lb" }, S = { content = "1 % as received" } }

[[material]]
name = "Board plant"
kind = "land plaster"
price = "5 $/ton"
price_at = "delivered"
"#;

fn job_with(material: &str, list: &str) -> Job {
    assert!(JOB.contains(STATED));
    let ground = ground();
    let text = JOB.replace(STATED, material) + HAUL;
    let job = Job::new(&text, &ground.boundary(), &ground.table());
    std::fs::write(job.path("materials.toml"), list).unwrap();
    job
}

fn from_list(list: &str) -> Job {
    job_with("from = \"materials.toml\"\nname = \"Pit 4\"\n", list)
}

fn compared_with(job: &Job, arguments: &[&str]) -> Value {
    let output = job.run(&[&["materials", "job.toml", "--json"], arguments].concat());
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn compared(list: &str) -> Value {
    compared_with(&from_list(list), &[])
}

fn materials(comparison: &Value) -> &[Value] {
    comparison["horizons"][0]["materials"].as_array().unwrap()
}

fn named<'v>(comparison: &'v Value, name: &str) -> &'v Value {
    let of_name = |one: &&Value| one["material"]["name"] == name;
    materials(comparison).iter().find(of_name).unwrap_or_else(|| panic!("no {name}"))
}

fn value(part: &Value, pointer: &str) -> f64 {
    part.pointer(pointer).unwrap_or_else(|| panic!("no {pointer}"))["value"].as_f64().unwrap()
}

/// What the program says to `materials job.toml` on a list, which it must refuse.
fn said_to(job: &Job, arguments: &[&str]) -> String {
    let output = job.run(&[&["materials", "job.toml"], arguments].concat());
    assert_eq!(output.status.code(), Some(1));
    assert!(output.stdout.is_empty());
    String::from_utf8(output.stderr).unwrap()
}

const CELL_AC: f64 = 0.395_368_6;

#[test]
fn each_material_is_ranked_by_what_its_effective_part_costs_delivered() {
    let comparison = compared(LIST);
    assert_eq!(comparison["horizons"][0]["compared_by"], "delivered");
    // Pit 4: (3 + 2 + 1) ton/ac on a cell each are 2.37 ton and so 3 trucks: 3 x (14 + 12) $ for
    // 1.5 ton of CaCO3.
    let pit = named(&comparison, "Pit 4");
    assert_near(value(pit, "/product_total"), 6.0 * CELL_AC, 1e-4, "prescribed");
    assert_eq!(value(pit, "/to_order"), 3.0);
    assert_eq!(pit["loads"]["truck"]["count"], 3);
    assert_near(value(pit, "/costs/per_effective_plant"), 28.0, 1e-9, "plant");
    assert_near(value(pit, "/costs/per_effective_delivered"), 52.0, 1e-9, "delivered");
    assert_near(value(pit, "/costs/total"), 78.0, 1e-9, "total");
    assert_eq!(pit["costs"]["per_effective_delivered"]["unit"], "$/ton CaCO3");
    assert!(pit["costs"].get("per_effective_spread").is_none(), "no spreading cost is known");
    // Mill fines: 3,500, 2,100 and 600 lb / 0.95 ask for 1.84, 1.11 and 0.32 ton/ac, which the
    // spreader holds as 2, 1 and nothing: 1.19 ton, 2 trucks, 48 / 0.95 $ for a ton of CaCO3.
    let fines = named(&comparison, "Mill fines");
    assert_near(value(fines, "/product_total"), 3.0 * CELL_AC, 1e-4, "prescribed");
    assert_eq!(value(fines, "/to_order"), 2.0);
    assert_near(value(fines, "/costs/per_effective_delivered"), 48.0 / 0.95, 1e-9, "delivered");
    assert!(fines["costs"].get("per_effective_plant").is_none(), "its price holds at the field");
    assert!(fines["costs"].get("haul").is_none(), "the haul is in the price");
    let unmet_lb = (600.0 + (2_100.0 - 1_900.0)) * CELL_AC;
    assert_near(value(fines, "/unmet_total"), unmet_lb / 2_000.0, 1e-3, "unmet");
    assert_eq!((fines["rank"].as_u64(), pit["rank"].as_u64()), (Some(1), Some(2)));
    let reason = fines["reason"].as_str().unwrap();
    assert!(reason.contains("50.53 $/ton CaCO3") && reason.contains("the least of 2"), "{reason}");
    assert!(reason.contains("costs more by the ton than Pit 4"), "{reason}");
    assert_eq!(materials(&comparison)[0]["material"]["name"], "Mill fines", "the first is first");
    assert_eq!(pit["material"]["supplier"], "Stone Creek");
    assert_eq!(pit["material"]["analysed"], "2026-06-01");
}

#[test]
fn what_does_not_lime_is_refused_with_its_chemistry_and_stops_no_other() {
    let comparison = compared(LIST);
    let refused = comparison["refused"].as_array().unwrap();
    assert_eq!(refused.len(), 1);
    assert_eq!(refused[0]["name"], "Board plant");
    assert_eq!(refused[0]["kind"], "gypsum");
    assert!(refused[0]["reason"].as_str().unwrap().contains("not a base"));
    let text = from_list(LIST).run(&["materials", "job.toml"]).stdout;
    let text = String::from_utf8(text).unwrap();
    assert!(text.contains("Board plant is not a liming material"), "{text}");
    assert!(!text.contains("Board plant:"), "it is in no ranking: {text}");
}

#[test]
fn a_comparison_says_what_a_prescription_with_each_material_says() {
    let comparison = compared(LIST);
    for name in ["Pit 4", "Mill fines"] {
        let taken = from_list(LIST).prescribed(&[&format!("material.name={name}")]);
        let one = named(&comparison, name);
        for (here, there) in [
            ("/product_total", "/product_total"),
            ("/to_load", "/to_load"),
            ("/to_order", "/to_order"),
            ("/unmet_total", "/unmet_total"),
            ("/treated_area", "/treated_area"),
            ("/mean_rate", "/mean_rate"),
            ("/costs/total", "/haul/cost_total"),
            ("/costs/per_area", "/haul/cost_per_area"),
            ("/costs/per_effective_delivered", "/haul/cost_per_effective"),
        ] {
            assert_near(value(one, here), taken.value(there), 1e-9, here);
        }
        assert_eq!(one["material"], taken.summary["material"], "{name}");
        assert_eq!(one["loads"], taken.summary["loads"], "{name}");
    }
}

#[test]
fn a_material_of_a_list_is_the_same_material_described_in_the_job() {
    let taken = from_list(LIST);
    let described = job_with(
        &format!("{STATED}name = \"Pit 4\"\nprice = \"14 $/ton\"\nprice_at = \"plant\"\n"),
        LIST,
    );
    let (of_list, of_job) = (taken.prescribed(&[]), described.prescribed(&[]));
    assert_eq!(of_list.map, of_job.map);
    assert_eq!(of_list.summary["haul"], of_job.summary["haul"]);
    let inputs = of_list.summary["inputs"].as_array().unwrap();
    assert!(inputs.iter().any(|input| input["path"] == "materials.toml"), "{inputs:?}");
    // The effective job asks the same of the same list.
    std::fs::copy(taken.path("out/job.effective.toml"), taken.path("job.toml")).unwrap();
    let again = taken.prescribed(&[]);
    assert_eq!(of_list.map, again.map);
    assert_eq!(of_list.summary["haul"], again.summary["haul"]);
}

#[test]
fn magnesium_and_nutrients_stand_apart_from_the_cost() {
    let comparison = compared(LIST);
    let fines = named(&comparison, "Mill fines");
    // 3 ton/ac-cells on two cells: 1.5 ton/ac on treated ground, of which 11 % are 330 lb/ac.
    assert_near(value(fines, "/magnesium/per_treated_area"), 330.0, 1e-3, "Mg");
    assert_eq!(fines["magnesium"]["per_treated_area"]["unit"], "lb/ac");
    let phosphate = &fines["nutrients"][0];
    assert_eq!(phosphate["nutrient"], "P2O5");
    assert_near(value(phosphate, "/per_treated_area"), 30.0, 1e-4, "P2O5");
    let credit = 3.0 * CELL_AC * 20.0 * 0.5;
    assert_near(value(phosphate, "/credit"), credit, 1e-3, "credit");
    assert!(fines["nutrients"][1].get("credit").is_none(), "no price is given for sulfur");
    let without = compared(&LIST.replace(", price = \"0.5 $/lb\"", ""));
    let other = named(&without, "Mill fines");
    assert_eq!(other["costs"], fines["costs"], "the credit is in no cost");
    assert_eq!(other["reason"], fines["reason"]);
    // Nothing is known of the soil's magnesium, and it is said.
    let advice = comparison["magnesium_advice"].as_array().unwrap();
    assert!(advice.iter().all(|one| one["advice"] == "not known"), "{advice:?}");
    let regions: Vec<&str> = advice.iter().map(|one| one["region"].as_str().unwrap()).collect();
    assert!(regions.contains(&"Ohio") && regions.contains(&"Ontario"), "{regions:?}");
    // Of 4 samples with 40, 60, 80 and 100 ppm the mean is below Ontario's 100 and above Ohio's 50.
    let job = from_list(LIST);
    let table = std::fs::read_to_string(job.path("samples.csv")).unwrap();
    let rows: Vec<String> = table
        .lines()
        .enumerate()
        .map(|(row, line)| match row {
            0 => format!("{line},Mg (ppm)"),
            row => format!("{line},{}", 20 + 20 * row),
        })
        .collect();
    std::fs::write(job.path("samples.csv"), rows.join("\n")).unwrap();
    let told = compared_with(&job, &[]);
    assert_near(told["soil_magnesium_ppm"].as_f64().unwrap(), 70.0, 1e-9, "mean");
    let advice = |region: &str| {
        let all = told["magnesium_advice"].as_array().unwrap();
        all.iter().find(|one| one["region"] == region).unwrap()["advice"].clone()
    };
    assert_eq!((advice("Ohio"), advice("Ontario")), ("either".into(), "dolomitic".into()));
    let dry = LIST.replace("11 % as received", "12 % dry").replace(
        "effective = \"95 % as received\"",
        "effective = \"95 % as received\"\nmoisture = \"5 %\"",
    );
    let dry = compared(&dry);
    let content = named(&dry, "Mill fines")["magnesium"]["content"].as_f64().unwrap();
    assert_near(content, 0.12 * 0.95, 1e-12, "the water is off");
}

#[test]
fn the_worked_example_of_western_australia_comes_out_of_the_program() {
    // Government of Western Australia, Comparing limes: 10 $/t, 0.10 $/t/km over 250 km, 8 $/t for
    // spreading, 86.9 % effective: 49.48 $/t spread.
    let list = r#"
[[material]]
name = "Pit"
kind = "aglime"
effective = "86.9 % as received"
price = "10 AUD/t"
price_at = "plant"
haul = { one_way_distance = "250 km", cost = "0.10 AUD/t-km", spreading_cost = "8 AUD/t" }
"#;
    let job = job_with("from = \"materials.toml\"\nname = \"Pit\"\n", list);
    let text = std::fs::read_to_string(job.path("job.toml")).unwrap().replace(HAUL, "");
    std::fs::write(job.path("job.toml"), text).unwrap();
    let comparison = compared_with(&job, &["--set", "units=metric"]);
    let pit = named(&comparison, "Pit");
    assert_near(value(pit, "/costs/per_effective_spread"), 49.48, 0.005, "spread");
    assert_eq!(pit["costs"]["per_effective_spread"]["unit"], "AUD/t CaCO3");
    assert_eq!(comparison["horizons"][0]["compared_by"], "spread");
}

#[test]
fn a_haul_of_its_own_comes_before_that_of_the_job() {
    let cost = |haul: &str| {
        let list =
            LIST.replace("price_at = \"plant\"\n", &format!("price_at = \"plant\"\n{haul}\n"));
        value(named(&compared(&list), "Pit 4"), "/costs/haul")
    };
    assert_near(cost(""), 36.0, 1e-9, "the job's");
    assert_near(cost("haul = { cost = \"20 $/ton\" }"), 60.0, 1e-9, "its own charge");
    // The job's truck and its own distance.
    let own = "haul = { one_way_distance = \"10 mi\", cost = \"2 $/loaded mile\" }";
    assert_near(cost(own), 2.0 * 10.0 * 3.0, 1e-9, "three loads");
    let bigger = "haul = { truck_payload = \"20 ton\", cost = \"2 $/loaded mile\" }";
    assert_near(cost(bigger), 2.0 * 42.0, 1e-9, "one load over the job's distance");
}

#[test]
fn a_supply_that_falls_short_is_told_and_stands_behind() {
    let short = LIST.replace("magnesium = ", "supply_limit = \"1.5 ton\"\nmagnesium = ");
    let comparison = compared(&short);
    let fines = named(&comparison, "Mill fines");
    assert_eq!(
        (fines["supply_suffices"].as_bool(), fines["rank"].as_u64()),
        (Some(false), Some(2))
    );
    assert!(fines["reason"].as_str().unwrap().contains("does not cover the order"));
    let outcome = from_list(&short).prescribed(&["material.name=Mill fines"]);
    let told = outcome.finding("supply_falls_short").unwrap();
    assert!(told.contains("2.00 ton") && told.contains("1.50 ton"), "{told}");
    assert!(from_list(LIST).prescribed(&[]).finding("supply_falls_short").is_none());
}

#[test]
fn a_minimum_quality_is_told_where_the_job_names_one() {
    let analysis = "cce = \"92 % as received\"\nfineness = { scheme = \"iowa\", passing = { \"4\" = \
                    \"100 %\", \"8\" = \"90 %\", \"60\" = \"55 %\" } }";
    let list = LIST.replace("effective = \"50 % as received\"", analysis);
    let finding = |quality: &str, key: &str| {
        let set = format!("material.quality={quality}");
        let outcome = from_list(&list).prescribed(&[&set]);
        outcome.finding(key).map(str::to_owned)
    };
    let told = finding("kentucky", "quality_not_known").unwrap();
    assert!(told.contains("at least 90 % through 10 mesh: not known (from 55 to 90 %"), "{told}");
    assert!(told.contains("State lime specifications"), "{told}");
    let told = finding("uk", "quality_not_met");
    assert!(told.is_none(), "from 90 to 100 % pass 3.35 mm: {told:?}");
    assert!(finding("uk", "quality_not_known").is_some());
    assert_eq!(finding("missouri", "quality_not_met"), None);
    assert_eq!(finding("missouri", "quality_not_known"), None);
    let said = from_list(&list).refused(&["material.quality=ohio"]);
    assert!(said.contains("no minimum quality `ohio`"), "{said}");
    // Without a choice all are shown, and none is a finding.
    let comparison = compared(&list);
    let quality = named(&comparison, "Pit 4")["quality"].as_array().unwrap();
    assert!(quality.len() >= 4);
    let chosen = compared_with(&from_list(&list), &["--set", "material.quality=missouri"]);
    let quality = named(&chosen, "Pit 4")["quality"].as_array().unwrap();
    assert_eq!(quality.len(), 1);
    assert_eq!(quality[0]["verdict"], "met");
}

#[test]
fn a_name_that_the_list_has_not_is_told_the_nearest_and_all() {
    for (sets, said_of_it, tried) in [
        (&["material.name=Pit 5"][..], "holds no material `Pit 5`", "did you mean `Pit 4`?"),
        (&["material.lot=B"], "holds no lot `B` of `Pit 4`", "choose one of them"),
        (&["material.name=Board plant"], "not a liming material", "carbonate, oxide"),
        (&["material.price=14 $/ton"], "taken from a list and described as well", "leave out"),
        (&["material.from=nothing.toml"], "cannot be read", "check the path"),
    ] {
        let said = from_list(LIST).refused(sets);
        assert!(said.contains(said_of_it) && said.contains(tried), "{sets:?}: {said}");
    }
    let said = from_list(LIST).refused(&["material.name=Pit 5"]);
    assert!(said.contains("`Pit 4` (lot `A`), `Mill fines`, `Board plant`"), "{said}");
    let two = LIST.replace("name = \"Mill fines\"", "name = \"pit 4\"\nlot = \"B\"");
    let said = from_list(&two).refused(&[]);
    assert!(said.contains("several lots") && said.contains("add `lot`"), "{said}");
    let outcome = from_list(&two).prescribed(&["material.lot=b"]);
    assert_eq!(outcome.summary["material"]["lot"], "B");
    let unnamed = job_with("from = \"materials.toml\"\n", LIST);
    let said = unnamed.refused(&[]);
    assert!(said.contains("`material.name` is missing"), "{said}");
    // To compare them, no choice is needed.
    assert_eq!(materials(&compared_with(&unnamed, &[])).len(), 2);
}

#[test]
fn faults_of_a_list_are_told_in_the_list_and_all_at_once() {
    for (piece, replaced_by, said_of_it, allowed) in [
        (
            "price_at = \"plant\"",
            "price_ta = \"plant\"",
            "`material.price_ta`",
            "did you mean `price_at`",
        ),
        ("\"14 $/ton\"", "\"14\"", "the price is `14`", "`$/ton`"),
        ("\"14 $/ton\"", "\"14 EUR/ton\"", "in", "one currency"),
        ("kind = \"aglime\"\n", "", "`material.kind` is missing", "its `[[material]]`"),
        ("kind = \"aglime\"", "kind = \"chocolate\"", "`chocolate` is not a kind", "calcitic"),
        (
            "name = \"Mill fines\"",
            "name = \"Pit 4\"\nlot = \"a\"",
            "stands in the list twice",
            "lots",
        ),
        ("name = \"Mill fines\"\n", "", "material 2 has no name", "`[[material]]`"),
        ("20 lb/ton", "20 %", "does not say of what", "as received"),
        ("11 % as received", "12 % dry", "the moisture is missing", "moisture"),
        ("S = {", "Zn = {", "`Zn`", "`K2O`"),
        ("price = \"0.5 $/lb\"", "price = \"0.5 $/ac\"", "the price of a nutrient", "`$/lb`"),
    ] {
        assert!(LIST.contains(piece), "{piece}");
        let said = said_to(&from_list(&LIST.replacen(piece, replaced_by, 1)), &[]);
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains(said_of_it) && said.contains(allowed), "{replaced_by}: {said}");
        assert!(said.contains("materials.toml"), "{replaced_by}: {said}");
    }
    let both = LIST.replace("\"14 $/ton\"", "\"14\"").replace("95 % as received", "95 %");
    let said = said_to(&from_list(&both), &[]);
    assert!(said.contains("the price is `14`") && said.contains("does not say of what"), "{said}");
    assert!(said.contains("materials.toml:9:9"), "the line is drawn: {said}");
    let said = said_to(&from_list(""), &[]);
    assert!(said.contains("holds no material"), "{said}");
    let said = said_to(&job_with(STATED, LIST), &[]);
    assert!(said.contains("names no list") && said.contains("--list FILE"), "{said}");
    // A prescription looks at the material that it takes alone.
    let other = LIST.replace("95 % as received", "95 %");
    assert!(from_list(&other).prescribed(&[]).finding("nothing_needed").is_none());
    // What is wrong with the job and with the list is told together.
    let said = said_to(&from_list(&both), &["--set", "target.ph=65"]);
    assert!(said.contains("65") && said.contains("the price is `14`"), "{said}");
}

#[test]
fn a_list_may_be_named_on_the_command_line() {
    let job = job_with(STATED, LIST);
    let comparison = compared_with(&job, &["--list", "materials.toml"]);
    assert_eq!(materials(&comparison).len(), 2);
    assert_eq!(comparison["list"], "materials.toml");
    let output = limewright().args(["materials", "--list", "x.toml"]).output().unwrap();
    assert_eq!(output.status.code(), Some(2), "a list without a job");
}

#[test]
fn without_a_job_all_that_is_known_is_listed() {
    let printed = |arguments: &[&str]| {
        let output = limewright().args(arguments).output().unwrap();
        assert!(output.status.success());
        String::from_utf8(output.stdout).unwrap()
    };
    let text = printed(&["materials"]);
    for said in
        ["hydrated lime: calcium hydroxide", "gypsum: sulfate is not a base", "iowa", "kentucky"]
    {
        assert!(text.contains(said), "{said} is not in {text}");
    }
    let json: Value = serde_json::from_str(&printed(&["materials", "--json"])).unwrap();
    let kinds = json["kinds"].as_array().unwrap();
    let gypsum = kinds.iter().find(|kind| kind["name"] == "gypsum").unwrap();
    assert_eq!(gypsum["limes"], false);
    assert!(!json["fineness_schemes"].as_array().unwrap().is_empty());
    assert!(json["minimum_qualities"].as_array().unwrap().len() >= 4);
}

#[test]
fn the_words_of_the_terminal_hold_the_answer_first() {
    let text = from_list(LIST).run(&["materials", "job.toml"]).stdout;
    let text = String::from_utf8(text).unwrap();
    let first = text.lines().find(|line| line.trim_start().starts_with("1  ")).unwrap();
    assert!(first.contains("Mill fines: pelletised lime"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 79), "{text}");
    let joined = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for said in [
        "By cost of effective CaCO3, delivered",
        "Effective 95.0 % as spread (wet)",
        "Prescribed 2.37 ton, to order 3.00 short ton, trucks 3 of 1.00 ton; cost $78.00 (product + haul)",
        "(not taken off the cost)",
        "soil magnesium is not given",
    ] {
        assert!(joined.contains(said), "{said} is not in {joined}");
    }
}

#[test]
fn a_job_with_a_lot_of_its_own_says_so_in_the_summary() {
    let material =
        format!("{STATED}lot = \"7\"\nsupplier = \"Stone Creek\"\nanalysed = 2026-05-02\n");
    let outcome: Outcome = job_with(&material, LIST).prescribed(&[]);
    assert_eq!(outcome.summary["material"]["lot"], "7");
    assert_eq!(outcome.summary["material"]["analysed"], "2026-05-02");
    let said = job_with(&format!("{STATED}analysed = 2026-05-02T10:00:00\n"), LIST).refused(&[]);
    assert!(said.contains("a day without a time"), "{said}");
}
