//! Plans of invented fields, held against trying all of them.

use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::findings::Place;
use crate::inputs::{
    AllotmentPart, Limits, NamedInPlan, OfMaterial, PlanAmounts, ResponseBand, ResponsePart, Take,
    YearLimits,
};
use crate::roster::{FieldRow, Fields};
use crate::summary::Quantity;
use crate::units::{Currency, Day, Money, ProductMass, UnitSystem};

/// What a field takes and does.
#[derive(Clone, Debug)]
pub(super) struct Invented {
    pub(super) id: String,
    pub(super) material: &'static str,
    /// Its areas: product in t, ground with aluminium risk in ha, gain in pH ha.
    pub(super) areas: Vec<(f64, f64, f64)>,
}

impl Invented {
    pub(super) fn new(at: usize, areas: &[(f64, f64, f64)]) -> Self {
        Self { id: format!("field-{at:02}"), material: "Pit 4", areas: areas.to_vec() }
    }

    fn sum(&self, of: fn(&(f64, f64, f64)) -> f64) -> f64 {
        self.areas.iter().map(of).sum()
    }

    /// As `fields.json` would hold it: half of the product is CaCO3, a tenth of the need is unmet.
    fn row(&self) -> FieldRow {
        let q = |value: f64, unit: &str| json!({ "value": value, "unit": unit });
        let product = self.sum(|area| area.0);
        let benefit = |(product, aluminium, gain): (f64, f64, f64)| {
            json!({
                "aluminium_possible_area": q(aluminium, "ha"),
                "aluminium_likely_area": q(0.0, "ha"),
                "aluminium_product": q(0.0, "t"),
                "manganese_area": q(0.0, "ha"),
                "acid_area": q(product, "ha"),
                "ph_gain": q(gain, "pH ha"),
                "by_ph": [{ "ph": 5.3, "area": q(product, "ha"), "ph_gain": q(gain, "pH ha") }],
            })
        };
        let need = |product: f64| product * 0.5 / 0.9;
        let areas: Vec<Value> = (1..)
            .zip(&self.areas)
            .map(|(number, &area)| {
                json!({
                    "number": number, "rate": q(3.0, "t/ha"), "area": q(area.0, "ha"),
                    "product": q(area.0, "t"), "need": q(need(area.0), "t"),
                    "supplied": q(area.0 * 0.5, "t"), "unmet": q(need(area.0) * 0.1, "t"),
                    "benefit": benefit(area),
                })
            })
            .collect();
        let whole = (product, self.sum(|area| area.1), self.sum(|area| area.2));
        let zero = || q(0.0, "t");
        serde_json::from_value(json!({
            "id": self.id, "field": { "name": self.id.to_uppercase() }, "units": "metric",
            "dates": { "sampled": "2026-09-01", "spread": "2026-10-01" }, "place_deg": [0.0, 0.0],
            "area": q(product, "ha"), "keep_out_area": q(0.0, "ha"),
            "treated_area": q(product, "ha"),
            "need_total": q(need(product), "t"), "supplied_total": q(product * 0.5, "t"),
            "excess_total": zero(), "unmet_total": q(need(product) * 0.1, "t"),
            "product_total": q(product, "t"), "to_load": q(product, "t"), "pile_loss": zero(),
            "truck_fill": zero(), "to_order": q(product, "t"), "mean_rate": q(1.0, "t/ha"),
            "spreader_loads": { "count": 1, "full": q(10.0, "t") },
            "truck_loads": { "count": 1, "full": q(5.0, "t") },
            "haul": {
                "product_cost": q(product * 10.0, "EUR"), "spreading_cost": q(product * 2.0, "EUR"),
                "cost_total": q(product * 12.0, "EUR"), "cost_covers": ["product", "spreading"],
            },
            "benefit": benefit(whole), "rate_areas": areas,
            "composite": { "rate": q(1.0, "t/ha"), "product": zero(), "to_order": zero() },
            "leading_reading": "ph", "method": "m", "target": "pH 6.5", "target_medium": "water",
            "material": { "name": self.material, "kind": "k",
                "effective_as_spread": 0.5 },
            "machine": { "pass_spacing": q(12.0, "m"), "passes": 1, "turns": 0 },
            "findings": 0, "job_effective_sha256": "",
        }))
        .unwrap()
    }
}

