//! A material by the figure that its supplier states, and by the published schemes.

use super::four_cells::ground;
use super::support::{JOB, Job, Outcome, assert_near};

fn job(material: &str) -> Job {
    let ground = ground();
    let stated = "effective = \"50 % as received\"\n";
    assert!(JOB.contains(stated));
    Job::new(&JOB.replace(stated, material), &ground.boundary(), &ground.table())
}

fn effective(outcome: &Outcome) -> f64 {
    outcome.value("/material/effective_as_spread")
}

fn words(job: &Job) -> String {
    let output = job.run(&["prescribe", "job.toml", "--allow-unverified"]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let text = String::from_utf8(output.stdout).unwrap();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_figure_under_its_own_name_is_converted_openly() {
    for (given, fraction, said) in [
        ("ecce = \"63 % as received\"", 0.63, "Stated: ECCE 63 %, as received."),
        ("prnt = \"80 % as received\"", 0.80, "Stated: PRNT 80 %, as received."),
        ("rnv = \"65 % as received\"", 0.65, "Stated: RNV 65 %, as received."),
        ("env = \"63 % as received\"", 0.63, "Stated: ENV 63 %, as received."),
        ("ecc = \"60.3 % as received\"", 0.603, "Stated: ECC 60.3 %, as received."),
        (
            "enp = \"1600 lb/ton as received\"",
            0.80,
            "Stated: ENP 1600 lb/ton over the 2000 lb/ton of pure CaCO3 = 80 % effective, as received.",
        ),
        (
            "enm = \"400 lb/ton as received\"",
            0.50,
            "Stated: ENM 400 lb/ton over the 800 lb/ton of pure CaCO3 = 50 % effective, as received.",
        ),
        (
            "enm = \"400 lb/ton dry\"\nmoisture = \"10 %\"",
            0.45,
            "45.0 % effective (ENM 360 lb/ton), 900 lb CaCO3/ton.",
        ),
    ] {
        let job = job(&format!("{given}\n"));
        let outcome = job.prescribed(&[]);
        assert_near(effective(&outcome), fraction, 1e-12, given);
        let text = words(&job);
        assert!(text.contains(said), "{said} is not in {text}");
    }
}

#[test]
fn two_figures_and_a_figure_without_its_basis_are_refused() {
    let said = job("ecce = \"63 % as received\"\nenp = \"1600 lb/ton as received\"\n").refused(&[]);
    assert!(said.contains("two figures of its effect: `ecce` and `enp`"), "{said}");
    let said = job("effective = \"63 % dry\"\nenm = \"400 lb/ton dry\"\n").refused(&[]);
    assert!(said.contains("`effective` and `enm`"), "{said}");
    let said = job("enp = \"1600 lb/ton\"\n").refused(&[]);
    assert!(
        said.contains("does not say of what") && said.contains("1600 lb/ton as received"),
        "{said}"
    );
    let said = job("enm = \"40 % as received\"\n").refused(&[]);
    assert!(said.contains("`lb/ton`"), "{said}");
    let said = job("enm = \"400 lb/ton dry\"\n").refused(&[]);
    assert!(said.contains("`material.moisture` is missing"), "{said}");
    let said = job("enm = \"1000 lb/ton as received\"\n").refused(&[]);
    assert!(said.contains("calcitic limestone cannot be worth 125 %"), "{said}");
    let said = job("ecce = \"63 % as received\"\ncce = \"90 % dry\"\n").refused(&[]);
    assert!(said.contains("both an effective part and"), "{said}");
}

/// Of each scheme what its fineness is, by the factors that its source prints, with CCE 90.
const SCHEMES: [(&str, &str, f64); 8] = [
    (
        r#"scheme = "new-york", passing = { "20" = "95 %", "60" = "60 %", "100" = "40 %" }"#,
        "ENV 63 %",
        0.63,
    ),
    (r#"scheme = "rnv-10-50", passing = { "10" = "90 %", "50" = "40 %" }"#, "RNV 58.5 %", 0.585),
    (
        r#"scheme = "michigan", between = { "over 8" = "5 %", "8-60" = "40 %", "through 60" = "55 %" }"#,
        "67.5 % effective, 1350 lb",
        0.675,
    ),
    (
        r#"scheme = "nebraska", horizon = "3 years", retained = { "8" = "10 %", "50" = "40 %", pan = "50 %" }"#,
        "ECC 60.3 %",
        0.603,
    ),
    (
        r#"scheme = "missouri", passing = { "8" = "95 %", "40" = "60 %", "60" = "45 %" }"#,
        "ENM 451.8 lb/ton",
        0.564_75,
    ),
    (
        r#"scheme = "illinois", horizon = "1 year", between = { "over 8" = "10 %", "8-30" = "30 %", "30-60" = "30 %", "through 60" = "30 %" }"#,
        "over 1 year",
        0.463_5,
    ),
    (
        r#"scheme = "illinois", horizon = "4 years", between = { "over 8" = "10 %", "8-30" = "30 %", "30-60" = "30 %", "through 60" = "30 %" }"#,
        "over 4 years",
        0.675,
    ),
    (
        r#"scheme = "brazil", between = { "0.84-0.3 mm" = "50 %", "through 0.3 mm" = "50 %" }"#,
        "PRNT 72 %",
        0.72,
    ),
];

#[test]
fn each_scheme_makes_of_its_sieves_what_its_factors_make() {
    for (fineness, said, fraction) in SCHEMES {
        let job = job(&format!("cce = \"90 % as received\"\nfineness = {{ {fineness} }}\n"));
        let output = job.run(&["prescribe", "job.toml", "--out", "out", "--allow-unverified"]);
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        assert_near(effective(&Outcome::read(&job.path("out"))), fraction, 1e-12, fineness);
        let text = words(&job);
        assert!(text.contains(said), "{said} is not in {text}");
        assert!(text.contains("cumulative passing"), "{text}");
    }
}

#[test]
fn a_scheme_from_memory_needs_leave_and_says_so() {
    let job = job(
        "cce = \"92 % dry\"\nmoisture = \"5 %\"\nfineness = { scheme = \"ohio-minnesota\", passing \
         = { \"8\" = \"95 %\", \"20\" = \"80 %\", \"60\" = \"55 %\" } }\n",
    );
    let said = job.refused(&[]);
    assert!(
        said.contains("the fineness scheme `ohio-minnesota` were written from memory"),
        "{said}"
    );
    assert!(said.contains("--allow-unverified"), "{said}");
    let text = words(&job);
    assert!(text.contains("written from memory, not seen"), "{text}");
    assert!(text.contains("ENP 1276 lb/ton"), "{text}");
}

#[test]
fn horizons_and_ways_of_writing_are_one_and_said() {
    let fineness = |parts: &str| {
        format!("cce = \"90 % as received\"\nfineness = {{ scheme = \"illinois\", {parts} }}\n")
    };
    let passing = r#"passing = { "8" = "90 %", "30" = "60 %", "60" = "30 %" }"#;
    let said = job(&fineness(passing)).refused(&[]);
    assert!(said.contains("several horizons") && said.contains("1 year, 4 years"), "{said}");
    let said = job(&fineness(&format!("horizon = \"2 years\", {passing}"))).refused(&[]);
    assert!(said.contains("no horizon `2 years`"), "{said}");
    let two = format!("horizon = \"1 year\", {passing}, retained = {{ \"8\" = \"10 %\" }}");
    let said = job(&fineness(&two)).refused(&[]);
    assert!(said.contains("written in two ways"), "{said}");
    let parts = r#"horizon = "1 year", retained = { "8" = "90 %", "30" = "60 %", "60" = "30 %" }"#;
    let said = job(&fineness(parts)).refused(&[]);
    assert!(said.contains("add up to 180 %") && said.contains("cumulative passing"), "{said}");
}

#[test]
fn a_neutralising_value_as_oxide_counts_against_that_of_pure_carbonate() {
    let nv = |more: &str| {
        format!(
            "nv = \"54 % dry\"\nmoisture = \"3 %\"\nfineness = {{ scheme = \"cce-only\" }}\n{more}"
        )
    };
    let british = job(&nv("nv_basis = \"CaO\"\n"));
    let outcome = british.prescribed(&[]);
    // 54 / 56.03: pure CaCO3 has 56.03 % CaO.
    assert_near(outcome.value("/material/analysis/cce"), 0.963_78, 1e-5, "CCE");
    assert_near(effective(&outcome), 0.963_78 * 0.97, 1e-5, "as spread");
    assert!(outcome.finding("fineness_not_counted").is_some());
    let text = words(&british);
    assert!(
        text.contains(
            "Neutralising value 54 % as CaO over the 56.03 % of pure CaCO3 = CCE 96.38 %"
        ),
        "{text}"
    );
    assert!(text.contains("Fineness is not counted by the scheme cce-only"), "{text}");
    let plain = job(&nv("nv_basis = \"CaCO3\"\n")).prescribed(&[]);
    assert_near(plain.value("/material/analysis/cce"), 0.54, 1e-12, "CCE");
    let said = job(&nv("")).refused(&[]);
    assert!(said.contains("`material.nv_basis` is missing"), "{said}");
    let said = job(&nv("nv_basis = \"CaO\"\ncce = \"96 % dry\"\n")).refused(&[]);
    assert!(said.contains("both a `cce` and a neutralising value"), "{said}");
    let said = job(&nv("nv_basis = \"CaO\"\n")).refused(&["material.nv=96 % dry"]);
    assert!(said.contains("cannot be worth 171 %"), "{said}");
}

/// The long-hand example of Comparing limes, Department of Primary Industries and Regional
/// Development, Western Australia: 86.9 % effective (unrounded 86.97), each class with its own
/// neutralising value.
const BY_CLASS: &str = r#"fineness.scheme = "western-australia"
fineness.between = { "over 1 mm" = "1 %", "1-0.5 mm" = "8 %", "0.5-0.25 mm" = "38 %", "0.25-0.125 mm" = "48 %", "through 0.125 mm" = "5 %" }
fineness.cce = { "over 1 mm" = "62.5 % dry", "1-0.5 mm" = "72.1 % dry", "0.5-0.25 mm" = "94.8 % dry", "0.25-0.125 mm" = "90.5 % dry", "through 0.125 mm" = "90 % dry" }
moisture = "0 %"
"#;

#[test]
fn each_size_class_may_have_its_own_neutralising_value() {
    let job = job(BY_CLASS);
    let outcome = job.prescribed(&[]);
    assert_near(effective(&outcome), 0.869_7, 1e-4, "effective");
    let told = outcome.summary["material"]["analysis"]["by_size_class"].as_str().unwrap();
    assert!(told.contains("8 % 1 mm to 0.5 mm x CCE 72.1 % x 0.5"), "{told}");
    assert!(words(&job).contains("By size class and the scheme western-australia (dry)"));
    let said = job_of(&BY_CLASS.replace("\"over 1 mm\" = \"62.5 % dry\", ", ""));
    assert!(said.contains("has no calcium carbonate equivalent"), "{said}");
    let said = job_of(&BY_CLASS.replace("62.5 % dry", "62.5 % as received"));
    assert!(said.contains("different bases"), "{said}");
    let said = job_of(&BY_CLASS.replace("over 1 mm\" = \"62.5", "over 2 mm\" = \"62.5"));
    assert!(said.contains("no class `over 2 mm`"), "{said}");
    let said = job_of(&format!("cce = \"90 % dry\"\n{BY_CLASS}"));
    assert!(said.contains("of the whole and of each class"), "{said}");
}

fn job_of(material: &str) -> String {
    job(material).refused(&[])
}

#[test]
fn beet_lime_tells_the_phosphorus_that_it_brings_and_its_cautions() {
    let material = "effective = \"50 % as received\"\nmoisture = \"20 %\"\n";
    let beet = job(material);
    let outcome = beet.prescribed(&["material.kind=beet lime"]);
    let text = outcome.finding("beet_lime_phosphorus").unwrap();
    // By hand: the mean rate where it is spread, four fifths of it dry, 3,470 and 7,043 mg P/kg.
    let treated = outcome.value("/treated_area");
    let dry_lb = outcome.value("/product_total") / treated * 2_000.0 * 0.8;
    let range = format!("{:.0} to {:.0} lb/ac P", dry_lb * 3_470e-6, dry_lb * 7_043e-6);
    assert!(text.contains(&range), "{range} is not in {text}");
    assert!(text.contains("2006") && text.contains("P2O5"), "{text}");
    let cautions = outcome.summary["cautions"].to_string();
    assert!(
        cautions.contains("permit") && cautions.contains("bands of very high pH"),
        "{cautions}"
    );
    let metric = job("effective = \"50 % as received\"\n");
    let outcome = metric.prescribed(&["material.kind=beet lime", "units=metric"]);
    let text = outcome.finding("beet_lime_phosphorus").unwrap();
    assert!(text.contains("kg/ha P") && text.contains("taken for dry matter"), "{text}");
    assert!(Job::on(&ground()).prescribed(&[]).finding("beet_lime_phosphorus").is_none());
}
