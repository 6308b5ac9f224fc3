//! The log of a field meter: what it tells of the samples, and what is refused. All readings are
//! invented.

use std::fs;

use super::cases::{JOB, SQUARE, plain, table};
use super::support::{Job, Outcome};

const FILE: &str = "samples.meter_log.file=log.csv";

/// Nine samples, S01 read at 10:05, S02 at 10:15 and so on to S09 at 11:25.
fn by_time() -> String {
    let mut minute = 0;
    let rows = table(|id, lat, lon, ph| format!("{id},{lat},{lon},{ph},AT"));
    let rows = rows.replacen("ph\n", "ph,time\n", 1);
    let timed: Vec<String> = rows
        .lines()
        .map(|line| {
            let time = format!("2026-09-18T{:02}:{:02}", 10 + minute / 60, minute % 60 + 5);
            if line.ends_with("AT") {
                minute += 10;
            }
            line.replace("AT", &time)
        })
        .collect();
    timed.join("\n") + "\n"
}

fn job(log: &str) -> Job {
    let job = Job::new(JOB, SQUARE, &by_time());
    fs::write(job.path("log.csv"), log).unwrap();
    job
}

const HEAD: &str = "time,kind,buffer pH,meter pH,slope,temperature (C)\n";

/// Within every limit from before the first sample to after the last.
const GOOD: &str = "2026-09-18T10:00,calibration,7.00,7.00,98,20\n\
                    2026-09-18T10:00,calibration,4.01,4.01,,\n\
                    2026-09-18T10:40,check,7.00,7.02,,21\n\
                    2026-09-18T11:30,check,4.01,4.05,97 %,21.5\n";

fn told(log: &str) -> Outcome {
    job(&format!("{HEAD}{log}")).prescribed(&[FILE])
}

fn about_the_meter(outcome: &Outcome) -> Vec<&str> {
    let findings = outcome.summary["findings"].as_array().unwrap();
    let keys = findings.iter().map(|finding| finding["key"].as_str().unwrap());
    keys.filter(|key| key.starts_with("meter")).collect()
}

/// The samples that a finding names, behind the last colon of its first sentence.
fn finding<'o>(outcome: &'o Outcome, key: &str) -> &'o str {
    outcome.finding(key).unwrap_or_else(|| panic!("no {key}: {:?}", about_the_meter(outcome)))
}

#[test]
fn a_log_within_its_limits_tells_nothing_and_is_an_input() {
    let outcome = told(GOOD);
    assert!(about_the_meter(&outcome).is_empty(), "{:?}", about_the_meter(&outcome));
    let inputs = outcome.summary["inputs"].as_array().unwrap();
    let log = inputs.iter().find(|input| input["path"] == "log.csv").unwrap();
    assert_eq!(log["role"], "meter log");
}

#[test]
fn a_log_changes_no_number_and_is_told_by_check_too() {
    let bad = format!("{HEAD}{}", GOOD.replace(",98,", ",80,").replace("7.02", "7.30"));
    let job = job(&bad);
    let with = job.prescribed(&[FILE]);
    let without = Job::new(JOB, SQUARE, &plain()).prescribed(&[]);
    assert_eq!(with.map, without.map);
    for key in ["need_total", "to_order", "soil", "interval"] {
        assert_eq!(with.summary.get(key), without.summary.get(key), "{key}");
    }
    let output = job.run(&["check", "job.toml", "--set", FILE]);
    let said = String::from_utf8(output.stderr).unwrap();
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(output.status.success(), "{said}");
    assert!(said.contains("slope of the meter lies outside 95 to 105 %"), "{said}");
    let strict = job.run(&["check", "job.toml", "--strict", "--set", FILE]);
    assert_eq!(strict.status.code(), Some(3));
}

#[test]
fn a_slope_outside_the_limits_names_the_samples_between_the_slopes_around_it() {
    let slopes = "time,slope\n2026-09-18T10:00,98\n2026-09-18T10:30,94.5\n2026-09-18 11:00:00,105\n\
                  2026-09-18T11:30,100\n";
    let outcome = job(slopes).prescribed(&[FILE]);
    let said = finding(&outcome, "meter_slope");
    assert!(said.contains("outside 95 to 105 %"), "{said}");
    let named = "94.5 % at 2026-09-18 10:30 (line 3): S01, S02, S03, S04, S05, S06. No reading";
    assert!(said.contains(named), "{said}");
    let wide = [FILE, "samples.meter_log.slope_least=90 %"];
    assert!(job(slopes).prescribed(&wide).finding("meter_slope").is_none());
    let narrow = [FILE, "samples.meter_log.slope_most=99 %"];
    let outcome = job(slopes).prescribed(&narrow);
    let said = finding(&outcome, "meter_slope");
    assert!(
        said.contains("outside 95 to 99 %") && said.contains("105 % at 2026-09-18 11:00"),
        "{said}"
    );
    // No buffer was read, so that nothing encloses the samples.
    assert!(finding(&outcome, "meter_log_open").contains("holds no buffer"));
}

