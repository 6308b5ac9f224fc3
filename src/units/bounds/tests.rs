use super::*;

#[test]
fn every_bounded_input_reads_its_own_example_unit_and_refuses_beyond_its_limits() {
    for bounded in all_bounds() {
        assert!(bounded.least < bounded.most, "{}", bounded.words);
        if bounded.limit_unit.is_empty() {
            continue;
        }
        let most = format!("{} {}", bounded.most, bounded.limit_unit);
        assert!(bounded.read(&most).is_ok(), "{} refuses its own most", bounded.words);
        let least = format!("{} {}", bounded.least, bounded.limit_unit);
        assert!(bounded.read(&least).is_ok(), "{} refuses its own least", bounded.words);
        let below = format!("{} {}", bounded.least - 0.01 * bounded.most, bounded.limit_unit);
        assert!(bounded.read(&below).is_err(), "{} takes less than its least", bounded.words);
        let beyond = format!("{} {}", bounded.most * 1.01, bounded.limit_unit);
        let misread = bounded.read(&beyond).expect_err(bounded.words);
        assert_eq!(misread.allowed, bounded.allowed());
        assert!(bounded.read(&format!("{} parsec", bounded.most)).is_err());
    }
}

#[test]
fn limits_are_told_in_the_unit_that_was_written_and_examples_fit() {
    let misread = bound::MACHINE_RATE.read("900 ton/ac").expect_err("too much");
    assert_eq!(misread.allowed, "a spreader rate from 0 to 44.6 ton/ac");
    let misread = bound::LIMED_DEPTH.read("0.1 in").expect_err("too little");
    assert_eq!(misread.allowed, "the limed depth from 0.4 to 39.37 in");
    assert!(misread.hint.contains("`6 in`"), "{misread:?}");
    for bounded in all_bounds().into_iter().filter(|bounded| !bounded.limit_unit.is_empty()) {
        assert!(bounded.read(bounded.example).is_ok(), "{}", bounded.words);
    }
}

#[test]
fn not_a_number_is_never_within_limits() {
    assert!(bound::SOIL_PH.check(f64::NAN, "NaN").is_err());
    assert!(bound::SOIL_PH.check(f64::INFINITY, "inf").is_err());
}

#[test]
fn a_rate_in_pounds_equals_the_same_rate_in_tons() {
    let tons = bound::MACHINE_RATE.read("2 ton/ac").expect("tons");
    let pounds = bound::MACHINE_RATE.read("4000 lb/ac").expect("pounds");
    assert!((tons - pounds).abs() < 1e-15);
}

#[test]
fn a_ph_scale_ends_at_its_limits() {
    for bounded in [&bound::SOIL_PH, &bound::BUFFER_PH, &bound::TARGET_PH] {
        for (reading, is_within) in [
            (bounded.least, true),
            (bounded.least - 0.01, false),
            (bounded.most, true),
            (bounded.most + 0.01, false),
        ] {
            let checked = bounded.check(reading, "a reading");
            assert_eq!(checked.is_ok(), is_within, "{} {reading}", bounded.words);
        }
    }
}

#[test]
fn a_limit_written_in_another_unit_may_miss_by_a_rounding_error() {
    let feet = bound::PASS_SPACING.most / M_PER_FOOT;
    let most = bound::PASS_SPACING.most * (1.0 + 1e-15);
    assert!(bound::PASS_SPACING.check(most, "the most").is_ok());
    assert!(bound::PASS_SPACING.read(&format!("{feet} ft")).is_ok());
}

