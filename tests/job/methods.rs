//! The methods beyond the first: a small job of each, by hand.

use super::support::{JOB, Job, assert_near};

/// A square of about 200 m, and four samples 120 m apart that all read the same.
const BOUNDARY: &str = r#"{"type":"Polygon","coordinates":[[[-77.0012,40.9991],[-76.9988,40.9991],
    [-76.9988,41.0009],[-77.0012,41.0009],[-77.0012,40.9991]]]}"#;
const PLACES: [(f64, f64); 4] =
    [(-77.0007, 40.9995), (-76.9993, 40.9995), (-77.0007, 41.0005), (-76.9993, 41.0005)];

fn table(header: &str, values: &str) -> String {
    let rows = PLACES.iter().enumerate();
    let rows: Vec<String> =
        rows.map(|(index, (lon, lat))| format!("S{index},{lon},{lat},{values}\n")).collect();
    format!("sample_id,lon,lat,{header}\n{}", rows.concat())
}

fn job_with(pairs: &[(&str, &str)]) -> String {
    pairs.iter().fold(JOB.to_owned(), |job, (line, replaced_by)| {
        assert!(job.contains(line), "{line} is not in the job");
        job.replace(line, replaced_by)
    })
}

fn oregon() -> String {
    job_with(&[
        ("buffer = \"smp\"", "buffer = \"sikora\""),
        ("ph = 6.5", "ph = 5.6"),
        ("smp-iowa", "sikora-oregon"),
    ])
}

fn pennsylvania() -> String {
    job_with(&[
        ("buffer = \"smp\"\nbuffer_blank_above = 6.5", "units.acidity = \"meq/100 g\""),
        ("smp-iowa", "exchangeable-acidity-pennsylvania"),
        ("limed_depth = \"6 in\"", "limed_depth = \"7 in\""),
    ])
}

fn carolina() -> String {
    job_with(&[
        ("[samples]", "[dates]\nsampled = 2026-03-15\n[samples]"),
        ("buffer = \"smp\"\nbuffer_blank_above = 6.5", "buffer = \"mehlich\""),
        ("ph = 6.5", "ph = 6.0"),
        ("smp-iowa", "mehlich-north-carolina"),
    ])
}

const HISTORY: &str = "soil_class = \"mineral\"\n[[history]]\napplied = 2025-10-01\n\
                       rate = \"0.5 ton/ac\"\n[material]";

#[test]
fn oregon_asks_for_what_its_text_prints() {
    let outcome = Job::new(&oregon(), BOUNDARY, &table("pH,BpH", "5.0,6.0")).prescribed(&[]);
    for feature in outcome.features() {
        // Buffer 6.0 to 5.6: 1.7 ton/ac, the source's own example.
        assert_near(feature["properties"]["need_ton_ac"].as_f64().unwrap(), 1.7, 1e-5, "need");
    }
    assert_eq!(outcome.summary["method"]["treat_below"], 5.6);
    let said =
        Job::new(&oregon(), BOUNDARY, &table("pH,BpH", "5.0,6.0")).refused(&["target.ph=7.4"]);
    assert!(said.contains("5.6 to 7.2") && said.contains("no method at hand"), "{said}");
}

#[test]
fn pennsylvania_reads_the_acidity_and_carries_it_into_the_map() {
    let table = table("pH,Exch. acidity (meq/100g)", "5.6,6.0");
    let outcome = Job::new(&pennsylvania(), BOUNDARY, &table).prescribed(&[]);
    for feature in outcome.features() {
        let properties = &feature["properties"];
        assert_near(properties["acidity_meq_100g"].as_f64().unwrap(), 6.0, 1e-5, "acidity");
        // 840 x 6.0 lb/ac.
        assert_near(properties["need_ton_ac"].as_f64().unwrap(), 2.52, 1e-5, "need");
    }
    assert_eq!(outcome.summary["soil"]["acidity"]["measured_in"], "meq/100 g");
    assert_eq!(outcome.summary["soil"]["acidity"]["samples"], 4);
    assert!(outcome.summary["interpolation"]["cross_check"]["acidity"].is_object());
}

