//! The order sheet on made fields, held against what is counted by hand.

use super::*;
use crate::roster::FieldRow;
use crate::roster::made::{at_site, failed, fields, made, twice, with_haul, with_hours};
use crate::units::{Day, Speed, Weekday};

fn asked() -> OrderAsk {
    OrderAsk { units: UnitSystem::Us, calendar: CalendarPart::default(), limits: Vec::new() }
}

fn sheet(rows: Vec<FieldRow>) -> OrderSheet {
    order_sheet(&fields(rows), &asked())
}

fn near(quantity: &Quantity, value: f64) {
    assert!((quantity.value - value).abs() < 1e-6, "{quantity:?} is not {value}");
}

#[test]
fn fields_of_one_place_share_their_last_trucks() {
    let at = |id, tons| at_site(made(id, tons, true), "Section 12 road");
    let sheet = sheet(vec![at("a", 30.0), at("b", 32.0), made("c", 30.0, true)]);
    let line = &sheet.lines[0];
    assert_eq!(sheet.lines.len(), 1);
    // 62 tons in 3 trucks in place of 2 and 2, and 30 tons in 2.
    assert_eq!((line.trucks, line.trucks_alone), (Some(5), Some(6)));
    near(&line.to_order, 125.0);
    near(&line.ordered_alone, 150.0);
    near(&line.needed, 92.0);
    near(line.dry_matter.as_ref().unwrap(), 125.0 * 0.95);
    assert!((line.truck_use.unwrap() - 92.0 / 125.0).abs() < 1e-9);
    near(&line.left, 33.0);
    near(&line.short, 0.0);
    let shared = sheet.drops.iter().find(|drop| drop.fields.len() == 2).unwrap();
    assert_eq!((shared.place.as_str(), shared.trucks), ("Section 12 road", Some(3)));
    near(&shared.ordered, 75.0);
    // The price holds at the plant and the haul is not known, so nobody knows what is paid.
    near(line.product_cost.as_ref().unwrap(), 125.0 * 14.0);
    assert_eq!((&line.cost, &sheet.cost_total), (&None, &None));
    assert!(sheet.cautions.iter().any(|words| words.contains("power lines")));
}

#[test]
fn what_differs_is_ordered_apart_and_told() {
    let at = |id| at_site(made(id, 30.0, true), "yard");
    let mut other = at("b");
    other.material.supplier = Some("Other".to_owned());
    let apart = sheet(vec![at("a"), other]);
    assert_eq!((apart.lines.len(), apart.drops.len()), (2, 2));
    assert!(apart.rests_on.iter().any(|it| it.contains("materials or suppliers differ")));
    let mut dearer = at("b");
    dearer.material.moisture = Some(0.10);
    let apart = sheet(vec![at("a"), dearer]);
    assert_eq!(apart.lines.len(), 2);
    assert!(apart.rests_on.iter().any(|it| it.contains("its figures")), "{:?}", apart.rests_on);
    let mut later = at("b");
    later.dates.spread = Some("2026-11-02".to_owned());
    let apart = sheet(vec![at("a"), later]);
    assert_eq!((apart.lines.len(), apart.drops.len()), (1, 2));
    assert!(apart.rests_on.iter().any(|it| it.contains("days stated")));
    let mut smaller = at("b");
    smaller.truck_loads.as_mut().unwrap().full.value = 15.0;
    let apart = sheet(vec![at("a"), smaller]);
    assert_eq!(apart.drops.len(), 2);
    assert!(apart.rests_on.iter().any(|it| it.contains("15.00 ton and 25.00 ton")));
}

#[test]
fn each_application_is_an_order_of_its_own() {
    let at = |id| at_site(twice(made(id, 30.0, true)), "yard");
    let sheet = sheet(vec![at("a"), at("b")]);
    assert_eq!((sheet.drops.len(), sheet.visits.len()), (2, 4));
    assert_eq!(sheet.drops.iter().map(|drop| drop.trucks).collect::<Vec<_>>(), [Some(3), Some(3)]);
    assert_eq!(sheet.lines[0].fields, 2);
    let order: Vec<(u32, &str)> =
        sheet.visits.iter().map(|visit| (visit.application, visit.id.as_str())).collect();
    assert_eq!(order.iter().map(|it| it.0).collect::<Vec<_>>(), [1, 1, 2, 2]);
}

