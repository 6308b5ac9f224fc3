//! Suppliers on made fields, held against every choice that there is.

use std::collections::BTreeMap;

use super::solve::{Choice, NotChosen, choose};
use super::*;
use crate::inputs::{HaulCost, SupplierTrip};
use crate::material::{Basis, Material, Price, PriceAt, Stated, find_kind};
use crate::roster::FieldRow;
use crate::roster::made::{fields, made, quantity, twice};
use crate::roster::row::RowLimits;
use crate::summary::{AreaProduct, RateLimitsPart};
use crate::units::{EffectiveFraction, HaulCharge, Length, TimeTaken};

fn supplier(name: &str, effective: f64, price: f64) -> SupplierPart {
    let fraction = EffectiveFraction::from_number(effective).unwrap();
    let currency = Currency::from_words("$").unwrap();
    let ton = ProductMass::from_short_tons(1.0);
    SupplierPart {
        name: name.to_owned(),
        limit: None,
        material: Material {
            name: format!("{name} lime"),
            kind: find_kind("calcitic limestone").unwrap(),
            stated: Stated { fraction, basis: Basis::AsReceived },
            rating: None,
            analysis: None,
            moisture: None,
            effective: fraction,
            bulk_density: None,
            density_rule: None,
            price: Some(Price {
                amount: Money::from_units(price),
                per: ton,
                currency: currency.clone(),
                at: PriceAt::Plant,
            }),
            findings: Vec::new(),
        },
        material_toml: String::new(),
        haul_toml: String::new(),
        shared_beside: Vec::new(),
        truck_payload: None,
        cost: Some(HaulCost {
            charge: HaulCharge::ByMassAndDistance {
                amount: Money::from_units(0.25),
                per: ton,
                over: Length::from_miles(1.0),
            },
            written: "0.25 $/ton-mile".to_owned(),
            minimum: None,
            currency,
        }),
        trip: None,
        one_way_distance: Some(Length::from_miles(20.0)),
        distances: BTreeMap::new(),
        place_deg: None,
    }
}

fn plan(rows: Vec<FieldRow>, suppliers_: Vec<SupplierPart>, split: bool) -> SupplierPlan {
    let supply = SupplyPart { suppliers: suppliers_, split, ..SupplyPart::default() };
    let asked = SuppliersAsk { units: UnitSystem::Us, supply: &supply, road_factor: None };
    suppliers(&fields(rows), &asked)
}

fn near(quantity: &Quantity, value: f64) {
    assert!((quantity.value - value).abs() < 1e-6, "{quantity:?} is not {value}");
}

#[test]
fn tons_and_cost_follow_from_what_each_material_is_worth() {
    // 60 tons at 60 % are 36 tons of CaCO3: 45 tons at 80 %, in two trucks of 25.
    let plan = plan(
        vec![made("a", 60.0, true)],
        vec![supplier("near", 0.6, 14.0), supplier("strong", 0.8, 15.0)],
        false,
    );
    assert!(plan.proven);
    let field = &plan.fields[0];
    assert_eq!(field.from[0].supplier, "strong");
    near(&field.from[0].to_order, 50.0);
    assert_eq!(field.from[0].trucks, Some(2));
    // 50 tons x (15 + 0.25 x 20); 75 x (14 + 5) of the other.
    near(&field.cost, 1_000.0);
    assert!((field.rate_factor - 0.75).abs() < 1e-12);
    near(&plan.suppliers[1].used, 50.0);
    near(&plan.suppliers[0].used, 0.0);
}

#[test]
fn a_limit_moves_fields_and_what_more_of_it_saves_is_told() {
    let mut cheap = supplier("cheap", 0.6, 10.0);
    cheap.limit = Some(ProductMass::from_short_tons(55.0));
    cheap.truck_payload = Some(ProductMass::from_short_tons(25.0));
    let dear = supplier("dear", 0.6, 20.0);
    let rows = vec![made("a", 50.0, true), made("b", 25.0, true)];
    let plan = plan(rows, vec![cheap, dear], false);
    assert!(plan.proven);
    // Of 50 and 25 tons only the greater fits: 50 x 15 + 25 x 25.
    near(plan.cost_total.as_ref().unwrap(), 1_375.0);
    assert_eq!(plan.fields[0].from[0].supplier, "cheap");
    near(plan.suppliers[0].one_more.as_ref().unwrap(), 25.0);
    near(plan.suppliers[0].one_more_saves.as_ref().unwrap(), 250.0);
}

