//! What the soil puts at risk: areas by hand, limits of the job's own, extracts never across.

use serde_json::Value;

use super::cases::{JOB, SQUARE, plain, table};
use super::support::{Job, Outcome, assert_near};

/// A job whose samples read `ph`, with `more` in the job and one more column in the table.
fn job(ph: impl Fn(&str) -> f64, more: &str, header: &str, value: impl Fn(&str) -> String) -> Job {
    let rows = table(|id, lat, lon, _| format!("{id},{lat},{lon},{},3{}", ph(id), value(id)));
    let samples = rows.replace("lon,ph", &format!("lon,ph,acidity (meq/100 g){header}"));
    // A method that serves any pH.
    let with = JOB
        .replace("ph-uk-arable", "exchangeable-acidity-pennsylvania")
        .replace("ph = 6.7", "ph = 6.5")
        .replace("[need]", &format!("{more}\n[need]"));
    Job::new(&with, SQUARE, &samples)
}

/// What `prescribe` says without writing anything.
fn said(job: &Job) -> String {
    String::from_utf8(job.run(&["prescribe", "job.toml"]).stdout).unwrap()
}

fn area(outcome: &Outcome, key: &str) -> f64 {
    outcome.value(&format!("/risk/{key}/value"))
}

#[test]
fn ph_alone_stands_in_for_aluminium_and_says_so() {
    let everywhere = |ph: f64| job(move |_| ph, "", "", |_| String::new());
    let text = said(&everywhere(4.9));
    assert!(text.contains("stunted, thickened roots") && text.contains("pH alone"), "{text}");
    let field = everywhere(4.9).prescribed(&[]);
    let all = field.value("/area/value");
    assert_near(area(&field, "aluminium_possible_area"), all, 1e-6, "possible");
    assert_near(area(&field, "manganese_area"), all, 1e-6, "manganese");
    assert_near(area(&field, "aluminium_likely_area"), 0.0, 1e-12, "likely");
    let is = |outcome: &Outcome, risk: &str| {
        outcome.features().iter().all(|feature| feature["properties"]["risk"] == risk)
    };
    assert!(is(&field, "aluminium possible, manganese"));
    // At 5.5 in water nothing is at risk. Limed to 6.5, the soil is limed too far above 7.0.
    assert!(is(&everywhere(5.5).prescribed(&[]), "none"));
    assert!(!said(&everywhere(5.5)).contains("At risk before liming"));
    assert!(is(&everywhere(7.1).prescribed(&[]), "overliming"));
    let text = said(&everywhere(7.1));
    assert!(text.contains("atrazine"), "{text}");
}

#[test]
fn measured_aluminium_tells_likely_ground_by_its_own_extract_only() {
    let extract = "[samples.units]\naluminium = \"ppm\"\n";
    let with = |al: &'static str| job(|_| 5.2, extract, ",Al", move |_| format!(",{al}"));
    let all = with("26").prescribed(&["samples.al_extract=KCl 1 M"]);
    assert_near(area(&all, "aluminium_likely_area"), all.value("/area/value"), 1e-6, "26 ppm");
    assert_eq!(all.summary["risk"]["limits"]["aluminium"]["value"], 25.0);
    assert!(all.features().iter().all(|it| it["properties"]["aluminium_ppm"] == 26.0));
    let less = with("25").prescribed(&["samples.al_extract=KCl 1 M"]);
    assert_near(area(&less, "aluminium_likely_area"), 0.0, 1e-12, "25 ppm");
    let other = with("200").prescribed(&["samples.al_extract=modified Morgan"]);
    assert_near(area(&other, "aluminium_likely_area"), 0.0, 1e-12, "another extract");
    let told = other.finding("aluminium_not_judged").unwrap();
    assert!(told.contains("no limit for aluminium by modified Morgan"), "{told}");
    let unnamed = with("200").prescribed(&[]);
    assert!(unnamed.finding("aluminium_not_judged").unwrap().contains("samples.al_extract"));
}

#[test]
fn a_job_may_set_limits_with_their_source() {
    let own = "[risk]\nsource = \"own plots, 2024\"\naluminium_ph = 5.1\nmanganese_ph = 4.5\n";
    let field = job(|_| 4.9, own, "", |_| String::new()).prescribed(&[]);
    assert_near(area(&field, "manganese_area"), 0.0, 1e-12, "manganese");
    assert_near(area(&field, "aluminium_possible_area"), field.value("/area/value"), 1e-6, "own");
    assert_eq!(field.summary["risk"]["sources"][0], "own plots, 2024");
    let refused = |more: &str, part: &str| {
        let said = job(|_| 4.9, more, "", |_| String::new()).refused(&[]);
        assert!(said.contains(part), "{more}: {said}");
    };
    refused("[risk]\naluminium_ph = 5.1\n", "have no source");
    refused("[risk]\nsource = \"x\"\n", "sets no limit");
    refused("[risk]\nsource = \"x\"\naluminium = \"25\"\n", "ppm");
    refused("[risk]\nsource = \"x\"\nmanganese_ph = 50\n", "soil pH from 2 to 11");
}

#[test]
fn the_explanation_of_a_place_names_its_risk() {
    let job = Job::new(JOB, SQUARE, &plain());
    let outcome = job.prescribed(&[]);
    let risky = |feature: &&Value| feature["properties"]["risk"] != "none";
    let said = job.run(&["explain", "job.toml", "--at=-89.0007480,39.9957261", "--json"]);
    let told: Value = serde_json::from_slice(&said.stdout).unwrap();
    let cell = told["cell"].as_str().unwrap();
    let features = outcome.features();
    let mapped = features.iter().find(|it| it["properties"]["cell"] == cell).unwrap();
    assert_eq!(told["risk"], mapped["properties"]["risk"]);
    assert!(features.iter().any(|feature| risky(&feature)), "S01 reads 5.2");
}
