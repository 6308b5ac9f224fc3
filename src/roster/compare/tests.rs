//! Rows that are made up here, so that every total can be worked out by hand.

mod merging;

use super::*;
use crate::roster::{
    FieldRow, RowApplication, RowCheck, RowComposite, RowHaul, RowLoads, RowMachine, RowMaterial,
    RowPh,
};
use crate::summary::{BenefitPart, Dates, FieldNames, Order, Quantity};

fn quantity(value: f64, unit: &'static str) -> Quantity {
    Quantity { value, unit: unit.into() }
}

/// What a row is made from; everything else follows.
#[derive(Clone, Debug)]
struct Made {
    metric: bool,
    area: f64,
    need: f64,
    product: f64,
    ph: Option<(f64, &'static str)>,
    material: (&'static str, f64),
    supplier: Option<&'static str>,
    customer: Option<&'static str>,
    cost: Option<(f64, &'static str, &'static [&'static str])>,
    applications: usize,
    method: &'static str,
}

const PLAIN: Made = Made {
    metric: false,
    area: 100.0,
    need: 80.0,
    product: 150.0,
    ph: Some((5.5, "water 1:1")),
    material: ("Pit 4", 0.5),
    supplier: None,
    customer: None,
    cost: None,
    applications: 1,
    method: "smp-iowa",
};

fn benefit(acid: f64, unit: &str) -> BenefitPart {
    let text = serde_json::json!({ "acid_area": { "value": acid, "unit": unit } });
    serde_json::from_value(text).unwrap()
}

fn application(
    made: &Made,
    number: usize,
    area: &'static str,
    mass: &'static str,
) -> RowApplication {
    let part = quantity(made.product / made.applications as f64, mass);
    let nothing = quantity(0.0, mass);
    RowApplication {
        number: number as u32,
        date: None,
        product_total: part.clone(),
        to_load: part.clone(),
        to_order: part,
        order: Order { overlap: nothing.clone(), pile_loss: nothing.clone(), truck_fill: nothing },
        treated_area: quantity(made.area / 2.0, area),
        spreader_loads: 3,
        truck_loads: None,
    }
}

fn row(id: &str, made: &Made) -> FieldRow {
    let (area, mass, rate, road, hauled) = if made.metric {
        ("ha", "t", "t/ha", "km", "t-km")
    } else {
        ("ac", "ton", "ton/ac", "mi", "ton-mile")
    };
    let product = quantity(made.product, mass);
    let part = |number: usize| application(made, number, area, mass);
    FieldRow {
        id: id.to_owned(),
        field: FieldNames {
            name: format!("Field {id}"),
            customer: made.customer.map(str::to_owned),
            farm: None,
        },
        units: if made.metric { "metric" } else { "us" }.to_owned(),
        dates: Dates { sampled: None, spread: None, revision: None },
        // Every letter has its own ground.
        place_deg: [-93.2 + f64::from(id.as_bytes()[0]) / 100.0, 42.0],
        area: quantity(made.area, area),
        keep_out_area: quantity(made.area / 10.0, area),
        treated_area: quantity(made.area / 2.0, area),
        ph: made.ph.map(|(mean, measured_in)| RowPh {
            measured_in: measured_in.to_owned(),
            samples: 9,
            min: mean - 0.5,
            mean,
            max: mean + 0.5,
        }),
        need_total: quantity(made.need, mass),
        supplied_total: quantity(made.need * 0.95, mass),
        excess_total: quantity(made.need * 0.05, mass),
        unmet_total: quantity(made.need * 0.1, mass),
        held_back_total: None,
        product_total: product.clone(),
        to_load: quantity(made.product * 1.02, mass),
        pile_loss: quantity(0.0, mass),
        truck_fill: quantity(0.0, mass),
        to_order: quantity(made.product + 10.0, mass),
        mean_rate: quantity(made.product / (made.area * 0.9), rate),
        least_rate: Some(quantity(1.0, rate)),
        greatest_rate: Some(quantity(4.0, rate)),
        limits: None,
        spreader_loads: RowLoads {
            count: 3 * made.applications as u64,
            full: quantity(16.0, mass),
        },
        truck_loads: made.cost.map(|_| RowLoads { count: 6, full: quantity(25.0, mass) }),
        haul: haul(made, road, hauled),
        aluminium_risk_area: Some(quantity(made.area / 5.0, area)),
        benefit: benefit(made.area / 2.0, area),
        rate_areas: Vec::new(),
        work: None,
        delivery: None,
        composite: RowComposite {
            rate: quantity(2.0, rate),
            product: quantity(made.product + 20.0, mass),
            to_order: quantity(made.product - 5.0, mass),
            cost: made.cost.map(|(cost, currency, _)| quantity(cost + 100.0, currency)),
        },
        cross_check: vec![RowCheck {
            reading: "buffer_ph".to_owned(),
            samples: 9,
            rmse: 0.1,
            mean_rmse: 0.4,
        }],
        leading_reading: "buffer_ph".to_owned(),
        method: made.method.to_owned(),
        target: "pH 6.5".to_owned(),
        target_medium: "water".to_owned(),
        material: RowMaterial {
            name: made.material.0.to_owned(),
            kind: "calcitic limestone".to_owned(),
            lot: None,
            supplier: made.supplier.map(str::to_owned),
            effective_as_spread: made.material.1,
            moisture: None,
            price: None,
            price_at: None,
        },
        applications: if made.applications > 1 {
            (1..=made.applications).map(part).collect()
        } else {
            Vec::new()
        },
        machine: RowMachine {
            pass_spacing: quantity(40.0, "ft"),
            speed: None,
            passes: 30,
            turns: 29,
        },
        findings: 2,
        job_effective_sha256: "0".repeat(64),
        sketch: None,
    }
}

fn haul(made: &Made, road: &'static str, hauled: &'static str) -> Option<RowHaul> {
    let (cost, currency, covers) = made.cost?;
    Some(RowHaul {
        one_way_distance: Some(quantity(20.0, road)),
        ton_miles: Some(quantity(20.0 * made.product, hauled)),
        truck_time: None,
        charge_per_mass: None,
        charge_per_load: None,
        minimum_charge: None,
        haul_cost: Some(quantity(cost / 4.0, currency)),
        product_cost: None,
        spreading_cost: None,
        cost_total: Some(quantity(cost, currency)),
        cost_covers: covers.iter().map(|&word| word.to_owned()).collect(),
        cost_per_area: None,
    })
}

fn fields(rows: &[(&str, Made)]) -> Fields {
    rows.iter().fold(Fields::default(), |all, (id, made)| {
        all.merge(Fields::done(row(id, made))).expect("different ids")
    })
}

fn keys(comparison: &Comparison) -> Vec<&str> {
    comparison.findings.iter().map(|finding| finding.key.as_str()).collect()
}

fn near(found: &Quantity, value: f64, unit: &str) {
    assert!((found.value - value).abs() <= 1e-9 * value.abs(), "{found:?} is not {value}");
    assert_eq!(found.unit, unit);
}

#[test]
fn fields_of_one_kind_add_up_and_nothing_is_told() {
    let all =
        fields(&[("a", PLAIN), ("b", Made { area: 300.0, ph: Some((6.5, "water 1:1")), ..PLAIN })]);
    let comparison = compare(&all, UnitSystem::Us);
    let total = &comparison.totals.all;
    assert_eq!((total.fields, keys(&comparison).len()), (2, 0), "{:?}", comparison.findings);
    near(&total.area, 400.0, "ac");
    near(&total.mapped_area, 360.0, "ac");
    near(&total.need_total, 160.0, "ton");
    near(&total.unmet_total, 16.0, "ton");
    // 160 needed + 8 beyond = 152 supplied + 16 unmet.
    near(&total.supplied_total, 152.0, "ton");
    near(&total.excess_total, 8.0, "ton");
    assert!((total.unmet_share.unwrap() - 0.1).abs() < 1e-12);
    // 90 ac at 5.5 and 270 ac at 6.5.
    assert!((total.ph.as_ref().unwrap().mean - 6.25).abs() < 1e-12);
    let [product] = total.products.as_slice() else { panic!("{:?}", total.products) };
    assert_eq!(product.material, "Pit 4 (calcitic limestone, 50.0 % effective as spread)");
    near(&product.to_order, 320.0, "ton");
    near(&product.mean_rate, 300.0 / 360.0, "ton/ac");
    near(&product.saving_product, 40.0, "ton");
    near(&product.saving_to_order, -30.0, "ton");
    assert_eq!(total.spreader_loads, 6);
    assert!(total.costs.is_empty() && total.truck_loads.is_none() && total.ton_miles.is_none());
    let one = &comparison.fields[0];
    assert!((one.map_gain.as_ref().unwrap().share - 0.75).abs() < 1e-12);
    near(&one.saving.to_order, -15.0, "ton");
}

#[test]
fn other_units_are_converted_once_and_said() {
    // 0.90718474 t are a short ton, 0.40468564224 ha an acre.
    let metric = Made {
        metric: true,
        area: 40.468_564_224,
        need: 72.574_779_2,
        product: 136.077_711,
        ..PLAIN
    };
    let comparison =
        compare(&fields(&[("a", PLAIN), ("b", metric.clone()), ("c", PLAIN)]), UnitSystem::Us);
    assert_eq!(keys(&comparison), ["fields_converted"]);
    let text = &comparison.findings[0].text;
    assert!(text.contains("1 of 3 fields (b)"), "{text}");
    let b = &comparison.fields[1];
    assert_eq!(b.converted_from.as_deref(), Some("metric"));
    near(&b.area, 100.0, "ac");
    near(&b.product_total, 150.0, "ton");
    // 4 t/ha is 1.784 ton/ac.
    near(b.greatest_rate.as_ref().unwrap(), 4.0 / 2.241_702_311_561_2, "ton/ac");
    near(&comparison.totals.all.area, 300.0, "ac");
    near(&comparison.totals.all.products[0].product_total, 450.0, "ton");
    // A field in the units of the whole stays as its summary has it.
    assert_eq!(comparison.fields[0].area, quantity(100.0, "ac"));
    assert!(comparison.fields[0].converted_from.is_none());
}

#[test]
fn product_of_two_materials_is_never_one_number() {
    let other = Made { material: ("Pit 4", 0.8), supplier: Some("Quarry"), ..PLAIN };
    let comparison = compare(&fields(&[("a", PLAIN), ("b", other)]), UnitSystem::Us);
    assert_eq!(keys(&comparison), ["materials_differ"]);
    let total = &comparison.totals.all;
    assert_eq!(total.products.len(), 2);
    near(&total.products[0].product_total, 150.0, "ton");
    near(&total.need_total, 160.0, "ton");
    let names: Vec<_> = comparison.totals.by_supplier.iter().map(|g| g.name.as_deref()).collect();
    assert_eq!(names, [Some("Quarry"), None]);
    assert_eq!(comparison.totals.by_material.len(), 2);
}

#[test]
fn names_that_differ_by_blanks_and_capitals_are_one() {
    let named = |material, supplier, customer| Made {
        material: (material, 0.5),
        supplier: Some(supplier),
        customer: Some(customer),
        ..PLAIN
    };
    let all = fields(&[
        ("a", named("Pit 4", "Quarry  A", "Fen")),
        ("b", named("pit 4", " quarry a", "FEN ")),
        ("c", named("Pit 4 ", "Quarry A", " ")),
    ]);
    let comparison = compare(&all, UnitSystem::Us);
    assert!(keys(&comparison).is_empty(), "{:?}", comparison.findings);
    let totals = &comparison.totals;
    assert_eq!((totals.by_material.len(), totals.all.products.len()), (1, 1));
    let names = |groups: &[GroupTotal]| -> Vec<_> {
        groups.iter().map(|group| (group.name.clone(), group.fields)).collect()
    };
    assert_eq!(names(&totals.by_supplier), [(Some("Quarry A".to_owned()), 3)]);
    assert_eq!(names(&totals.by_customer), [(Some("Fen".to_owned()), 2), (None, 1)]);
    assert_eq!(comparison.fields[1].material, comparison.fields[0].material);
}

#[test]
fn money_is_added_in_one_currency_and_what_it_covers_is_said() {
    let costs = |value, currency, covers| Made { cost: Some((value, currency, covers)), ..PLAIN };
    let both: &[&str] = &["product", "haul"];
    let all = fields(&[
        ("a", costs(1_000.0, "$", both)),
        ("b", costs(500.0, "USD", &["haul"])),
        ("c", costs(700.0, "EUR", both)),
        ("d", PLAIN),
    ]);
    let comparison = compare(&all, UnitSystem::Us);
    assert_eq!(keys(&comparison), ["currencies_differ", "costs_missing", "cost_covers_differ"]);
    assert!(comparison.findings[1].text.contains("3 of 4 fields"));
    let [dollars, euros] = comparison.totals.all.costs.as_slice() else { panic!("two currencies") };
    near(&dollars.total, 1_500.0, "$");
    assert_eq!((dollars.fields, dollars.covers.len(), euros.fields), (2, 2, 1));
    // 2 fields of 90 ac.
    near(&dollars.per_area, 1_500.0 / 180.0, "$/ac");
    near(&dollars.saving.as_ref().unwrap().total, 200.0, "$");
    near(&dollars.haul.as_ref().unwrap().total, 375.0, "$");
    near(&euros.total, 700.0, "EUR");
    assert_eq!(comparison.totals.all.truck_loads.as_ref().unwrap().fields, 3);
}

#[test]
fn readings_that_are_all_alike_leave_nothing_to_beat() {
    let mut alike = row("a", &PLAIN);
    let told = |row: &FieldRow| {
        let comparison = compare(&Fields::done(row.clone()), UnitSystem::Us);
        (comparison.fields[0].map_gain.is_some(), keys(&comparison).len())
    };
    assert_eq!(told(&alike), (true, 0));
    // The mean of equal readings is off by the rounding of its sum, the map by nothing.
    alike.cross_check[0].rmse = 0.0;
    alike.cross_check[0].mean_rmse = 1.8e-15;
    assert_eq!(told(&alike), (false, 0));
}

#[test]
fn a_saving_that_is_only_rounding_is_none() {
    let mut row = row("a", &Made { cost: Some((1_000.0, "$", &["haul"])), ..PLAIN });
    row.composite.product = quantity(150.0 - 3e-14, "ton");
    row.composite.to_order = quantity(160.0, "ton");
    row.composite.cost = Some(quantity(1_000.0 + 2e-13, "$"));
    let comparison = compare(&Fields::done(row), UnitSystem::Us);
    let saving = &comparison.fields[0].saving;
    assert_eq!((saving.product.value, saving.to_order.value), (0.0, 0.0));
    assert_eq!(saving.cost.as_ref().unwrap().value, 0.0);
}

#[test]
fn the_same_ground_twice_is_told() {
    let copied = |id: &str, area: f64| {
        let mut copy = row(id, &Made { area, ..PLAIN });
        copy.place_deg = [-93.0, 42.0];
        Fields::done(copy)
    };
    let told = |areas: [f64; 3]| {
        let ids = ["a", "b", "c"];
        let all = ids.iter().zip(areas).map(|(id, area)| copied(id, area));
        let all = all.fold(Fields::default(), |all, one| all.merge(one).unwrap());
        compare(&all, UnitSystem::Us).findings
    };
    assert!(told([100.0, 101.0, 102.0]).is_empty());
    let findings = told([100.0, 101.0, 100.0]);
    assert_eq!((findings.len(), findings[0].key.as_str()), (1, "same_ground"));
    assert!(findings[0].text.ends_with("(a, c)."), "{}", findings[0].text);
}

#[test]
fn unlike_needs_and_media_are_told() {
    let other =
        Made { method: "ph-uk-arable", ph: Some((5.0, "CaCl2 0.01 M")), applications: 2, ..PLAIN };
    let comparison = compare(&fields(&[("a", PLAIN), ("b", other)]), UnitSystem::Us);
    assert_eq!(keys(&comparison), ["methods_differ", "ph_media_differ"]);
    assert!(comparison.totals.all.ph.is_none());
    assert_eq!(comparison.totals.all.products[0].most_applications, 2);
    let [first, second] = comparison.totals.by_application.as_slice() else { panic!("two") };
    assert_eq!((first.fields, second.fields, first.spreader_loads), (2, 1, 6));
    near(&first.products[0].product_total, 225.0, "ton");
    near(&second.products[0].product_total, 75.0, "ton");
}

#[test]
fn what_is_held_back_is_told_to_be_no_saving() {
    let mut held = row("a", &PLAIN);
    held.held_back_total = Some(quantity(3.0, "ton"));
    assert_eq!(keys(&compare(&Fields::done(held), UnitSystem::Us)), ["held_back_is_no_saving"]);
}

#[test]
fn a_row_that_cannot_be_counted_with_is_left_out_and_told() {
    let mut wrong = row("wrong", &PLAIN);
    wrong.need_total = quantity(1.0, "lb");
    assert!(wrong.check().unwrap_err().to_string().contains("`need_total` is `1 lb`"));
    let all = fields(&[("a", PLAIN)]).merge(Fields::done(wrong)).unwrap();
    let comparison = compare(&all, UnitSystem::Us);
    assert_eq!((comparison.fields.len(), keys(&comparison)), (1, vec!["field_left_out"]));
    for (value, unit) in [(-1.0, "ac"), (f64::MAX, "ac"), (1.0, "acre")] {
        let mut wrong = row("wrong", &PLAIN);
        wrong.treated_area = Quantity { value, unit: unit.into() };
        assert!(wrong.check().is_err(), "{value} {unit}");
    }
    let wrong = |change: fn(&mut FieldRow)| {
        let mut wrong = row("wrong", &PLAIN);
        change(&mut wrong);
        wrong.check().is_err()
    };
    assert!(wrong(|row| row.keep_out_area = row.area.clone()));
    assert!(wrong(|row| row.ph.as_mut().unwrap().mean = 1e300));
    assert!(!wrong(|_| ()));
}

#[test]
fn fields_are_sorted_by_any_column_and_those_without_a_value_come_last() {
    let all = fields(&[
        ("a", Made { need: 10.0, ..PLAIN }),
        ("b", Made { need: 30.0, cost: Some((5.0, "$", &["haul"])), ..PLAIN }),
        ("c", Made { need: 20.0, ..PLAIN }),
    ]);
    let comparison = compare(&all, UnitSystem::Us);
    let order = |words: &str| -> String {
        let sorted = SortBy::from_words(words).unwrap().sorted(&comparison);
        sorted.into_iter().map(|field| field.id.as_str()).collect()
    };
    assert_eq!(order("need"), "bca");
    assert_eq!(order("-need"), "acb");
    assert_eq!((order("id"), order("-id")), ("abc".into(), "cba".into()));
    assert_eq!((order("cost"), order("-cost")), ("bac".into(), "bac".into()));
    for column in Column::ALL {
        assert_eq!(order(column.key()).len(), 3);
    }
    let refused = SortBy::from_words("ned").unwrap_err();
    assert!(refused.hint.contains("did you mean `need`?"), "{refused}");
}

#[test]
fn money_is_sorted_for_each_currency_by_itself() {
    let costs = |value, currency| {
        let covers: &[&str] = &["haul"];
        Made { cost: Some((value, currency, covers)), ..PLAIN }
    };
    let all = fields(&[
        ("a", costs(20.0, "$")),
        ("b", costs(900.0, "EUR")),
        ("c", costs(30.0, "USD")),
        ("d", costs(1_000.0, "EUR")),
        ("e", PLAIN),
    ]);
    let comparison = compare(&all, UnitSystem::Us);
    let order = |words: &str| -> String {
        let sorted = SortBy::from_words(words).unwrap().sorted(&comparison);
        sorted.into_iter().map(|field| field.id.as_str()).collect()
    };
    assert_eq!((order("cost"), order("-cost")), ("dbcae".into(), "bdace".into()));
    assert_eq!(order("cost_per_area"), "dbcae");
    assert_eq!(Column::Cost.currency(&comparison.fields[0]).as_deref(), Some("USD"));
    assert_eq!(Column::Need.currency(&comparison.fields[0]), None);
}

#[test]
fn units_are_those_of_most_fields() {
    let metric = Made { metric: true, ..PLAIN };
    let units = |rows: &[(&str, Made)]| units_of_most(&fields(rows));
    assert_eq!(units(&[("a", PLAIN), ("b", metric.clone()), ("c", PLAIN)]), UnitSystem::Us);
    assert_eq!(units(&[("a", metric.clone()), ("b", PLAIN)]), UnitSystem::Metric);
    assert_eq!(units(&[]), UnitSystem::Us);
}
