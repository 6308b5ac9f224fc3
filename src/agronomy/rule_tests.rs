//! The methods that are lines or an equation: published check values, jumps, limits, refusals.

use super::*;
use crate::findings::Finding;
use crate::units::{DepthInterval, Length, LimeNeed, PhMedium, SoilValue, bound};

const PENNSYLVANIA: &str = "exchangeable-acidity-pennsylvania";
const CAROLINA: &str = "mehlich-north-carolina";

fn prepare(id: &str, target_ph: f64, depth: Length) -> (Prepared, Given, Vec<Finding>) {
    let method = method(id).unwrap();
    let given = Given {
        sampled_depth: DepthInterval::down_to(depth).unwrap(),
        ph_medium: PhMedium::Water1To1,
        buffer: method.card().buffer,
        al_extract: None,
        bulk_density: None,
        units: ValueUnits::default(),
        capacity_read: None,
    };
    let ask =
        Ask { target: Target::Ph(target_ph), treat_below: None, limed_depth: depth, part: None };
    let (prepared, findings) = method.prepare(&ask, &given).unwrap();
    (prepared, given, findings)
}

/// The need of Pennsylvania in lb CaCO3/ac over 7 in.
fn pennsylvania(target_ph: f64, ph: f64, acidity: f64) -> f64 {
    let (prepared, given, _) = prepare(PENNSYLVANIA, target_ph, Length::from_inches(7.0));
    let values = SoilValues::default().with(SoilValue::Acidity, acidity);
    let layer = given.layer(Some(ph), None).with_values(values);
    prepared.need(&layer).unwrap().need.to_pounds_per_acre()
}

/// The need of North Carolina in short tons CaCO3/ac, and why.
fn carolina(target_ph: f64, ph: f64, buffer_ph: f64) -> (f64, Why) {
    let (prepared, given, _) = prepare(CAROLINA, target_ph, Length::from_inches(8.0));
    let need = prepared.need(&given.layer(Some(ph), Some(buffer_ph))).unwrap();
    (need.need.to_short_tons_per_acre(), need.why)
}

fn lime(tons: f64, months: u32) -> PastLime {
    let rate = LimeNeed::from_short_tons_per_acre(tons);
    PastLime { applied: "2025-10-01".to_owned(), rate, months }
}

/// The credit of North Carolina in short tons an acre: what a soil needs less with the history.
fn credit(past: &[PastLime], class: SoilClass) -> f64 {
    let (prepared, given, _) = prepare(CAROLINA, 6.5, Length::from_inches(8.0));
    // Acidity 8, so that the need stays far above the credit.
    let layer = given.layer(Some(5.0), Some(4.6));
    let before = prepared.need(&layer).unwrap().need;
    let (prepared, finding) = prepared.with_history(past, Some(class)).unwrap();
    assert!(finding.is_some_and(|finding| finding.key == "history_credited"));
    (before - prepared.need(&layer).unwrap().need).to_short_tons_per_acre()
}

#[test]
fn every_check_value_of_pennsylvania_comes_out() {
    let text = include_str!("../../tests/data/check_values/pennsylvania.csv");
    let mut seen = 0;
    for row in text.lines().skip(1) {
        let row: Vec<&str> = row.splitn(10, ',').collect();
        let number = |column: usize| row[column].parse::<f64>().unwrap();
        assert_eq!((row[0], row[6]), (PENNSYLVANIA, "lb/ac"));
        let depth = Length::from_metres(bound::LIMED_DEPTH.read(row[4]).unwrap());
        assert_eq!(method(row[0]).unwrap().card().depth, Some(depth));
        let need = pennsylvania(number(3), number(2), number(1));
        assert!((need - number(5)).abs() <= number(7), "{row:?}: {need}");
        seen += 1;
    }
    assert_eq!(seen, 4);
}

