//! Tables of classes, textures, rises, capacities and saturations: each number has its limits.

use super::MethodTable;
use crate::agronomy::registry::TABLES;

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
        ("smp-kansas", "/lines/0/per_square", 1e6.into(), "lines[0].per_square"),
        ("smp-kansas", "/lines/0/fixed", (-1e6).into(), "lines[0].fixed"),
        ("sikora-minnesota", "/lines/0/least_need", (-1).into(), "lines[0].least_need"),
    ];
    for (id, pointer, value, found) in cases {
        let said = spoiled(id, pointer, value.clone());
        assert!(said.contains(found), "{id} {pointer} {value}: {said}");
    }
}

#[test]
fn a_part_that_belongs_to_another_shape_is_told() {
    for (id, part, value, shape) in [
        ("smp-iowa", "textures", serde_json::json!(["loam"]), "`texture-table`"),
        ("smp-iowa", "target_range", serde_json::json!([5.0, 6.0]), "`weakly-buffered`"),
        ("smp-iowa", "al_extract", "KCl 1 M".into(), "an extract only where"),
        ("texture-australia", "targets", serde_json::json!([6.0]), "`target_range` alone"),
    ] {
        let mut table = written(id);
        table[part] = value;
        let said = judged(&table);
        assert!(said.contains(shape), "{id} {part}: {said}");
    }
    for id in ["smp-iowa", "ph-aluminium-vermont", "texture-victoria", "titration"] {
        assert_eq!(judged(&written(id)), "");
    }
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
