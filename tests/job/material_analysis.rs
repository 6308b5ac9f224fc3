//! A material by what it is made of.

use super::four_cells::ground;
use super::support::{JOB, Job, assert_near};

/// Carbonates of calcium and magnesium, fineness left out of account.
const MADE_OF: &str = r#"composition = { "CaCO3" = "85 %", "MgCO3" = "8 %" }
composition_basis = "dry"
moisture = "5 %"
fineness = { scheme = "cce-only" }
"#;

fn job(material: &str) -> Job {
    let ground = ground();
    let stated = "effective = \"50 % as received\"\n";
    assert!(JOB.contains(stated));
    Job::new(&JOB.replace(stated, material), &ground.boundary(), &ground.table())
}

fn refused(piece: &str, replaced_by: &str) -> String {
    assert!(MADE_OF.contains(piece), "{piece}");
    job(&MADE_OF.replace(piece, replaced_by)).refused(&[])
}

const COMPOUNDS: &str = r#""CaCO3" = "85 %", "MgCO3" = "8 %""#;

#[test]
fn a_composition_is_worth_what_its_molar_masses_make() {
    let job = job(MADE_OF);
    let outcome = job.prescribed(&[]);
    // 85 + 8 x 100.086 / 84.313 = 94.4966 %, and a twentieth of it is water.
    assert_near(outcome.value("/material/analysis/cce"), 0.944_966, 1e-6, "CCE");
    assert_near(outcome.value("/material/effective_as_spread"), 0.897_718, 1e-6, "as spread");
    let parts = outcome.summary["material"]["analysis"]["composition"].as_array().unwrap();
    assert_eq!(parts[1]["compound"], "MgCO3");
    assert_near(parts[1]["neutralises"].as_f64().unwrap(), 0.094_966, 1e-6, "MgCO3");
    let text = String::from_utf8(job.run(&["prescribe", "job.toml"]).stdout).unwrap();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let said = "CCE from the composition (dry), molar masses: 85 % CaCO3 x 1 + 8 % MgCO3 x 1.1871 \
                = 94.5 %";
    assert!(text.contains(said), "{text}");
    let place = job.run(&["explain", "job.toml", "--at", "-93.2,42.0"]);
    let explained = String::from_utf8(place.stdout).unwrap();
    let explained = explained.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(explained.contains("CCE from the composition"), "{explained}");
    assert!(explained.contains("Standard atomic weights of the elements 2021"), "{explained}");
}

#[test]
fn the_effective_job_of_a_composition_gives_the_same_result() {
    let job = job(&MADE_OF.replace("\"dry\"", "\"Dry\""));
    let first = job.prescribed(&["material.composition.MgCO3=9 %"]);
    std::fs::copy(job.path("out/job.effective.toml"), job.path("job.toml")).unwrap();
    let text = std::fs::read_to_string(job.path("job.toml")).unwrap();
    assert!(text.contains("composition_basis = \"dry\""), "{text}");
    assert_eq!(first.map, job.prescribed(&[]).map);
}

