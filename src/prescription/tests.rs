//! The numbers of a small field, worked out by hand.

use super::*;
use crate::agronomy::{Ask, Buffer, Given, Prepared, Target, ValueUnits, Why, method};
use crate::findings::Place;
use crate::machine::{Limit, Machine, Override, Setting, WrittenRate};
use crate::units::{
    Area, BufferPh, CarbonateMass, DepthInterval, EffectiveFraction, LimeNeed, PhMedium, SoilValue,
};

/// From 1 to 4 ton/ac in quarters of a ton.
pub(super) fn machine() -> Machine {
    let tons = |number| WrittenRate { number, unit: "ton/ac" };
    Machine::plain(Setting::steps(tons(1.0).rate(), tons(4.0).rate(), tons(0.25)).unwrap())
}

pub(super) fn half() -> EffectiveFraction {
    EffectiveFraction::from_number(0.5).unwrap()
}

/// Cells of so many acres that need so many short tons of CaCO3 an acre.
fn prescribed(cells: &[(f64, f64)]) -> Prescription {
    let cell = |&(acres, tons)| (Area::from_acres(acres), LimeNeed::from_short_tons_per_acre(tons));
    let needs: Vec<_> = cells.iter().map(cell).collect();
    let area = cells.iter().map(|&(acres, _)| Area::from_acres(acres)).sum();
    prescribe_rates(&needs, half(), &machine(), area).unwrap()
}

fn near(found: f64, expected: f64) -> bool {
    (found - expected).abs() < 1e-9
}

fn is(total: AreaAndProduct, acres: f64, tons: f64) -> bool {
    near(total.area.to_acres(), acres) && near(total.product.to_short_tons(), tons)
}

fn weighs(mass: CarbonateMass, tons: f64) -> bool {
    near(mass.to_short_tons(), tons)
}

#[test]
fn each_limit_gets_its_own_area_and_product() {
    let field = prescribed(&[
        (1.0, 0.2),  // 0.4 wanted, dropped: 0.4 short
        (2.0, 0.4),  // 0.8 wanted, raised to 1: 0.2 over
        (3.0, 2.5),  // 5 wanted, capped at 4: 1 short
        (4.0, 1.05), // 2.1 wanted, 2 held: 0.1 short
        (5.0, 1.1),  // 2.2 wanted, 2.25 held: 0.05 over
        (6.0, 1.0),  // 2 wanted and held
        (7.0, 0.0),  // nothing
    ]);
    let limits = &field.limits;
    assert!(is(limits.dropped, 1.0, 0.4), "{limits:?}");
    assert!(is(limits.raised, 2.0, 0.4), "{limits:?}");
    assert!(is(limits.capped, 3.0, 3.0), "{limits:?}");
    assert!(is(limits.rounded_down, 4.0, 0.4), "{limits:?}");
    assert!(is(limits.rounded_up, 5.0, 0.25), "{limits:?}");
    assert!(near(field.area.to_acres(), 28.0));
    assert!(near(field.treated_area.to_acres(), 20.0));
    assert!(near(field.product.to_short_tons(), 45.25));
    let setting = machine().setting;
    let expected =
        [(0.0, 8.0, 0.0), (1.0, 2.0, 2.0), (2.0, 10.0, 20.0), (2.25, 5.0, 11.25), (4.0, 3.0, 12.0)];
    assert_eq!(field.rates.len(), expected.len());
    for (found, (rate, acres, tons)) in field.rates.iter().zip(expected) {
        assert_eq!(setting.written(found.rate).number, rate);
        assert!(is(found.total, acres, tons), "{found:?}");
    }
    let ledger = &field.ledger;
    assert!(weighs(ledger.dropped, 0.2) && weighs(ledger.raised, 0.2), "{ledger:?}");
    assert!(weighs(ledger.capped, 1.5) && weighs(ledger.rounded_down, 0.2), "{ledger:?}");
    assert!(weighs(ledger.rounded_up, 0.125), "{ledger:?}");
}

fn need(tons: f64) -> LimeNeed {
    LimeNeed::from_short_tons_per_acre(tons)
}

/// Acres and tons over, acres and tons under, and the product.
fn flat_is(flat: &FlatRate, over: (f64, f64), under: (f64, f64), product: f64) -> bool {
    near(flat.over_limed.to_acres(), over.0)
        && weighs(flat.excess, over.1)
        && near(flat.under_limed.to_acres(), under.0)
        && weighs(flat.shortfall, under.1)
        && near(flat.product.to_short_tons(), product)
}

