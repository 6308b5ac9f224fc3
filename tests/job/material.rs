//! A material from its analysis, and its density from a pail.

use super::four_cells::ground;
use super::support::{JOB, Job, Outcome, assert_near};

/// Iowa's example in the University of Wisconsin's slides on liming terminology: 100, 90 and 55 %
/// through 4, 8 and 60 mesh are a fineness of 70 %; with CCE 92 and 2 % moisture 1,262 lb a ton,
/// printed as 1,260 lb and 63 %.
const ANALYSIS: &str = r#"cce = "92 % dry"
moisture = "2 %"
fineness = { scheme = "iowa", passing = { "4" = "100 %", "8" = "90 %", "60" = "55 %" } }
"#;

fn job(material: &str) -> Job {
    let ground = ground();
    let stated = "effective = \"50 % as received\"\n";
    assert!(JOB.contains(stated));
    Job::new(&JOB.replace(stated, material), &ground.boundary(), &ground.table())
}

/// What the program says to the analysis with a piece of it replaced.
fn refused(piece: &str, replaced_by: &str) -> String {
    assert!(ANALYSIS.contains(piece), "{piece}");
    job(&ANALYSIS.replace(piece, replaced_by)).refused(&[])
}

fn material(outcome: &Outcome) -> &serde_json::Value {
    &outcome.summary["material"]
}

#[test]
fn an_analysis_is_worth_what_its_source_prints_and_both_wet_and_dry_are_shown() {
    let outcome = job(ANALYSIS).prescribed(&[]);
    assert_near(outcome.value("/material/effective_as_spread"), 0.631_12, 1e-12, "as spread");
    assert_near(outcome.value("/material/effective_dry"), 0.644, 1e-12, "dry");
    // Nothing was stated: the effective part was worked out from the analysis.
    assert!(material(&outcome).get("stated_effective").is_none());
    assert_near(outcome.value("/material/effective_mass"), 1_262.24, 1e-9, "lb a ton");
    assert_eq!(material(&outcome)["effective_mass"]["unit"], "lb CaCO3/ton");
    let analysis = &material(&outcome)["analysis"];
    assert_near(analysis["cce"].as_f64().unwrap(), 0.92, 1e-12, "CCE");
    assert_near(analysis["fineness"].as_f64().unwrap(), 0.70, 1e-12, "fineness");
    let sieves: Vec<&str> = analysis["passing"]
        .as_array()
        .unwrap()
        .iter()
        .map(|part| part["sieve"].as_str().unwrap())
        .collect();
    assert_eq!(sieves, ["4", "8", "60"]);
    assert!(analysis["fineness_source"].as_str().unwrap().contains("University of Wisconsin"));
}

#[test]
fn the_tons_are_those_of_the_figure_that_follows_from_the_analysis() {
    let from_analysis = job(ANALYSIS).prescribed(&[]);
    let stated = job("effective = \"63.112 % as received\"\n").prescribed(&[]);
    for key in ["/product_total", "/supplied_total", "/unmet_total"] {
        assert_near(from_analysis.value(key), stated.value(key), 1e-9, key);
    }
    // As received the water is off already: 64.4 % as spread, and more dry.
    let received = job(&ANALYSIS.replace("dry", "as received")).prescribed(&[]);
    assert_near(received.value("/material/effective_as_spread"), 0.644, 1e-12, "as spread");
    assert_near(received.value("/material/effective_dry"), 0.644 / 0.98, 1e-12, "dry");
    let untold = job(&ANALYSIS.replace("dry", "as received").replace("moisture = \"2 %\"\n", ""));
    assert!(material(&untold.prescribed(&[])).get("effective_dry").is_none());
}

#[test]
fn in_metric_the_effective_mass_is_in_kilograms_a_tonne() {
    let outcome = job(ANALYSIS).prescribed(&["units=metric"]);
    assert_near(outcome.value("/material/effective_mass"), 631.12, 1e-9, "kg a tonne");
    assert_eq!(material(&outcome)["effective_mass"]["unit"], "kg CaCO3/t");
}

#[test]
fn the_terminal_says_wet_dry_and_on_which_basis() {
    let text = String::from_utf8(job(ANALYSIS).run(&["prescribe", "job.toml"]).stdout).unwrap();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for said in [
        "CCE 92.0 % x fineness 70.0 % = 64.4 % effective, dry",
        "90.0 % through 8 mesh",
        "As spread (wet, 2.0 % moisture): 63.1 % effective (ECCE 63.11 %), 1262 lb CaCO3/ton.",
        "1262 lb CaCO3/ton. Dry: 64.4 % effective.",
        "Liming terminology. University of Wisconsin",
    ] {
        assert!(text.contains(said), "{said} is not in {text}");
    }
    let plain = job("effective = \"50 % as received\"\n").run(&["prescribe", "job.toml"]).stdout;
    let plain = String::from_utf8(plain).unwrap();
    assert!(plain.contains("Stated: 50.0 % effective, as received."), "{plain}");
}

