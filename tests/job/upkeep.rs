//! How long the lime may last, on the field of four cells: 2,372.21 lb of CaCO3 on three cells of
//! 0.3953686 ac are 2,000 lb/ac.

use super::four_cells::ground;
use super::support::{JOB, Job, assert_near};

const UPKEEP: &str = r#"
[upkeep]
nitrogen = [{ form = "urea", rate = "100 lb/ac" }]
removal = [{ product = "wheat", yield = "2 ton/ac" }]
"#;

fn job(upkeep: &str) -> Job {
    let ground = ground();
    Job::new(&format!("{JOB}{upkeep}"), &ground.boundary(), &ground.table())
}

#[test]
fn the_years_are_a_range_of_sources_that_disagree() {
    let outcome = job(UPKEEP).prescribed(&[]);
    assert_near(outcome.value("/upkeep/supplied"), 1.0, 1e-6, "ton/ac");
    let uses = outcome.summary["upkeep"]["uses"].as_array().unwrap();
    // 100 lb N at 4, 3.6 and 5 lb each, and 9 kg for each tonne of two tons of wheat: 36 lb.
    for (at, pounds) in [(0, 436.0), (1, 396.0), (2, 536.0)] {
        assert_near(uses[at]["used"]["value"].as_f64().unwrap(), pounds / 2_000.0, 1e-9, "used");
        assert_near(uses[at]["years"].as_f64().unwrap(), 2_000.0 / pounds, 1e-5, "years");
    }
    // The trial's losses: 225 to 852 kg/ha.
    let of_loss = |kilograms: f64| 2_000.0 * 0.453_592_37 / 0.404_685_642_24 / kilograms;
    assert_near(outcome.value("/upkeep/years_least"), of_loss(852.0), 1e-5, "least");
    assert_near(outcome.value("/upkeep/years_most"), of_loss(225.0), 1e-5, "most");
    let text = String::from_utf8(job(UPKEEP).run(&["prescribe", "job.toml"]).stdout).unwrap();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        text.contains("1.00 ton/ac of CaCO3 on limed ground: 3 to 10 years by sources"),
        "{text}"
    );
    assert!(text.contains("Hoard's Dairyman"), "{text}");
}

#[test]
fn a_source_without_a_figure_for_a_form_says_so_and_is_left_out() {
    let outcome = job(&UPKEEP.replace("urea", "ammonium nitrate")).prescribed(&[]);
    let uses = outcome.summary["upkeep"]["uses"].as_array().unwrap();
    assert!(uses[1].get("used").is_none() && uses[1].get("years").is_none());
    assert!(uses[0].get("years").is_some());
    assert!(job("").prescribed(&[]).summary.get("upkeep").is_none());
    // Where nothing is spread nothing lasts.
    let none = job(UPKEEP).prescribed(&["target.treat_below=5.0"]);
    assert!(none.summary.get("upkeep").is_none());
}

#[test]
fn what_an_upkeep_may_not_say_is_refused_with_what_it_may() {
    for (piece, replaced_by, said_of_it, allowed) in [
        ("urea", "ureas", "`upkeep.nitrogen.form` is `ureas`", "did you mean `urea`"),
        ("wheat", "rye bread", "`upkeep.removal.product`", "`barley`"),
        ("\"100 lb/ac\"", "\"100\"", "nitrogen a year is `100`", "`lb/ac`"),
        (", rate = \"100 lb/ac\"", "", "`upkeep.nitrogen.rate` is missing", "150 lb/ac"),
        ("yield = \"2 ton/ac\"", "yields = \"2 ton/ac\"", "`upkeep.removal.yields`", "`yield`"),
        ("100 lb/ac", "9000 lb/ac", "9000 lb/ac", "892.17 lb/ac"),
    ] {
        assert!(UPKEEP.contains(piece), "{piece}");
        let said = job(&UPKEEP.replace(piece, replaced_by)).refused(&[]);
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains(said_of_it) && said.contains(allowed), "{replaced_by}: {said}");
    }
}