#[test]
fn the_flat_rates_over_and_under_lime_what_the_arithmetic_says() {
    // 0, 2, 4 and 2 ton/ac: 18 tons on 7 acres. A need above 1 by a rounding error is no need more.
    let field = prescribed(&[(1.0, 0.0), (1.0, 1.0 + 1e-12), (3.0, 2.0), (2.0, 1.05)]);
    let rates = flat_rates(&field, need(0.95), half(), &machine());
    // 18/7 ton/ac supply 9/7 of CaCO3: 9/7 + 2/7 + 2 (9/7 - 1.05) over, 3 (2 - 9/7) under.
    let same = &rates.same_tons;
    assert!(near(same.rate.to_short_tons_per_acre(), 18.0 / 7.0));
    assert!(flat_is(same, (4.0, 11.0 / 7.0 + 3.3 / 7.0), (3.0, 15.0 / 7.0), 18.0), "{same:?}");
    // 1.9 wanted, 2 held, which supply 1: 1 over, 3 x 1 + 2 x 0.05 under.
    let ordered = &rates.composite;
    assert!(near(ordered.rate.to_short_tons_per_acre(), 2.0));
    assert!(flat_is(ordered, (1.0, 1.0), (5.0, 3.1), 14.0), "{ordered:?}");
    // 2.2 wanted, 2.25 held, which supply 1.125.
    let ordered = flat_rates(&field, need(1.1), half(), &machine()).composite;
    assert!(flat_is(&ordered, (4.0, 1.4), (3.0, 2.625), 15.75), "{ordered:?}");
    let capped = flat_rates(&field, need(9.0), half(), &machine()).composite;
    assert_eq!((capped.limit, capped.written.unwrap().number), (Limit::Capped, 4.0));
    // Just over what is needed: the need lies within a rounding error above.
    let even = prescribed(&[(1.0, 1.0 - 1e-12)]);
    // What is off by a rounding error of the arithmetic was not rounded by the spreader.
    for total in [even.limits.rounded_up, even.limits.rounded_down] {
        assert_eq!(total.area, Area::ZERO);
    }
    let exact = flat_rates(&even, need(1.0), half(), &machine()).composite;
    assert!(flat_is(&exact, (0.0, 0.0), (0.0, 0.0), 2.0), "{exact:?}");
}

fn acidities(numbers: Vec<f64>) -> ValueColumns {
    ValueColumns { numbers: vec![(SoilValue::Acidity, numbers)], textures: None }
}

pub(super) fn job(id: &str, target_ph: f64, ph_medium: PhMedium) -> (Prepared, Given) {
    let method = method(id).unwrap();
    let limed_depth = method.card().depth.unwrap();
    let sampled_depth = DepthInterval::down_to(limed_depth).unwrap();
    let mut units = ValueUnits::default();
    units.set(SoilValue::Acidity, "meq/100 g");
    let buffer = method.card().buffer;
    let given = Given {
        sampled_depth,
        ph_medium,
        buffer,
        al_extract: None,
        bulk_density: None,
        units,
        capacity_read: None,
    };
    let ask = Ask { target: Target::Ph(target_ph), treat_below: None, limed_depth, part: None };
    (method.prepare(&ask, &given).unwrap().0, given)
}

#[test]
fn a_composite_reads_the_means_and_weighs_its_blanks() {
    let (prepared, given) = job("smp-iowa", 6.9, PhMedium::Water1To1);
    let site = |buffer_ph| SiteReadings {
        ph: Some(vec![5.0, 5.5, 6.0, 6.3]),
        buffer_ph: Some(buffer_ph),
        values: ValueColumns::default(),
    };
    let half_blank = site(vec![Some(6.2), Some(6.4), None, None]);
    let soil = soil_of_composite(&[&half_blank], &given, &prepared).unwrap();
    assert!(near(soil.ph, 5.7) && near(soil.buffer_ph.unwrap(), 6.3), "{soil:?}");
    // Half way between the printed 7,700 and 6,000 lb/ac, times the half that was tested.
    assert!(near(soil.need.to_pounds_per_acre(), 3_425.0), "{soil:?}");
    let soil = soil_of_composite(&[&site(vec![None; 4])], &given, &prepared).unwrap();
    assert_eq!((soil.need, soil.buffer_ph, soil.why), (LimeNeed::ZERO, None, Why::AtTrigger));

    let (prepared, given) = job("exchangeable-acidity-pennsylvania", 7.0, PhMedium::Water1To1);
    let values = acidities(vec![4.0, 8.0]);
    let readings = SiteReadings { ph: Some(vec![5.0, 6.0]), buffer_ph: None, values };
    let soil = soil_of_composite(&[&readings], &given, &prepared).unwrap();
    assert!(near(soil.need.to_pounds_per_acre(), 6_000.0), "{soil:?}");
}