#[test]
fn an_acidity_without_its_unit_or_by_volume_or_blank_is_refused() {
    let good = table("pH,acidity", "5.6,6.0");
    let no_unit = pennsylvania().replace("units.acidity = \"meq/100 g\"\n", "");
    let said = Job::new(&no_unit, BOUNDARY, &good).refused(&[]);
    assert!(said.contains("samples.units.acidity") && said.contains("known unit"), "{said}");
    let said = Job::new(&no_unit, BOUNDARY, &good).refused(&["samples.columns.acidity=acidity"]);
    assert!(said.contains("neither the header nor the job says the unit"), "{said}");
    let wrong = pennsylvania().replace("meq/100 g", "meq/100 cm3");
    let said = Job::new(&wrong, BOUNDARY, &good).refused(&[]);
    assert!(said.contains("`meq/100 g`") && said.contains("by volume"), "{said}");
    let by_volume = table("pH,acidity (meq/100 cm3)", "5.6,6.0");
    let said = Job::new(&pennsylvania(), BOUNDARY, &by_volume).refused(&[]);
    assert!(said.contains("a volume of soil"), "{said}");
    let said = Job::new(&pennsylvania(), BOUNDARY, &table("pH,acidity", "5.6,")).refused(&[]);
    assert!(said.contains("column acidity") && said.contains("the cell is blank"), "{said}");
    let said = Job::new(&pennsylvania(), BOUNDARY, &table("pH,clay", "5.6,20")).refused(&[]);
    assert!(said.contains("exchangeable acidity") && said.contains("columns.acidity"), "{said}");
}

#[test]
fn north_carolina_takes_off_what_earlier_lime_is_still_worth() {
    // Buffer 6.0, pH 4.8 to 6.0: 2.4 x 1.2 / 1.8 = 1.6 ton/ac.
    let table = table("pH,BpH", "4.8,6.0");
    let need = |job: &str| {
        let outcome = Job::new(job, BOUNDARY, &table).prescribed(&[]);
        assert!(outcome.finding("basis_not_stated").is_some());
        let need = outcome.features()[0]["properties"]["need_ton_ac"].as_f64().unwrap();
        (need, outcome.finding("history_credited").map(str::to_owned))
    };
    let (plain, told) = need(&carolina());
    assert_near(plain, 1.6, 1e-5, "need");
    assert_eq!(told, None);
    // Half a ton five whole months before: 0.5 x (1 - 5 x 0.08) = 0.3 ton/ac.
    let (credited, told) = need(&carolina().replace("[material]", HISTORY));
    assert_near(credited, 1.3, 1e-5, "need less the credit");
    let told = told.expect("told");
    assert!(told.contains("0.30 ton/ac") && told.contains("100 % CCE"), "{told}");
}

#[test]
fn a_history_needs_its_days_its_class_and_its_keys() {
    let table = table("pH,BpH", "4.8,6.0");
    let with = carolina().replace("[material]", HISTORY);
    let said = |line: &str, replaced_by: &str| {
        assert!(with.contains(line), "{line}");
        Job::new(&with.replace(line, replaced_by), BOUNDARY, &table).refused(&[])
    };
    let undated = said("sampled = 2026-03-15\n", "");
    assert!(undated.contains("`dates.sampled` is missing"), "{undated}");
    let class = said("soil_class = \"mineral\"\n", "");
    assert!(class.contains("mineral, mineral-organic, organic"), "{class}");
    let later = said("applied = 2025-10-01", "applied = 2026-04-01");
    assert!(later.contains("after the samples were taken"), "{later}");
    let unknown = said("rate = \"0.5 ton/ac\"", "rat = \"0.5 ton/ac\"");
    assert!(unknown.contains("did you mean `rate`"), "{unknown}");
    let missing = said("applied = 2025-10-01\n", "");
    assert!(missing.contains("`applied` is missing in this `[[history]]`"), "{missing}");
    let depth = said("limed_depth = \"6 in\"", "limed_depth = \"8 in\"");
    assert!(depth.contains("states no depth"), "{depth}");
    let target = said("ph = 6.0", "ph = 6.7");
    assert!(target.contains("up to 6.6") && target.contains("smp-iowa"), "{target}");
}

#[test]
fn a_job_run_again_from_its_effective_form_needs_the_same() {
    let table = table("pH,BpH", "4.8,6.0");
    let job = Job::new(&carolina().replace("[material]", HISTORY), BOUNDARY, &table);
    let first = job.prescribed(&[]);
    let effective = std::fs::read_to_string(job.path("out/job.effective.toml")).unwrap();
    assert!(effective.contains("[[history]]"), "{effective}");
    let second = Job::new(&effective, BOUNDARY, &table).prescribed(&[]);
    assert_eq!(first.summary["need_total"], second.summary["need_total"]);
}
