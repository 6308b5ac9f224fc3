use super::super::*;
use super::*;
use crate::units::{DepthInterval, PhMedium, SoilValue};

fn prepared(id: &str, target: f64, limed: Length, medium: PhMedium) -> (Prepared, Given) {
    let method = method(id).unwrap();
    let target = method.card().aim.target(target);
    let given = Given {
        sampled_depth: DepthInterval::down_to(limed).unwrap(),
        ph_medium: medium,
        buffer: method.card().buffer,
        al_extract: method.card().al_extract,
        bulk_density: None,
        units: ValueUnits::default(),
        capacity_read: Some(CapacityReading::ThirtyMinutes),
    };
    let ask = Ask { target, treat_below: None, limed_depth: limed, part: None };
    (method.prepare(&ask, &given).unwrap().0, given)
}

fn lime(tons: f64, months: u32) -> PastLime {
    let rate = LimeNeed::from_short_tons_per_acre(tons);
    PastLime { applied: "2026-02-10".to_owned(), rate, months }
}

fn soil(given: &Given, ph: f64, buffer_ph: f64, acidity: f64) -> Layer {
    let values = SoilValues::default().with(SoilValue::Acidity, acidity);
    given.layer(Some(ph), Some(buffer_ph)).with_values(values)
}

/// A soil that reads something of everything, from 0 to 60, of a texture class that the method has
/// needs for.
fn soil_at(given: &Given, card: &MethodCard, at: u32) -> Layer {
    let far = f64::from(at);
    let layer = soil(given, 4.0 + far * 0.055, 4.7 + far * 0.045, 9.0 - far * 0.14);
    let class = card.textures.get(at as usize % card.textures.len().max(1)).copied();
    let values = SoilValues::of_texture(class)
        .with(SoilValue::Acidity, 9.0 - far * 0.14)
        .with(SoilValue::Aluminium, 4.5 - far * 0.074)
        .with(SoilValue::OrganicCarbon, 0.9 + f64::from(at % 7) * 0.1)
        .with(SoilValue::BufferCapacity, 100.0 + f64::from(at % 11) * 70.0)
        .with(SoilValue::Calcium, 0.4 + f64::from(at % 13) * 0.3)
        .with(SoilValue::Magnesium, 0.1 + f64::from(at % 8) * 0.1)
        .with(SoilValue::Potassium, 0.05 + f64::from(at % 3) * 0.2)
        .with(SoilValue::PotentialAcidity, 9.0 - far * 0.13)
        .with(SoilValue::Cec, 3.0 + f64::from(at % 5) * 0.9);
    layer.with_values(values)
}

fn step<'t>(trace: &'t Trace, key: &str) -> &'t Step {
    trace.steps.iter().find(|step| step.key == key).unwrap_or_else(|| panic!("{key}: {trace:?}"))
}

#[test]
fn every_trace_comes_to_the_need_that_the_map_is_made_with() {
    for method in all_methods() {
        let (card, mut told) = (method.card(), 0);
        let mut targets = card.targets.clone();
        targets.extend(card.targets.windows(2).map(|pair| pair[0] + 0.3 * (pair[1] - pair[0])));
        targets.extend(card.target_at_most.map(|most| most - 0.1));
        targets.extend(card.target_range.iter().flat_map(|&(least, most)| [least + 0.3, most]));
        for &target in &targets {
            for (limed, medium) in [(6.0, PhMedium::Water1To1), (4.5, PhMedium::CalciumChloride)] {
                let limed = Length::from_inches(limed);
                let (plain, given) = prepared(&card.id, target, limed, medium);
                let past = [lime(0.5, 3), lime(1.0, 1), lime(0.2, 40)];
                let (credited, _) =
                    plain.clone().with_history(&past, Some(SoilClass::Mineral)).unwrap();
                for prepared in [plain, credited] {
                    for at in 0..=60 {
                        let layer = soil_at(&given, card, at);
                        let need = prepared.need(&layer).unwrap().need;
                        for system in [UnitSystem::Us, UnitSystem::Metric] {
                            let trace = prepared.trace(&layer, system).unwrap();
                            let off = (trace.need - need).abs();
                            assert!(off <= need * 1e-12, "{}: {trace:?} {need:?}", card.id);
                            told += usize::from(need > LimeNeed::ZERO);
                        }
                    }
                }
            }
        }
        assert!(told > 100, "{}: only {told} soils needed lime", card.id);
    }
}

#[test]
fn rows_are_told_with_their_printed_needs_and_the_unit_factor() {
    let six = Length::from_inches(6.0);
    let (prepared, given) = prepared("smp-iowa", 6.5, six, PhMedium::Water1To1);
    let layer = soil(&given, 5.5, 6.45, 0.0);
    let trace = prepared.trace(&layer, UnitSystem::Metric).unwrap();
    let rows = step(&trace, "printed_rows");
    let number = |name| rows.number(name).unwrap();
    assert_eq!((number("low_row"), number("high_row")), (6.4, 6.6));
    assert_eq!((number("low_row_need"), number("high_row_need")), (3500.0, 2100.0));
    assert!((number("need") - 3150.0).abs() < 1e-9);
    assert!(rows.source.as_ref().unwrap().contains("Iowa"));
    // 1 lb/ac is 0.45359237 / 4046.8564224 kg/m2, ten times that in t/ha.
    let factor = step(&trace, "unit").number("factor").unwrap();
    assert!((factor - 10.0 * 0.453_592_37 / 4_046.856_422_4).abs() < 1e-15);
}