#[test]
fn a_blank_counts_from_the_stated_ph_on_and_is_told_below_the_trigger() {
    let (prepared, given) = job("smp-iowa", 6.5, PhMedium::Water1To1);
    assert_eq!(given.buffer, Some(Buffer::Smp));
    let settle = |prepared: &Prepared, ph: f64| {
        let readings = [Some(6.2), None];
        settle_blanks(prepared, [Some(&[5.0, ph]); 2], &readings, Some(6.3), |_| Place::default())
    };
    for refused in [6.29, 6.25] {
        assert!(settle(&prepared, refused).is_err(), "{refused}");
    }
    let (settled, findings) = settle(&prepared, 6.3).unwrap();
    assert_eq!(settled.readings, [Some(6.2), Some(7.0)]);
    assert_eq!(settled.rule, Some(BlankRule::AtZeroNeedReading(BufferPh::new(7.0))));
    assert_eq!(findings.len(), 1);
    let (_, findings) = settle(&prepared, 6.5).unwrap();
    assert!(findings.is_empty(), "{findings:?}");
    // 6.3 in CaCl2 is (6.3 + 0.9) / 1.05 = 6.86 in water, above the trigger of 6.5.
    let (salt, _) = job("smp-iowa", 6.5, PhMedium::CalciumChloride);
    assert!(settle(&salt, 6.3).unwrap().1.is_empty());
}

#[test]
fn a_flat_rate_is_over_or_under_by_more_than_a_rounding_error() {
    // 2 ton/ac supply 1, a millionth more than one acre needs and a millionth less than another.
    let field = prescribed(&[(1.0, 1.0 - 1e-6), (2.0, 1.0 + 1e-6)]);
    let flat = flat_rates(&field, need(1.0), half(), &machine()).composite;
    assert!(flat_is(&flat, (1.0, 1e-6), (2.0, 2e-6), 6.0), "{flat:?}");
}

/// What hangs on a tenth, from cells of so many acres, each with its pH, buffer pH and acidity.
fn hanging(job: &(Prepared, Given), cells: &[(f64, f64, Option<f64>, Option<f64>)]) -> Sensitivity {
    hanging_under(&Orders::default(), job, cells)
}

fn hanging_under(
    orders: &Orders<'_>,
    job: &(Prepared, Given),
    cells: &[(f64, f64, Option<f64>, Option<f64>)],
) -> Sensitivity {
    let (prepared, given) = job;
    let soil = |&(_, ph, buffer_ph, acidity): &(f64, f64, Option<f64>, Option<f64>)| {
        let readings = SiteReadings {
            ph: Some(vec![ph]),
            buffer_ph: buffer_ph.map(|reading| vec![Some(reading)]),
            values: acidity.map_or_else(ValueColumns::default, |reading| acidities(vec![reading])),
        };
        soil_of_composite(&[&readings], given, prepared).unwrap()
    };
    let soils: Vec<CellSoil> = cells.iter().map(soil).collect();
    let needs: Vec<_> = cells
        .iter()
        .zip(&soils)
        .map(|(cell, soil)| (Area::from_acres(cell.0), soil.need))
        .collect();
    let area = needs.iter().map(|&(area, _)| area).sum();
    let field = prescribe_overridden(&needs, orders, half(), &machine(), area).unwrap();
    let values = acidities(cells.iter().map(|cell| cell.3.unwrap_or_default()).collect());
    let layer = SoilLayer { cells: &soils, values: &values, given, prepared };
    sensitivity(&[layer], &field.cells, orders, half(), &machine()).unwrap()
}

