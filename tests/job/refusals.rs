//! Input that is refused: always with where, what, what is allowed and what to try, and with
//! nothing written.

use std::fs;

use super::support::{Ground, JOB, Job, Sample};

fn ground() -> Ground {
    let sample = |east_m, north_m, ph, buffer_ph| Sample { east_m, north_m, ph, buffer_ph };
    Ground::square(
        200.0,
        vec![
            sample(-60.0, -60.0, 5.5, Some(6.4)),
            sample(60.0, -60.0, 5.8, Some(6.6)),
            sample(-60.0, 60.0, 6.2, Some(6.8)),
            sample(60.0, 60.0, 6.1, Some(6.7)),
        ],
    )
}

/// What the program says to the job with one line of it replaced.
fn job_with(line: &str, replaced_by: &str) -> String {
    assert!(JOB.contains(line), "{line} is not in the job");
    let ground = ground();
    Job::new(&JOB.replace(line, replaced_by), &ground.boundary(), &ground.table()).refused(&[])
}

#[test]
fn what_changes_the_tons_has_no_default() {
    for key in [
        "sampled_depth = \"0-6 in\"\n",
        "ph_measured_in = \"water 1:1\"\n",
        "method = \"smp-iowa\"\n",
        "limed_depth = \"6 in\"\n",
        "placement = \"tilled\"\n",
        "kind = \"calcitic limestone\"\n",
        "effective = \"50 % as received\"\n",
        "min_rate = \"1 ton/ac\"\n",
        "pass_spacing = \"40 m\"\n",
        "payload = \"16 ton\"\n",
        "units = \"us\"\n",
        "ph = 6.5\n",
    ] {
        let said = job_with(key, "");
        let name = key.split(" =").next().unwrap();
        assert!(said.contains("is missing") && said.contains(name), "{key}: {said}");
    }
}

#[test]
fn a_buffer_method_wants_to_know_which_buffer_the_lab_ran() {
    let said = job_with("buffer = \"smp\"\n", "");
    assert!(said.contains("buffer"), "{said}");
    let said = job_with("buffer = \"smp\"", "buffer = \"sikora\"");
    assert!(said.contains("sikora") && said.contains("smp"), "{said}");
}

#[test]
fn dry_or_as_received_must_be_said() {
    let said = job_with("50 % as received", "50 %");
    assert!(said.contains("as received") && said.contains("dry"), "{said}");
}

#[test]
fn a_bare_number_is_told_which_units_are_accepted() {
    for replaced_by in ["limed_depth = 6", "limed_depth = \"6\"", "limed_depth = \"6 parsec\""] {
        let said = job_with("limed_depth = \"6 in\"", replaced_by);
        assert!(said.contains("`in`") && said.contains("`cm`"), "{said}");
        assert!(said.contains("job.toml:15"), "the line: {said}");
    }
}

#[test]
fn an_unknown_key_names_the_nearest_known_one_with_its_line() {
    let said = job_with("pass_spacing", "pas_spacing");
    assert!(said.contains("did you mean `pass_spacing`"), "{said}");
    assert!(said.contains("job.toml:24:1"), "{said}");
    let said = job_with("[target]", "[targets]");
    assert!(said.contains("did you mean `target`"), "{said}");
    let said =
        job_with("payload = \"16 ton\"", "payload = \"16 ton\"\nspreading_cost = \"8 $/ac\"");
    assert!(said.contains("it belongs to the table [haul]"), "{said}");
}

#[test]
fn a_trigger_out_of_range_is_named_as_what_it_is() {
    let said = job_with("ph = 6.5\n", "ph = 6.5\ntreat_below = 3.9\n");
    assert!(said.contains("`treat_below`") && !said.contains("target pH is"), "{said}");
}

#[test]
fn what_does_not_lime_is_refused() {
    // In a cup test (common practice, no source) gypsum moved a soil of pH 5.1 to 4.9, lime to 6.3.
    for kind in ["gypsum", "calcium chloride"] {
        let said = job_with("calcitic limestone", kind);
        assert!(said.contains(&format!("{kind} is not a liming material")), "{said}");
    }
}

