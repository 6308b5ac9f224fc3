use super::super::conversion::all_conversions;
use super::*;
use PhMedium::{
    CalciumChloride, CalciumChlorideRaised, PotassiumChloride, PotassiumChloride1To2Point5,
    PotassiumChloride1To5, Water1To1, Water1To2, Water1To2Point5, Water1To5,
};

fn open(from: PhMedium, to: PhMedium) -> (Door, Vec<&'static str>) {
    open_to(from, MethodMedium::Stated(to))
}

fn open_to(from: PhMedium, to: MethodMedium) -> (Door, Vec<&'static str>) {
    let mut findings = Vec::new();
    let door = Door::open(from, to, &mut findings).expect("a way");
    (door, findings.into_iter().map(|finding| finding.key).collect())
}

#[test]
fn every_conversion_has_its_source_media_and_examples_that_hold() {
    assert!(!all_conversions().is_empty());
    for conversion in all_conversions() {
        assert!(conversion.citation().source().is_some(), "{}", conversion.source);
        assert!(!conversion.locator.is_empty() && !conversion.soils.is_empty());
        assert!(conversion.start().is_some(), "{}", conversion.from);
        assert!(conversion.end().is_some(), "{}", conversion.to);
        assert!(!conversion.examples.is_empty());
        assert!(conversion.range[0] < conversion.range[1] && !conversion.range_basis.is_empty());
        let [there, back] =
            [(conversion.start(), conversion.end()), (conversion.end(), conversion.start())]
                .map(|(from, to)| open(from.unwrap(), to.unwrap()).0);
        for example in &conversion.examples {
            let found = there.convert(example.from);
            assert!((found - example.to).abs() <= example.tolerance, "{}", example.locator);
            assert!((back.convert(found) - example.from).abs() <= 1e-9);
        }
    }
}

#[test]
fn the_same_medium_needs_no_conversion_and_no_words() {
    for medium in PhMedium::ALL {
        assert_eq!(open(medium, medium), (Door::AS_READ, vec![]));
    }
    for water in [Water1To1, Water1To2, Water1To2Point5, Water1To5] {
        assert_eq!(open_to(water, MethodMedium::AnyWater), (Door::AS_READ, vec![]));
    }
}

#[test]
fn calcium_chloride_becomes_water_and_says_by_which_equation() {
    let mut findings = Vec::new();
    let to = MethodMedium::Stated(Water1To2Point5);
    let door = Door::open(CalciumChloride, to, &mut findings).unwrap();
    // 5.4 in CaCl2 is 6.0 in water: check row pH_water_to_CaCl2, read backwards.
    assert!((door.convert(5.4) - 6.0).abs() < 1e-12);
    assert_eq!(findings.len(), 1);
    let text = &findings[0].text;
    assert!(text.contains("1.05 x pH(water 1:2.5) - 0.9"), "{text}");
    assert!(text.contains("Soil Science") && text.contains("1988"), "{text}");
    // A method that says no more than water is served the same way.
    assert_eq!(open_to(CalciumChloride, MethodMedium::AnyWater).0, door);
}

#[test]
fn water_becomes_calcium_chloride_by_the_same_equation() {
    let (door, keys) = open(Water1To2Point5, CalciumChloride);
    assert!((door.convert(6.5) - 5.925).abs() < 1e-12);
    assert_eq!(keys, ["ph_converted"]);
}

#[test]
fn water_of_one_to_five_becomes_water_of_one_to_two_and_a_half() {
    let (door, keys) = open(Water1To5, Water1To2Point5);
    assert!((door.convert(6.08) - 6.0).abs() < 1e-12);
    assert_eq!(keys, ["ph_converted"]);
}

#[test]
fn two_conversions_follow_each_other_and_both_are_told() {
    let (door, keys) = open(CalciumChloride, Water1To5);
    // 5.4 -> 6.0 -> 0.14 + 0.99 x 6.0
    assert!((door.convert(5.4) - 6.08).abs() < 1e-12);
    assert_eq!(keys, ["ph_converted", "ph_converted"]);
}

#[test]
fn water_of_a_proportion_without_a_conversion_is_taken_as_read_and_told() {
    for water in [Water1To1, Water1To2] {
        let (door, keys) = open(water, Water1To2Point5);
        assert_eq!(door, Door::AS_READ);
        assert_eq!(keys, ["ph_proportion_taken_as_read"]);
    }
    assert_eq!(open(Water1To1, Water1To2).1, ["ph_proportion_taken_as_read"]);
    let (door, keys) = open(Water1To1, CalciumChloride);
    assert!((door.convert(6.0) - 5.4).abs() < 1e-12);
    assert_eq!(keys, ["ph_converted", "ph_proportion_taken_as_read"]);
}