#[test]
fn a_buffer_off_names_the_samples_around_a_check_and_after_a_calibration() {
    let outcome = told(&GOOD.replace("7.02", "7.06"));
    let said = finding(&outcome, "meter_buffer_off");
    assert!(said.contains("more than 0.05 pH off"), "{said}");
    let named = "7.06 in pH 7.0 (+0.06) at 2026-09-18 10:40 (line 4): \
                 S01, S02, S03, S04, S05, S06, S07, S08, S09.";
    assert!(said.contains(named), "{said}");
    assert!(outcome.finding("meter_drift").is_none());
    let set = GOOD.replace("10:40,check,7.00,7.02", "10:40,calibration,7.00,6.93");
    let outcome = told(&set);
    let said = finding(&outcome, "meter_buffer_off");
    assert!(said.contains("6.93 in pH 7.0 (-0.07)"), "{said}");
    assert!(said.contains("(line 4): S05, S06, S07, S08, S09."), "{said}");
    let job = job(&format!("{HEAD}{set}"));
    let wide = job.prescribed(&[FILE, "samples.meter_log.buffer_within=0.07"]);
    assert!(wide.finding("meter_buffer_off").is_none(), "the limit itself");
}

#[test]
fn a_drift_names_all_samples_between_the_two_checks() {
    // From +0.02 at 10:40 to -0.09 at 11:10 is 0.11; the other buffer is apart.
    let log = GOOD.replace(
        "2026-09-18T11:30,check,4.01,4.05",
        "2026-09-18T11:10,check,7.00,6.91,,\n2026-09-18T11:30,check,4.01,4.05",
    );
    let outcome = told(&log);
    let said = finding(&outcome, "meter_drift");
    assert!(said.contains("more than 0.1 pH between two checks"), "{said}");
    let named = "-0.11 in pH 7.0 from 2026-09-18 10:40 (line 4) to 2026-09-18 11:10 (line 5): \
                 S05, S06, S07.";
    assert!(said.contains(named), "{said}");
    let job = job(&format!("{HEAD}{log}"));
    let wide = job.prescribed(&[FILE, "samples.meter_log.drift_within=0.11"]);
    assert!(wide.finding("meter_drift").is_none(), "the limit itself");
    // Where the meter was set anew between the two, they say nothing of each other.
    let set = log.replace(
        "2026-09-18T11:10,",
        "2026-09-18T11:08,calibration,7.00,7.00,,\n2026-09-18T11:10,",
    );
    let outcome = told(&set);
    assert!(outcome.finding("meter_drift").is_none(), "{:?}", outcome.finding("meter_drift"));
}

#[test]
fn a_temperature_apart_from_that_of_the_calibration_names_the_samples_until_the_next() {
    let outcome = told(&GOOD.replace(",21\n", ",23.5\n"));
    let said = finding(&outcome, "meter_temperature");
    assert!(said.contains("more than 2 C"), "{said}");
    let named = "+3.5 C at 2026-09-18 10:40 (line 4), held against the calibration at \
                 2026-09-18 10:00 (line 2): S05, S06, S07, S08, S09.";
    assert!(said.contains(named), "{said}");
    // 68 and 74.3 F are 20 and 23.5 C.
    let fahrenheit = format!("{HEAD}{GOOD}").replace("(C)", "(F)").replace(",20\n", ",68\n");
    let fahrenheit = fahrenheit.replace(",21\n", ",74.3\n").replace(",21.5", ",70");
    let outcome = job(&fahrenheit).prescribed(&[FILE]);
    assert!(finding(&outcome, "meter_temperature").contains("+3.5 C at"));
    let wide = [FILE, "samples.meter_log.temperature_within=6.3 F"];
    assert!(job(&fahrenheit).prescribed(&wide).finding("meter_temperature").is_none());
}