pub(super) fn fields_of(all: &[Invented]) -> Fields {
    all.iter().fold(Fields::default(), |set, one| set.merge(Fields::done(one.row())).unwrap())
}

fn tons(limits: &[f64]) -> YearLimits {
    YearLimits {
        place: Place::default(),
        written: limits.iter().map(|limit| format!("{limit} t")).collect(),
        amounts: PlanAmounts::Product(
            limits.iter().map(|&limit| ProductMass::from_tonnes(limit)).collect(),
        ),
    }
}

fn asked(limits: &[f64], take: Take) -> AllotmentPart {
    AllotmentPart {
        place: Place::default(),
        limits: Limits::ForAll(tons(limits)),
        take,
        least_per_field: None,
        must: Vec::new(),
        not_this_year: Vec::new(),
        priority: Vec::new(),
        response: None,
        first_day: None,
    }
}

fn names(names: &[&str]) -> Vec<NamedInPlan> {
    let name = |name: &&str| NamedInPlan { name: (*name).to_owned(), place: Place::default() };
    names.iter().map(name).collect()
}

fn plan(all: &[Invented], asked: &AllotmentPart) -> Plan {
    allot(&fields_of(all), asked, UnitSystem::Metric).unwrap()
}

fn refused(all: &[Invented], asked: &AllotmentPart) -> String {
    allot(&fields_of(all), asked, UnitSystem::Metric).unwrap_err().to_string()
}

fn field<'a>(plan: &'a Plan, id: &str) -> &'a PlannedField {
    plan.fields.iter().find(|field| field.id == id).unwrap()
}

/// Three fields: one small with aluminium risk, one cheap to lift, one dear.
fn three() -> Vec<Invented> {
    vec![
        Invented::new(0, &[(30.0, 4.0, 5.0)]),
        Invented::new(1, &[(40.0, 0.0, 30.0)]),
        Invented::new(2, &[(50.0, 0.0, 20.0)]),
    ]
}

#[test]
fn risk_comes_first_then_gain_and_the_rest_is_held_back_in_the_ledger() {
    let plan = plan(&three(), &asked(&[80.0], Take::Fields));
    let decisions: Vec<&str> = plan.fields.iter().map(|field| field.decision.as_str()).collect();
    assert_eq!(decisions, ["all", "all", "held back"]);
    let left_out = &plan.fields[2];
    assert!((left_out.ledger.held_back.value - 25.0).abs() < 1e-9);
    assert!((left_out.ledger.unmet.value - 50.0 * 0.5 / 0.9 * 0.1).abs() < 1e-9);
    assert!((plan.ledger.held_back.value - 25.0).abs() < 1e-9);
    // With the third the second would have to go, and 10 pH ha with it.
    assert!(left_out.why.contains("would take from field-01"), "{}", left_out.why);
    assert!(left_out.why.contains("the gain would be 10 pH ha less"), "{}", left_out.why);
    let year = &plan.pools[0].years[0];
    assert_eq!((year.fields, year.used.value, plan.pools[0].proven), (2, 70.0, true));
    assert!((plan.pools[0].asked.value - 120.0).abs() < 1e-9);
}

