//! Tables of classes, textures, rises, capacities and saturations: each number has its limits.

use super::MethodTable;
use crate::agronomy::registry::TABLES;

const BASES: &str = "base-saturation-brazil";
const BY_BUFFER: &str = "base-saturation-brazil-paraiba";
const ALUMINIUM: &str = "aluminium-saturation";

/// The table of a method as it is written.
fn written(id: &str) -> serde_json::Value {
    let named = |text: &&str| text.contains(&format!("\"id\": \"{id}\""));
    let text = TABLES.iter().map(|table| table.1).find(named).unwrap();
    serde_json::from_str(text).unwrap()
}

/// What is said of a table, or nothing where it is sound.
fn judged(table: &serde_json::Value) -> String {
    let method = MethodTable::from_json(&table.to_string()).and_then(MethodTable::into_method);
    method.err().map_or_else(String::new, |refusal| refusal.to_string())
}

/// What is said of a method's table with one value replaced, or taken out where it is null.
fn spoiled(id: &str, pointer: &str, value: serde_json::Value) -> String {
    let mut table = written(id);
    *table.pointer_mut(pointer).unwrap_or_else(|| panic!("{id}{pointer}")) = value;
    judged(&table)
}

#[test]
fn every_number_of_the_soil_shapes_has_limits_that_are_told() {
    let cases = [
        ("ph-aluminium-vermont", "/classes", serde_json::Value::Null, "`classes` are missing"),
        ("ph-aluminium-vermont", "/classes/value_unit", "lb".into(), "classes.value_unit"),
        ("ph-aluminium-vermont", "/classes/ph_decimals", 5.into(), "classes.ph_decimals"),
        ("ph-aluminium-vermont", "/classes/value_up_to/1", 30.into(), "`classes.value_up_to`"),
        ("ph-aluminium-vermont", "/classes/rows/0/ph_up_to", 6.2.into(), "`classes.rows` do not"),
        (
            "ph-aluminium-vermont",
            "/classes/rows/0/needs/0",
            (-1).into(),
            "classes.rows[0].needs[0]",
        ),
        ("ph-aluminium-vermont", "/classes/rows/0/needs", vec![1].into(), "needs` has 1 numbers"),
        ("ph-aluminium-vermont", "/targets", vec![6.0, 6.5].into(), "`targets` has 2 numbers"),
        ("ph-aluminium-vermont", "/al_extract", serde_json::Value::Null, "`al_extract` is missing"),
        ("ph-aluminium-vermont", "/reads", "ph".into(), "does not have `aluminium`"),
        ("ph-texture", "/textures/1", "sandy loam".into(), "missing or double"),
        ("ph-texture", "/rows/0/needs", vec![1].into(), "3, one for each texture class"),
        ("ph-texture", "/carried/zero_at", 6.0.into(), "carried.zero_at"),
        ("ph-texture", "/reads", "ph".into(), "does not have `texture`"),
        ("texture-victoria", "/rises/0/rise", 0.into(), "rises[0].rise"),
        ("texture-victoria", "/rises/0/by", (-1).into(), "rises[0].by"),
        ("texture-victoria", "/rises/0/texture", "sand".into(), "one for each texture class"),
        ("texture-victoria", "/rises/0/texture", serde_json::Value::Null, "one for each texture"),
        ("texture-victoria", "/addition/unit", "ppm".into(), "addition.unit"),
        ("texture-victoria", "/addition/need", (-1).into(), "addition.need"),
        ("texture-victoria", "/addition/above", 0.into(), "addition.above"),
        ("texture-victoria", "/target_range", serde_json::Value::Null, "`target_range` is missing"),
        ("texture-victoria", "/target_range", vec![6.5, 4.5].into(), "does not rise"),
        ("texture-victoria", "/target_range/1", 65.into(), "target_range[1]"),
        ("weakly-buffered", "/weakly", serde_json::Value::Null, "`weakly` is missing"),
        ("weakly-buffered", "/weakly/cec_below", 0.into(), "weakly.cec_below"),
        ("weakly-buffered", "/weakly/taken_rise", 0.5.into(), "weakly.taken_rise"),
        ("weakly-buffered", "/weakly/most", (-1).into(), "weakly.most"),
        ("titration", "/capacity", serde_json::Value::Null, "`capacity` is missing"),
        ("titration", "/capacity/ratio_fixed", 0.into(), "capacity.ratio_fixed"),
        ("titration", "/capacity/ratio_per_unit", (-1).into(), "capacity.ratio_per_unit"),
        ("titration", "/capacity/soil_mass", 0.into(), "capacity.soil_mass"),
        ("adams-evans", "/saturation", serde_json::Value::Null, "`saturation` is missing"),
        ("adams-evans", "/saturation/no_acidity_at", 80.into(), "saturation.no_acidity_at"),
        ("adams-evans", "/saturation/linear", 0.into(), "saturation.linear"),
        ("adams-evans", "/saturation/ph_at_none", 6.9.into(), "goes beyond the equation"),
        ("adams-evans", "/buffer", serde_json::Value::Null, "`buffer` is missing"),
        (BASES, "/base_saturation", serde_json::Value::Null, "`base_saturation` is missing"),
        (BASES, "/base_saturation/need_per_charge", 0.into(), "base_saturation.need_per_charge"),
        (BASES, "/base_saturation/bases", Vec::<f64>::new().into(), "missing, double or no bases"),
        (BASES, "/base_saturation/bases/1", "calcium".into(), "missing, double or no bases"),
        (BASES, "/base_saturation/bases/1", "clay".into(), "missing, double or no bases"),
        (BASES, "/base_saturation/bases/1", "sodium".into(), "does not have `sodium`"),
        (BASES, "/base_saturation/bases", vec!["calcium"].into(), "what the rule does not take"),
        (BASES, "/reads/0", "acidity".into(), "does not have `potential_acidity`"),
        (BASES, "/ph_medium", "water".into(), "no pH decides the need"),
        (BASES, "/target_range/0", 9.into(), "the base saturation from 10 to 100 %"),
        (BASES, "/target_range/1", 101.into(), "target_range[1]"),
        (BY_BUFFER, "/base_saturation/acidity/fixed", (-1).into(), "base_saturation.acidity.fixed"),
        (BY_BUFFER, "/base_saturation/acidity/per_unit", 1.into(), "acidity.per_unit"),
        (BY_BUFFER, "/base_saturation/acidity/per_square", (-1).into(), "acidity.per_square"),
        (BY_BUFFER, "/base_saturation/acidity/source", "".into(), "acidity.source"),
        (BY_BUFFER, "/base_saturation/acidity/locator", " ".into(), "acidity.locator"),
        (BY_BUFFER, "/buffer", serde_json::Value::Null, "`buffer` is missing"),
        (
            BY_BUFFER,
            "/reads",
            vec!["calcium", "magnesium", "potassium", "buffer_ph"].into(),
            "does not begin with `buffer_ph`",
        ),
        (ALUMINIUM, "/aluminium_saturation", serde_json::Value::Null, "is missing"),
        (ALUMINIUM, "/aluminium_saturation/factor", 0.into(), "aluminium_saturation.factor"),
        (
            ALUMINIUM,
            "/aluminium_saturation/factor_beyond_aluminium",
            0.into(),
            "aluminium_saturation.factor_beyond_aluminium",
        ),
        (
            ALUMINIUM,
            "/aluminium_saturation/need_per_charge",
            (-1).into(),
            "aluminium_saturation.need_per_charge",
        ),
        (ALUMINIUM, "/aluminium_saturation/bases/0", "magnesium".into(), "double or no bases"),
        (ALUMINIUM, "/al_extract", serde_json::Value::Null, "`al_extract` is missing"),
        (ALUMINIUM, "/target_range/1", 91.into(), "the aluminium saturation from 0 to 90 %"),
        ("titration", "/ph_medium", "any".into(), "a pH of the table decides the need"),
        ("smp-kansas", "/lines/0/per_square", 1e6.into(), "lines[0].per_square"),
        ("smp-kansas", "/lines/0/fixed", (-1e6).into(), "lines[0].fixed"),
        ("smp-kansas", "/lines/0/fixed", 9e5.into(), "the greatest need of lines[0]"),
        ("sikora-minnesota", "/lines/0/least_need", (-1).into(), "lines[0].least_need"),
    ];
    for (id, pointer, value, found) in cases {
        let said = spoiled(id, pointer, value.clone());
        assert!(said.contains(found), "{id} {pointer} {value}: {said}");
    }
}

