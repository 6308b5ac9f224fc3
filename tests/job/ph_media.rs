//! Soil pH read in salt solutions, raised by a laboratory, or in one medium here and another there.

use super::cases::{JOB, SQUARE, plain, table};
use super::support::{Job, assert_near};

fn job(samples: &str) -> Job {
    Job::new(JOB, SQUARE, samples)
}

/// The second half in 0.01 M CaCl2: the same soil, 0.67 lower.
fn half_in_salt(water: &str) -> String {
    let text = table(|id, lat, lon, ph| {
        let (ph, medium) = if id > "S05" { (ph - 0.67, "0.01 M CaCl2") } else { (ph, water) };
        format!("{id},{lat},{lon},{ph},{medium}")
    });
    text.replace("lon,ph", "lon,ph,pH method")
}

const BY_ROW: [&str; 2] = ["samples.ph_measured_in=column", "samples.ph_converted_to=water 1:2.5"];

#[test]
fn half_in_water_and_half_in_salt_is_refused_unless_each_row_is_converted() {
    let mixed = job(&half_in_salt("water 1:2.5"));
    let said = mixed.refused(&[]);
    assert!(said.contains("sample S06, column pH method"), "{said}");
    assert!(said.contains("samples.ph_converted_to"), "{said}");
    let outcome = mixed.prescribed(&BY_ROW);
    // pHCa = 1.05 pHw - 0.9, so that 5.63 is 6.53 / 1.05.
    let salt = |ph: f64| (ph - 0.67 + 0.9) / 1.05;
    let of_water = 5.2 + 5.4 + 5.9 + 5.6 + 6.0;
    let mean = (of_water + [6.3, 5.8, 6.2, 6.6].map(salt).iter().sum::<f64>()) / 9.0;
    assert_near(outcome.value("/soil/ph/mean"), mean, 1e-9, "mean");
    assert_near(outcome.value("/soil/ph/max"), salt(6.6), 1e-9, "greatest");
    assert_eq!(outcome.value("/soil/ph/min"), 5.2);
    let findings = outcome.summary["findings"].as_array().unwrap();
    let told: Vec<&str> = findings
        .iter()
        .filter(|finding| finding["key"] == "ph_media_by_row")
        .map(|finding| finding["text"].as_str().unwrap())
        .collect();
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told[0].starts_with("5 samples were by the column read in water 1:2.5"), "{told:?}");
    assert!(told[1].starts_with("4 samples were by the column read in CaCl2 0.01 M"), "{told:?}");
    assert!(told[1].contains("S06, S07, S08, S09") && told[1].contains("1.05 x"), "{told:?}");
    // As the job was run, it runs again.
    let again = std::fs::read_to_string(mixed.path("out/job.effective.toml")).unwrap();
    assert!(again.contains("ph_measured_in = \"column\""), "{again}");
    assert!(again.contains("ph_converted_to = \"water 1:2.5\""), "{again}");
}

#[test]
fn a_column_of_media_names_each_in_full_and_the_job_names_the_one_they_become() {
    let said = job(&half_in_salt("water")).refused(&BY_ROW);
    assert!(said.contains("`water` does not say in what the pH was read"), "{said}");
    assert!(said.contains("sample S05") && !said.contains("sample S06"), "{said}");
    let blank = job(&half_in_salt("")).refused(&BY_ROW);
    assert!(blank.contains("the cell is blank"), "{blank}");
    let potassium = job(&half_in_salt("KCl")).refused(&BY_ROW);
    assert!(potassium.contains("KCl 1 M to pH in water 1:2.5"), "{potassium}");
    let mixed = job(&half_in_salt("water 1:2.5"));
    let said = mixed.refused(&BY_ROW[..1]);
    assert!(said.contains("samples.ph_converted_to"), "{said}");
    let said = mixed.refused(&["samples.ph_converted_to=water 1:2.5"]);
    assert!(said.contains("samples.ph_measured_in is one medium"), "{said}");
    let said = job(&plain()).refused(&BY_ROW);
    assert!(said.contains("samples.columns.ph_medium"), "{said}");
    let other = half_in_salt("water 1:2.5").replace("pH method", "how");
    let named = [BY_ROW[0], BY_ROW[1], "samples.columns.ph_medium=how"];
    assert_eq!(job(&other).prescribed(&named).value("/soil/ph/samples"), 9.0);
}

#[test]
fn a_laboratory_that_adds_to_its_salt_reading_is_a_medium_of_its_own() {
    let plain = job(&plain());
    let raised = plain.prescribed(&["samples.ph_measured_in=CaCl2 0.01 M + 0.6"]);
    let told = raised.finding("ph_converted").unwrap();
    assert!(told.contains("0.6 to what it reads") && told.contains("taken off"), "{told}");
    let lower = job(&table(|id, lat, lon, ph| format!("{id},{lat},{lon},{}", ph - 0.6)));
    let read = lower.prescribed(&["samples.ph_measured_in=CaCl2 0.01 M"]);
    let [raised, read] = [raised, read].map(|outcome| outcome.value("/need_total/value"));
    assert_near(raised, read, 1e-6 * read, "need");
    // A method column with one of the two is no word for the other.
    let text = table(|id, lat, lon, ph| format!("{id},{lat},{lon},{ph},CaCl2 0.01 M + 0.6"));
    let text = text.replace("lon,ph", "lon,ph,pH method");
    let said = job(&text).refused(&["samples.ph_measured_in=CaCl2 0.01 M"]);
    assert!(said.contains("read in `CaCl2 0.01 M + 0.6`"), "{said}");
}

#[test]
fn potassium_chloride_is_converted_where_its_proportion_is_known_and_told_beyond_its_range() {
    let said = job(&plain()).refused(&["samples.ph_measured_in=KCl 1 M"]);
    assert!(said.contains("the proportion of soil to KCl"), "{said}");
    let medium = "samples.ph_measured_in=KCl 1 M 1:2.5";
    let outcome = job(&plain()).prescribed(&[medium]);
    assert!(outcome.finding("ph_converted").unwrap().contains("11.58 x log10"));
    assert!(outcome.finding("ph_beyond_conversion").is_none());
    let limed = plain().replace(",6.6\n", ",7.8\n");
    let outcome = job(&limed).prescribed(&[medium]);
    let told = outcome.finding("ph_beyond_conversion").unwrap();
    assert!(told.contains("S09 (7.8)") && told.contains("3.0 to 7.5"), "{told}");
    assert!(told.contains("ours"), "{told}");
}