#[test]
fn flags_are_obeyed_and_what_cannot_be_is_refused_with_numbers() {
    let fields = three();
    let must = AllotmentPart { must: names(&["field-02"]), ..asked(&[80.0], Take::Fields) };
    let decisions = |plan: &Plan| -> Vec<String> {
        plan.fields.iter().map(|field| field.decision.clone()).collect()
    };
    assert_eq!(decisions(&plan(&fields, &must)), ["all", "held back", "all"]);
    let waits =
        AllotmentPart { not_this_year: names(&["FIELD-00"]), ..asked(&[90.0], Take::Fields) };
    assert_eq!(decisions(&plan(&fields, &waits)), ["not this year", "all", "all"]);
    let first = AllotmentPart {
        priority: names(&["field-02", "field-01"]),
        ..asked(&[80.0], Take::Fields)
    };
    let done = plan(&fields, &first);
    assert_eq!(decisions(&done), ["all", "held back", "all"]);
    assert!(done.fields[1].why.contains("takes 40 t, and 30 t are left"), "{}", done.fields[1].why);
    let both =
        AllotmentPart { must: names(&["field-01", "field-02"]), ..asked(&[80.0], Take::Fields) };
    let said = refused(&fields, &both);
    assert!(said.contains("take 90 t, and the limit is 80 t"), "{said}");
    let unknown = AllotmentPart { must: names(&["feld-01"]), ..asked(&[80.0], Take::Fields) };
    assert!(refused(&fields, &unknown).contains("did you mean `field-01`?"));
    let of_failed = fields_of(&fields).merge(crate::roster::made::failed("feld-01")).unwrap();
    let no_result = allot(&of_failed, &unknown, UnitSystem::Metric).unwrap_err().to_string();
    assert!(no_result.contains("that field has no result"), "{no_result}");
    let twice = AllotmentPart {
        must: names(&["field-01"]),
        priority: names(&["FIELD-01"]),
        ..asked(&[80.0], Take::Fields)
    };
    assert!(refused(&fields, &twice).contains("named twice"));
}

#[test]
fn what_is_held_back_by_a_job_or_for_a_year_is_no_limit_of_the_machine() {
    let tonnes = |value: f64| Quantity { value, unit: "t".into() };
    // As a job with `rate_areas.only` has it: 10 t of CaCO3 are held back.
    let mut done = three()[0].row();
    done.need_total.value += 10.0;
    done.unmet_total.value += 10.0;
    done.held_back_total = Some(tonnes(10.0));
    let with_part = [&three()[1], &three()[2]]
        .into_iter()
        .fold(Fields::done(done), |set, one| set.merge(Fields::done(one.row())).unwrap());
    let waits =
        AllotmentPart { not_this_year: names(&["field-02"]), ..asked(&[200.0], Take::Fields) };
    let made = allot(&with_part, &waits, UnitSystem::Metric).unwrap();
    let near = |found: f64, right: f64| assert!((found - right).abs() < 1e-9, "{found} {right}");
    near(made.fields[0].ledger.held_back.value, 10.0);
    near(made.fields[0].ledger.unmet.value, 30.0 * 0.5 / 0.9 * 0.1);
    // What the list wants none of this year is no lack of lime.
    near(made.fields[2].ledger.not_this_year.as_ref().unwrap().value, 25.0);
    near(made.ledger.not_this_year.as_ref().unwrap().value, 25.0);
    near(made.ledger.held_back.value, 10.0);
    near(made.ledger.unmet.value, 120.0 * 0.5 / 0.9 * 0.1);
}

#[test]
fn tons_of_two_materials_are_not_added_and_money_is() {
    let mut fields = three();
    fields[1].material = "Pit 5";
    assert!(refused(&fields, &asked(&[80.0], Take::Fields)).contains("2 materials: Pit 4, Pit 5"));
    let of = |name: &str, limit: f64| OfMaterial {
        material: names(&[name]).remove(0),
        limits: tons(&[limit]),
    };
    let each = AllotmentPart {
        limits: Limits::OfMaterials(vec![of("Pit 4", 60.0)]),
        ..asked(&[0.0], Take::Fields)
    };
    let done = plan(&fields, &each);
    let decisions: Vec<&str> = done.fields.iter().map(|field| field.decision.as_str()).collect();
    assert_eq!(decisions, ["all", "all", "held back"]);
    assert!(done.pools[1].years[0].limit.is_none());
    let wrong = AllotmentPart {
        limits: Limits::OfMaterials(vec![of("Pit 44", 60.0)]),
        ..asked(&[0.0], Take::Fields)
    };
    assert!(refused(&fields, &wrong).contains("did you mean `Pit 4`?"));
    let euros = |code: &str| AllotmentPart {
        limits: Limits::ForAll(YearLimits {
            place: Place::default(),
            written: vec!["840 EUR".to_owned()],
            amounts: PlanAmounts::Money(
                vec![Money::from_units(840.0)],
                Currency::from_words(code).unwrap(),
            ),
        }),
        ..asked(&[0.0], Take::Fields)
    };
    let done = plan(&fields, &euros("EUR"));
    assert_eq!(done.pools[0].years[0].used.value, 840.0);
    assert_eq!(done.pools[0].covers, ["product", "spreading"]);
    assert!(
        refused(&fields, &euros("GBP"))
            .contains("what 3 fields cost (field-00, field-01, field-02) is in EUR")
    );
}