#[test]
fn every_written_unit_is_the_unit_of_that_name() {
    use crate::units::{
        Area, BulkDensity, Length, ProductMass, ProductRate, Speed, TimeTaken, Volume,
    };
    let square_metre = Area::from_square_metres(1.0);
    let minute = TimeTaken::from_seconds(60.0);
    let rate = |rate: ProductRate| (rate * square_metre).to_kilograms();
    let known = [
        (&LENGTH, "ft", Length::from_feet(1.0).to_metres()),
        (&LENGTH, "in", Length::from_inches(1.0).to_metres()),
        (&LENGTH, "m", 1.0),
        (&LENGTH, "cm", Length::from_centimetres(1.0).to_metres()),
        (&DISTANCE, "mi", Length::from_miles(1.0).to_metres()),
        (&DISTANCE, "km", Length::from_kilometres(1.0).to_metres()),
        (&RATE, "ton/ac", rate(ProductRate::from_short_tons_per_acre(1.0))),
        (&RATE, "lb/ac", rate(ProductRate::from_pounds_per_acre(1.0))),
        (&RATE, "t/ha", rate(ProductRate::from_tonnes_per_hectare(1.0))),
        (&RATE, "kg/ha", rate(ProductRate::from_kilograms_per_hectare(1.0))),
        (&MASS, "ton", ProductMass::from_short_tons(1.0).to_kilograms()),
        (&MASS, "lb", ProductMass::from_pounds(1.0).to_kilograms()),
        (&MASS, "t", ProductMass::from_tonnes(1.0).to_kilograms()),
        (&MASS, "kg", 1.0),
        (&VOLUME, "ft3", Volume::from_cubic_feet(1.0).to_cubic_metres()),
        (&VOLUME, "yd3", Volume::from_cubic_yards(1.0).to_cubic_metres()),
        (&VOLUME, "m3", 1.0),
        (
            &DENSITY,
            "lb/ft3",
            BulkDensity::from_pounds_per_cubic_foot(1.0).to_kilograms_per_cubic_metre(),
        ),
        (&DENSITY, "kg/m3", 1.0),
        (&DENSITY, "t/m3", 1_000.0),
        (&SOIL_DENSITIES, "g/cm3", 1_000.0),
        (&SOIL_DENSITIES, "kg/dm3", 1_000.0),
        (&SOIL_DENSITIES, "t/m3", 1_000.0),
        (&SOIL_DENSITIES, "kg/m3", 1.0),
        (&SPEED, "mph", Speed::from_miles_per_hour(1.0).to_metres_per_second()),
        (&SPEED, "km/h", Speed::from_kilometres_per_hour(1.0).to_metres_per_second()),
        (&TIME, "h", TimeTaken::from_hours(1.0).to_seconds()),
        (&TIME, "min", TimeTaken::from_hours(1.0).to_seconds() / 60.0),
        (&SHORT_TIME, "s", TimeTaken::from_seconds(1.0).to_seconds()),
        (
            &FLOW,
            "lb/min",
            (ProductMass::from_pounds(1.0) / minute).to_kilograms_per_minute() / 60.0,
        ),
        (&FLOW, "kg/min", 1.0 / 60.0),
        (&NET_MASS, "lb", ProductMass::from_pounds(1.0).to_kilograms()),
        (&NET_MASS, "kg", 1.0),
        (&PAIL, "L", 0.001),
        (&PAIL, "l", 0.001),
        (&ANGLE, "deg", 1.0),
        (&PERCENT, "%", 0.01),
        (&PER_TON, "lb/ton", ProductMass::from_pounds(1.0) / ProductMass::from_short_tons(1.0)),
        (&PER_TON, "kg/t", ProductMass::from_kilograms(1.0) / ProductMass::from_tonnes(1.0)),
        (&CONTENT_KIND, "%", 0.01),
        (&CONTENT_KIND, "lb/ton", 1.0 / 2_000.0),
        (&CONTENT_KIND, "kg/t", 0.001),
        (&CHARGE, "meq/100 g", 1.0),
        (&CHARGE, "cmol/kg", 1.0),
        (&CAPACITY, "meq/100 g", 1.0),
        (&CAPACITY, "cmol/kg", 1.0),
        (&CAPACITY, "mmol/kg", 0.1),
    ];
    for (kind, unit, expected) in known {
        let factor = kind.factor(unit).expect(unit);
        assert!((factor / expected - 1.0).abs() < 1e-14, "{unit}: {factor}");
    }
}
