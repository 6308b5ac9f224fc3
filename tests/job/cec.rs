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
    for (header, factor, sets, property) in [
        ("CEC (meq/100g)", 1.0, &[][..], "cec_meq_100g"),
        ("CEC", 1.0, &["samples.units.cec=cmol/kg"][..], "cec_cmol_kg"),
        ("CEC_mmol_kg", 10.0, &[], "cec_mmol_kg"),
        (
            "T value",
            10.0,
            &["samples.units.cec=mmol/kg", "samples.columns.cec=T value"],
            "cec_mmol_kg",
        ),
    ] {
        let job = job(&with_cec(header, factor));
        let outcome = job.prescribed(sets);
        assert_eq!(outcome.value("/product_total"), expected, "{header}: it decides no rate");
        for (part, value) in [("min", 8.0), ("mean", 12.0), ("max", 16.0)] {
            let found = outcome.value(&format!("/soil/cec/{part}"));
            assert_near(found, value * factor, 1e-9, header);
        }
        assert_near(outcome.value("/soil/cec/samples"), 9.0, 1e-9, header);
        let unit = &outcome.summary["soil"]["cec"]["measured_in"];
        assert!(sets.iter().any(|set| set.ends_with(unit.as_str().unwrap())) || sets.is_empty());
        let on_map = |feature: &Value| feature["properties"][property].as_f64().unwrap() / factor;
        let values: Vec<f64> = outcome.features().iter().map(on_map).collect();
        assert!(values.iter().all(|value| (8.0..=16.0).contains(value)), "{header}");
        assert!(values.iter().any(|value| (11.5..12.5).contains(value)), "{header}");
    }
    let job = job(&with_cec("CEC (meq/100g)", 1.0));
    let said = job.run(&["explain", "job.toml", "--at=-89.0007480,39.9957261"]);
    let said = String::from_utf8(said.stdout).unwrap();
    assert!(said.contains("12.0") && said.to_lowercase().contains("cec"), "{said}");
}

#[test]
fn without_a_unit_it_is_told_and_not_used_or_refused_where_it_is_asked_for() {
    let outcome = job(&with_cec("CEC", 1.0)).prescribed(&[]);
    let told = outcome.finding("soil_value_not_used").expect("told");
    assert!(told.contains("neither the header nor the job") && told.contains("samples.units.cec"));
    assert!(outcome.summary["soil"].get("cec").is_none());
    assert!(outcome.features()[0]["properties"].get("cec_meq_100g").is_none());
    let said = job(&with_cec("CEC", 1.0)).refused(&["samples.columns.cec=CEC"]);
    assert!(said.contains("line 1, column CEC") && said.contains("mmol/kg"), "{said}");
    let said = job(&with_cec("CEC (mmol/kg)", 10.0)).refused(&["samples.units.cec=meq/100 g"]);
    assert!(said.contains("names mmol/kg, and the job says meq/100 g"), "{said}");
    let said = job(&with_cec("CEC (meq/100 cm3)", 1.0)).refused(&["samples.units.cec=meq/100 g"]);
    assert!(said.contains("a volume of soil"), "{said}");
    let said = job(&plain()).refused(&["samples.units.cec=meq/100 g"]);
    assert!(said.contains("no column is known to hold the cation exchange capacity"), "{said}");
    let said = job(&plain()).refused(&["samples.units.cec=mg/kg"]);
    assert!(said.contains("`samples.units.cec` is `mg/kg`"), "{said}");
}

#[test]
fn a_gap_in_it_stops_only_a_job_that_asks_for_it() {
    let gap = with_cec("CEC (meq/100g)", 1.0).replace(",6,12\n", ",6,n/a\n");
    let outcome = job(&gap).prescribed(&[]);
    assert!(outcome.finding("soil_value_not_used").unwrap().contains("`n/a` is no value of it"));
    let asked = ["samples.units.cec=meq/100 g"];
    let said = job(&gap).refused(&asked);
    assert!(said.contains("line 6, sample S05, column CEC"), "{said}");
    let said = job(&with_cec("CEC", 100.0)).refused(&asked);
    assert!(said.contains("cation exchange capacity from 0 to 250 meq/100 g"), "{said}");
}