#[test]
fn too_little_says_what_is_lacking_at_the_least() {
    let mut only = supplier("only", 0.6, 10.0);
    only.limit = Some(ProductMass::from_short_tons(55.0));
    let rows = vec![made("a", 50.0, true), made("b", 25.0, true)];
    let none = plan(rows, vec![only], false);
    assert!(none.fields.is_empty() && none.cost_total.is_none() && !none.proven);
    assert_eq!(none.lacks.len(), 1);
    near(&none.lacks[0].more, 20.0);
}

#[test]
fn a_split_uses_the_cheap_one_up_in_whole_trucks() {
    let truck = Some(ProductMass::from_short_tons(25.0));
    let mut cheap = supplier("cheap", 0.6, 10.0);
    (cheap.limit, cheap.truck_payload) = (Some(ProductMass::from_short_tons(60.0)), truck);
    let mut dear = supplier("dear", 0.6, 20.0);
    dear.truck_payload = truck;
    let plan = plan(vec![made("a", 70.0, true), made("b", 20.0, true)], vec![cheap, dear], true);
    assert!(plan.proven);
    // Four trucks; two of the cheap one fit: 50 x 15 + 50 x 25.
    near(plan.cost_total.as_ref().unwrap(), 2_000.0);
    near(&plan.suppliers[0].used, 50.0);
    let trucks: u64 =
        plan.fields.iter().flat_map(|field| &field.from).filter_map(|share| share.trucks).sum();
    assert_eq!(trucks, 4);
    near(plan.suppliers[0].one_more_saves.as_ref().unwrap(), 250.0);
}

#[test]
fn what_is_not_known_of_a_supplier_is_told() {
    let mut far = supplier("far", 0.6, 10.0);
    far.one_way_distance = None;
    let rest = vec![far.clone(), supplier("near", 0.6, 14.0)];
    let some = plan(vec![made("a", 60.0, true)], rest, false);
    assert_eq!(some.fields[0].from[0].supplier, "near");
    assert!(some.not_known[0].contains("its distance is not known"), "{:?}", some.not_known);
    let mut beyond = far.clone();
    beyond.place_deg = Some([-93.4, -42.0]);
    let none = plan(vec![made("a", 60.0, true), made("b", 60.0, true)], vec![far], false);
    assert_eq!(none.unserved, ["a", "b"]);
    assert!(none.not_known[0].starts_with("2 fields (a, b) are served by nobody: `far`: its"));
    let supply = SupplyPart { suppliers: vec![beyond], ..SupplyPart::default() };
    let asked = SuppliersAsk { units: UnitSystem::Us, supply: &supply, road_factor: Some(1.2) };
    let too_far = suppliers(&fields(vec![made("a", 60.0, true)]), &asked);
    assert!(too_far.not_known[0].contains("farther from the field"), "{:?}", too_far.not_known);
    assert!(none.fields.is_empty() && none.not_known[0].contains("served by nobody"));
}

#[test]
fn each_application_is_ordered_in_trucks_of_its_own_and_a_trip_takes_its_time() {
    let mut timed = supplier("timed", 0.6, 10.0);
    let hour = TimeTaken::from_hours(1.0);
    timed.cost.as_mut().unwrap().charge =
        HaulCharge::ByTime { amount: Money::from_units(100.0), per: hour };
    let speed = crate::units::Speed::from_miles_per_hour(40.0);
    timed.trip = Some(SupplierTrip::Driven { speed, load: hour });
    let plan = plan(vec![twice(made("a", 30.0, true))], vec![timed], false);
    // Twice two trucks of two hours: 20 miles there and back at 40 mph, and an hour.
    near(&plan.fields[0].from[0].to_order, 100.0);
    near(&plan.fields[0].cost, 100.0 * 10.0 + 4.0 * 200.0);
}