#[test]
fn a_worth_that_the_kind_cannot_have_is_refused() {
    let said = job_with("50 % as received", "140 % as received");
    assert!(said.contains("calcitic limestone cannot be worth 140 %"), "{said}");
    // Burnt lime can.
    let job = JOB.replace("50 % as received", "140 % as received");
    let job = job.replace("calcitic limestone", "burnt lime");
    Job::new(&job, &ground().boundary(), &ground().table()).prescribed(&[]);
}

#[test]
fn a_limit_off_the_steps_names_the_two_nearest() {
    let said = job_with("max_rate = \"3 ton/ac\"", "max_rate = \"3.2 ton/ac\"");
    assert!(said.contains("`3 ton/ac`") && said.contains("`3.5 ton/ac`"), "{said}");
}

#[test]
fn a_target_outside_the_columns_names_the_methods_that_serve_it() {
    let said = job_with("ph = 6.5", "ph = 6.2");
    assert!(said.contains("6.5 to 6.9"), "{said}");
    let said = job_with("ph = 6.5", "ph = 7.5");
    assert!(said.contains("7.5"), "{said}");
}

#[test]
fn every_bad_row_is_listed_with_line_sample_and_reason() {
    let table = "sample_id,lon,lat,pH,BpH\n\
        A,-93.2001,42.0001,<5.0,6.4\n\
        B,-93.2001,41.9999,60,6.4\n\
        C,-93.1999,42.0001,,6.4\n\
        D,-93.1999,41.9999,5.5,6.4\n\
        E,west,41.9999,5.5,-99\n";
    let said = Job::new(JOB, &ground().boundary(), table).refused(&[]);
    for part in [
        "line 2, sample A, column pH",
        "`<5.0` is a limit, not a number",
        "line 3, sample B, column pH",
        "soil pH from 2 to 11",
        "line 4, sample C, column pH",
        "the cell is blank",
        "line 6, sample E, column lon",
        "line 6, sample E, column BpH",
        "buffer pH from 3 to 8.5",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    assert!(!said.contains("sample D"), "{said}");
    let ragged = format!("{table}F,-93.1999,41.9999,5.5,6.4,7\nG,-93.1999\n");
    let said = Job::new(JOB, &ground().boundary(), &ragged).refused(&[]);
    for part in ["line 7, sample F", "the row has 6 cells", "line 8, sample G"] {
        assert!(said.contains(part), "{part}: {said}");
    }
}

#[test]
fn headers_that_are_missing_doubled_or_ambiguous_are_refused() {
    let boundary = ground().boundary();
    let said = |header: &str, row: &str| {
        Job::new(JOB, &boundary, &format!("{header}\n{row}\n")).refused(&[])
    };
    let doubled = said("sample_id,lat,lon,ph,PH", "S01,42,-93.2,5.2,6.6");
    assert!(doubled.contains("2 columns are called `ph`"), "{doubled}");
    let none = said("sample_id,lat,lon,clay", "S01,42,-93.2,12");
    assert!(none.contains("samples.columns.ph"), "{none}");
    let equals = said("id,lat,lon,water pH,soil pH,BpH", "S01,42,-93.2,5.2,5.3,6.6");
    assert!(equals.contains("`water pH`, `soil pH`"), "{equals}");
    let other = said("id,lat,lon,pH CaCl2,BpH", "S01,42,-93.2,5.2,6.6");
    assert!(other.contains("names CaCl2") && other.contains("water 1:1"), "{other}");
}

#[test]
fn a_header_or_depth_that_contradicts_the_job_is_refused() {
    let boundary = ground().boundary();
    let table = ground().table();
    let said =
        |from: &str, to: &str| Job::new(JOB, &boundary, &table.replacen(from, to, 1)).refused(&[]);
    let other = said("BpH", "Sikora pH");
    assert!(other.contains("names sikora") && other.contains("says smp"), "{other}");
    let other = said("pH,", "pH (1:5 water),");
    assert!(other.contains("1:5") && other.contains("water 1:1"), "{other}");
    let deep = table.replacen("BpH", "BpH,depth", 1).replace('\n', ",6-12 in\n");
    let deep = deep.replacen("depth,6-12 in", "depth", 1);
    let said = Job::new(JOB, &boundary, &deep).refused(&[]);
    assert!(said.contains("`6-12 in`"), "{said}");
    let said = job_with("sampled_depth = \"0-6 in\"", "sampled_depth = \"6-12 in\"");
    assert!(said.contains("below the limed depth"), "{said}");
}

#[test]
fn a_hole_open_to_the_outside_and_a_field_of_nothing_are_refused() {
    let table = ground().table();
    let said = |boundary: &str| Job::new(JOB, boundary, &table).refused(&[]);
    for hole in [
        "[[-93.2005,42.0],[-93.2005,42.0004],[-93.2002,42.0004],[-93.2002,42.0],[-93.2005,42.0]]",
        "[[-93.201,42.0005],[-93.2005,42.0005],[-93.2005,42.001],[-93.201,42.001],[-93.201,42.0005]]",
    ] {
        let boundary = format!(
            "{{\"type\":\"Polygon\",\"coordinates\":[[[-93.201,42.0],[-93.198,42.0],\
             [-93.198,42.002],[-93.201,42.002],[-93.201,42.0]],{hole}]}}"
        );
        assert!(said(&boundary).contains("shares an edge with"), "{}", said(&boundary));
    }
    let tiny = r#"{"type":"Polygon","coordinates":[[[-93.2,42.0],[-93.19999999,42.0],
        [-93.19999999,42.00000001],[-93.2,42.0]]]}"#;
    assert!(said(tiny).contains("at least 100 m2"), "{}", said(tiny));
}

