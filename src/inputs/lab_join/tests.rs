//! Joins that go well, joins that are told, and joins that are refused.

use super::*;
use crate::inputs::RepeatRule;
use crate::inputs::samples::promise_of;

fn table(file: &str, headers: &[&str], rows: &[&[&str]]) -> Table {
    let row = |(index, cells): (usize, &&[&str])| TableRow {
        number: index + 2,
        cells: cells.iter().map(|&cell| cell.to_owned()).collect(),
        joined_line: None,
    };
    Table {
        file: file.into(),
        headers: headers.iter().map(|&header| header.to_owned()).collect(),
        header_line: Some(1),
        rows: rows.iter().enumerate().map(row).collect(),
        in_doubt: std::collections::BTreeSet::new(),
        points: None,
        joined: None,
    }
}

fn points(ids: &[&str]) -> Table {
    let rows: Vec<[&str; 2]> = ids.iter().map(|&id| [id, "40.1"]).collect();
    let rows: Vec<&[&str]> = rows.iter().map(<[&str; 2]>::as_slice).collect();
    table("points.csv", &["sample_id", "lat"], &rows)
}

fn lab(results: &[[&str; 2]]) -> Table {
    let rows: Vec<&[&str]> = results.iter().map(<[&str; 2]>::as_slice).collect();
    table("lab.csv", &["id", "pH"], &rows)
}

fn style(repeats: Option<RepeatRule>) -> TableStyle {
    TableStyle {
        encoding: None,
        decimal: None,
        repeats,
        names: Vec::new(),
        others: Vec::new(),
        labels: Vec::new(),
        select: Vec::new(),
        promise: promise_of,
    }
}

struct Rules {
    repeats: Option<RepeatRule>,
    leave_out: bool,
}

const STRICT: Rules = Rules { repeats: None, leave_out: false };

fn join(points: &Table, lab: &Table, rules: &Rules) -> Result<(Table, Vec<Finding>), Refusal> {
    join_lab(&LabJoin {
        points,
        key: 0,
        lab,
        lab_key: 0,
        lab_depths: &[],
        how: &style(rules.repeats),
        leave_out_missing: rules.leave_out,
    })
}

fn ph_of(table: &Table) -> Vec<&str> {
    table.rows.iter().map(|row| row.cells[2].as_str()).collect()
}

fn said(refused: Result<(Table, Vec<Finding>), Refusal>) -> String {
    refused.expect_err("the join is refused").to_string()
}

#[test]
fn results_follow_their_points_in_the_order_of_the_points() {
    let (joined, findings) =
        join(&points(&["B", "A"]), &lab(&[["A", "5.1"], ["B", "6.2"]]), &STRICT).unwrap();
    assert_eq!(joined.headers, ["sample_id", "lat", "pH"]);
    assert_eq!(ph_of(&joined), ["6.2", "5.1"]);
    assert!(findings.is_empty());
    // A cell of the laboratory is placed in the laboratory's file, on its own line.
    let place = joined.place(&joined.rows[0], Some(2)).to_string();
    assert_eq!(place, "lab.csv, line 3, column pH");
    assert_eq!(
        joined.place(&joined.rows[0], Some(1)).to_string(),
        "points.csv, line 2, column lat"
    );
}

#[test]
fn lost_zeros_are_matched_one_to_one_and_told() {
    let ids = ["001", "002", "010"];
    let results = lab(&[["1", "5.2"], ["10", "5.9"], ["2", "5.4"]]);
    let (joined, findings) = join(&points(&ids), &results, &STRICT).unwrap();
    assert_eq!(ph_of(&joined), ["5.2", "5.4", "5.9"]);
    assert!(findings[0].text.contains("001 = 1"), "{findings:?}");
    // `01` and `001` are two samples: neither may take the result of `1`.
    let refused = said(join(&points(&["001", "01"]), &lab(&[["1", "5.2"]]), &STRICT));
    assert!(refused.contains("cannot be told apart") && refused.contains("001, 01"), "{refused}");
    // One that matches as it stands leaves nothing for the other.
    let refused = said(join(&points(&["1", "01"]), &lab(&[["1", "5.2"]]), &STRICT));
    assert!(refused.contains("cannot be told apart"), "{refused}");
}

#[test]
fn case_and_blanks_are_matched_and_told_and_never_half() {
    let (joined, findings) =
        join(&points(&["s01", "S 02"]), &lab(&[["S01", "5.2"], ["s02", "5.4"]]), &STRICT).unwrap();
    assert_eq!(ph_of(&joined), ["5.2", "5.4"]);
    assert!(findings[0].text.contains("case or blanks"), "{findings:?}");
    let refused = said(join(&points(&["a1"]), &lab(&[["A1", "5"], ["A 1", "6"]]), &STRICT));
    assert!(refused.contains("cannot be told apart"), "{refused}");
}

