use super::*;
use crate::agronomy::{Basis, LimeMethod, MethodMedium};
use crate::units::Length;

/// A sound table, for each test to spoil.
fn sound() -> serde_json::Value {
    serde_json::json!({
        "id": "own-table", "title": "our own trial", "shape": "reading-table",
        "source": "our trial report", "locator": "table 2", "region": "one field",
        "soils": "silt loam", "reads": "buffer_ph", "buffer": "adams-evans",
        "ph_medium": "water 1:1", "depth": "8 in", "basis": "90 % CCE", "between": "class",
        "need_unit": "ton/ac", "targets": [6.0, 6.5],
        "rows": [
            { "reading": 7.8, "needs": [0, 0.5] },
            { "reading": 7.5, "needs": [1.0, 1.5] }
        ]
    })
}

fn spoiled(spoil: impl FnOnce(&mut serde_json::Value)) -> Vec<Problem> {
    let mut table = sound();
    spoil(&mut table);
    let refusal = MethodTable::from_json(&table.to_string())
        .and_then(MethodTable::into_method)
        .expect_err("the table is spoiled");
    refusal.into_problems()
}

#[test]
fn a_sound_table_becomes_a_method_with_its_rows_rising() {
    let table = MethodTable::from_json(&sound().to_string()).unwrap();
    let method = table.into_method().unwrap();
    let card = method.card();
    assert_eq!(card.ph_medium, MethodMedium::from_words("water 1:1").unwrap());
    assert_eq!(card.depth, Some(Length::from_inches(8.0)));
    assert_eq!(card.basis, Basis::Stated(0.9));
    assert_eq!(card.printed_range, Some((7.5, 7.8)));
    assert_eq!(card.source.words(), "our trial report; table 2");
    assert!(!card.from_memory);
    assert!(method.table().rows[0].reading < method.table().rows[1].reading);
}

#[test]
fn a_written_table_reads_back_the_same() {
    let table = MethodTable::from_json(&sound().to_string()).unwrap();
    let text = serde_json::to_string(&table).unwrap();
    assert_eq!(MethodTable::from_json(&text).unwrap(), table);
}

#[test]
fn what_the_source_does_not_state_may_be_written_so() {
    let mut table = sound();
    table["depth"] = "not stated".into();
    table["basis"] = "not stated".into();
    table["ph_medium"] = "water".into();
    let table = MethodTable::from_json(&table.to_string()).unwrap();
    let card = table.into_method().unwrap().card().clone();
    assert_eq!((card.depth, card.basis), (None, Basis::NotStated));
    assert_eq!(card.ph_medium, MethodMedium::AnyWater);
    assert_eq!(card.basis.words(), "not stated, 100 % CCE assumed");
}

#[test]
fn text_that_is_no_table_says_where() {
    let text = "{\n  \"id\": \"own\",\n  \"colour\": 3\n}";
    let refusal = MethodTable::from_json(text).expect_err("an unknown field");
    let problem = &refusal.problems()[0];
    assert_eq!(problem.place.line, Some(3));
    assert!(problem.what.contains("colour"), "{}", problem.what);
    assert!(!problem.what.contains("at line"), "{}", problem.what);

    let text = "{\"id\": \"own\",\n \"shape\": \"circle\"}";
    let refusal = MethodTable::from_json(text).expect_err("an unknown shape");
    assert_eq!(refusal.problems()[0].place.line, Some(2));
    assert!(refusal.problems()[0].what.contains("reading-table"));
}

#[test]
fn every_field_out_of_its_limits_is_named() {
    type Spoil = fn(&mut serde_json::Value);
    let cases: [(&str, Spoil); 18] = [
        ("`id`", |t| t["id"] = "Own Table".into()),
        ("`title`", |t| t["title"] = " ".into()),
        ("`locator`", |t| t["locator"] = "".into()),
        ("`buffer` is missing", |t| t["buffer"] = serde_json::Value::Null),
        ("`buffer` is `adams-evans`", |t| t["reads"] = "ph".into()),
        ("`ph_medium`", |t| t["ph_medium"] = "milk".into()),
        ("`depth`", |t| t["depth"] = "8".into()),
        ("`depth`", |t| t["depth"] = "8 mi".into()),
        ("`basis`", |t| t["basis"] = "90 %".into()),
        ("`basis`", |t| t["basis"] = "900 % CCE".into()),
        ("`trigger`", |t| t["trigger"] = 65.into()),
        ("`targets[1]`", |t| t["targets"][1] = 65.into()),
        ("`targets` do not rise", |t| t["targets"] = vec![6.5, 6.0].into()),
        ("`rows[0].reading`", |t| t["rows"][0]["reading"] = 78.into()),
        ("`rows[1].needs` has 1 numbers", |t| t["rows"][1]["needs"] = vec![1.0].into()),
        ("`rows[1].needs[0]` is -1", |t| t["rows"][1]["needs"][0] = (-1).into()),
        ("`rows[1].needs[0]` is 3000", |t| t["rows"][1]["needs"][0] = 3000.into()),
        ("`rows` are not in order", |t| t["rows"][1]["reading"] = 7.8.into()),
    ];
    for (found, spoil) in cases {
        let problems = spoiled(spoil);
        assert_eq!(problems.len(), 1, "{found}: {problems:?}");
        assert!(problems[0].what.contains(found), "{found}: {problems:?}");
        assert!(!problems[0].allowed.is_empty(), "{found}");
    }
}