#[test]
fn pennsylvania_jumps_above_an_acidity_of_four() {
    for (acidity, expected) in [(0.5, 2000.0), (4.0, 2000.0), (4.001, 3360.84), (10.0, 8400.0)] {
        let need = pennsylvania(6.5, 5.6, acidity);
        assert!((need - expected).abs() < 1e-6, "{acidity}: {need}");
    }
    assert!((pennsylvania(7.0, 5.6, 4.0) - 4000.0).abs() < 1e-6);
    assert!((pennsylvania(7.0, 6.9, 10.0) - 10000.0).abs() < 1e-6);
    assert_eq!(pennsylvania(7.0, 7.0, 10.0), 0.0);
    assert_eq!(pennsylvania(6.5, 6.5, 10.0), 0.0);
}

#[test]
fn pennsylvania_between_its_targets_is_linear_and_told() {
    let (_, _, findings) = prepare(PENNSYLVANIA, 6.6, Length::from_inches(7.0));
    assert_eq!(findings.iter().map(|f| f.key).collect::<Vec<_>>(), ["target_between_columns"]);
    // A fifth of the way from 840 x 6 to 1,000 x 6.
    assert!((pennsylvania(6.6, 5.6, 6.0) - 5232.0).abs() < 1e-6);
    // At pH 6.55 the rule for 6.5 asks for nothing of a little acidity, that for 7.0 for 3,000.
    assert!((pennsylvania(6.6, 6.55, 3.0) - 600.0).abs() < 1e-6);
    assert!((pennsylvania(6.6, 6.4, 3.0) - 2200.0).abs() < 1e-6);
}

#[test]
fn pennsylvania_scales_by_depth_and_needs_the_acidity() {
    let (prepared, given, findings) = prepare(PENNSYLVANIA, 7.0, Length::from_inches(3.5));
    assert_eq!(findings.iter().map(|f| f.key).collect::<Vec<_>>(), ["need_scaled_by_depth"]);
    assert_eq!(
        (prepared.reads().lead(), prepared.zero_need_reading()),
        (Reads::Value(SoilValue::Acidity), None)
    );
    let layer = given.layer(Some(5.6), Some(6.4));
    assert_eq!(prepared.need(&layer), Err(Missing::Value(SoilValue::Acidity)));
    let values = SoilValues::default().with(SoilValue::Acidity, 6.0);
    let need = prepared.need(&layer.with_values(values)).unwrap().need;
    assert!((need.to_pounds_per_acre() - 3000.0).abs() < 1e-6);
}

#[test]
fn every_check_value_of_north_carolina_comes_out() {
    let text = include_str!("../../tests/data/check_values/north_carolina.csv");
    let mut seen = 0;
    for row in text.lines().skip(1) {
        let row: Vec<&str> = row.splitn(7, ',').collect();
        let given = |name: &str| {
            let pairs = row[1].split(';').filter_map(|pair| pair.split_once('='));
            pairs.into_iter().find(|pair| pair.0 == name).map(|pair| pair.1)
        };
        let number = |name: &str| given(name).unwrap().parse::<f64>().unwrap();
        let expected: f64 = row[2].parse().unwrap();
        // An acidity of 1.2 is read as 6.6 - 1.2 / 4; the factor is the need at an acidity of 4,
        // which the least need does not touch, over 4; and the acidity is the need of a soil whose
        // target is the pH without acidity, where the factor is 1.
        let found = match row[0] {
            "mehlich_factor" => carolina(number("target"), number("ph"), 5.6).0 / 4.0,
            "mehlich_acidity" => carolina(6.6, 5.0, number("buffer_ph")).0,
            "mehlich_LR" => {
                carolina(number("target"), number("ph"), 6.6 - number("acidity") / 4.0).0
            }
            "residual_credit" => {
                let class = SoilClass::from_words(given("soil_class").unwrap()).unwrap();
                credit(&[lime(number("rate"), number("months") as u32)], class)
            }
            "min_rate" => carolina(6.6, 5.0, 6.6 - number("need") / 4.0).0,
            "unit" => {
                LimeNeed::from_short_tons_per_acre(number("rate")).to_pounds_per_acre() / 43.56
            }
            other => panic!("{other}"),
        };
        let tolerance: f64 = row[4].parse().unwrap();
        assert!((found - expected).abs() <= tolerance + 1e-12, "{row:?}: {found}");
        seen += 1;
    }
    assert_eq!(seen, 17);
}