#[test]
fn what_is_ordered_at_any_ph_does_not_hang_on_it() {
    let job = job("ph-uk-arable", 6.7, PhMedium::Water1To1);
    let held = |tons: f64| {
        let rate = WrittenRate { number: tons, unit: "ton/ac" }.rate();
        machine().setting.written(machine().setting.held(rate).unwrap())
    };
    let list = [
        Override::Rate(held(2.0)),
        Override::NoProduct,
        Override::Cap(held(3.0)),
        Override::Factor(2.0),
    ];
    let (rate, none, cap, factor): (&[usize], &[usize], &[usize], &[usize]) =
        (&[0], &[1], &[2], &[3]);
    let orders = Orders { list: &list, of_cell: vec![rate, none, cap, factor, none, rate, cap] };
    let cell = |acres, ph| (acres, ph, None, None);
    let found = hanging_under(
        &orders,
        &job,
        &[
            // Below the trigger, where the map alone spreads 1 ton/ac.
            cell(1.0, 6.601), // 2 ton/ac at any pH
            cell(2.0, 6.601), // nothing at any pH
            cell(3.0, 6.601), // 1 ton/ac, under the cap
            cell(4.0, 6.601), // 2 ton/ac, twice what the map alone has
            // At the trigger, where the map alone would spread 1 ton/ac a tenth lower.
            cell(5.0, 6.7),
            cell(6.0, 6.7),
            cell(7.0, 6.7),
        ],
    );
    assert!(near(found.below_area.to_acres(), 10.0), "{found:?}");
    assert!(near(found.below_limed_area.to_acres(), 7.0), "{found:?}");
    assert!(near(found.below_product.to_short_tons(), 3.0 + 8.0), "{found:?}");
    assert!(near(found.above_area.to_acres(), 18.0), "{found:?}");
    assert!(near(found.above_limed_area.to_acres(), 7.0), "{found:?}");
    assert!(near(found.above_product.to_short_tons(), 7.0), "{found:?}");
}

#[test]
fn what_hangs_on_a_tenth_of_ph_is_counted_on_both_sides_of_the_trigger() {
    let cell = |acres, ph| (acres, ph, None, None);
    // 6 t CaCO3/ha for each pH below 6.7, half of the material counts: the machine spreads its
    // 1 ton/ac from 0.5 ton/ac on, which is 1.1209 t/ha, 0.0934 below the target.
    let job = job("ph-uk-arable", 6.7, PhMedium::Water1To1);
    let found = hanging(
        &job,
        &[
            cell(1.0, 6.0),
            cell(2.0, 6.601), // less than a tenth below, spread
            cell(3.0, 4.0),   // below the table: a tenth more asks for no more
            cell(4.0, 6.75),  // less than a tenth above; at 6.65 it would still get nothing
            cell(5.0, 6.7),   // at the trigger; at 6.6 it would get 1 ton/ac
            cell(1.0, 6.599), // more than a tenth below
            cell(2.0, 6.65),  // less than a tenth below, not spread
            cell(6.0, 6.801), // more than a tenth above
        ],
    );
    // 0.6 t/ha on 6 of the 9 ac that need lime.
    assert!(near(found.need_per_tenth.to_tonnes_per_hectare(), 0.4), "{found:?}");
    assert!(near(found.below_area.to_acres(), 4.0), "{found:?}");
    assert!(near(found.below_limed_area.to_acres(), 2.0), "{found:?}");
    assert!(near(found.below_product.to_short_tons(), 2.0), "{found:?}");
    assert!(near(found.above_area.to_acres(), 9.0), "{found:?}");
    assert!(near(found.above_limed_area.to_acres(), 5.0), "{found:?}");
    assert!(near(found.above_product.to_short_tons(), 5.0), "{found:?}");
    let none = hanging(&job, &[cell(1.0, 7.5)]);
    assert_eq!((none.need_per_tenth, none.above_area), (LimeNeed::ZERO, Area::ZERO));
}

#[test]
fn a_tenth_on_the_acid_side_is_a_lower_buffer_ph_and_a_greater_acidity() {
    // Iowa to 6.9 prints 6,000 at 6.4 and 7,700 at 6.2: 850 for the tenth.
    let iowa = job("smp-iowa", 6.9, PhMedium::Water1To1);
    let found = hanging(&iowa, &[(1.0, 5.0, Some(6.4), None)]);
    assert!(near(found.need_per_tenth.to_pounds_per_acre(), 850.0), "{found:?}");
    // Pennsylvania to 7.0: 1,000 for each meq/100 g.
    let acidity = job("exchangeable-acidity-pennsylvania", 7.0, PhMedium::Water1To1);
    let found = hanging(&acidity, &[(1.0, 5.0, None, Some(6.0))]);
    assert!(near(found.need_per_tenth.to_pounds_per_acre(), 100.0), "{found:?}");
}
