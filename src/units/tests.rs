//! The constants against published factors.
//!
//! Factors as NIST prints them, to seven digits, in Special Publication 811, Guide for the Use of
//! the International System of Units, 2008 edition, National Institute of Standards and
//! Technology, Appendix B.8; typed from memory of that table, and each follows from the exact
//! definitions of 1959 as well. The acre is the international one; that table prints the survey
//! acre (4.046 873 E+03), 4 parts per million larger, and is not tested against. The international
//! acre is seen in The World Factbook, Central Intelligence Agency, Appendix G: 4,046.856 422 4 m2.

use super::*;

/// Half a unit of the seventh digit.
fn agrees(found: f64, printed: f64) -> bool {
    let digit = 10_f64.powf(printed.abs().log10().floor() - 6.0);
    (found - printed).abs() <= 0.5 * digit + printed.abs() * 1e-15
}

#[test]
fn factors_agree_with_the_published_ones_to_their_last_digit() {
    for (name, found, printed) in [
        ("inch", Length::from_inches(1.0).to_metres(), 2.54e-2),
        ("foot", Length::from_feet(1.0).to_metres(), 3.048e-1),
        ("mile", Length::from_miles(1.0).to_metres(), 1.609_344e3),
        ("pound", ProductMass::from_pounds(1.0).to_kilograms(), 4.535_924e-1),
        ("short ton", ProductMass::from_short_tons(1.0).to_kilograms(), 9.071_847e2),
        ("cubic foot", Volume::from_cubic_feet(1.0).to_cubic_metres(), 2.831_685e-2),
        ("cubic yard", Volume::from_cubic_yards(1.0).to_cubic_metres(), 7.645_549e-1),
        (
            "pound per cubic foot",
            BulkDensity::from_pounds_per_cubic_foot(1.0).to_kilograms_per_cubic_metre(),
            1.601_846e1,
        ),
        ("mile per hour", Speed::from_miles_per_hour(1.0).to_metres_per_second(), 4.470_4e-1),
        ("acre", Area::from_acres(1.0).to_square_metres(), 4.046_856_422_4e3),
    ] {
        assert!(agrees(found, printed), "{name}: {found} is not {printed}");
    }
}

#[test]
fn the_survey_acre_is_another_one() {
    assert!(!agrees(Area::from_acres(1.0).to_square_metres(), 4.046_873e3));
}

#[test]
fn rates_follow_from_mass_and_area() {
    // 907.18474 kg / 4,046.8564224 m2 x 10,000 m2/ha, by hand 2,241.702 312 kg/ha.
    let ton = ProductRate::from_short_tons_per_acre(1.0);
    assert!((ton.to_kilograms_per_hectare() - 2_241.702_311_6).abs() < 1e-6);
    assert!((ton.to_pounds_per_acre() - 2_000.0).abs() < 1e-9);
    let need = LimeNeed::from_tonnes_per_hectare(3.0) * Area::from_hectares(2.0);
    assert!((need.to_tonnes() - 6.0).abs() < 1e-12);
    let fraction = EffectiveFraction::from_number(0.5).unwrap();
    let rate = LimeNeed::from_short_tons_per_acre(1.0) / fraction;
    assert!((rate.to_short_tons_per_acre() - 2.0).abs() < 1e-12);
    assert!(((rate * fraction).to_short_tons_per_acre() - 1.0).abs() < 1e-12);
}

#[test]
fn three_short_tons_an_acre_on_the_square_are_so_many_tonnes() {
    // Short, metric and long ton: 3 short ton/ac = 6.7251 t/ha, and 118.62 short tons on the
    // 39.5403 ac are 107.61 t (from the exact pound, NIST Special Publication 811, 2008, Appendix
    // B.8, and the exact acre: 3 x 907.18474 kg / 0.40468564224 ha).
    let rate = ProductRate::from_short_tons_per_acre(3.0);
    assert!((rate.to_tonnes_per_hectare() - 6.725_1).abs() < 5e-5);
    let mass = rate * Area::from_acres(39.540_3);
    assert!((mass.to_short_tons() - 118.62).abs() < 5e-3);
    assert!((mass.to_tonnes() - 107.61).abs() < 5e-3);
}

#[test]
fn a_ton_is_never_bare() {
    // The short ton is `ton`, the tonne `t`; the long ton of 2,240 lb and a plural are refused.
    let short = bound::PAYLOAD.read("3 ton").expect("the short ton");
    let metric = bound::PAYLOAD.read("3 t").expect("the tonne");
    assert!((short - 2_721.554_22).abs() < 1e-9 && (metric - 3_000.0).abs() < 1e-9);
    for text in ["3", "3 tons", "3 long ton", "3 T"] {
        let misread = bound::PAYLOAD.read(text).expect_err(text);
        assert!(misread.allowed.contains("`ton`") && misread.allowed.contains("`t`"), "{text}");
    }
    let us = UnitSystem::Us.product(ProductMass::from_kilograms(short));
    let shown = UnitSystem::Metric.product(ProductMass::from_kilograms(short));
    assert_eq!((us.unit, shown.unit), ("ton", "t"));
    assert!((shown.value - 2.721_554_22).abs() < 1e-12, "{}", shown.value);
}

