//! Points in one file and the laboratory's results in another, brought together by the id of the
//! sample. Each joined pair must give the tons of the one table with the same samples.

use std::fs;

use super::cases::{JOB, SQUARE, plain, table};
use super::support::{Job, Outcome, assert_near};

const LAB: &str = "samples.lab=lab.csv";

/// The points of the square, without a reading.
fn points() -> String {
    table(|id, lat, lon, _| format!("{id},{lat},{lon}")).replace("lat,lon,ph", "lat,lon")
}

/// A row for each sample, as a laboratory sends them: in its own order.
fn results(header: &str, row: impl Fn(&str, f64) -> String) -> String {
    let text = table(|id, _, _, ph| row(id, ph));
    let mut rows: Vec<&str> = text.lines().skip(1).collect();
    rows.reverse();
    format!("{header}\n{}\n", rows.join("\n"))
}

fn wide() -> String {
    results("Lab No,Sample ID,pH", |id, ph| format!("26-0{},{id},{ph}", &id[1..]))
}

fn job(points: &str, lab: &str) -> Job {
    let job = Job::new(JOB, SQUARE, points);
    fs::write(job.path("lab.csv"), lab).unwrap();
    job
}

fn joined(points: &str, lab: &str, sets: &[&str]) -> Outcome {
    job(points, lab).prescribed(&[&[LAB], sets].concat())
}

fn refused(points: &str, lab: &str, sets: &[&str]) -> String {
    job(points, lab).refused(&[&[LAB], sets].concat())
}

/// Holds a result against that of the one table with the same samples.
fn assert_same(outcome: &Outcome) {
    let expected = Job::new(JOB, SQUARE, &plain()).prescribed(&[]);
    for pointer in ["/product_total", "/soil/ph/min", "/soil/ph/mean", "/soil/ph/max"] {
        assert_eq!(outcome.value(pointer), expected.value(pointer), "{pointer}");
    }
    assert_eq!(outcome.value("/soil/ph/samples"), 9.0);
}

#[test]
fn results_are_joined_to_their_points_and_their_file_is_fingerprinted() {
    let outcome = joined(&points(), &wide(), &[]);
    assert_same(&outcome);
    let inputs = outcome.summary["inputs"].as_array().unwrap();
    let lab = inputs.iter().find(|input| input["path"] == "lab.csv").expect("listed");
    assert_eq!(lab["role"], "laboratory results");
    assert_eq!(lab["sha256"].as_str().unwrap().len(), 64);
    assert_same(&joined(&points(), &wide(), &["samples.lab_key=Sample ID"]));
    let said = refused(&points(), &wide(), &["samples.lab_key=Lab No"]);
    assert!(said.contains("no id of the results is one of the points"), "{said}");
    assert!(said.contains("S01") && said.contains("26-001"), "{said}");
}

#[test]
fn keys_of_the_join_are_read_or_refused() {
    let named = wide().replace("Sample ID", "Core");
    assert_same(&joined(&points(), &named, &["samples.lab_key=Core"]));
    // The column of the same name as that of the points is taken unsaid.
    let both = points().replace("sample_id", "Core");
    assert_same(&joined(&both, &named, &["samples.key=Core"]));
    let said = refused(&points(), &named, &[]);
    assert!(said.contains("lab.csv") && said.contains("samples.lab_key"), "{said}");
    let ambiguous = wide().replace("Lab No", "Sample No").replace("Sample ID", "Sample");
    let said = refused(&points(), &ambiguous, &[]);
    for part in ["lab.csv, line 1", "`Sample No`, `Sample`", "samples.lab_key"] {
        assert!(said.contains(part), "{part}: {said}");
    }
    assert_same(&joined(&points(), &ambiguous, &["samples.lab_key=Sample"]));
    let said = Job::new(JOB, SQUARE, &plain()).refused(&["samples.lab_key=Core"]);
    assert!(said.contains("there is no `samples.lab`"), "{said}");
    let said = refused(&points(), &wide(), &["samples.repeats=median"]);
    assert!(said.contains("`mean`, `last`, `first`"), "{said}");
}

#[test]
fn leading_zeros_that_a_sheet_took_are_matched_one_to_one_and_told() {
    let zeros = points().replace("\nS0", "\n00");
    let lost = wide().replace(",S0", ",");
    let outcome = joined(&zeros, &lost, &[]);
    assert_same(&outcome);
    let told = outcome.finding("ids_matched_without_zeros").expect("told");
    assert!(told.contains("9 ids") && told.contains("001 = 1"), "{told}");
    // `01` and `001` are two samples.
    let said = refused(&zeros.replace("\n002", "\n01"), &lost, &[]);
    assert!(said.contains("cannot be told apart: 001, 01"), "{said}");
}

