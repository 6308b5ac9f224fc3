//! The methods as a user meets them: printed cells, triggers, scaling, refusals.

use super::*;
use crate::findings::{Finding, Refusal};
use crate::units::{DepthInterval, Length, LimeNeed, PhMedium};
use proptest::prelude::{ProptestConfig, prop_assert, proptest};

/// A job for `id`, in the method's own medium, buffer and depth.
fn job(id: &str, target_ph: f64) -> (&'static dyn LimeMethod, Ask, Given) {
    let method = method(id).unwrap();
    let card = method.card();
    let depth = card.depth.unwrap();
    let ph_medium = card.ph_medium.example();
    let sampled_depth = DepthInterval::down_to(depth).unwrap();
    let ask =
        Ask { target: Target::Ph(target_ph), treat_below: None, limed_depth: depth, part: None };
    let given = Given {
        sampled_depth,
        ph_medium,
        buffer: card.buffer,
        al_extract: None,
        bulk_density: None,
        units: ValueUnits::default(),
        capacity_read: None,
    };
    (method.as_ref(), ask, given)
}

fn prepare(id: &str, target_ph: f64) -> (Prepared, Given) {
    let (method, ask, given) = job(id, target_ph);
    (method.prepare(&ask, &given).unwrap().0, given)
}

/// What the method says of a soil at pH 5.0 with this buffer pH, lb CaCO3/ac.
fn iowa(target_ph: f64, buffer_ph: f64) -> (f64, Why) {
    let (prepared, given) = prepare("smp-iowa", target_ph);
    let need = prepared.need(&given.layer(Some(5.0), Some(buffer_ph))).unwrap();
    (need.need.to_pounds_per_acre(), need.why)
}

/// What the method says of a soil of this pH, t CaCO3/ha.
fn uk(id: &str, target_ph: f64, ph: f64) -> (f64, Why) {
    let (prepared, given) = prepare(id, target_ph);
    let need = prepared.need(&given.layer(Some(ph), None)).unwrap();
    (need.need.to_tonnes_per_hectare(), need.why)
}

fn keys(findings: &[Finding]) -> Vec<&'static str> {
    findings.iter().map(|finding| finding.key).collect()
}

fn refused(method: &dyn LimeMethod, ask: &Ask, given: &Given) -> Refusal {
    method.prepare(ask, given).expect_err("refused")
}

#[test]
fn every_method_is_four_things() {
    assert!(!all_methods().is_empty());
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/src/agronomy/tables");
    let mut files: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    files.sort();
    // A shape and a data file: every file is embedded, and every method comes from one.
    let mut embedded: Vec<&str> = registry::TABLES.iter().map(|table| table.0).collect();
    embedded.sort_unstable();
    assert_eq!(files, embedded);
    assert_eq!(files.len(), all_methods().len());
    for method in all_methods() {
        let card = method.card();
        // A source with a locator.
        assert!(card.source.source().is_some(), "{}: {}", card.id, card.source.key);
        assert!(!card.source.locator.is_empty(), "{}", card.id);
        if let Some(depth_source) = &card.depth_source {
            assert!(depth_source.source().is_some(), "{}", card.id);
            assert!(!depth_source.locator.is_empty(), "{}", card.id);
        }
        // At least one printed example, told where it is printed.
        assert!(!card.examples.is_empty(), "{}", card.id);
        assert!(card.examples.iter().all(|example| !example.locator.is_empty()), "{}", card.id);
        let same = all_methods().iter().filter(|other| other.card().id == card.id).count();
        assert_eq!(same, 1, "{}", card.id);
    }
}

#[test]
fn every_example_comes_out_as_it_is_printed() {
    for method in all_methods() {
        check_examples(method.as_ref()).unwrap();
        for example in &method.card().examples {
            // An example that would agree with anything proves nothing.
            let mut wrong = example.clone();
            wrong.expect += 10.0 * example.tolerance + 0.1;
            assert!(!work_example(method.as_ref(), &wrong).unwrap().agrees, "{wrong:?}");
        }
    }
}

