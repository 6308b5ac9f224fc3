//! The cation exchange capacity: carried in a unit that is stated, told where it is not, and never
//! in the way of a job that does not ask for it.

use serde_json::Value;

use super::cases::{JOB, SQUARE, plain, table};
use super::support::{Job, assert_near};

/// The table with a capacity of 8 meq/100 g in the south-west, one more for each sample.
fn with_cec(header: &str, factor: f64) -> String {
    let number = |id: &str| id[1..].parse::<f64>().unwrap() + 7.0;
    let text = table(|id, lat, lon, ph| format!("{id},{lat},{lon},{ph},{}", number(id) * factor));
    text.replace("lon,ph", &format!("lon,ph,{header}"))
}

fn job(samples: &str) -> Job {
    Job::new(JOB, SQUARE, samples)
}

#[test]
fn a_stated_unit_carries_the_capacity_into_map_summary_and_explanation() {
    let expected = job(&plain()).prescribed(&[]).value("/product_total");
    // A millimole of charge per kilogram is a tenth of a milliequivalent per 100 g.
    for (header, factor, sets) in [
        ("CEC (meq/100g)", 1.0, &[][..]),
        ("CEC", 1.0, &["samples.cec_unit=cmol/kg"][..]),
        ("CEC_mmol_kg", 10.0, &[]),
        ("T value", 10.0, &["samples.cec_unit=mmol/kg", "samples.columns.cec=T value"]),
    ] {
        let job = job(&with_cec(header, factor));
        let outcome = job.prescribed(sets);
        assert_eq!(outcome.value("/product_total"), expected, "{header}: it decides no rate");
        for (part, value) in [("min", 8.0), ("mean", 12.0), ("max", 16.0), ("samples", 9.0)] {
            assert_near(outcome.value(&format!("/soil/cec/{part}")), value, 1e-9, header);
        }
        let on_map = |feature: &Value| feature["properties"]["cec_meq_100g"].as_f64().unwrap();
        let values: Vec<f64> = outcome.features().iter().map(on_map).collect();
        assert!(values.iter().all(|value| (8.0..=16.0).contains(value)), "{header}");
        assert!(values.iter().any(|value| (11.5..12.5).contains(value)), "{header}");
        assert_eq!(outcome.finding("cec_converted").is_some(), factor > 1.0, "{header}");
    }
    let job = job(&with_cec("CEC (mmol/kg)", 10.0));
    let told = job.prescribed(&[]);
    assert!(told.finding("cec_converted").unwrap().contains("80 is 8 meq/100 g"));
    let said = job.run(&["explain", "job.toml", "--at=-89.0007480,39.9957261"]);
    let said = String::from_utf8(said.stdout).unwrap();
    assert!(said.contains("12.0") && said.to_lowercase().contains("cec"), "{said}");
}

#[test]
fn without_a_unit_it_is_told_and_not_used_or_refused_where_it_is_asked_for() {
    let outcome = job(&with_cec("CEC", 1.0)).prescribed(&[]);
    let told = outcome.finding("cec_not_used").expect("told");
    assert!(told.contains("neither the header nor the job") && told.contains("samples.cec_unit"));
    assert!(outcome.summary["soil"].get("cec").is_none());
    assert!(outcome.features()[0]["properties"].get("cec_meq_100g").is_none());
    let said = job(&with_cec("CEC", 1.0)).refused(&["samples.columns.cec=CEC"]);
    assert!(said.contains("line 1, column CEC") && said.contains("mmol/kg"), "{said}");
    let said = job(&with_cec("CEC (mmol/kg)", 10.0)).refused(&["samples.cec_unit=meq/100 g"]);
    assert!(said.contains("names mmol/kg, and the job says meq/100 g"), "{said}");
    let said = job(&with_cec("CEC (meq/100 cm3)", 1.0)).refused(&["samples.cec_unit=meq/100 g"]);
    assert!(said.contains("a volume of soil"), "{said}");
    let said = job(&plain()).refused(&["samples.cec_unit=meq/100 g"]);
    assert!(said.contains("no column is known to hold the cation exchange capacity"), "{said}");
    let said = job(&plain()).refused(&["samples.cec_unit=mg/kg"]);
    assert!(said.contains("`samples.cec_unit` is `mg/kg`"), "{said}");
}

#[test]
fn a_gap_in_it_stops_only_a_job_that_asks_for_it() {
    let gap = with_cec("CEC (meq/100g)", 1.0).replace(",6,12\n", ",6,n/a\n");
    let outcome = job(&gap).prescribed(&[]);
    assert!(outcome.finding("cec_not_used").unwrap().contains("`n/a` is no value of it"));
    let asked = ["samples.cec_unit=meq/100 g"];
    let said = job(&gap).refused(&asked);
    assert!(said.contains("line 6, sample S05, column CEC"), "{said}");
    let said = job(&with_cec("CEC", 100.0)).refused(&asked);
    assert!(said.contains("cation exchange capacity from 0 to 250 meq/100 g"), "{said}");
}