#[test]
fn a_cell_too_small_for_the_field_is_refused_before_anything_is_built() {
    let mut ground = ground();
    for corner in &mut ground.outline_m {
        *corner = [corner[0] * 40.0, corner[1] * 40.0];
    }
    let said = Job::on(&ground).refused(&["grid.cell=1 m"]);
    assert!(said.contains("cells"), "{said}");
}

#[test]
fn files_that_are_not_what_they_should_be_say_so() {
    let ground = ground();
    let table = ground.table();
    let said = |boundary: &str| Job::new(JOB, boundary, &table).refused(&[]);
    assert!(said("{\"type\":").contains("boundary.geojson, line 1"));
    assert!(said("{\"type\":\"Point\",\"coordinates\":[0,0]}").contains("is a point"));
    assert!(said("{\"type\":\"FeatureCollection\",\"features\":[]}").contains("no polygon"));
    assert!(said("").contains("not JSON"));
    let job = Job::on(&ground);
    fs::write(job.path("samples.csv"), b"sample_id,lon,lat,pH,BpH\nS\xff,1,2,3,4\n").unwrap();
    let not_utf8 = job.refused(&["samples.encoding=utf-8"]);
    assert!(not_utf8.contains("line 2") && not_utf8.contains("UTF-8"), "{not_utf8}");
    fs::remove_file(job.path("samples.csv")).unwrap();
    assert!(job.refused(&[]).contains("samples.csv"));
}

#[test]
fn no_sample_within_the_rows_of_the_method_is_refused() {
    let mut ground = ground();
    for sample in &mut ground.samples {
        sample.buffer_ph = Some(5.0);
    }
    let said = Job::on(&ground).refused(&[]);
    assert!(said.contains("readings from 5.8 to 7"), "{said}");
    // One sample in range is enough: the others take the end value, flagged with their area.
    ground.samples[0].buffer_ph = Some(6.0);
    let outcome = Job::on(&ground).prescribed(&[]);
    assert!(outcome.finding("beyond_the_method_rows").is_some());
    assert!(outcome.value("/table_limit_area/below") > 1.0);
}

#[test]
fn a_text_that_steers_the_terminal_is_defused() {
    let table = "sample_id,lon,lat,pH,BpH\n\u{1b}[31mred,-93.2001,42.0001,x\u{7},6.4\n";
    let said = Job::new(JOB, &ground().boundary(), table).refused(&[]);
    assert!(!said.contains('\u{1b}') && !said.contains('\u{7}'), "{said:?}");
}