#[test]
fn the_running_balance_adds_up_at_every_field() {
    let rows: Vec<FieldRow> =
        [("a", 30.0), ("b", 47.0), ("c", 61.0)].map(|(id, tons)| made(id, tons, true)).to_vec();
    for carry_over in [false, true] {
        let mut asked = asked();
        asked.calendar.carry_over = carry_over;
        let sheet = order_sheet(&fields(rows.clone()), &asked);
        let mut balance = 0.0;
        for visit in &sheet.visits {
            balance += visit.arrives.value - visit.spread.value - visit.lost.value;
            near(&visit.balance, balance);
        }
        near(&sheet.lines[0].left, balance);
        // 138 tons: 2 + 2 + 3 trucks, or 6 where what is left goes on.
        let trucks = if carry_over { 6 } else { 7 };
        assert_eq!(sheet.lines[0].trucks, Some(trucks));
        near(&sheet.lines[0].left, trucks as f64 * 25.0 - 138.0);
        let area = sheet.lines[0].left_area.as_ref().unwrap();
        // The last field takes 61 tons on 100 acres.
        near(area, (trucks as f64 * 25.0 - 138.0) / 0.61);
    }
}

#[test]
fn a_supplier_that_runs_out_leaves_the_last_fields_short() {
    let mut asked = asked();
    let limit = ProductMass::from_short_tons(110.0);
    asked.limits = vec![SupplyLimit { supplier: "quarry ".to_owned(), limit }];
    asked.calendar.sequence = ["c", "a", "b"].map(str::to_owned).to_vec();
    let rows = [("a", 30.0), ("b", 40.0), ("c", 50.0)].map(|(id, tons)| made(id, tons, true));
    let sheet = order_sheet(&fields(rows.to_vec()), &asked);
    let ids: Vec<&str> = sheet.visits.iter().map(|visit| visit.id.as_str()).collect();
    assert_eq!(ids, ["c", "a", "b"]);
    // Two trucks, two trucks; of 10 tons that are left there comes no whole truck.
    assert_eq!(sheet.lines[0].trucks, Some(4));
    near(&sheet.lines[0].short, 40.0);
    near(sheet.lines[0].short_area.as_ref().unwrap(), 100.0);
    near(&sheet.lines[0].left, 20.0);
    near(sheet.visits[2].short.as_ref().unwrap(), 40.0);
    near(&sheet.visits[2].spread, 0.0);
}

#[test]
fn without_trucks_the_order_is_what_is_needed() {
    let sheet = sheet(vec![made("a", 30.0, false), made("b", 0.0, false)]);
    near(&sheet.lines[0].to_order, 30.0);
    assert_eq!((sheet.lines[0].trucks, sheet.visits.len()), (None, 1));
    assert!(sheet.not_known.iter().any(|it| it.contains("haul.truck_payload")));
    let none = order_sheet(&failed("a"), &asked());
    assert!(none.visits.is_empty() && none.lines.is_empty());
}

#[test]
fn hauling_is_paid_for_what_comes() {
    let at = |id, by_load: bool| {
        let row = at_site(made(id, 30.0, true), "yard");
        if by_load {
            with_haul(row, None, Some(100.0), 2.0)
        } else {
            with_haul(row, Some(6.0), None, 2.0)
        }
    };
    // 60 tons in 3 trucks.
    for (by_load, haul) in [(true, 300.0), (false, 450.0)] {
        let sheet = sheet(vec![at("a", by_load), at("b", by_load)]);
        near(sheet.lines[0].haul_cost.as_ref().unwrap(), haul);
        near(sheet.lines[0].cost.as_ref().unwrap(), 75.0 * 14.0 + haul);
        near(sheet.cost_total.as_ref().unwrap(), 75.0 * 14.0 + haul);
    }
    let mixed = sheet(vec![at("a", true), at("b", false)]);
    assert_eq!(mixed.lines[0].haul_cost, None);
    assert!(mixed.not_known.iter().any(|it| it.contains("different charges")));
    let mut least = [at("a", false), at("b", false)];
    for row in &mut least {
        let minimum = crate::roster::made::quantity(160.0, "$/load");
        row.haul.as_mut().unwrap().minimum_charge = Some(minimum);
    }
    near(sheet(least.to_vec()).lines[0].haul_cost.as_ref().unwrap(), 480.0);
}