#[test]
fn samples_that_no_two_buffers_enclose_or_that_have_no_time_are_told() {
    let late = GOOD.replace("T10:00", "T10:10").replace("T11:30", "T11:20");
    let outcome = told(&late);
    let said = finding(&outcome, "meter_log_open");
    assert!(said.contains("1 sample was read before the first: S01"), "{said}");
    assert!(said.contains("1 sample was read after the last: S09"), "{said}");
    let untimed = by_time().replace("2026-09-18T10:15", "").replace("2026-09-18T10:25", "n/a");
    let job = Job::new(JOB, SQUARE, &untimed);
    fs::write(job.path("log.csv"), format!("{HEAD}{GOOD}")).unwrap();
    let outcome = job.prescribed(&[FILE]);
    let said = finding(&outcome, "meter_log_without_time");
    assert!(said.starts_with("2 samples have no time") && said.contains("S02, S03"), "{said}");
    assert_eq!(about_the_meter(&outcome), ["meter_log_without_time"]);
}

#[test]
fn running_numbers_serve_as_times_do_and_columns_may_be_named() {
    let mut number = 0;
    let rows = by_time()
        .lines()
        .map(|line| match line.rsplit_once(',') {
            Some((rest, "time")) => format!("{rest},Reihenfolge"),
            Some((rest, _)) => {
                number += 10;
                format!("{rest},{number}")
            }
            None => unreachable!("every row has a time"),
        })
        .collect::<Vec<_>>()
        .join("\n");
    let job = Job::new(JOB, SQUARE, &rows);
    // The second check comes first in the file.
    fs::write(job.path("log.csv"), "nr,soll,ist\n95,7,7.2\n5,7,7.0\n").unwrap();
    let sets = [
        FILE,
        "samples.columns.measured_at=Reihenfolge",
        "samples.meter_log.measured_at=nr",
        "samples.meter_log.nominal_ph=soll",
        "samples.meter_log.meter_ph=ist",
    ];
    let outcome = job.prescribed(&sets);
    let said = finding(&outcome, "meter_drift");
    assert!(said.contains("+0.2 in pH 7.0 from number 5 (line 3) to number 95 (line 2)"), "{said}");
    assert!(said.contains("S01, S02, S03, S04, S05, S06, S07, S08, S09"), "{said}");
    let effective = fs::read_to_string(job.path("out/job.effective.toml")).unwrap();
    for line in [
        "slope_least = \"95 %\"",
        "slope_most = \"105 %\"",
        "buffer_within = 0.05",
        "drift_within = 0.1",
        "temperature_within = \"2 C\"",
    ] {
        assert!(effective.contains(line), "{line}: {effective}");
    }
    fs::copy(job.path("out/job.effective.toml"), job.path("job.toml")).unwrap();
    assert_eq!(job.prescribed(&[]).summary["findings"], outcome.summary["findings"]);
}