#[test]
fn north_carolina_limes_from_three_tenths_of_a_ton_on() {
    // To 6.6 the factor is 1 and the need is the acidity.
    let at = |need: f64| carolina(6.6, 5.0, 6.6 - need / 4.0);
    assert_eq!(at(0.299), (0.0, Why::BelowLeast));
    let (tons, why) = at(0.3);
    assert!((tons - 0.3).abs() < 1e-12, "{tons}");
    assert_eq!(why, Why::Table);
    assert_eq!(carolina(6.0, 5.0, 6.9), (0.0, Why::BelowLeast));
    assert_eq!(carolina(6.0, 6.0, 5.0).1, Why::AtTrigger);
}

#[test]
fn north_carolina_serves_targets_up_to_its_limit_at_the_sampled_depth() {
    let method = method(CAROLINA).unwrap();
    let (_, given, findings) = prepare(CAROLINA, 6.6, Length::from_inches(8.0));
    assert_eq!(findings.iter().map(|f| f.key).collect::<Vec<_>>(), ["basis_not_stated"]);
    let limed_depth = Length::from_inches(8.0);
    let ask = Ask { target: Target::Ph(6.7), treat_below: None, limed_depth, part: None };
    let refusal = method.prepare(&ask, &given).expect_err("above the limit");
    assert_eq!(refusal.problems()[0].allowed, "pH up to 6.6");
    assert!(refusal.problems()[0].hint.contains(PENNSYLVANIA), "{refusal}");
    let ask = Ask { target: Target::Ph(6.5), limed_depth: Length::from_inches(6.0), ..ask };
    let refusal = method.prepare(&ask, &given).expect_err("another depth");
    assert!(refusal.problems()[0].what.contains("states no depth"), "{refusal}");
    // All the way to the pH without acidity no soil divides by nothing.
    let (tons, _) = carolina(6.6, 6.6 - 2e-9, 5.6);
    assert!((tons - 4.0).abs() < 1e-9, "{tons}");
}

#[test]
fn earlier_lime_is_credited_by_the_month_and_never_below_nothing() {
    // 2 ton/ac, five months: 8 % a month leaves 1.2, 16 % leaves 0.4 (printed rule).
    assert!((credit(&[lime(2.0, 5)], SoilClass::Mineral) - 1.2).abs() < 1e-9);
    assert!((credit(&[lime(2.0, 5)], SoilClass::MineralOrganic) - 0.4).abs() < 1e-9);
    // An old one takes nothing off a young one.
    let both = [lime(2.0, 5), lime(3.0, 40)];
    assert!((credit(&both, SoilClass::Mineral) - 1.2).abs() < 1e-9);
    // The credit never turns a need around.
    let (prepared, given, _) = prepare(CAROLINA, 6.0, Length::from_inches(8.0));
    let prepared = prepared.with_history(&both, Some(SoilClass::Mineral)).unwrap().0;
    let need = prepared.need(&given.layer(Some(5.0), Some(6.3))).unwrap();
    assert_eq!((need.need, need.why), (LimeNeed::ZERO, Why::BelowLeast));
}

#[test]
fn a_history_asks_for_the_class_of_soil_and_says_where_it_is_not_credited() {
    let (prepared, _, _) = prepare(CAROLINA, 6.0, Length::from_inches(8.0));
    let refusal = prepared.clone().with_history(&[lime(1.0, 1)], None).expect_err("no class");
    assert_eq!(refusal.problems()[0].allowed, "mineral, mineral-organic, organic");
    assert!(prepared.with_history(&[], None).unwrap().1.is_none());
    let (prepared, _, _) = prepare("sikora-oregon", 6.0, Length::from_inches(6.0));
    let (_, finding) = prepared.with_history(&[lime(1.0, 1)], None).unwrap();
    assert_eq!(finding.map(|finding| finding.key), Some("history_not_credited"));
}

#[test]
fn every_publication_of_the_credit_and_of_the_least_need_is_in_the_bibliography() {
    let text = registry::TABLES.iter().map(|table| table.1).find(|text| text.contains(CAROLINA));
    let table = MethodTable::from_json(text.unwrap()).unwrap();
    let equation = table.equation.unwrap();
    let credit = equation.credit.unwrap();
    for key in [credit.source, equation.least_need_source.unwrap()] {
        assert!(crate::sources::source(&key).is_some(), "{key}");
    }
    assert!(!credit.locator.is_empty());
}