#[test]
fn metric_and_us_fields_are_added_in_one_unit() {
    let mut metric = made("b", 30.0, false);
    for quantity in [&mut metric.to_load, &mut metric.to_order, &mut metric.truck_fill] {
        quantity.unit = "t".into();
    }
    metric.material.price = Some(crate::roster::made::quantity(14.0 / 0.907_184_74, "$/t"));
    let sheet = sheet(vec![made("a", 30.0, false), metric]);
    assert_eq!(sheet.lines.len(), 1, "the same price is the same material");
    near(&sheet.lines[0].to_order, 30.0 + 30.0 / 0.907_184_74);
    near(sheet.lines[0].price.as_ref().unwrap(), 14.0);
}

fn day(words: &str) -> Day {
    Day::from_words(words).unwrap()
}

fn in_october() -> CalendarPart {
    CalendarPart {
        hours_a_day: Some(TimeTaken::from_hours(10.0)),
        // A Friday.
        first_day: Some(day("2026-10-23")),
        days_off: vec![Weekday::Sunday],
        ..CalendarPart::default()
    }
}

#[test]
fn work_is_laid_on_days_and_says_what_holds_it_up() {
    let row = |id, lon: f64| {
        let mut row = with_haul(with_hours(made(id, 50.0, true), 8.0), Some(6.0), None, 3.0);
        row.place_deg = [-93.0 + lon, 42.0];
        row
    };
    let rows = vec![row("a", 0.0), row("b", 0.1), row("c", 0.2)];
    let mut asked = OrderAsk { calendar: in_october(), ..asked() };
    let days = |sheet: &OrderSheet| -> Vec<(String, String)> {
        let of = |visit: &OrderVisit| (visit.begins.clone().unwrap(), visit.ends.clone().unwrap());
        sheet.visits.iter().map(of).collect()
    };
    let told = |from: &str, to: &str| (format!("2026-10-{from}"), format!("2026-10-{to}"));
    let sheet = order_sheet(&fields(rows.clone()), &asked);
    // 8, 16 and 24 hours of ten a day: Friday, Saturday, and Monday.
    assert_eq!(days(&sheet), [told("23", "23"), told("23", "24"), told("24", "26")]);
    let calendar = sheet.calendar.as_ref().unwrap();
    assert_eq!((calendar.last_day.as_str(), calendar.working_days), ("2026-10-26", 3));
    near(&calendar.spreading, 24.0);
    assert!(sheet.not_known.iter().any(|it| it.contains("road_factor")));
    // Two spreaders take half of it; six trips of three hours by one truck take longer.
    asked.calendar.spreaders = 2;
    asked.calendar.trucks = Some(1);
    let sheet = order_sheet(&fields(rows.clone()), &asked);
    let calendar = sheet.calendar.as_ref().unwrap();
    assert_eq!(calendar.binds, "trucks");
    near(calendar.hauling.as_ref().unwrap(), 18.0);
    assert_eq!(days(&sheet), [told("23", "23"), told("23", "24"), told("24", "24")]);
    assert!(sheet.visits.iter().all(|visit| visit.waits_for.as_deref() == Some("trucks")));
    // A field waits for its stated day; one that is late is told.
    asked.calendar.trucks = None;
    let mut dated = rows.clone();
    for (row, day) in dated.iter_mut().zip(["2026-10-27", "2026-10-20", "2026-10-23"]) {
        row.dates.spread = Some(day.to_owned());
    }
    let sheet = order_sheet(&fields(dated), &asked);
    let ids: Vec<&str> = sheet.visits.iter().map(|visit| visit.id.as_str()).collect();
    assert_eq!(ids, ["b", "c", "a"]);
    assert_eq!(days(&sheet)[2], told("27", "27"));
    assert!(sheet.rests_on.iter().any(|it| it.contains("`b` begins on 2026-10-23")));
}