#[test]
fn examples_that_do_not_come_out_are_all_refused_with_both_numbers() {
    let mut table = MethodTable::from_json(registry::TABLES[0].1).unwrap();
    table.examples[0].expect = 3400.0;
    table.examples[1].target = 6.0;
    table.examples[2].given.buffer_ph = None;
    let refusal = check_examples(&table.into_method().unwrap()).expect_err("three are wrong");
    let [first, second, third] = refusal.problems() else { panic!("{refusal}") };
    assert!(first.what.starts_with("`examples[0]` comes out as 3"), "{first}");
    assert!(first.allowed.starts_with("3400 lb/ac"), "{first}");
    assert!(second.what.contains("does not serve"), "{second}");
    assert!(third.what.contains("no smp buffer pH"), "{third}");
}

/// Rows of the check values: method, reading, target, depth, expected, unit, tolerance.
#[test]
fn every_check_value_comes_out() {
    let text = include_str!("../../tests/data/check_values/agronomy.csv");
    let mut seen = 0;
    for row in text.lines().skip(1) {
        // The last column, the source, may hold commas.
        let row: Vec<&str> = row.splitn(9, ',').collect();
        let number = |column: usize| row[column].parse::<f64>().unwrap();
        let Ok(method) = method(row[0]) else {
            assert!(row[0].contains(" to "), "{}", row[0]);
            let (from, to) = row[0].split_once(" to ").unwrap();
            let media = [from, to].map(|words| PhMedium::from_words(words).unwrap());
            let door = Door::between(media[0], media[1], &mut Vec::new()).unwrap();
            let converted = door.convert(number(1));
            assert!((converted - number(4)).abs() <= number(6), "{row:?}");
            continue;
        };
        let (_, mut ask, given) = job(row[0], number(2));
        let metres = crate::units::bound::LIMED_DEPTH.read(row[3]).unwrap();
        ask.limed_depth = Length::from_metres(metres);
        let prepared = method.prepare(&ask, &given).unwrap().0;
        let reads_buffer = prepared.reads_buffer();
        let layer = if reads_buffer {
            given.layer(Some(5.0), Some(number(1)))
        } else {
            given.layer(Some(number(1)), None)
        };
        let need = prepared.need(&layer).unwrap();
        let unit = method.card().need_unit;
        assert_eq!(row[5], unit.words());
        // Printed cells are exact but for the change of units and back.
        let tolerance = number(6).max(1e-9 * number(4));
        assert!((unit.number(need.need) - number(4)).abs() <= tolerance, "{row:?}: {need:?}");
        assert_eq!(need.why, Why::Table);
        seen += 1;
    }
    // 14 cells of Iowa, 22 of the United Kingdom, 3 between rows, 1 of another depth; 110 of Oregon.
    assert_eq!(seen, 150);
}

#[test]
fn half_way_between_a_reading_and_a_blank_iowa_asks_for_1350() {
    let (prepared, _) = prepare("smp-iowa", 6.5);
    let blank = prepared.zero_need_reading().expect("the column reaches zero");
    assert_eq!(blank, 7.0);
    let (pounds, why) = iowa(6.5, f64::midpoint(6.4, blank));
    assert!((pounds - 1350.0).abs() < 1e-6, "{pounds}");
    assert_eq!(why, Why::Table);
    // The column for 6.9 is printed down to 1,100 only.
    assert_eq!(prepare("smp-iowa", 6.9).0.zero_need_reading(), None);
    assert_eq!(prepare("smp-iowa", 6.7).0.zero_need_reading(), None);
    assert_eq!(prepare("ph-uk-arable", 6.7).0.zero_need_reading(), Some(6.7));
}

#[test]
fn oregon_keeps_its_printed_jump_and_takes_the_line_across_it() {
    let oregon = |target, buffer_ph| {
        let (prepared, given) = prepare("sikora-oregon", target);
        let need = prepared.need(&given.layer(Some(5.0), Some(buffer_ph))).unwrap();
        need.need.to_short_tons_per_acre()
    };
    // Table 1 to 6.4: 5.5 at 5.7 and 4.1 at 5.8; one line through all rows would miss both.
    assert!((oregon(6.4, 5.7) - 5.5).abs() < 1e-9);
    assert!((oregon(6.4, 5.8) - 4.1).abs() < 1e-9);
    assert!((oregon(6.4, 5.75) - 4.8).abs() < 1e-9);
    // Half way between the columns 6.4 and 6.8 at 6.0: (3.5 + 4.6) / 2.
    assert!((oregon(6.6, 6.0) - 4.05).abs() < 1e-9);
    // The columns 5.6 and 6.0 come down to nothing, the others do not.
    let zero = |target| prepare("sikora-oregon", target).0.zero_need_reading();
    assert_eq!([zero(5.6), zero(6.0), zero(6.4), zero(7.2)], [Some(6.8), Some(6.9), None, None]);
}