#[test]
#[should_panic(expected = "finite")]
fn a_quantity_that_is_no_number_is_a_fault() {
    let _ = Area::from_acres(f64::NAN);
}

#[test]
fn every_other_unit_is_what_its_name_says() {
    for (name, found, expected) in [
        ("kilometre", Length::from_kilometres(1.0).to_metres(), 1_000.0),
        ("km/h", Speed::from_kilometres_per_hour(3.6).to_metres_per_second(), 1.0),
        ("degree", Heading::from_degrees(180.0).to_radians(), std::f64::consts::PI),
        ("radian", Heading::from_radians(1.0).to_degrees(), 57.295_779_513_082_32),
        ("CaCO3, lb", CarbonateMass::from_pounds(1.0).to_kilograms(), 0.453_592_37),
        ("CaCO3, ton", CarbonateMass::from_short_tons(1.0).to_kilograms(), 907.184_74),
        ("CaCO3, t", CarbonateMass::from_tonnes(1.0).to_kilograms(), 1_000.0),
    ] {
        assert!((found / expected - 1.0).abs() < 1e-14, "{name}: {found} is not {expected}");
    }
}

#[test]
fn a_mass_over_an_area_is_a_rate_and_a_part_of_it_is_carbonate() {
    let area = Area::from_square_metres(4.0);
    let rate = ProductMass::from_kilograms(2.0) / area;
    assert!((rate.to_kilograms_per_hectare() - 5_000.0).abs() < 1e-9);
    let need = CarbonateMass::from_kilograms(2.0) / area;
    assert!((need.to_kilograms_per_hectare() - 5_000.0).abs() < 1e-9);
    let fraction = EffectiveFraction::from_number(0.5).unwrap();
    let carbonate = ProductMass::from_kilograms(3.0) * fraction;
    assert_eq!(carbonate.to_kilograms(), 1.5);
    assert_eq!((carbonate / fraction).to_kilograms(), 3.0);
}

#[test]
fn parts_of_a_whole_end_where_they_must() {
    for (number, is_share) in [(-0.01, false), (0.0, true), (1.0, true), (1.01, false)] {
        assert_eq!(Share::from_number(number).is_some(), is_share, "{number}");
    }
    for (number, is_part) in [(0.0, false), (1e-9, true), (2.5, true), (2.500_1, false)] {
        assert_eq!(EffectiveFraction::from_number(number).is_some(), is_part, "{number}");
    }
}

#[test]
fn each_system_writes_each_quantity_in_its_own_unit() {
    let rate = ProductRate::from_short_tons_per_acre(1.0);
    let need = LimeNeed::from_short_tons_per_acre(1.0);
    let density = BulkDensity::from_pounds_per_cubic_foot(1.0);
    let mile = Length::from_miles(1.0);
    // From the exact pound, foot and acre; one short ton an acre as above.
    for (amount, value, unit) in [
        (UnitSystem::Us.area(Area::from_acres(2.0)), 2.0, "ac"),
        (UnitSystem::Metric.area(Area::from_acres(2.0)), 0.809_371_284_48, "ha"),
        (UnitSystem::Us.carbonate(CarbonateMass::from_short_tons(2.0)), 2.0, "ton"),
        (UnitSystem::Metric.carbonate(CarbonateMass::from_short_tons(2.0)), 1.814_369_48, "t"),
        (UnitSystem::Us.product(ProductMass::from_short_tons(2.0)), 2.0, "ton"),
        (UnitSystem::Metric.product(ProductMass::from_short_tons(2.0)), 1.814_369_48, "t"),
        (UnitSystem::Us.density(density), 1.0, "lb/ft3"),
        (UnitSystem::Metric.density(density), 0.453_592_37 / 0.028_316_846_592, "kg/m3"),
        (UnitSystem::Us.need(need), 1.0, "ton/ac"),
        (UnitSystem::Metric.need(need), 0.907_184_74 / 0.404_685_642_24, "t/ha"),
        (UnitSystem::Us.rate(rate), 1.0, "ton/ac"),
        (UnitSystem::Metric.rate(rate), 0.907_184_74 / 0.404_685_642_24, "t/ha"),
        (UnitSystem::Us.length(mile), 5_280.0, "ft"),
        (UnitSystem::Metric.length(mile), 1_609.344, "m"),
        (UnitSystem::Us.depth(mile), 63_360.0, "in"),
        (UnitSystem::Metric.depth(mile), 160_934.4, "cm"),
        (UnitSystem::Us.road(mile), 1.0, "mi"),
        (UnitSystem::Metric.road(mile), 1.609_344, "km"),
        (UnitSystem::Us.speed(Speed::from_miles_per_hour(10.0)), 10.0, "mph"),
        (UnitSystem::Metric.speed(Speed::from_miles_per_hour(10.0)), 16.093_44, "km/h"),
        (UnitSystem::Us.flow(ProductFlow::from_pounds_per_minute(100.0)), 100.0, "lb/min"),
        (UnitSystem::Metric.flow(ProductFlow::from_pounds_per_minute(100.0)), 45.359_237, "kg/min"),
    ] {
        assert_eq!(amount.unit, unit);
        assert!((amount.value / value - 1.0).abs() < 1e-12, "{amount:?} is not {value}");
    }
    assert_eq!((UnitSystem::Us.words(), UnitSystem::Metric.words()), ("us", "metric"));
}