#[test]
fn fields_without_a_day_fill_the_time_before_and_between_stated_days() {
    let row = |id, hours: f64, day: Option<&str>| {
        let mut row = with_hours(made(id, 50.0, true), hours);
        row.dates.spread = day.map(str::to_owned);
        row
    };
    let rows = || {
        vec![
            row("a", 6.0, Some("2026-10-26")),
            row("b", 6.0, Some("2026-10-30")),
            // Friday, Saturday: 20 hours until Monday, the 26th.
            row("c", 15.0, None),
            row("d", 15.0, None),
            row("e", 5.0, None),
            // More than what is free before the last stated day.
            row("f", 90.0, None),
        ]
    };
    let asked = OrderAsk { calendar: in_october(), ..asked() };
    let sheet = order_sheet(&fields(rows()), &asked);
    let days = |sheet: &OrderSheet| -> Vec<(String, String)> {
        let begins = |visit: &OrderVisit| visit.begins.clone().unwrap_or_default();
        sheet.visits.iter().map(|visit| (visit.id.clone(), begins(visit))).collect()
    };
    let told = |list: [(&str, &str); 6]| {
        list.map(|(id, day)| (id.to_owned(), format!("2026-10-{day}"))).to_vec()
    };
    let expected =
        told([("c", "23"), ("e", "24"), ("a", "26"), ("d", "26"), ("b", "30"), ("f", "30")]);
    assert_eq!(days(&sheet), expected);
    assert!(sheet.sequence_by.contains("fields without a day"), "{}", sheet.sequence_by);
    assert_eq!(days(&order_sheet(&fields(rows()), &asked)), expected, "the same each time");
    // 96 hours of spreading from Friday, the 30th; d ends on the 28th, and the 29th is idle.
    let calendar = sheet.calendar.as_ref().unwrap();
    assert_eq!((calendar.binds.as_str(), calendar.idle_days), ("stated days", 1));
    // Without the hours of a day nobody knows what fits.
    let mut unknown = asked.clone();
    unknown.calendar.hours_a_day = None;
    let sheet = order_sheet(&fields(rows()), &unknown);
    let ids: Vec<&str> = sheet.visits.iter().map(|visit| visit.id.as_str()).collect();
    assert_eq!(ids[..2], ["a", "b"]);
}

#[test]
fn a_later_application_without_a_day_comes_behind_the_first_of_its_field() {
    let row = |id: &str| {
        let mut row = with_hours(made(id, 50.0, true), 4.0);
        if id == "b" {
            row = twice(row);
            row.dates.spread = Some("2026-10-27".to_owned());
            let work = row.work.as_mut().unwrap();
            let mut second = work.applications[0].clone();
            second.number = 2;
            work.applications.push(second);
        }
        row
    };
    let asked = OrderAsk { calendar: in_october(), ..asked() };
    let sheet = order_sheet(&fields(vec![row("a"), row("b")]), &asked);
    let visits: Vec<(&str, u32, &str)> = sheet
        .visits
        .iter()
        .map(|it| (it.id.as_str(), it.application, it.begins.as_deref().unwrap()))
        .collect();
    assert_eq!(visits, [("a", 1, "2026-10-23"), ("b", 1, "2026-10-27"), ("b", 2, "2026-10-27")]);
    assert_eq!(sheet.visits[1].stated_day.as_deref(), Some("2026-10-27"));
    assert!(sheet.rests_on.iter().any(|it| it.contains("hours of all fields leave out turning")));
}

#[test]
fn work_beyond_the_last_year_is_told_as_that() {
    let mut asked = OrderAsk { calendar: in_october(), ..asked() };
    asked.calendar.first_day = Some(day("9999-12-30"));
    let sheet = order_sheet(&fields(vec![with_hours(made("a", 50.0, true), 25.0)]), &asked);
    assert_eq!(sheet.calendar, None);
    assert!(sheet.not_known.iter().any(|it| it.contains("before the year 9999 does")));
}

#[test]
fn what_is_left_is_told_with_its_places() {
    let rows = || ["a", "b", "c"].map(|id| made(id, 30.0, true)).to_vec();
    let sheet = order_sheet(&fields(rows()), &asked());
    assert_eq!(sheet.lines[0].left_places, 3);
    let mut carried = asked();
    carried.calendar.carry_over = true;
    // 90 tons in four trucks; ten tons lie where the last field's lay.
    let sheet = order_sheet(&fields(rows()), &carried);
    near(&sheet.lines[0].left, 10.0);
    assert_eq!(sheet.lines[0].left_places, 1);
}