#[test]
fn parts_of_fields_are_taken_and_the_line_to_set_is_told() {
    let fields = vec![
        Invented::new(0, &[(30.0, 4.0, 5.0), (20.0, 0.0, 2.0)]),
        Invented::new(1, &[(40.0, 0.0, 30.0), (7.0, 1.0, 1.0)]),
    ];
    let done = plan(&fields, &asked(&[77.0], Take::RateAreas));
    assert_eq!(field(&done, "field-00").set.as_deref(), Some("rate_areas.only = [1]"));
    assert_eq!(field(&done, "field-01").decision, "all");
    assert_eq!(done.pools[0].years[0].used.value, 77.0);
    let said = Planned::of(&fields_of(&fields), &done).said();
    assert!(said[1].contains("not in this order (field-00); the plan orders 30.00 t"), "{said:?}");
    assert!((done.ledger.held_back.value - 10.0).abs() < 1e-9);
    // Whole trucks of 5 t: 30 t and 7 t take 40 t, and 35 t are left for 40 t and 20 t.
    let done = plan(&fields, &asked(&[75.0], Take::Trucks));
    assert_eq!(done.pools[0].years[0].used.value, 60.0);
    assert_eq!(field(&done, "field-01").order.value, 10.0);
    let least = AllotmentPart {
        least_per_field: Some(ProductMass::from_tonnes(10.0)),
        ..asked(&[42.0], Take::RateAreas)
    };
    // 7 t alone are too few for the way.
    let done = plan(&fields, &least);
    assert_eq!(field(&done, "field-01").decision, "held back");
    assert_eq!(field(&done, "field-00").order.value, 30.0);
}

#[test]
fn parts_of_a_field_that_orders_whole_trucks_are_whole_trucks() {
    let rows = [
        Invented::new(0, &[(12.0, 4.0, 5.0), (9.0, 0.0, 2.0)]),
        Invented::new(1, &[(6.0, 0.0, 30.0), (7.0, 0.0, 1.0)]),
    ];
    let in_trucks = |one: &Invented| {
        // Trucks of 5 t: 21 t are ordered as 25, 13 t as 15.
        let mut row = one.row();
        let product = row.to_order.value;
        row.to_order.value = (product / 5.0).ceil() * 5.0;
        row.truck_fill.value = row.to_order.value - product;
        row
    };
    let fields = rows
        .iter()
        .fold(Fields::default(), |set, one| set.merge(Fields::done(in_trucks(one))).unwrap());
    let made =
        |limit: f64| allot(&fields, &asked(&[limit], Take::RateAreas), UnitSystem::Metric).unwrap();
    // Counted by their tons 12 and 6 would fit 20; in trucks they are 15 and 10.
    let of_20 = made(20.0);
    assert_eq!(of_20.pools[0].asked.value, 40.0);
    let orders = |plan: &Plan| -> Vec<(f64, f64)> {
        plan.fields.iter().map(|field| (field.order.value, field.order_all.value)).collect()
    };
    assert_eq!(orders(&of_20), [(15.0, 25.0), (0.0, 15.0)]);
    assert_eq!(of_20.fields[0].only, [1]);
    // Both areas of the second are three trucks, not four.
    let of_30 = made(30.0);
    assert_eq!(orders(&of_30), [(15.0, 25.0), (15.0, 15.0)]);
    assert_eq!(of_30.pools[0].years[0].used.value, 30.0);
    assert!(of_30.notes.iter().any(|note| note.contains("counted in whole trucks")));
}

