//! A blank buffer is usually an answer.

use super::support::{Ground, Job, Sample, assert_near};

/// Two samples in a row, 6.4 in the west and a blank in the east, and a cell half way.
fn row_of_three_cells() -> Ground {
    let sample = |east_m, ph, buffer_ph| Sample { east_m, north_m: 0.0, ph, buffer_ph };
    let mut ground =
        Ground::square(40.0, vec![sample(-40.0, 5.6, Some(6.4)), sample(40.0, 6.6, None)]);
    ground.outline_m = vec![[-60.0, -20.0], [60.0, -20.0], [60.0, 20.0], [-60.0, 20.0]];
    ground
}

/// The need of the cell in the middle, in lb CaCO3/ac. (Samples on a line: linear between them.)
fn need_half_way(sets: &[&str]) -> f64 {
    let outcome = Job::on(&row_of_three_cells()).prescribed(sets);
    let middle = outcome
        .features()
        .iter()
        .find(|feature| feature["properties"]["cell"] == "0-1")
        .expect("the middle cell");
    middle["properties"]["need_ton_ac"].as_f64().unwrap() * 2_000.0
}

#[test]
fn half_way_to_a_blank_the_table_is_asked_at_the_reading_half_way() {
    // Iowa to 6.5 reaches nothing at 7.0: (6.4 + 7.0) / 2 = 6.7 -> (2,100 + 600) / 2 = 1,350.
    // Read as missing, the blank would have left 6.4 everywhere: 3,500.
    assert_near(need_half_way(&[]), 1_350.0, 1.0, "need");
}

#[test]
fn where_the_table_never_reaches_nothing_the_need_is_halved_instead() {
    // Iowa to 6.9 prints 1,100 at 7.0 and no nothing: half of the 6,000 at 6.4.
    assert_near(need_half_way(&["target.ph=6.9"]), 3_000.0, 1.0, "need");
}

#[test]
fn the_finding_counts_the_blanks_and_tells_the_tons() {
    let outcome = Job::on(&row_of_three_cells()).prescribed(&[]);
    let told = outcome.finding("blank_buffers_need_nothing").expect("told");
    assert!(told.starts_with("1 sample has no buffer reading"), "{told}");
    // 3,500 and 1,350 lb/ac on two cells of 1,600 m2 or 0.39537 ac, nothing on the third; were the
    // blank missing, 3,500 on both, because the third lies above the target.
    let effect = "needs 0.96 ton of CaCO3; taken as missing it would have been 1.38 ton";
    assert!(told.contains(effect), "{told}");
    // Iowa to 6.9: 6,000 and 3,000 lb/ac, and 6,000 on all three.
    let outcome = Job::on(&row_of_three_cells()).prescribed(&["target.ph=6.9"]);
    let told = outcome.finding("blank_buffers_need_nothing").expect("told");
    let effect = "needs 1.78 ton of CaCO3; taken as missing it would have been 3.56 ton";
    assert!(told.contains(effect), "{told}");
}

#[test]
fn a_blank_that_the_job_does_not_explain_is_refused_by_name() {
    let mut ground = row_of_three_cells();
    let job = super::support::JOB.replace("buffer_blank_above = 6.5\n", "");
    let said = Job::new(&job, &ground.boundary(), &ground.table()).refused(&[]);
    assert!(said.contains("S01") && said.contains("line 3"), "{said}");
    assert!(said.contains("buffer_blank_above"), "{said}");

    ground.samples[1].ph = 6.1;
    let said = Job::on(&ground).refused(&[]);
    assert!(said.contains("S01") && said.contains("at the stated pH of 6.5 and above"), "{said}");
}