#[test]
fn ids_that_became_dates_or_numbers_are_explained() {
    let refused =
        said(join(&points(&["3-1", "3-2"]), &lab(&[["1-Mar", "5.2"], ["3-2", "6"]]), &STRICT));
    assert!(refused.contains("`1-Mar` matches no point") && refused.contains("date"), "{refused}");
    let refused = said(join(&points(&["1E5"]), &lab(&[["1.00E+05", "5.2"]]), &STRICT));
    assert!(refused.contains("scientific notation"), "{refused}");
    // As numbers these two would be equal; as texts they are not.
    let refused = said(join(&points(&["1E2"]), &lab(&[["100", "5.2"]]), &STRICT));
    assert!(refused.contains("no id of the results is one of the points"), "{refused}");
}

#[test]
fn repeated_results_need_a_rule() {
    let results = lab(&[["A", "5.6"], ["A", "5.9"]]);
    let refused = said(join(&points(&["A"]), &results, &STRICT));
    assert!(refused.contains("2 results, in rows 2, 3") && refused.contains("samples.repeats"));
    for (rule, expected) in
        [(RepeatRule::Mean, 5.75), (RepeatRule::Last, 5.9), (RepeatRule::First, 5.6)]
    {
        let rules = Rules { repeats: Some(rule), leave_out: false };
        let (joined, findings) = join(&points(&["A"]), &results, &rules).unwrap();
        let ph: f64 = ph_of(&joined)[0].parse().unwrap();
        assert!(joined.rows.len() == 1 && (ph - expected).abs() < 1e-12, "{rule:?}: {ph}");
        assert!(findings[0].text.contains(rule.words()), "{findings:?}");
    }
    let rules = Rules { repeats: Some(RepeatRule::Mean), leave_out: false };
    let refused = said(join(&points(&["A"]), &lab(&[["A", "<5.0"], ["A", "5.2"]]), &rules));
    assert!(refused.contains("have no mean"), "{refused}");
}

#[test]
fn results_of_several_depths_are_no_repeats() {
    let results = table(
        "lab.csv",
        &["id", "pH", "depth"],
        &[&["A", "5.2", "0-6"], &["A", "6.4", "6-12"], &["B", "5.5", "0-6"]],
    );
    let points = points(&["A", "B"]);
    let asked = LabJoin {
        points: &points,
        key: 0,
        lab: &results,
        lab_key: 0,
        lab_depths: &[2],
        how: &style(None),
        leave_out_missing: false,
    };
    let (joined, _) = join_lab(&asked).unwrap();
    assert_eq!(ph_of(&joined), ["5.2", "6.4", "5.5"]);
    assert!(join_lab(&LabJoin { lab_depths: &[], ..asked }).is_err());
}

#[test]
fn what_has_no_partner_is_listed_by_name() {
    let results = lab(&[["A", "5.2"], ["X9", "6"]]);
    let refused = said(join(&points(&["A", "B"]), &results, &STRICT));
    assert!(refused.contains("sample B") && refused.contains("no result"), "{refused}");
    let rules = Rules { repeats: None, leave_out: true };
    let (joined, findings) = join(&points(&["A", "B"]), &results, &rules).unwrap();
    assert_eq!(joined.rows.len(), 1);
    let text = format!("{findings:?}");
    assert!(text.contains("belong to no point") && text.contains("X9"), "{text}");
    assert!(text.contains("1 of 2 points have no result") && text.contains(": B."), "{text}");
}

#[test]
fn doubled_points_and_common_columns_are_refused() {
    let refused = said(join(&points(&["A", "A"]), &lab(&[["A", "5.2"]]), &STRICT));
    assert!(refused.contains("a second time"), "{refused}");
    let results = table("lab.csv", &["id", "Lat"], &[&["A", "41"]]);
    let refused = said(join(&points(&["A"]), &results, &STRICT));
    assert!(refused.contains("points.csv have this column too"), "{refused}");
    // What nobody reads may stand in both.
    let headers = ["sample_id", "lat", "Note"];
    let noted = table("points.csv", &headers, &[&["A", "40.1", "wet"]]);
    let results = table("lab.csv", &["id", "pH", "note"], &[&["A", "5.2", "ran late"]]);
    let (joined, _) = join(&noted, &results, &STRICT).unwrap();
    assert_eq!(joined.headers, ["sample_id", "lat", "Note", "pH"]);
    assert_eq!(joined.rows[0].cells, ["A", "40.1", "wet", "5.2"]);
}

#[test]
fn another_spelling_of_an_id_that_matched_is_never_lost() {
    for results in [[["S04", "5.6"], ["s04 ", "5.9"]], [["S04", "5.6"], ["S4", "5.9"]]] {
        let refused = said(join(&points(&["S04"]), &lab(&results), &STRICT));
        assert!(refused.contains("cannot be told apart"), "{refused}");
        assert_eq!(refused.matches("cannot be told apart").count(), 1, "{refused}");
    }
}