#[test]
fn moves_are_straight_lines_times_the_factor_and_take_their_time() {
    let row = |id, lat: f64| {
        let mut row = with_hours(made(id, 50.0, true), 1.0);
        row.place_deg = [-93.0, 42.0 + lat];
        row
    };
    let mut asked = OrderAsk { calendar: in_october(), ..asked() };
    asked.calendar.road_factor = Some(1.3);
    asked.calendar.moving_speed = Some(Speed::from_miles_per_hour(20.0));
    let sheet = order_sheet(&fields(vec![row("a", 0.0), row("b", 0.1), row("c", 0.2)]), &asked);
    // A tenth of a degree is 11.1195 km.
    let miles = 11.119_508 * 1.3 / 1.609_344;
    assert!(sheet.visits[0].move_distance.is_none());
    for visit in &sheet.visits[1..] {
        let told = visit.move_distance.as_ref().unwrap();
        assert!((told.value / miles - 1.0).abs() < 1e-5, "{told:?}");
    }
    let moving = sheet.calendar.as_ref().unwrap().moving.as_ref().unwrap();
    assert!((moving.value / (2.0 * miles / 20.0) - 1.0).abs() < 1e-5);
}

#[test]
fn what_the_calendar_lacks_is_named() {
    let sheet = order_sheet(
        &fields(vec![made("a", 30.0, true), made("b", 30.0, true)]),
        &OrderAsk {
            calendar: CalendarPart { sequence: vec!["x".to_owned()], ..CalendarPart::default() },
            ..asked()
        },
    );
    assert_eq!(sheet.calendar, None);
    for part in ["hours_a_day", "first_day", "spreading time of every field", "names `x`"] {
        assert!(sheet.not_known.iter().any(|it| it.contains(part)), "{part}");
    }
}

proptest::proptest! {
    #[test]
    fn nothing_is_lost_whatever_the_fields(
        tons in proptest::collection::vec((1_u32..2000, 0_u8..3, 0_u8..4), 1..12),
        carry_over: bool,
        limit in proptest::option::of(10_u32..3000),
    ) {
        let rows: Vec<FieldRow> = tons
            .iter()
            .enumerate()
            .map(|(at, &(tons, site, truck))| {
                let row = made(&format!("f{at:02}"), f64::from(tons) / 10.0, truck > 0);
                if site == 0 { row } else { at_site(row, &format!("site {site}")) }
            })
            .collect();
        let mut asked = asked();
        asked.calendar.carry_over = carry_over;
        asked.limits = limit
            .map(|tons| SupplyLimit {
                supplier: "Quarry".to_owned(),
                limit: ProductMass::from_short_tons(f64::from(tons) / 10.0),
            })
            .into_iter()
            .collect();
        let sheet = order_sheet(&fields(rows), &asked);
        let line = &sheet.lines[0];
        let sum = |of: fn(&OrderVisit) -> f64| sheet.visits.iter().map(of).sum::<f64>();
        let spread = sum(|visit| visit.spread.value + visit.lost.value);
        let short = sum(|visit| visit.short.as_ref().map_or(0.0, |short| short.value));
        proptest::prop_assert!((line.needed.value - spread - short).abs() < 1e-6);
        proptest::prop_assert!((line.to_order.value - spread - line.left.value).abs() < 1e-6);
        proptest::prop_assert!((sum(|visit| visit.arrives.value) - line.to_order.value).abs() < 1e-6);
        if let Some(limit) = limit {
            proptest::prop_assert!(line.to_order.value <= f64::from(limit) / 10.0 + 1e-6);
        } else {
            proptest::prop_assert!(short == 0.0);
            proptest::prop_assert!(line.to_order.value <= line.ordered_alone.value + 1e-6);
        }
        for visit in &sheet.visits {
            proptest::prop_assert!(visit.left_here.value >= 0.0 && visit.balance.value >= 0.0);
        }
    }
}