#[test]
fn beyond_the_rows_the_end_value_is_taken_and_flagged() {
    let (pounds, why) = iowa(6.5, 5.0);
    assert!((pounds - 7900.0).abs() < 1e-6);
    assert_eq!(why, Why::BelowTable);
    let (pounds, why) = iowa(6.9, 7.2);
    assert!((pounds - 1100.0).abs() < 1e-6);
    assert_eq!(why, Why::AboveTable);
    let (tonnes, why) = uk("ph-uk-arable", 6.7, 4.6);
    assert!((tonnes - 7.8).abs() < 1e-9);
    assert_eq!(why, Why::BelowTable);
    assert_eq!(prepare("smp-iowa", 6.5).0.range(), (5.8, 7.0));
    assert_eq!(prepare("ph-uk-grass", 6.5).0.range(), (5.4, 6.5));
}

#[test]
fn above_the_last_printed_row_the_derived_line_goes_on_to_zero() {
    let near = |(tonnes, why): (f64, Why), expected: f64, wanted: Why| {
        assert!((tonnes - expected).abs() < 1e-9, "{tonnes} {expected}");
        assert_eq!(why, wanted);
    };
    near(uk("ph-uk-grass", 6.5, 6.4), 0.5, Why::Table);
    near(uk("ph-uk-grass", 6.5, 6.45), 0.3, Why::Derived);
    near(uk("ph-uk-grass", 6.5, 6.499), 0.006, Why::Derived);
    near(uk("ph-uk-grass", 6.5, 6.5), 0.0, Why::AtTrigger);
    near(uk("ph-uk-grass", 6.5, 6.35), 0.85, Why::Table);
    near(uk("ph-uk-arable", 6.7, 6.55), 0.9, Why::Derived);
    near(uk("ph-uk-arable", 6.7, 6.4), 1.8, Why::Table);
    near(uk("ph-uk-arable", 6.7, 7.4), 0.0, Why::AtTrigger);
}

#[test]
fn at_and_above_the_trigger_nothing_is_needed_and_no_buffer_is_read() {
    let (method, mut ask, given) = job("smp-iowa", 6.5);
    ask.treat_below = Some(6.2);
    let prepared = method.prepare(&ask, &given).unwrap().0;
    assert_eq!(prepared.trigger(), Some(6.2));
    for ph in [6.2, 6.2 - 1e-12, 6.4, 8.0] {
        let need = prepared.need(&given.layer(Some(ph), None)).unwrap();
        assert_eq!(need, Need { need: LimeNeed::ZERO, why: Why::AtTrigger });
    }
    let need = prepared.need(&given.layer(Some(6.19), Some(6.4))).unwrap();
    assert!((need.need.to_pounds_per_acre() - 3500.0).abs() < 1e-6);
    // Without a trigger of its own, the target stands.
    assert_eq!(prepare("smp-iowa", 6.5).0.trigger(), Some(6.5));
}

#[test]
fn a_source_that_states_a_trigger_is_followed_but_never_above_the_target() {
    let mut table = MethodTable::from_json(registry::TABLES[0].1).unwrap();
    table.trigger = Some(6.6);
    let own = table.into_method().unwrap();
    let (_, mut ask, given) = job("smp-iowa", 6.9);
    assert_eq!(own.prepare(&ask, &given).unwrap().0.trigger(), Some(6.6));
    ask.treat_below = Some(6.4);
    assert_eq!(own.prepare(&ask, &given).unwrap().0.trigger(), Some(6.4));
    ask = Ask { target: Target::Ph(6.5), treat_below: None, ..ask };
    assert_eq!(own.prepare(&ask, &given).unwrap().0.trigger(), Some(6.5));
}