#[test]
fn what_a_laboratory_raises_by_six_tenths_is_taken_back_to_calcium_chloride() {
    let mut findings = Vec::new();
    let door = Door::between(CalciumChlorideRaised, CalciumChloride, &mut findings).unwrap();
    assert!((door.convert(6.0) - 5.4).abs() < 1e-12);
    assert_eq!(findings.len(), 1);
    assert!(findings[0].text.contains("adds 0.6"), "{}", findings[0].text);
    assert!(findings[0].text.contains("taken off"), "{}", findings[0].text);
    // On to water by the published line, not by the laboratory's rule: 6.0 -> 5.4 -> 6.0.
    let (door, keys) = open_to(CalciumChlorideRaised, MethodMedium::AnyWater);
    assert!((door.convert(6.0) - 6.0).abs() < 1e-12);
    assert!((door.convert(5.0) - (5.3 / 1.05)).abs() < 1e-12, "(4.4 + 0.9) / 1.05");
    assert_eq!(keys, ["ph_converted", "ph_converted"]);
}

#[test]
fn potassium_chloride_of_a_known_proportion_becomes_water() {
    let (door, keys) = open_to(PotassiumChloride1To2Point5, MethodMedium::AnyWater);
    // -1.95 + 11.58 x log10(5.0) = -1.95 + 11.58 x 0.69897
    assert!((door.convert(5.0) - 6.144_073).abs() < 1e-6, "{}", door.convert(5.0));
    assert_eq!(keys, ["ph_converted"]);
    assert_eq!(door.line(), None);
    // 5.09 by 1:5 is 5.0 by 1:2.5.
    let (door, keys) = open(PotassiumChloride1To5, Water1To5);
    assert!((door.convert(5.09) - 6.144_073).abs() < 1e-6);
    assert_eq!(keys, ["ph_converted", "ph_converted"]);
    // And back again, through the logarithm's other side.
    let (back, _) = open(Water1To5, PotassiumChloride1To5);
    assert!((back.convert(door.convert(5.09)) - 5.09).abs() < 1e-12);
    let mut findings = Vec::new();
    Door::between(PotassiumChloride1To2Point5, Water1To5, &mut findings).unwrap();
    assert!(findings[0].text.contains("log10(pH(KCl 1 M 1:2.5))"), "{}", findings[0].text);
    assert!(findings[0].text.contains("second-hand"), "{}", findings[0].text);
}

#[test]
fn a_reading_beyond_the_range_of_an_equation_is_known() {
    let (door, _) = open_to(PotassiumChloride1To2Point5, MethodMedium::AnyWater);
    assert_eq!(door.beyond_range(5.0), None);
    for outside in [2.9, 7.6] {
        let beyond = door.beyond_range(outside).unwrap();
        assert_eq!((beyond.medium, beyond.range), (PotassiumChloride1To2Point5, [3.0, 7.5]));
    }
    // Backwards the range is that of the results: 4.0 and 8.5 in water are 3.3 and 8.025.
    let (door, _) = open_to(CalciumChloride, MethodMedium::AnyWater);
    let range = door.beyond_range(3.2).unwrap().range;
    assert!((range[0] - 3.3).abs() < 1e-12 && (range[1] - 8.025).abs() < 1e-12, "{range:?}");
    assert_eq!(door.beyond_range(3.4), None);
    // What nobody converts has no range.
    assert_eq!(open(Water1To1, Water1To1).0.beyond_range(2.0), None);
}

#[test]
fn potassium_chloride_is_refused_with_what_can_be_done() {
    for (from, to) in [
        (PotassiumChloride, MethodMedium::AnyWater),
        (PotassiumChloride, MethodMedium::Stated(Water1To2Point5)),
        (Water1To5, MethodMedium::Stated(PotassiumChloride)),
    ] {
        let mut findings = Vec::new();
        let problem = Door::open(from, to, &mut findings).expect_err("no way");
        assert!(problem.what.contains("KCl 1 M"));
        assert!(problem.allowed.contains("CaCl2 0.01 M"));
        assert!(problem.hint.contains("choose a method"));
        assert!(findings.is_empty());
    }
}