#[test]
fn what_a_gain_is_worth_is_by_the_figures_of_the_list_alone() {
    let figures = ResponsePart {
        source: "own plots".to_owned(),
        bands: vec![
            ResponseBand { below_tenths: 50, per_ph_m2: 1.0 },
            ResponseBand { below_tenths: 54, per_ph_m2: 0.01 },
        ],
        currency: Currency::from_words("EUR").unwrap(),
    };
    let ask = AllotmentPart { response: Some(figures), ..asked(&[80.0], Take::Fields) };
    let done = plan(&three(), &ask);
    // 35 pH ha at pH 5.3 are worth 100 EUR each.
    assert!((done.response.unwrap().worth.value - 3_500.0).abs() < 1e-6);
    assert!(plan(&three(), &asked(&[80.0], Take::Fields)).response.is_none());
}

#[test]
fn over_years_risk_comes_first_and_samples_grow_old() {
    let mut fields = three();
    fields.push(Invented::new(3, &[(30.0, 3.0, 1.0)]));
    let years = asked(&[60.0, 40.0, 0.0, 50.0], Take::Fields);
    let done = plan(&fields, &years);
    let when: Vec<Option<u32>> = done.fields.iter().map(|field| field.year).collect();
    assert_eq!(when, [Some(1), Some(2), Some(4), Some(1)]);
    assert!(done.notes.iter().any(|note| note.contains("field-02") && note.contains("sample")));
    assert!(done.ledger.held_back.value.abs() < 1e-9);
    // A field without a day of its own is spread from the first day of the calendar on.
    let mut undated = fields[1].row();
    undated.dates.spread = None;
    undated.dates.sampled = Some("2024-02-01".to_owned());
    let rows = [&fields[0], &fields[2], &fields[3]];
    let set = rows
        .into_iter()
        .fold(Fields::done(undated), |set, one| set.merge(Fields::done(one.row())).unwrap());
    let is_named = |first_day: Option<&str>| {
        let first_day = first_day.and_then(Day::from_words);
        let ask = AllotmentPart { first_day, ..years.clone() };
        let made = allot(&set, &ask, UnitSystem::Metric).unwrap();
        assert_eq!(made.fields[1].year, Some(2));
        made.notes.iter().any(|note| note.contains("field-01") && note.contains("sample again"))
    };
    assert_eq!([None, Some("2026-10-20")].map(is_named), [false, true]);
    let waits = AllotmentPart { not_this_year: names(&["field-00"]), ..years };
    assert_eq!(plan(&fields, &waits).fields[0].year, Some(2));
}

#[test]
fn the_same_fields_in_any_order_come_to_the_same_plan() {
    let mut fields: Vec<Invented> =
        (0..9).map(|at| Invented::new(at, &[(10.0, 1.0, 2.0), (5.0, 0.0, 1.0)])).collect();
    let ask = asked(&[70.0], Take::Trucks);
    let first = serde_json::to_string(&plan(&fields, &ask)).unwrap();
    fields.reverse();
    assert_eq!(serde_json::to_string(&plan(&fields, &ask)).unwrap(), first);
}