#[test]
fn two_target_columns_are_told_with_the_share() {
    let six = Length::from_inches(6.0);
    let (prepared, given) = prepared("sikora-oregon", 6.2, six, PhMedium::Water1To1);
    let trace = prepared.trace(&soil(&given, 5.0, 6.0, 0.0), UnitSystem::Us).unwrap();
    let between = step(&trace, "between_targets");
    assert_eq!(between.number("low_target"), Some(6.0));
    assert_eq!(between.number("high_target"), Some(6.4));
    assert!((between.number("high_share").unwrap() - 0.5).abs() < 1e-12);
    let cells: Vec<f64> = trace
        .steps
        .iter()
        .filter(|step| step.key == "printed_rows")
        .map(|step| step.number("need").unwrap())
        .collect();
    let mean = 0.5 * cells[0] + 0.5 * cells[1];
    assert!((between.number("need").unwrap() - mean).abs() < 1e-12, "{cells:?}");
}

#[test]
fn the_side_of_a_jump_is_told() {
    let seven = Length::from_inches(7.0);
    let (prepared, given) =
        prepared("exchangeable-acidity-pennsylvania", 6.5, seven, PhMedium::Water1To1);
    let words = |acidity| {
        let trace = prepared.trace(&soil(&given, 6.0, 6.5, acidity), UnitSystem::Us).unwrap();
        step(&trace, "printed_line").words.clone()
    };
    let above = words(5.0);
    assert!(above.contains("acidity above 4.0 meq/100 g holds"), "{above}");
    assert!(above.contains("840 x 5.0 = 4200 lb/ac"), "{above}");
    let below = words(4.0);
    assert!(below.contains("acidity up to 4.0 meq/100 g and pH below 6.5 holds"), "{below}");
    assert!(below.contains("2000 lb/ac"), "{below}");
}

#[test]
fn the_carolina_need_is_told_with_acidity_credit_and_least() {
    let eight = Length::from_inches(8.0);
    let (prepared, given) = prepared("mehlich-north-carolina", 6.5, eight, PhMedium::Water1To1);
    let (prepared, _) = prepared.with_history(&[lime(1.0, 7)], Some(SoilClass::Mineral)).unwrap();
    let trace = prepared.trace(&soil(&given, 5.0, 6.1, 0.0), UnitSystem::Us).unwrap();
    let number = |key, name| step(&trace, key).number(name).unwrap();
    // (6.6 - 6.1) x 4 = 2; 2 x 1.5 / 1.6 = 1.875; 1 - 7 x 0.08 = 0.44; 1.435.
    assert!((number("acidity", "acidity") - 2.0).abs() < 1e-9);
    assert!((number("need_before_credit", "need") - 1.875).abs() < 1e-9);
    assert!((number("credit", "left") - 0.44).abs() < 1e-12);
    assert!((number("need_after_credit", "need") - 1.435).abs() < 1e-9);
    assert!((number("least_need", "least") - 0.3).abs() < 1e-12);
    let credit = step(&trace, "credit");
    assert!(credit.words.contains("2026-02-10") && credit.words.contains("7 whole months"));
    assert!(credit.source.is_some());
    // Where the credit covers the need, it is the credit that is named.
    let trace = prepared.trace(&soil(&given, 5.0, 6.5, 0.0), UnitSystem::Us).unwrap();
    assert_eq!(trace.need, LimeNeed::ZERO);
    let least = &step(&trace, "least_need").words;
    assert!(least.contains("before the credit is not below it"), "{least}");
}

#[test]
fn a_conversion_is_told_with_its_equation_and_source() {
    let six = Length::from_inches(6.0);
    let (prepared, given) = prepared("smp-iowa", 6.5, six, PhMedium::CalciumChloride);
    let trace = prepared.trace(&soil(&given, 4.93, 6.4, 0.0), UnitSystem::Us).unwrap();
    let conversion = step(&trace, "ph_conversion");
    assert_eq!(conversion.number("measured"), Some(4.93));
    assert_eq!(conversion.number("converted"), Some(prepared.to_method_medium(4.93)));
    assert!(conversion.words.contains("1.05 x pH(water 1:2.5)"), "{}", conversion.words);
}

#[test]
fn what_a_source_does_not_state_and_what_is_common_practice_are_said() {
    let (carolina, given) =
        prepared("mehlich-north-carolina", 6.5, Length::from_inches(8.0), PhMedium::Water1To1);
    let trace = carolina.trace(&soil(&given, 5.0, 6.1, 0.0), UnitSystem::Us).unwrap();
    assert!(step(&trace, "basis").words.contains("100 % CCE is assumed"));
    assert!(step(&trace, "depth").words.contains("nothing is scaled"));
    let (shallow, given) = prepared(
        "exchangeable-acidity-pennsylvania",
        7.0,
        Length::from_inches(6.0),
        PhMedium::Water1To1,
    );
    let trace = shallow.trace(&soil(&given, 5.0, 6.1, 3.0), UnitSystem::Us).unwrap();
    let depth = step(&trace, "depth");
    assert!(depth.words.contains("common practice"), "{}", depth.words);
    assert!((depth.number("factor").unwrap() - 6.0 / 7.0).abs() < 1e-12);
}