#[test]
fn ground_at_the_greatest_rate_is_counted_with_the_most_that_it_may_take() {
    // All 60 tons lie on 15 acres at 4 ton/ac, which lack 60 more.
    let mut row = made("a", 60.0, true);
    row.treated_area.value = 15.0;
    let part = |area: f64, tons: f64| AreaProduct {
        area: quantity(area, "ac"),
        product: quantity(tons, "ton"),
    };
    row.limits = Some(RowLimits {
        rates: RateLimitsPart {
            least: quantity(1.0, "ton/ac"),
            greatest: quantity(4.0, "ton/ac"),
            below_least: "nearest".to_owned(),
        },
        raised: part(0.0, 0.0),
        dropped: part(0.0, 0.0),
        capped: part(15.0, 60.0),
    });
    (row.least_rate, row.greatest_rate) =
        (Some(quantity(4.0, "ton/ac")), Some(quantity(4.0, "ton/ac")));
    let plan = plan(vec![row], vec![supplier("strong", 0.8, 15.0)], false);
    // It asked for 120 ton, which are 90 of the stronger material: more than it holds.
    let share = &plan.fields[0].from[0];
    near(&share.to_order, 75.0);
    near(share.at_least.as_ref().unwrap(), 50.0);
    assert_eq!(share.trucks, Some(3));
    let told = plan.not_known.join("\n");
    assert!(told.contains("15.00 ac of its map are held to the greatest rate"), "{told}");
    assert!(told.contains("between 50.00 ton and 75.00 ton"), "{told}");
}

/// The least cost of all choices that fit, by trying each.
fn by_trying(fields: usize, choices: &[Choice], limits: &[Option<f64>]) -> Option<f64> {
    fn go(
        field: usize,
        fields: usize,
        choices: &[Choice],
        left: &mut [f64],
        cost: f64,
    ) -> Option<f64> {
        if field == fields {
            return Some(cost);
        }
        let mut least: Option<f64> = None;
        for choice in choices.iter().filter(|choice| choice.field == field) {
            if choice.takes > left[choice.supplier] + 1e-9 {
                continue;
            }
            left[choice.supplier] -= choice.takes;
            let found = go(field + 1, fields, choices, left, cost + choice.cost);
            left[choice.supplier] += choice.takes;
            least = [least, found].into_iter().flatten().reduce(f64::min);
        }
        least
    }
    let mut left: Vec<f64> = limits.iter().map(|it| it.unwrap_or(f64::INFINITY)).collect();
    go(0, fields, choices, &mut left, 0.0)
}

proptest::proptest! {
    #[test]
    fn the_choice_is_the_cheapest_of_all(
        table in proptest::collection::vec(
            proptest::collection::vec((1_u32..60, 1_u32..1000), 3), 1..7),
        limits in proptest::collection::vec(proptest::option::of(20_u32..150), 3),
    ) {
        let choices: Vec<Choice> = table
            .iter()
            .enumerate()
            .flat_map(|(field, row)| {
                row.iter().enumerate().map(move |(supplier, &(takes, cost))| Choice {
                    field,
                    supplier,
                    takes: f64::from(takes),
                    cost: f64::from(cost),
                })
            })
            .collect();
        let limits: Vec<Option<f64>> =
            limits.into_iter().map(|limit| limit.map(f64::from)).collect();
        let least = by_trying(table.len(), &choices, &limits);
        match (choose(table.len(), &choices, &limits), least) {
            (Ok(chosen), Some(least)) => {
                proptest::prop_assert_eq!(chosen.gap, 0.0);
                proptest::prop_assert!((chosen.cost - least).abs() < 1e-6);
            }
            (Err(NotChosen::Lacks(more)), None) => {
                // With that much more it fits, and with a little less it does not.
                let raised = |part: f64| -> Vec<Option<f64>> {
                    let pairs = limits.iter().zip(&more);
                    pairs.map(|(limit, more)| limit.map(|limit| limit + more * part)).collect()
                };
                let enough = by_trying(table.len(), &choices, &raised(1.0 + 1e-9));
                proptest::prop_assert!(enough.is_some());
                proptest::prop_assert!(more.iter().sum::<f64>() >= 1.0 - 1e-6);
                let less = by_trying(table.len(), &choices, &raised(0.9));
                proptest::prop_assert!(less.is_none());
            }
            (found, least) => proptest::prop_assert!(false, "{:?} against {:?}", found, least),
        }
    }
}