#[test]
fn ids_that_became_dates_or_powers_are_explained() {
    let cells = points().replace("S01", "3-1").replace("S02", "3-2");
    let lab = wide().replace("S01", "1-Mar").replace("S02", "2026-03-02");
    let said = refused(&cells, &lab, &[]);
    for part in ["lab.csv, line 10", "`1-Mar` matches no point", "date", "`2026-03-02`", "line 9"] {
        assert!(said.contains(part), "{part}: {said}");
    }
    let said = refused(&points().replace("S01", "1E5"), &wide().replace("S01", "1.00E+05"), &[]);
    assert!(said.contains("`1.00E+05`") && said.contains("scientific notation"), "{said}");
}

#[test]
fn case_and_blanks_of_ids_are_matched_and_told() {
    let lab = wide().replace("S01", "s01").replace("S02", "S 02").replace("S03", "S03\u{a0}");
    let outcome = joined(&points(), &lab, &[]);
    assert_same(&outcome);
    let told = outcome.finding("ids_matched_without_case").expect("told");
    assert!(told.contains("2 ids") && told.contains("S01 = s01"), "{told}");
    // A second result under another spelling is no result of somebody else.
    let said = refused(&points(), &(wide() + "26-010,s04,5.9\n"), &[]);
    assert!(said.contains("cannot be told apart: S04"), "{said}");
}

#[test]
fn a_sample_that_ran_twice_counts_once_by_a_rule_or_is_refused() {
    let lab = wide() + "26-010,S04,5.9\n";
    let said = refused(&points(), &lab, &[]);
    for part in ["lab.csv, sample S04", "2 results, in rows 7, 11", "samples.repeats"] {
        assert!(said.contains(part), "{part}: {said}");
    }
    for (rule, ph) in [("last", 5.9), ("first", 5.6), ("mean", 5.75)] {
        let outcome = joined(&points(), &lab, &[&format!("samples.repeats={rule}")]);
        assert_eq!(outcome.value("/soil/ph/samples"), 9.0, "{rule}");
        let sum = 5.2 + 5.4 + 5.9 + ph + 6.0 + 6.3 + 5.8 + 6.2 + 6.6;
        assert_near(outcome.value("/soil/ph/mean"), sum / 9.0, 1e-12, rule);
        let told = outcome.finding("results_repeated").expect("told");
        assert!(told.contains(rule) && told.contains("S04"), "{told}");
    }
    let said = refused(&points(), &(wide() + "26-010,S04,ND\n"), &["samples.repeats=mean"]);
    assert!(said.contains("`5.6`, `ND` have no mean"), "{said}");
}

#[test]
fn one_table_in_which_a_sample_stands_twice_goes_by_the_same_rule() {
    let again = "S04,39.9956999,-89.0022699,5.9\n";
    let outcome = Job::new(JOB, SQUARE, &(plain() + again)).prescribed(&["samples.repeats=last"]);
    assert_eq!(outcome.value("/soil/ph/samples"), 9.0);
    assert_near(outcome.value("/soil/ph/mean"), (53.0 + 0.3) / 9.0, 1e-12, "mean");
    assert!(outcome.finding("results_repeated").unwrap().contains("S04"));
    let moved = "S04,39.9957999,-89.0022699,5.9\n";
    let said = Job::new(JOB, SQUARE, &(plain() + moved)).refused(&["samples.repeats=last"]);
    assert!(said.contains("line 11, sample S04"), "{said}");
    assert!(said.contains("lies at another place than in row 5"), "{said}");
}

#[test]
fn a_row_for_each_analyte_works_through_the_join() {
    let lab = results("Lab No,Sample ID,Analyte,Value,Unit", |id, ph| {
        format!("L{id},{id},pH,{ph},1:2.5 water\nL{id},{id},Clay,20,%")
    });
    let outcome = joined(&points(), &lab, &[]);
    assert_same(&outcome);
    assert!(outcome.finding("long_table").unwrap().contains("9 rows"));
    let again = lab.clone() + "L4b,S04,pH,5.9,1:2.5 water\n";
    let said = refused(&points(), &again, &[]);
    assert!(said.contains("lab.csv, line 20, sample S04"), "{said}");
    assert!(said.contains("stands in line 13 already"), "{said}");
    assert!(said.contains("samples.repeats"), "{said}");
    let outcome = joined(&points(), &again, &["samples.repeats=mean"]);
    assert_near(outcome.value("/soil/ph/mean"), (53.0 + 0.15) / 9.0, 1e-12, "mean");
    assert!(outcome.finding("results_repeated").unwrap().contains("S04"));
    let said = refused(&points(), &lab.replace("1:2.5 water", "CaCl2"), &[]);
    assert!(said.contains("lab.csv, line 1") && said.contains("names CaCl2"), "{said}");
}

#[test]
fn what_has_no_partner_is_refused_or_told_by_name() {
    let short: Vec<String> =
        wide().lines().filter(|row| !row.contains("S05")).map(str::to_owned).collect();
    let lab = short.join("\n") + "\n26-077,X1,6.0\n26-078,X2,6.1\n";
    let said = refused(&points(), &lab, &[]);
    assert!(said.contains("samples.csv, line 6, sample S05"), "{said}");
    assert!(said.contains("lab.csv has no result for this point"), "{said}");
    let outcome = joined(&points(), &lab, &["samples.missing=leave out"]);
    assert_eq!(outcome.value("/soil/ph/samples"), 8.0);
    assert!(outcome.finding("points_without_results").unwrap().contains(": S05."));
    let told = outcome.finding("results_without_points").unwrap();
    assert!(told.contains("2 samples of") && told.contains("X1, X2"), "{told}");
}