/// The most that can be done: ground with risk in m2, gain in pH m2, need met in kg, and as few tons
/// as may be, over everything that may be taken.
fn tried(all: &[Invented], limit: f64, take: Take, least: f64) -> (i64, i64, i64, i64) {
    let mut best = (0, 0, 0, 0);
    let mut sums = vec![(0_i64, best)];
    for one in all {
        let all_areas = one.areas.len();
        let mut takings = Vec::new();
        for bits in 0..1_u32 << all_areas {
            let taken: Vec<_> =
                (0..all_areas).filter(|at| bits >> at & 1 == 1).map(|at| one.areas[at]).collect();
            if take == Take::Fields && !taken.is_empty() && taken.len() < all_areas {
                continue;
            }
            let tons: f64 = taken.iter().map(|area| area.0).sum();
            if !taken.is_empty() && taken.len() < all_areas && tons < least {
                continue;
            }
            let order = if take == Take::Trucks { (tons / 5.0 - 1e-9).ceil() * 5.0 } else { tons };
            let worth = if take == Take::Fields && !taken.is_empty() {
                let whole = |of: fn(&(f64, f64, f64)) -> f64| one.sum(of);
                (whole(|a| a.1) * 1e4, whole(|a| a.2) * 1e4, whole(|a| a.0) * 500.0)
            } else {
                taken.iter().fold((0.0, 0.0, 0.0), |sum: (f64, f64, f64), area| {
                    let round = f64::round;
                    let (risk, gain) = (round(area.1 * 1e4), round(area.2 * 1e4));
                    (sum.0 + risk, sum.1 + gain, sum.2 + round(area.0 * 500.0))
                })
            };
            takings.push((order, worth));
        }
        let mut more = Vec::new();
        for &(weight, worth) in &sums {
            for &(order, own) in &takings {
                let order = (order * 1e9).round() as i64;
                more.push((
                    weight + order,
                    (
                        worth.0 + own.0.round() as i64,
                        worth.1 + own.1.round() as i64,
                        worth.2 + own.2.round() as i64,
                        worth.3 - order,
                    ),
                ));
            }
        }
        sums = more;
    }
    for (weight, worth) in sums {
        if weight <= (limit * 1e9).round() as i64 {
            best = best.max(worth);
        }
    }
    best
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, ..ProptestConfig::default() })]

    #[test]
    fn plans_are_as_by_trying_all(
        fields in prop::collection::vec(
            prop::collection::vec((1_u32..60, 0_u32..4, 0_u32..9), 1..4), 1..7,
        ),
        limit in 0_u32..300,
        take in prop::sample::select(Take::ALL.to_vec()),
        least in prop::sample::select(vec![0.0, 12.0]),
    ) {
        let fields: Vec<Invented> = fields
            .iter()
            .enumerate()
            .map(|(at, areas)| {
                let area = |&(tons, risk, gain): &(u32, u32, u32)| {
                    (f64::from(tons), f64::from(risk) / 8.0, f64::from(gain) / 4.0)
                };
                Invented::new(at, &areas.iter().map(area).collect::<Vec<_>>())
            })
            .collect();
        let least = if take == Take::Fields { 0.0 } else { least };
        let ask = AllotmentPart {
            least_per_field: (least > 0.0).then(|| ProductMass::from_tonnes(least)),
            ..asked(&[f64::from(limit)], take)
        };
        let done = plan(&fields, &ask);
        let best = tried(&fields, f64::from(limit), take, least);
        let year = &done.pools[0].years[0];
        prop_assert!(done.pools[0].proven);
        prop_assert!(year.used.value <= f64::from(limit) + 1e-9);
        let near = |found: f64, tried: i64, of: f64| (found * of - tried as f64).abs() < 2.0;
        prop_assert!(near(year.aluminium_area.value, best.0, 1e4), "{best:?} {year:?}");
        prop_assert!(near(year.ph_gain.value, best.1, 1e4), "{best:?} {year:?}");
        let enough = done.pools[0].asked.value <= f64::from(limit) + 1e-9;
        prop_assert!(enough || near(-year.order.value, best.3, 1e9) , "{best:?} {year:?}");
        let ledger = &done.ledger;
        let lacking = ledger.unmet.value + ledger.held_back.value - ledger.excess.value;
        prop_assert!((ledger.need.value - ledger.supplied.value - lacking).abs() < 1e-9 * 1e3);
    }
}