#[test]
fn a_missing_reading_is_named_and_never_a_number() {
    let (prepared, given) = prepare("smp-iowa", 6.5);
    let missing = prepared.need(&given.layer(None, Some(6.4))).expect_err("no pH");
    assert_eq!(missing, Missing::Ph(PhMedium::Water1To1));
    let missing = prepared.need(&given.layer(Some(6.0), None)).expect_err("no buffer pH");
    assert_eq!(missing, Missing::BufferPh(Buffer::Smp));
    assert_eq!(missing.to_string(), "no smp buffer pH");
}

#[test]
fn a_reading_of_another_medium_or_buffer_is_a_missing_one() {
    let (prepared, given) = prepare("smp-iowa", 6.5);
    let salt = Given { ph_medium: PhMedium::CalciumChloride, ..given };
    assert!(prepared.need(&salt.layer(Some(5.0), Some(6.4))).is_err());
    let sikora = Given { buffer: Some(Buffer::Sikora), ..given };
    assert!(prepared.need(&sikora.layer(Some(5.0), Some(6.4))).is_err());
}

#[test]
fn the_need_follows_the_limed_depth_and_says_so() {
    let (method, mut ask, given) = job("smp-iowa", 6.5);
    assert_eq!(keys(&method.prepare(&ask, &given).unwrap().1), [""; 0]);
    ask.limed_depth = Length::from_inches(3.0);
    let (prepared, findings) = method.prepare(&ask, &given).unwrap();
    let need = prepared.need(&given.layer(Some(5.0), Some(6.4))).unwrap();
    assert!((need.need.to_pounds_per_acre() - 1750.0).abs() < 1e-6);
    assert_eq!(keys(&findings), ["need_scaled_by_depth"]);
    assert!(findings[0].text.contains("0.5000"), "{}", findings[0].text);
    assert!((prepared.depth_factor() - 0.5).abs() < 1e-12);
    assert_eq!(prepared.table_depth(), Some(Length::from_inches(6.0)));
    assert_eq!(prepared.zero_need_reading(), Some(7.0));
}

#[test]
fn the_derived_line_follows_the_limed_depth_too() {
    let (method, mut ask, given) = job("ph-uk-arable", 6.7);
    ask.limed_depth = Length::from_centimetres(10.0);
    let (prepared, findings) = method.prepare(&ask, &given).unwrap();
    let need = prepared.need(&given.layer(Some(6.5), None)).unwrap();
    assert!((need.need.to_tonnes_per_hectare() - 0.6).abs() < 1e-9);
    assert_eq!(keys(&findings), ["need_scaled_by_depth", "basis_not_stated"]);
}

#[test]
fn a_table_without_a_stated_depth_serves_the_sampled_depth_only() {
    let mut table = MethodTable::from_json(registry::TABLES[0].1).unwrap();
    table.depth = "not stated".to_owned();
    let own = table.into_method().unwrap();
    let (_, mut ask, given) = job("smp-iowa", 6.5);
    let (prepared, findings) = own.prepare(&ask, &given).unwrap();
    assert_eq!((prepared.table_depth(), prepared.depth_factor()), (None, 1.0));
    assert!(findings.is_empty());
    ask.limed_depth = Length::from_inches(3.0);
    let refusal = refused(&own, &ask, &given);
    assert!(refusal.problems()[0].allowed.contains("15.2 cm (6.0 in)"), "{refusal}");
}

#[test]
fn a_basis_other_than_pure_carbonate_is_turned_into_it() {
    let mut table = MethodTable::from_json(registry::TABLES[0].1).unwrap();
    table.basis = "90 % CCE".to_owned();
    let own = table.into_method().unwrap();
    let (_, ask, given) = job("smp-iowa", 6.5);
    let prepared = own.prepare(&ask, &given).unwrap().0;
    let need = prepared.need(&given.layer(Some(5.0), Some(6.4))).unwrap();
    assert!((need.need.to_pounds_per_acre() - 3150.0).abs() < 1e-6);
    // The examples are printed on the table's own basis, and still agree.
    assert!(own.card().examples.iter().all(|e| work_example(&own, e).unwrap().agrees));
}