#[test]
fn the_rules_for_cells_hold_in_the_laboratorys_file_and_name_it() {
    let lab = wide().replace("S01,5.2", "S01,<5.0").replace("S05,6", "S05,ND");
    let said = refused(&points(), &lab, &[]);
    for part in ["lab.csv, line 10, sample S01, column pH", "lab.csv, line 6, sample S05"] {
        assert!(said.contains(part), "{part}: {said}");
    }
    let rules = ["samples.censored=limit", "samples.missing=leave out"];
    let outcome = joined(&points(), &lab, &rules);
    assert_eq!((outcome.value("/soil/ph/samples"), outcome.value("/soil/ph/min")), (8.0, 5.0));
    let findings = outcome.summary["findings"].as_array().unwrap();
    let left = findings.iter().find(|finding| finding["key"] == "samples_left_out").unwrap();
    assert!(left.to_string().contains("lab.csv"), "{left}");
    let commas = wide().replace(',', ";").replace('.', ",");
    assert_same(&joined(&points(), &commas, &[]));
    let three = results("Sample ID;pH", |id, ph| format!("{id};{ph:.3}")).replace('.', ",");
    let said = refused(&points(), &three, &[]);
    assert!(said.contains("lab.csv, line 2, sample S09, column pH"), "{said}");
    // The points have decimal points, and every cell of theirs can only be read so.
    assert_same(&joined(&points(), &three, &["samples.decimal=comma"]));
    let coded: Vec<u8> = wide()
        .replace("Lab No", "Größe")
        .chars()
        .map(|c| u8::try_from(u32::from(c)).unwrap())
        .collect();
    let job = job(&points(), "");
    fs::write(job.path("lab.csv"), coded).unwrap();
    assert_same(&job.prescribed(&[LAB]));
}

#[test]
fn a_reading_may_stand_in_either_file_but_not_in_both() {
    // The pH beside the points, and a laboratory that ran something else.
    let clay = results("Sample ID,Clay", |id, _| format!("{id},20"));
    assert_same(&joined(&plain(), &clay, &[]));
    let said = refused(&plain(), &wide(), &[]);
    assert!(said.contains("lab.csv, line 1, column pH"), "{said}");
    assert!(said.contains("the points in samples.csv have this column too"), "{said}");
    // Two names for one thing: the job says which.
    let lab = results("Sample ID,Soil pH", |id, ph| format!("{id},{}", ph + 0.5));
    let said = refused(&plain(), &lab, &[]);
    assert!(said.contains("`ph` in samples.csv, `Soil pH` in lab.csv"), "{said}");
    assert!(said.contains("samples.columns.ph"), "{said}");
    assert_same(&joined(&plain(), &lab, &["samples.columns.ph=ph"]));
    let outcome = joined(&plain(), &lab, &["samples.columns.ph=Soil pH"]);
    assert_near(outcome.value("/soil/ph/min"), 5.7, 1e-12, "the laboratory's");
}

#[test]
fn problems_of_both_files_are_told_at_once() {
    let said = refused(&(points() + "S10,1\n"), &(wide() + "26-010,S04\n"), &[]);
    assert!(said.contains("samples.csv, line 11") && said.contains("lab.csv, line 11"), "{said}");
    let said = Job::new(JOB, SQUARE, &points()).refused(&[LAB]);
    assert!(said.contains("lab.csv") && said.contains("cannot be read"), "{said}");
}

#[test]
fn layers_of_the_laboratory_go_with_their_points() {
    let header = "Sample ID,depth,pH";
    let rows = |row: &dyn Fn(&str, f64) -> String| results(header, row);
    let lab = rows(&|id, ph| format!("{id},0-10 cm,{ph}\n{id},10-20 cm,{ph}"));
    let text = JOB.replace("sampled_depth = \"0-20 cm\"", "layers = [\"0-10 cm\", \"10-20 cm\"]");
    let job = Job::new(&text, SQUARE, &points());
    fs::write(job.path("lab.csv"), lab).unwrap();
    let outcome = job.prescribed(&[LAB]);
    // Both halves of the limed depth alike are the whole of it.
    let expected = Job::new(JOB, SQUARE, &plain()).prescribed(&[]);
    let (found, whole) = (outcome.value("/need_total"), expected.value("/need_total"));
    assert_near(found, whole, 1e-9 * whole, "need");
    fs::write(job.path("lab.csv"), rows(&|id, ph| format!("{id},0-10 cm,{ph}"))).unwrap();
    fs::remove_dir_all(job.path("out")).unwrap();
    assert!(job.refused(&[LAB]).contains("10-20 cm"));
}