#[test]
fn a_least_need_and_a_credit_are_of_the_whole_need_and_refuse_layers() {
    let text = registry::TABLES.iter().map(|table| table.1).find(|text| text.contains(CAROLINA));
    let mut table: serde_json::Value = serde_json::from_str(text.unwrap()).unwrap();
    let part = DepthInterval::down_to(Length::from_inches(3.0));
    let depth = DepthInterval::down_to(Length::from_inches(6.0)).unwrap();
    let prepare = |table: &serde_json::Value| {
        let method = MethodTable::from_json(&table.to_string()).and_then(MethodTable::into_method);
        let buffer = Some(Buffer::Mehlich);
        let given = Given {
            sampled_depth: depth,
            ph_medium: PhMedium::Water1To1,
            buffer,
            al_extract: None,
            bulk_density: None,
            units: ValueUnits::default(),
            capacity_read: None,
        };
        let limed_depth = Length::from_inches(12.0);
        let ask = Ask { target: Target::Ph(6.0), treat_below: None, limed_depth, part };
        method.unwrap().prepare(&ask, &given)
    };
    let said = prepare(&table).expect_err("no depth").to_string();
    assert!(
        said.contains("states no depth, so a layer's share of its need is not known"),
        "{said}"
    );
    table["depth"] = "6 in".into();
    table["depth_source"] = "iowa_2002_pm1688".into();
    table["depth_locator"] = "invented".into();
    let said = prepare(&table).expect_err("a least need").to_string();
    assert!(said.contains("both are of the whole need"), "{said}");
    // Without the two, three of six inches need half.
    let equation = table["equation"].as_object_mut().unwrap();
    equation.insert("least_need".to_owned(), 0.into());
    equation.remove("least_need_source");
    equation.remove("credit");
    let (prepared, findings) = prepare(&table).unwrap();
    assert!((prepared.depth_factor() - 0.5).abs() < 1e-12);
    assert!(findings.iter().all(|finding| finding.key != "need_scaled_by_depth"));
}

#[test]
fn tables_of_lines_and_equations_are_checked_too() {
    let read = |id: &str| {
        let all = registry::TABLES.iter().map(|table| table.1);
        let text = all.into_iter().find(|text| text.contains(&format!("\"{id}\""))).unwrap();
        serde_json::from_str::<serde_json::Value>(text).unwrap()
    };
    let refused = |table: &serde_json::Value, found: &str| {
        let method = MethodTable::from_json(&table.to_string()).and_then(MethodTable::into_method);
        let refusal = method.expect_err(found);
        assert!(refusal.to_string().contains(found), "{found}: {refusal}");
    };
    let spoil = |id: &str, pointer: &str, value: serde_json::Value, found: &str| {
        let mut table = read(id);
        *table.pointer_mut(pointer).unwrap() = value;
        refused(&table, found);
    };
    spoil(PENNSYLVANIA, "/lines/0/target", 6.4.into(), "lines[0].target");
    spoil(PENNSYLVANIA, "/lines/2/target", 6.5.into(), "no line");
    spoil(PENNSYLVANIA, "/lines/0/per_unit", (-1).into(), "lines[0].per_unit");
    spoil(PENNSYLVANIA, "/shape", "reading-table".into(), "`lines` does not belong");
    spoil(CAROLINA, "/equation", serde_json::Value::Null, "`equation` is missing");
    spoil(CAROLINA, "/equation/acidity_per_unit", 0.into(), "acidity_per_unit");
    spoil(CAROLINA, "/equation/least_need", (-1).into(), "least_need");
    spoil(CAROLINA, "/equation/credit/per_month/0/part", 8.into(), "per_month[0].part");
    let mut table = read("smp-iowa");
    table.as_object_mut().unwrap().remove("between");
    refused(&table, "`between` is missing");
    // An equation serves all targets up to its own limit, and reads a buffer.
    let mut table = read(CAROLINA);
    table["targets"] = vec![6.0].into();
    refused(&table, "`targets` stand beside an equation");
    let mut table = read(CAROLINA);
    (table["reads"], table["buffer"]) = ("ph".into(), serde_json::Value::Null);
    refused(&table, "`reads` is not `buffer_ph`");
}