/// What the program says to a log that it must refuse, in one line.
fn refused(log: &str, sets: &[&str]) -> String {
    let said = job(log).refused(&[&[FILE], sets].concat());
    said.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_log_that_cannot_be_taken_is_refused_with_all_its_rows() {
    let bad = "2026-09-18,check,7.0,7.0,,\n2026-09-18T10:00Z,check,7.0,7.0,,\n\
               2026-09-18T10:00,look,7.0,7.0,,\n2026-09-18T10:10,check,7.0,,,\n\
               2026-09-18T10:20,,,7.0,,\n2026-09-18T10:30,check,,,,\n\
               2026-09-18T10:40,check,7.0,seven,,\n2026-09-18T10:50,check,7.0,7.0,0.98,\n\
               2026-09-18T10:55,check,70,7.0,98,200\n";
    let said = refused(&format!("{HEAD}{bad}"), &[]);
    for words in [
        "`2026-09-18` has no time of day",
        "`2026-09-18T10:00Z` names a time zone",
        "`look` is no kind of entry",
        "`calibration`, `check` or a blank",
        "the buffer has no reading",
        "the reading has no buffer",
        "the entry says nothing",
        "`seven` is not a number",
        "the slope of the meter from 50 to 120 %",
        "pH of a buffer solution from 1 to 13",
        "a temperature from -10 to 60 C",
        "line 10",
    ] {
        assert!(said.contains(words), "{words} is not in {said}");
    }
    let said = refused(&format!("{HEAD}{GOOD}12,check,7.0,7.0,,\n"), &[]);
    assert!(said.contains("a running number stands beside a date and time"), "{said}");
    let said = refused("order,buffer pH,meter pH\n1,7,7\n99,7,7\n", &[]);
    assert!(said.contains("a date and time stands beside a running number"), "{said}");
    assert!(said.contains("S01") && said.contains("samples.csv"), "{said}");
    for (log, words) in [
        ("", "the table is empty"),
        ("time,buffer pH,meter pH\n", "the log holds no entry"),
        ("when,buffer pH,meter pH\n2026-09-18T10:00,7,7\n", "samples.meter_log.measured_at"),
        ("time,buffer pH\n2026-09-18T10:00,7\n", "samples.meter_log.meter_ph"),
        ("time,meter pH\n2026-09-18T10:00,7\n", "samples.meter_log.nominal_ph"),
        ("time,note\n2026-09-18T10:00,7\n", "neither buffers nor slopes nor temperatures"),
        ("time,temperature\n2026-09-18T10:00,20\n", "samples.meter_log.temperature_unit"),
        ("time,order,slope\n2026-09-18T10:00,1,98\n", "several columns could be meant"),
    ] {
        let said = refused(log, &[]);
        assert!(said.contains(words), "{words}: {said}");
    }
    let said = refused(&format!("{HEAD}{GOOD}"), &["samples.meter_log.slope=steepness"]);
    assert!(said.contains("`steepness`"), "{said}");
    let stated = [FILE, "samples.meter_log.temperature_unit=C"];
    job("time,temperature\n2026-09-18T10:00,20\n").prescribed(&stated);
}

#[test]
fn limits_and_columns_of_the_job_are_checked() {
    let log = format!("{HEAD}{GOOD}");
    for (set, words) in [
        ("samples.meter_log.slope_least=95", "the slope of the meter"),
        ("samples.meter_log.slope_least=106 %", "a least slope below the greatest"),
        ("samples.meter_log.slope_most=200 %", "the slope of the meter from 50 to 120 %"),
        ("samples.meter_log.buffer_within=0", "a difference of two readings from 0.005 to 2"),
        ("samples.meter_log.drift_within=3", "a difference of two readings from 0.005 to 2"),
        ("samples.meter_log.temperature_within=2", "a difference of temperatures"),
        ("samples.meter_log.temperature_unit=K", "`C`, `F`"),
        ("samples.meter_log.file=none.csv", "none.csv"),
        ("samples.columns.measured_at=when", "no column `when`"),
    ] {
        let said = refused(&log, &[set]);
        assert!(said.contains(words), "{words}: {said}");
    }
    let said = Job::new(JOB, SQUARE, &by_time()).refused(&["samples.columns.measured_at=time"]);
    assert!(said.contains("there is no `samples.meter_log`"), "{said}");
    let said = Job::new(JOB, SQUARE, &by_time()).refused(&["samples.meter_log.slope_most=110 %"]);
    assert!(said.contains("samples.meter_log.file"), "{said}");
    // Samples without a column for the time, and with one that is no time.
    let without = Job::new(JOB, SQUARE, &plain());
    fs::write(without.path("log.csv"), &log).unwrap();
    let said = without.refused(&[FILE]);
    assert!(said.contains("time or running number of the readings"), "{said}");
    assert!(said.contains("samples.columns.measured_at"), "{said}");
    let odd = Job::new(JOB, SQUARE, &by_time().replace("2026-09-18T10:15", "quarter past ten"));
    fs::write(odd.path("log.csv"), &log).unwrap();
    let said = odd.refused(&[FILE]);
    assert!(
        said.contains("`quarter past ten` is no date and time") && said.contains("S02"),
        "{said}"
    );
}

#[test]
fn composites_points_of_zones_and_repeated_samples_are_held_against_a_log_too() {
    // Two results of S02, of which the last counts, with its own time.
    let again = by_time() + "S02,39.9945556,-89.0007138,5.4,2026-09-18T12:00\n";
    let job = Job::new(JOB, SQUARE, &again);
    fs::write(job.path("log.csv"), format!("{HEAD}{GOOD}")).unwrap();
    let outcome = job.prescribed(&[FILE, "samples.repeats=last"]);
    assert!(finding(&outcome, "meter_log_open").contains("1 sample was read after the last: S02"));
    let said = finding(&job.prescribed(&[FILE, "samples.repeats=mean"]), "meter_log_without_time")
        .to_owned();
    assert!(said.contains("S02"), "a mean has no time: {said}");
}