#[test]
fn a_derived_line_belongs_to_one_target_and_starts_above_the_rows() {
    let line = |zero_at: f64| serde_json::json!({ "per_unit": 1, "zero_at": zero_at, "why": "so" });
    let problems = spoiled(|t| t["derived"] = line(7.8));
    assert_eq!(problems.len(), 2, "{problems:?}");
    assert!(problems[0].what.contains("several targets"));
    assert!(problems[1].allowed.contains("7.8"));
}

#[test]
fn all_problems_are_told_at_once() {
    let problems = spoiled(|t| {
        t["depth"] = "deep".into();
        t["basis"] = "pure".into();
        t["title"] = "".into();
    });
    assert_eq!(problems.len(), 3);
}

#[test]
fn units_of_need_are_written_as_they_are_read_and_keep_the_number() {
    use NeedUnit::{KilogramPerHectare, PoundPerAcre, ShortTonPerAcre, TonnePerHectare};
    for unit in [PoundPerAcre, ShortTonPerAcre, TonnePerHectare, KilogramPerHectare] {
        assert_eq!(serde_json::to_value(unit).unwrap(), unit.words());
        assert!((unit.number(unit.need(3.5)) - 3.5).abs() < 1e-12);
    }
    // 1 short ton an acre is 2.2417 t/ha (NIST Special Publication 811, 2008, from its factors).
    let tonnes = TonnePerHectare.number(ShortTonPerAcre.need(1.0));
    assert!((tonnes - 2.241_702).abs() < 1e-6);
    assert!((KilogramPerHectare.number(PoundPerAcre.need(1.0)) - 1.120_851).abs() < 1e-6);
}

#[test]
fn rows_and_the_derived_line_may_reach_their_limits() {
    // 100 t/ha are 44.609 ton/ac.
    let judged = |spoil: &dyn Fn(&mut serde_json::Value)| {
        let mut table = sound();
        spoil(&mut table);
        MethodTable::from_json(&table.to_string()).and_then(MethodTable::into_method).is_ok()
    };
    for (need, sound) in [(0.0, true), (44.6, true), (44.61, false), (-1e-9, false)] {
        let spoil = |t: &mut serde_json::Value| t["rows"][1]["needs"][1] = need.into();
        assert_eq!(judged(&spoil), sound, "{need}");
    }
    for (reading, sound) in [(8.5, true), (8.6, false), (7.501, true), (7.5, false)] {
        let spoil = |t: &mut serde_json::Value| t["rows"][0]["reading"] = reading.into();
        assert_eq!(judged(&spoil), sound, "{reading}");
    }
    for (targets, sound) in [([6.0, 6.0], false), ([6.0, 6.001], true), ([4.0, 8.0], true)] {
        let spoil = |t: &mut serde_json::Value| t["targets"] = targets.to_vec().into();
        assert_eq!(judged(&spoil), sound, "{targets:?}");
    }
    let derived = |per_unit: f64, zero_at: f64| {
        judged(&|t: &mut serde_json::Value| {
            t["targets"] = vec![6.5].into();
            for row in 0..2 {
                t["rows"][row]["needs"] = vec![0.5].into();
            }
            t["derived"] =
                serde_json::json!({ "per_unit": per_unit, "zero_at": zero_at, "why": "so" });
        })
    };
    for (per_unit, zero_at, sound) in [
        (1.0, 7.8, false),
        (1.0, 7.801, true),
        (1.0, 14.0, true),
        (1.0, 14.001, false),
        (44.6, 8.0, true),
        (44.61, 8.0, false),
    ] {
        assert_eq!(derived(per_unit, zero_at), sound, "{per_unit} {zero_at}");
    }
    let of_depth = |depth: &str| judged(&|t| t["depth"] = depth.into());
    assert!(of_depth("1 cm") && of_depth("100 cm"));
    assert!(!of_depth("0.9 cm") && !of_depth("101 cm"));
    let named = |id: &str| judged(&|t| t["id"] = id.into());
    assert!(named("own-2") && !named("own_2") && !named(""));
    let without_buffer = |reads: &str, readings: [f64; 2]| {
        judged(&|t| {
            (t["reads"], t["buffer"]) = (reads.into(), serde_json::Value::Null);
            for (row, reading) in readings.into_iter().enumerate() {
                t["rows"][row]["reading"] = reading.into();
            }
        })
    };
    assert!(without_buffer("ph", [11.0, 2.0]));
    assert!(!without_buffer("ph", [11.1, 2.0]) && !without_buffer("ph", [11.0, 1.9]));
    assert!(without_buffer("acidity", [0.0, 60.0]));
    assert!(!without_buffer("acidity", [-0.1, 60.0]));
    assert!(!without_buffer("acidity", [0.0, 60.1]));
    // One row is no table.
    assert!(!judged(&|t| t["rows"].as_array_mut().unwrap().truncate(1)));
}
