use super::*;
use PhMedium::{
    CalciumChloride, PotassiumChloride, Water1To1, Water1To2, Water1To2Point5, Water1To5,
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
        for example in &conversion.examples {
            let there = Door::along(conversion).convert(example.from);
            assert!((there - example.to).abs() <= example.tolerance, "{}", example.locator);
            let back = Door::against(conversion).convert(example.to);
            assert!((back - example.from).abs() <= example.tolerance + 1e-9);
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