#[test]
fn the_effective_job_of_an_analysis_gives_the_same_result() {
    let job = job(ANALYSIS);
    let first = job.prescribed(&["material.fineness.passing.60=50 %"]);
    std::fs::copy(job.path("out/job.effective.toml"), job.path("job.toml")).unwrap();
    let again = job.prescribed(&[]);
    assert_eq!(first.map, again.map);
    assert_near(again.value("/material/analysis/fineness"), 0.67, 1e-12, "the set value");
}

#[test]
fn one_figure_and_an_analysis_together_are_refused() {
    for piece in ["cce = \"92 % dry\"\n", ANALYSIS] {
        let said = job(&format!("effective = \"63 % as received\"\n{piece}")).refused(&[]);
        assert!(said.contains("both an effective part and"), "{said}");
        assert!(said.contains("job.toml:19:13"), "the line: {said}");
    }
}

#[test]
fn each_part_of_an_analysis_is_asked_for_by_its_key() {
    for (piece, key) in [
        ("cce = \"92 % dry\"\n", "`material.cce` is missing"),
        ("moisture = \"2 %\"\n", "`material.moisture` is missing"),
        ("scheme = \"iowa\", ", "`material.fineness.scheme` is missing"),
        (
            ", passing = { \"4\" = \"100 %\", \"8\" = \"90 %\", \"60\" = \"55 %\" }",
            "`material.fineness.passing` is missing",
        ),
        ("\"8\" = \"90 %\", ", "the sieve `8` is missing"),
    ] {
        let said = refused(piece, "");
        assert!(said.contains(key), "{key}: {said}");
    }
    let said = job("cce = \"92 % dry\"\nmoisture = \"2 %\"\n").refused(&[]);
    assert!(said.contains("`material.fineness` is missing"), "{said}");
}

#[test]
fn what_an_analysis_may_not_say_is_refused_with_what_it_may() {
    for (piece, replaced_by, said_of_it, allowed) in [
        ("92 % dry", "92 %", "does not say of what", "as received"),
        ("92 % dry", "920 % dry", "920 %", "250 %"),
        ("iowa", "iwoa", "no fineness scheme `iwoa`", "did you mean `iowa`"),
        ("\"8\" =", "\"10\" =", "no sieve `10`", "4, 8, 60"),
        ("\"55 %\"", "\"95 %\"", "more passes the sieve `60`", "4, 8, 60"),
        ("\"100 %\"", "\"101 %\"", "101 %", "100 %"),
        ("\"55 %\"", "55", "55", "`%`"),
        ("scheme =", "schema =", "unknown key `material.fineness.schema`", "`scheme`"),
    ] {
        let said = refused(piece, replaced_by);
        assert!(said.contains(said_of_it) && said.contains(allowed), "{replaced_by}: {said}");
    }
    let nothing = ANALYSIS.replace("100 %", "0 %").replace("90 %", "0 %").replace("55 %", "0 %");
    let said = job(&nothing).refused(&[]);
    assert!(said.contains("nothing of the material counts"), "{said}");
}

#[test]
fn a_pail_gives_the_density_and_so_the_load() {
    // North Carolina State University, Certification manual, chapter 5B, slide 35: 35 lb net in
    // five US gallons x 1.5 = 52.5 lb/ft3. A box of 450 ft3 then holds 23,625 lb.
    let sets = ["material.bulk_density=35 lb in 5 gal", "spreader.box_volume=450 ft3"];
    let outcome = Job::on(&ground()).prescribed(&sets);
    assert_near(outcome.value("/material/bulk_density"), 52.5, 1e-9, "density");
    assert_near(outcome.value("/loads/spreader/full"), 23_625.0 / 2_000.0, 1e-9, "load");
    assert_eq!(outcome.summary["loads"]["spreader"]["binds"], "volume");
    let sets = ["units=metric", "material.bulk_density=12 kg in 10 L"];
    let metric = Job::on(&ground()).prescribed(&sets);
    assert_near(metric.value("/material/bulk_density"), 1_200.0, 1e-9, "metric density");
}

#[test]
fn a_pail_without_a_rule_or_out_of_reason_is_refused() {
    for (density, said_of_it) in [
        ("35 lb in 6 gal", "`5 gal`"),
        ("35 in 5 gal", "`lb`"),
        ("35 lb in 5", "`L`"),
        // 5 lb x 1.5 = 7.5 lb/ft3 = 120 kg/m3.
        ("5 lb in 5 gal", "120 kg/m3"),
        ("90", "`lb/ft3`"),
    ] {
        let said = Job::on(&ground()).refused(&[&format!("material.bulk_density={density}")]);
        assert!(said.contains(said_of_it), "{density}: {said}");
    }
}