#[test]
fn the_little_that_pennsylvania_asks_up_to_6_5_ends_there_for_every_target_above() {
    // Up to an acidity of 4.0 the rule for 6.5 asks for 2,000 below pH 6.5, that for 7.0 for 3,000.
    for (target, high_share) in [(6.6, 0.2), (6.75, 0.5), (6.9, 0.8)] {
        for (ph, low) in [(6.499, 2000.0), (6.5, 0.0), (6.501, 0.0), (6.55, 0.0)] {
            let expected = low * (1.0 - high_share) + 3000.0 * high_share;
            let found = pennsylvania(target, ph, 3.0);
            assert!((found - expected).abs() < 1e-6, "{target} {ph}: {found}");
        }
    }
}

#[test]
fn the_finding_tells_the_credit_and_what_a_month_takes_off() {
    let told = |past: &[PastLime], class| {
        let (prepared, _, _) = prepare(CAROLINA, 6.5, Length::from_inches(8.0));
        prepared.with_history(past, Some(class)).unwrap().1.expect("told").text
    };
    // 2 x (1 - 5 x 0.08) = 1.2 ton/ac, and 2.2417 t/ha for each ton/ac.
    let text = told(&[lime(2.0, 5)], SoilClass::Mineral);
    for part in [
        "credited with 1.20 ton/ac (2.69 t/ha)",
        "2.00 ton/ac of 2025-10-01 after 5 months x 0.60",
        "takes off 8 % of what was applied on mineral soil",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    for class in [SoilClass::MineralOrganic, SoilClass::Organic] {
        let text = told(&[lime(2.0, 5)], class);
        let part = format!("takes off 16 % of what was applied on {} soil", class.words());
        assert!(text.contains(&part), "{part}: {text}");
    }
}

#[test]
fn the_numbers_of_lines_and_equations_have_limits_and_may_reach_them() {
    let judged = |id: &str, pointer: &str, value: &serde_json::Value| {
        let all = registry::TABLES.iter().map(|table| table.1);
        let text = all.into_iter().find(|text| text.contains(&format!("\"{id}\""))).unwrap();
        let mut table: serde_json::Value = serde_json::from_str(text).unwrap();
        *table.pointer_mut(pointer).unwrap() = value.clone();
        MethodTable::from_json(&table.to_string()).and_then(MethodTable::into_method).is_ok()
    };
    let part = "/equation/credit/per_month/0/part";
    // 100 t/ha are 44.609 ton/ac and 89,218 lb/ac.
    for (id, pointer, sound, spoiled) in [
        (CAROLINA, part, [1e-9, 1.0], [0.0, 1.000_001]),
        (CAROLINA, "/equation/least_need", [0.0, 44.6], [-1e-9, 44.61]),
        (CAROLINA, "/equation/acidity_per_unit", [1e-9, 999_999.0], [0.0, 1e6]),
        (CAROLINA, "/equation/need_per_acidity", [1e-9, 999_999.0], [0.0, 1e6]),
        (CAROLINA, "/equation/no_acidity_at", [3.0, 8.5], [2.9, 8.6]),
        (CAROLINA, "/equation/ph_without_acidity", [4.0, 8.0], [3.9, 8.1]),
        (PENNSYLVANIA, "/lines/1/ph_below", [2.0, 11.0], [1.9, 11.1]),
        (PENNSYLVANIA, "/lines/1/fixed", [0.0, 89_217.0], [-1e-9, 89_219.0]),
        (PENNSYLVANIA, "/lines/0/per_unit", [0.0, 89_217.0], [-1e-9, 89_219.0]),
    ] {
        for value in sound {
            assert!(judged(id, pointer, &value.into()), "{pointer} {value}");
        }
        for value in spoiled {
            assert!(!judged(id, pointer, &value.into()), "{pointer} {value}");
        }
    }
    // Two targets are not one.
    assert!(!judged(PENNSYLVANIA, "/targets", &serde_json::json!([6.5, 6.5])));
}