#[test]
fn gypsum_by_its_composition_is_refused_as_gypsum_by_its_name_is() {
    for (parts, chemistry) in [
        (r#""CaSO4·2H2O" = "92 %""#, "sulfate is not a base"),
        (r#"CaCl2 = "77 %""#, "chloride is not a base"),
        (r#""Ca(NO3)2" = "90 %", SiO2 = "1 %""#, "nitrate is not a base"),
    ] {
        let said = refused(COMPOUNDS, parts);
        assert!(said.contains("is not a liming material") && said.contains(chemistry), "{said}");
    }
    let said = refused(COMPOUNDS, r#"S = "90 %""#);
    assert!(said.contains("sulfuric acid"), "{said}");
    let named = job(MADE_OF).refused(&["material.kind=gypsum"]);
    assert!(named.contains("sulfate is not a base"), "{named}");
}

#[test]
fn lime_mixed_with_gypsum_counts_the_lime_and_tells_the_rest() {
    let parts = r#""CaCO3" = "60 %", gypsum = "35 %""#;
    let outcome = job(&MADE_OF.replace(COMPOUNDS, parts)).prescribed(&[]);
    assert_near(outcome.value("/material/analysis/cce"), 0.60, 1e-12, "CCE");
    let text = outcome.finding("part_of_material_does_not_lime").unwrap();
    assert!(text.contains("35 % of the material is CaSO4·2H2O"), "{text}");
}

#[test]
fn an_analysis_by_oxides_is_read_once_it_is_said_to_be_one() {
    let parts = r#"CaO = "50 %", MgO = "3 %""#;
    let said = refused(COMPOUNDS, parts);
    assert!(said.contains("whatever they are bound to") && said.contains("`expressed`"), "{said}");
    let expressed = format!("oxides = \"expressed\"\n{}", MADE_OF.replace(COMPOUNDS, parts));
    let outcome = job(&expressed).prescribed(&[]);
    // 50 x 100.086 / 56.077 + 3 x 100.086 / 40.304.
    assert_near(outcome.value("/material/analysis/cce"), 0.966_89, 1e-5, "CCE");
    let said = job(&expressed).refused(&["material.oxides=free"]);
    assert!(said.contains("calcitic limestone holds no free"), "{said}");
}

#[test]
fn what_a_composition_may_not_say_is_refused_with_what_it_may() {
    for (piece, replaced_by, said_of_it, allowed) in [
        (
            "composition_basis = \"dry\"\n",
            "",
            "`material.composition_basis` is missing",
            "`as received`",
        ),
        ("\"dry\"", "\"wet\"", "`material.composition_basis` is `wet`", "`dry`"),
        ("\"85 %\"", "\"93 %\"", "adds up to 101 %", "at most 100 %"),
        ("\"85 %\"", "85", "85", "`%`"),
        ("MgCO3", "Mg2CO3", "`Mg2CO3` is not a compound known here", "CaMg(CO3)2"),
        (
            "composition =",
            "composition_of =",
            "unknown key `material.composition_of`",
            "`composition_basis`",
        ),
        (
            "composition_basis = \"dry\"\n",
            "composition_basis = \"dry\"\nnv_basis = \"CaO\"\n",
            "without `material.nv`",
            "`nv`",
        ),
        (
            "composition_basis = \"dry\"\n",
            "composition_basis = \"dry\"\noxides = \"both\"\n",
            "`material.oxides` is `both`",
            "`free`",
        ),
    ] {
        let said = refused(piece, replaced_by);
        assert!(said.contains(said_of_it) && said.contains(allowed), "{replaced_by}: {said}");
    }
    let said = job(&format!("effective = \"90 % dry\"\n{MADE_OF}")).refused(&[]);
    assert!(said.contains("both an effective part and"), "{said}");
}

#[test]
fn a_stated_cce_and_a_composition_are_held_against_each_other() {
    let both = |cce: &str| job(&format!("cce = \"{cce}\"\n{MADE_OF}"));
    let outcome = both("92 % dry").prescribed(&[]);
    assert_near(outcome.value("/material/analysis/cce"), 0.92, 1e-12, "the measured one counts");
    let told = outcome.summary["material"]["analysis"]["cce_from"].to_string();
    assert!(told.contains("the composition makes 94.5 %, within the 3 points"), "{told}");
    let said = both("90 % dry").refused(&[]);
    assert!(said.contains("stated as 90 %, and the composition makes 94.5 % (dry)"), "{said}");
    // As received the composition makes a twentieth less: 89.77 %.
    assert_near(
        both("90 % as received").prescribed(&[]).value("/material/analysis/cce"),
        0.90,
        1e-12,
        "CCE",
    );
    let said = both("94 % as received").refused(&[]);
    assert!(said.contains("makes 89.77 % (as received)"), "{said}");
    let dry = MADE_OF.replace("moisture = \"5 %\"\n", "");
    let said = job(&format!("cce = \"90 % as received\"\n{dry}")).refused(&[]);
    assert!(said.contains("on different bases"), "{said}");
}
