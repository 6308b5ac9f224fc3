//! Samples read by a field meter, some of them by a laboratory too.

use std::fs;

use super::cases::{JOB, SQUARE, plain};
use super::support::{Job, Outcome, assert_near};

/// Nine samples that read 5.2 to 6.6, with a file of pairs.
fn job(pairs: &str) -> Job {
    let job = Job::new(JOB, SQUARE, &plain());
    fs::write(job.path("pairs.csv"), pairs).unwrap();
    job
}

const FILE: &str = "samples.lab_check.file=pairs.csv";
const OFFSET: [&str; 2] = [FILE, "samples.lab_check.apply=offset"];
const LINE: [&str; 2] = [FILE, "samples.lab_check.apply=line"];

/// The laboratory reads 0.3 and 0.1 more by turns.
fn eight_by_name() -> String {
    let own = ["5.5", "5.5", "6.2", "5.7", "6.3", "6.4", "6.1", "6.3"];
    let rows = own.iter().enumerate().map(|(at, lab)| format!("S{:02},{lab}\n", at + 1));
    format!("sample_id,lab_ph\n{}", rows.collect::<String>())
}

fn told(outcome: &Outcome) -> &str {
    outcome.finding("meter_against_lab").unwrap()
}

#[test]
fn a_meter_held_against_the_laboratory_is_told_and_changes_nothing_by_itself() {
    let outcome = job(&eight_by_name()).prescribed(&[FILE]);
    assert_eq!(outcome.value("/soil/ph/max"), 6.6);
    let said = told(&outcome);
    // Differences 0.3, 0.1, 0.3, 0.1 ...: mean 0.2, squares 0.08 over seven degrees of freedom.
    assert!(said.starts_with("8 pairs of meter and laboratory, the meter from pH 5.2 to 6.3"));
    assert!(said.contains("+0.200 on average (standard error 0.038, standard deviation"), "{said}");
    assert!(said.contains("0.107)") && said.contains("Nothing is applied"), "{said}");
    let inputs = outcome.summary["inputs"].as_array().unwrap();
    assert!(inputs.iter().any(|input| input["path"] == "pairs.csv"), "{inputs:?}");
}

#[test]
fn an_offset_is_added_to_every_reading_where_the_job_says_so() {
    let job = job(&eight_by_name());
    let outcome = job.prescribed(&OFFSET);
    assert_near(outcome.value("/soil/ph/min"), 5.4, 1e-9, "least");
    assert_near(outcome.value("/soil/ph/max"), 6.8, 1e-9, "greatest");
    assert!(told(&outcome).contains("+0.200 is added to every reading"), "{}", told(&outcome));
    let beyond = outcome.finding("meter_beyond_pairs").unwrap();
    assert!(beyond.contains("S09 (6.6)") && beyond.contains("5.2 to 6.3"), "{beyond}");
    // A soil that is less acid than it was read needs less.
    let need = |outcome: &Outcome| outcome.value("/need_total/value");
    assert!(need(&outcome) < need(&job.prescribed(&[FILE])));
    let again = fs::read_to_string(job.path("out/job.effective.toml")).unwrap();
    assert!(again.contains("[samples.lab_check]"), "{again}");
}

#[test]
fn a_line_is_applied_where_the_pairs_span_enough() {
    // The laboratory reads 0.5 + 0.9 x the meter.
    let rows = (0..8).map(|at| {
        let meter = 4.8 + 0.25 * f64::from(at);
        format!("{meter},{}\n", 0.5 + 0.9 * meter)
    });
    let outcome = job(&format!("field pH,lab pH\n{}", rows.collect::<String>())).prescribed(&LINE);
    assert_near(outcome.value("/soil/ph/min"), 0.5 + 0.9 * 5.2, 1e-9, "least");
    assert_near(outcome.value("/soil/ph/max"), 0.5 + 0.9 * 6.6, 1e-9, "greatest");
    assert!(told(&outcome).contains("laboratory = 0.900 x meter + 0.500"), "{}", told(&outcome));
    // The meter of the pairs reads up to 6.55.
    assert!(outcome.finding("meter_beyond_pairs").unwrap().contains("S09 (6.6)"));
}

#[test]
fn too_few_pairs_or_too_narrow_ones_are_refused_and_never_applied() {
    let lines =
        |count: usize| -> String { eight_by_name().split_inclusive('\n').take(count).collect() };
    let few = lines(5);
    let said = job(&few).refused(&OFFSET);
    assert!(
        said.contains("no offset is applied") && said.contains("4 pairs are too few"),
        "{said}"
    );
    let seven = lines(8);
    let said = job(&seven).refused(&LINE);
    assert!(said.contains("7 pairs are too few") && said.contains("at least 8"), "{said}");
    let rows = (0..9).map(|at| format!("{},{}\n", 5.0 + 0.1 * f64::from(at), 5.2));
    let narrow = format!("meter_ph,lab_ph\n{}", rows.collect::<String>());
    let said = job(&narrow).refused(&LINE);
    assert!(said.contains("span only 0.80 pH"), "{said}");
    assert!(job(&few).prescribed(&[FILE]).finding("meter_against_lab").is_some());
}

#[test]
fn pairs_that_cannot_be_read_are_refused_with_all_their_rows() {
    let said = job("sample_id,lab_ph\nS01,5.3\nS77,5.5\nS02,\nS03,14\n").refused(&[FILE]);
    assert!(said.contains("no sample is called `S77`"), "{said}");
    assert!(said.contains("`` is no pH") && said.contains("`14`"), "{said}");
    let said = job("sample_id,other\nS01,5.3\n").refused(&[FILE]);
    assert!(said.contains("samples.lab_check.lab_ph"), "{said}");
    let named = [FILE, "samples.lab_check.lab_ph=other"];
    assert!(
        job("sample_id,other\nS01,5.3\n").prescribed(&named).finding("meter_against_lab").is_some()
    );
    let said = job("").refused(&[FILE]);
    assert!(said.contains("the table is empty"), "{said}");
    let by_row = [FILE, "samples.ph_measured_in=column", "samples.ph_converted_to=water 1:2.5"];
    let said = job(&eight_by_name()).refused(&by_row);
    assert!(said.contains("pH of several media"), "{said}");
    let said = job(&eight_by_name()).refused(&["samples.lab_check.apply=offset"]);
    assert!(said.contains("samples.lab_check.file"), "{said}");
    let said = job(&eight_by_name()).refused(&[FILE, "samples.lab_check.apply=both"]);
    assert!(said.contains("`offset`, `line`"), "{said}");
}

#[test]
fn pairs_are_of_different_samples_and_of_the_medium_of_the_samples() {
    let five = "S01,6.5\n".repeat(5);
    let said = job(&format!("sample_id,lab_ph\n{five}")).refused(&OFFSET);
    assert!(said.contains("`S01` has a pair already") && said.contains("one pair"), "{said}");
    let other = eight_by_name().replace("lab_ph", "pH CaCl2");
    let said = job(&other).refused(&[FILE, "samples.lab_check.lab_ph=pH CaCl2"]);
    assert!(said.contains("the column names CaCl2"), "{said}");
    let said = told_far(&eight_by_name().replace(",5.", ",7.").replace(",6.", ",8."));
    assert!(said.contains("pH apart on average"), "{said}");
}

fn told_far(pairs: &str) -> String {
    job(pairs).prescribed(&[FILE]).finding("meter_far_from_lab").unwrap().to_owned()
}