#[test]
fn a_part_that_belongs_to_another_shape_is_told() {
    let of = |id: &str, part: &str| written(id)[part].clone();
    for (id, part, value, shape) in [
        ("smp-iowa", "textures", serde_json::json!(["loam"]), "`texture-table`"),
        ("smp-iowa", "target_range", serde_json::json!([5.0, 6.0]), "`weakly-buffered`"),
        ("smp-iowa", "al_extract", "KCl 1 M".into(), "an extract only where"),
        ("smp-iowa", "base_saturation", of(BASES, "base_saturation"), "`base-saturation`"),
        (BASES, "aluminium_saturation", of(ALUMINIUM, "aluminium_saturation"), "-saturation`"),
        (BASES, "targets", serde_json::json!([60]), "`target_range` alone"),
        ("texture-australia", "targets", serde_json::json!([6.0]), "`target_range` alone"),
    ] {
        let mut table = written(id);
        table[part] = value;
        let said = judged(&table);
        assert!(said.contains(shape), "{id} {part}: {said}");
    }
    for id in ["smp-iowa", "ph-aluminium-vermont", "titration", BASES, BY_BUFFER, ALUMINIUM] {
        assert_eq!(judged(&written(id)), "");
    }
    // A trigger is a pH, and has a medium.
    let mut table = written(BASES);
    table["trigger"] = 6.0.into();
    assert!(judged(&table).contains("a pH of the table decides the need"));
    table["ph_medium"] = "water".into();
    assert_eq!(judged(&table), "");
}

#[test]
fn needs_on_square_feet_are_those_on_an_acre() {
    use super::NeedUnit::{PoundPer100SquareFeet, PoundPer1000SquareFeet, PoundPerAcre};
    for (unit, per_acre) in [(PoundPer100SquareFeet, 435.6), (PoundPer1000SquareFeet, 43.56)] {
        assert_eq!(serde_json::to_value(unit).unwrap(), unit.words());
        assert!((PoundPerAcre.number(unit.need(1.0)) - per_acre).abs() < 1e-9);
        assert!((unit.number(unit.need(3.5)) - 3.5).abs() < 1e-12);
    }
}