#[test]
fn a_target_between_two_columns_is_taken_on_the_line_and_told() {
    let (method, ask, given) = job("smp-iowa", 6.6);
    let (prepared, findings) = method.prepare(&ask, &given).unwrap();
    assert_eq!(keys(&findings), ["target_between_columns"]);
    assert!(findings[0].text.contains("6.5 and 6.9"), "{}", findings[0].text);
    let need = prepared.need(&given.layer(Some(5.0), Some(6.4))).unwrap();
    // A quarter of the way from 3,500 to 6,000.
    assert!((need.need.to_pounds_per_acre() - 4125.0).abs() < 1e-6);
    let at_the_column = Ask { target: Target::Ph(6.9), ..ask };
    assert!(method.prepare(&at_the_column, &given).unwrap().1.is_empty());
}

#[test]
fn a_target_outside_the_columns_is_refused_with_the_methods_that_serve_it() {
    let (method, ask, given) = job("smp-iowa", 6.4);
    let refusal = refused(method, &ask, &given);
    assert_eq!(refusal.problems()[0].allowed, "pH 6.5 to 6.9");
    assert!(refusal.problems()[0].hint.contains("sikora-oregon"), "{refusal}");
    let (method, ask, given) = job("smp-iowa", 7.5);
    let refusal = refused(method, &ask, &given);
    assert!(refusal.problems()[0].hint.contains("no method at hand"), "{refusal}");
    let (method, ask, given) = job("ph-uk-grass", 6.7);
    let refusal = refused(method, &ask, &given);
    assert_eq!(refusal.problems()[0].allowed, "pH 6.5");
    assert!(
        refusal.problems()[0].hint.contains(": smp-iowa, ph-uk-arable, sikora-oregon"),
        "{refusal}"
    );
}

#[test]
fn a_buffer_is_never_fed_to_a_method_made_for_another() {
    let (method, ask, given) = job("smp-iowa", 6.5);
    for buffer in [Some(Buffer::Sikora), Some(Buffer::Mehlich), None] {
        let refusal = refused(method, &ask, &Given { buffer, ..given });
        assert_eq!(refusal.problems().len(), 1);
        assert!(refusal.problems()[0].allowed.contains("`smp`"), "{refusal}");
    }
    // A method that reads no buffer does not mind that the laboratory ran one.
    let (method, ask, given) = job("ph-uk-grass", 6.5);
    assert!(method.prepare(&ask, &Given { buffer: Some(Buffer::Smp), ..given }).is_ok());
}

#[test]
fn a_trigger_above_the_target_and_odd_numbers_are_refused() {
    let (method, ask, given) = job("smp-iowa", 6.5);
    for treat_below in [6.6, f64::NAN, 60.0] {
        let ask = Ask { treat_below: Some(treat_below), ..ask };
        assert_eq!(refused(method, &ask, &given).problems().len(), 1);
    }
    // The target itself is a trigger.
    let at_the_target = Ask { treat_below: Some(6.5), ..ask };
    assert_eq!(method.prepare(&at_the_target, &given).unwrap().0.trigger(), Some(6.5));
    for target_ph in [f64::NAN, f64::INFINITY, 65.0] {
        let ask = Ask { target: Target::Ph(target_ph), ..ask };
        assert_eq!(refused(method, &ask, &given).problems().len(), 1);
    }
    let ask = Ask { limed_depth: Length::ZERO, ..ask };
    assert!(refused(method, &ask, &given).to_string().contains("the limed depth"));
}

#[test]
fn all_that_stands_against_a_job_is_told_at_once() {
    let (method, _, given) = job("smp-iowa", 6.5);
    let ask = Ask {
        target: Target::Ph(6.0),
        treat_below: Some(6.3),
        limed_depth: Length::ZERO,
        part: None,
    };
    let given = Given { buffer: None, ph_medium: PhMedium::PotassiumChloride, ..given };
    assert_eq!(refused(method, &ask, &given).problems().len(), 5);
}

#[test]
fn a_ph_in_calcium_chloride_reaches_the_uk_table_as_water() {
    let (method, ask, given) = job("ph-uk-arable", 6.7);
    let given = Given { ph_medium: PhMedium::CalciumChloride, ..given };
    let (prepared, findings) = method.prepare(&ask, &given).unwrap();
    assert_eq!(keys(&findings), ["ph_converted", "basis_not_stated"]);
    // 5.4 in CaCl2 is 6.0 in water: 4.2 t/ha, the printed cell.
    let need = prepared.need(&given.layer(Some(5.4), None)).unwrap();
    assert!((need.need.to_tonnes_per_hectare() - 4.2).abs() < 1e-9);
    assert!((prepared.to_method_medium(5.4) - 6.0).abs() < 1e-12);
    // The trigger is 6.7 in water, which is 6.135 in CaCl2.
    assert_eq!(prepared.need(&given.layer(Some(6.135), None)).unwrap().why, Why::AtTrigger);
    assert_eq!(prepared.need(&given.layer(Some(6.13), None)).unwrap().why, Why::Derived);
}

#[test]
fn a_prepared_method_may_be_shared_by_threads() {
    fn shared<T: Send + Sync>() {}
    shared::<Prepared>();
    shared::<std::sync::Arc<dyn LimeMethod>>();
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn a_need_is_never_negative_and_iowas_never_rises_with_the_reading(
        low in 3.0..8.5_f64, further in 0.0..2.0_f64, target in 6.5..=6.9_f64,
    ) {
        let (prepared, given) = prepare("smp-iowa", target);
        let need = |buffer_ph| prepared.need(&given.layer(Some(5.0), Some(buffer_ph))).unwrap().need;
        prop_assert!(need(low) >= LimeNeed::ZERO);
        prop_assert!(need(low + further) <= need(low) + LimeNeed::from_pounds_per_acre(1e-9));
    }

    #[test]
    fn a_uk_need_is_never_negative_and_never_above_the_lowest_row(ph in 2.0..11.0_f64) {
        for (id, target, most) in [("ph-uk-arable", 6.7, 7.8), ("ph-uk-grass", 6.5, 6.6)] {
            let tonnes = uk(id, target, ph).0;
            prop_assert!((0.0..=most + 1e-9).contains(&tonnes), "{}", tonnes);
        }
    }
}

#[test]
fn depths_a_hundredth_of_a_millimetre_apart_are_the_same_depth() {
    let (method, ask, given) = job("smp-iowa", 6.5);
    for (apart_m, told) in [(9e-6, 0), (-9e-6, 0), (1.1e-5, 1), (-1.1e-5, 1)] {
        let limed_depth = ask.limed_depth + Length::from_metres(apart_m);
        let (prepared, findings) = method.prepare(&Ask { limed_depth, ..ask }, &given).unwrap();
        assert_eq!(findings.len(), told, "{apart_m}");
        assert_eq!(prepared.depth_factor() == 1.0, told == 0, "{apart_m}");
    }
}

#[test]
fn a_target_is_a_column_and_a_trigger_a_target_but_for_rounding() {
    let (method, ask, given) = job("smp-iowa", 6.5);
    for (target_ph, told) in [
        (6.5 - 1e-10, 0),
        (6.5 + 1e-10, 0),
        (6.5 + 1e-7, 1),
        (6.9 - 1e-7, 1),
        (6.9 - 1e-10, 0),
        (6.9 + 1e-10, 0),
    ] {
        let (prepared, findings) =
            method.prepare(&Ask { target: Target::Ph(target_ph), ..ask }, &given).unwrap();
        assert_eq!(findings.len(), told, "{target_ph}");
        let need = prepared.need(&given.layer(Some(5.0), Some(6.4))).unwrap().need;
        let printed = if target_ph < 6.7 { 3500.0 } else { 6000.0 };
        assert!((need.to_pounds_per_acre() - printed).abs() < 1e-2, "{target_ph}: {need:?}");
    }
    let treating = |treat_below: f64| {
        method.prepare(&Ask { treat_below: Some(treat_below), ..ask }, &given).is_ok()
    };
    assert!(treating(6.5 + 1e-10) && !treating(6.5 + 1e-7));
}
