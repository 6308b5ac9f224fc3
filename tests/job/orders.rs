//! Order sheets and suppliers of made fields, written with what they were made from, so that
//! `tests/outside/check_orders.py` can work them out again.

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use limewright::inputs::read_fields_file;
use limewright::outputs::{
    order_csv, order_lines_csv, order_page, order_sheet_text, suppliers_text,
};
use limewright::roster::{
    FieldRow, Fields, OrderAsk, OrderSheet, SupplierPlan, SuppliersAsk, order_sheet, suppliers,
};
use limewright::units::UnitSystem;
use serde_json::{Value, json};

/// A small generator, the same on every machine.
struct Draw(u64);

impl Draw {
    fn below(&mut self, most: u64) -> u64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % most
    }

    fn from(&mut self, least: f64, most: f64) -> f64 {
        let steps = (least * 100.0).round() as u64;
        let wide = ((most - least) * 100.0).round() as u64 + 1;
        (steps + self.below(wide)) as f64 / 100.0
    }
}

fn of(value: f64, unit: &str) -> Value {
    json!({ "value": value, "unit": unit })
}

/// Each application's masses: to load, to order, truck fill, trucks.
fn application(draw: &mut Draw, payload: Option<f64>, loss: f64) -> [f64; 4] {
    let load = draw.from(5.0, 160.0);
    let delivered = load / (1.0 - loss);
    let trucks = payload.map_or(0.0, |payload| (delivered / payload - 1e-9).ceil());
    let ordered = payload.map_or(delivered, |payload| trucks * payload);
    [load, ordered, ordered - delivered, trucks]
}

fn material_of(number: u64) -> Value {
    json!({
        "name": format!("Pit {number}"),
        "kind": "calcitic limestone",
        "supplier": format!("Quarry {number}"),
        "effective_as_spread": 0.6,
        "moisture": 0.05,
        "price": of(14.0 + number as f64, "$/ton"),
        "price_at": "plant",
    })
}

fn row(draw: &mut Draw, id: &str, materials: u64) -> Value {
    let payload = [Some(25.0), Some(25.0), Some(22.0), None][draw.below(4) as usize];
    let loss = [0.0, 0.02][draw.below(2) as usize];
    let count = 1 + draw.below(4) / 3;
    let applications: Vec<[f64; 4]> =
        (0..count).map(|_| application(draw, payload, loss)).collect();
    let sum = |part: usize| applications.iter().map(|one| one[part]).sum::<f64>();
    let (load, ordered, fill, trucks) = (sum(0), sum(1), sum(2), sum(3));
    let area = draw.from(20.0, 160.0);
    let hours: Vec<f64> = (0..count).map(|_| draw.from(1.0, 12.0)).collect();
    let day = |number: u64| format!("2026-10-{:02}", 19 + number);
    let material = draw.below(materials);
    let mut row = json!({
        "id": id,
        "field": { "name": format!("Field {id}") },
        "units": "us",
        "dates": {},
        "place_deg": [-93.0 + draw.from(0.0, 0.5), 42.0 + draw.from(0.0, 0.5)],
        "area": of(area, "ac"),
        "keep_out_area": of(0.0, "ac"),
        "treated_area": of(area, "ac"),
        "need_total": of(load * 0.6, "ton"),
        "supplied_total": of(load * 0.6, "ton"),
        "excess_total": of(0.0, "ton"),
        "unmet_total": of(0.0, "ton"),
        "product_total": of(load, "ton"),
        "to_load": of(load, "ton"),
        "pile_loss": of(load / (1.0 - loss) - load, "ton"),
        "truck_fill": of(fill, "ton"),
        "to_order": of(ordered, "ton"),
        "mean_rate": of(load / area, "ton/ac"),
        "spreader_loads": { "count": 3, "full": of(16.0, "ton") },
        "composite": { "rate": of(1.0, "ton/ac"), "product": of(1.0, "ton"), "to_order": of(1.0, "ton") },
        "benefit": { "acid_area": of(area, "ac") },
        "leading_reading": "buffer_ph",
        "method": "smp-iowa",
        "target": "pH 6.5",
        "target_medium": "water",
        "material": material_of(material),
        "machine": { "pass_spacing": of(40.0, "ft"), "passes": 20, "turns": 19 },
        "work": {
            "hours": of(hours.iter().sum(), "h"),
            "covers": ["driving", "turning"],
            "leaves_out": ["loading", "running"],
            "applications": hours.iter().enumerate().map(|(at, hours)| {
                json!({ "number": at + 1, "hours": of(*hours, "h") })
            }).collect::<Vec<Value>>(),
        },
        "findings": 0,
        "job_effective_sha256": "",
    });
    if draw.below(3) > 0 {
        let site = format!("site {}", draw.below(3));
        row["delivery"] = json!({ "drop_site": site });
    } else if draw.below(2) == 0 {
        row["delivery"] = json!({ "pile_deg": [-93.0, 42.0 + 0.1 * draw.below(2) as f64] });
    }
    if draw.below(2) == 0 && count == 1 {
        row["dates"] = json!({ "spread": day(draw.below(3)) });
    }
    if let Some(payload) = payload {
        row["truck_loads"] = json!({ "count": trucks as u64, "full": of(payload, "ton") });
        row["haul"] = json!({
            "truck_time": of(trucks * 2.5, "h"),
            "charge_per_mass": of(6.0, "$/ton"),
            "cost_covers": [],
        });
    }
    if count > 1 {
        row["applications"] = applications
            .iter()
            .enumerate()
            .map(|(at, [load, ordered, fill, trucks])| {
                let mut one = json!({
                    "number": at + 1,
                    "product_total": of(*load, "ton"),
                    "to_load": of(*load, "ton"),
                    "to_order": of(*ordered, "ton"),
                    "order": {
                        "overlap": of(0.0, "ton"),
                        "pile_loss": of(load / (1.0 - loss) - load, "ton"),
                        "truck_fill": of(*fill, "ton"),
                    },
                    "treated_area": of(area, "ac"),
                    "spreader_loads": 3,
                });
                if payload.is_some() {
                    one["truck_loads"] = json!(*trucks as u64);
                }
                one
            })
            .collect();
    }
    row
}

fn list(draw: &mut Draw, ids: &[String], split: bool) -> String {
    let mut text = format!(
        "jobs = [\"a.toml\"]\n[calendar]\nfirst_day = 2026-10-19\nhours_a_day = \"{} h\"\n\
         spreaders = {}\ndays_off = [\"sunday\"]\ncarry_over = {}\nroad_factor = 1.3\n\
         moving_speed = \"20 mph\"\n",
        8 + draw.below(4),
        1 + draw.below(3),
        draw.below(2) == 1
    );
    if draw.below(3) == 0 {
        let _ = writeln!(text, "sequence = {:?}", ids.iter().rev().collect::<Vec<_>>());
    }
    let _ = writeln!(text, "[supply]\nsplit = {split}");
    for at in 0..2 + draw.below(3) {
        let effective = if split { 60 } else { 50 + 5 * draw.below(5) };
        let _ = writeln!(text, "[[supplier]]\nname = \"Quarry {at}\"");
        if draw.below(4) > 0 || at == 0 {
            let tons = 40 + draw.below(120 * ids.len() as u64 / 2);
            let _ = writeln!(text, "limit = \"{tons} ton\"");
        }
        let charge = ["0.25 $/ton-mile", "5 $/ton", "4 $/loaded mile"][draw.below(3) as usize];
        let _ = writeln!(text, "haul = {{ cost = \"{charge}\", truck_payload = \"25 ton\" }}");
        if draw.below(2) == 0 {
            let far =
                |draw: &mut Draw, id: &String| format!("{id} = \"{} mi\"", draw.from(2.0, 60.0));
            let ways: Vec<String> = ids.iter().map(|id| far(draw, id)).collect();
            let _ = writeln!(text, "distance = {{ {} }}", ways.join(", "));
        } else {
            let (lon, lat) = (-93.0 + draw.from(0.0, 0.5), 42.0 + draw.from(0.0, 0.5));
            let _ = writeln!(text, "place = [{lon:.2}, {lat:.2}]");
        }
        let _ = writeln!(
            text,
            "[supplier.material]\nkind = \"calcitic limestone\"\neffective = \"{effective} % as \
             received\"\nprice = \"{:.2} $/ton\"\nprice_at = \"plant\"",
            draw.from(9.0, 22.0)
        );
    }
    text
}

/// One case: the rows and the list that it is made from, and what it comes to.
fn case(folder: &Path, seed: u64) -> (OrderSheet, SupplierPlan) {
    let mut draw = Draw(seed * 7_919 + 17);
    let fields = 2 + draw.below(9) as usize;
    let ids: Vec<String> = (0..fields).map(|at| format!("f{at:02}")).collect();
    let materials = 1 + draw.below(2);
    let rows: Vec<Value> = ids.iter().map(|id| row(&mut draw, id, materials)).collect();
    let text = list(&mut draw, &ids, seed.is_multiple_of(3));
    fs::create_dir_all(folder).unwrap();
    fs::write(folder.join("rows.json"), serde_json::to_string_pretty(&rows).unwrap()).unwrap();
    let path = folder.join("fields.toml");
    fs::write(&path, text).unwrap();
    let (list, _) = read_fields_file(&path).unwrap();
    let rows = rows.into_iter().map(|row| serde_json::from_value::<FieldRow>(row).unwrap());
    let set = rows.fold(Fields::default(), |all, row| all.merge(Fields::done(row)).unwrap());
    let asked = OrderAsk::of(UnitSystem::Us, &list.calendar, &list.supply);
    let sheet = order_sheet(&set, &asked);
    let plan = suppliers(
        &set,
        &SuppliersAsk {
            units: UnitSystem::Us,
            supply: &list.supply,
            road_factor: list.calendar.road_factor,
        },
    );
    let write = |name: &str, text: String| fs::write(folder.join(name), text).unwrap();
    write("order.json", serde_json::to_string_pretty(&sheet).unwrap());
    write("suppliers.json", serde_json::to_string_pretty(&plan).unwrap());
    (sheet, plan)
}

#[test]
fn made_cases_are_worked_out_and_written_for_the_outside_check() {
    let root = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("order_cases");
    let _ = fs::remove_dir_all(&root);
    let (mut served, mut lacking, mut shared) = (0, 0, 0);
    for seed in 0..60 {
        let folder = root.join(format!("{seed:02}"));
        let (sheet, plan) = case(&folder, seed);
        served += usize::from(plan.proven && !plan.fields.is_empty());
        lacking += usize::from(!plan.lacks.is_empty());
        shared += usize::from(sheet.drops.iter().any(|drop| drop.fields.len() > 1));
        for visit in &sheet.visits {
            assert!(visit.balance.value >= 0.0, "{seed}: {visit:?}");
        }
    }
    // The cases are no cases unless each kind is among them.
    assert!(served > 20 && lacking > 3 && shared > 10, "{served} {lacking} {shared}");
}

#[test]
fn the_sheet_is_written_for_people_and_for_programs() {
    let folder = tempfile::tempdir().unwrap();
    let (mut sheet, plan) = case(folder.path(), 1);
    sheet.visits[0].field = "=cmd(<b>)".to_owned();
    sheet.lines[0].material = "Pit <script>".to_owned();
    let text = order_sheet_text(&sheet);
    for part in ["Order sheet", "To order", "short ton", "Order of work", "Calendar", "Mind"] {
        assert!(text.contains(part), "{part}: {text}");
    }
    let page = order_page(&sheet);
    assert!(page.starts_with("<!DOCTYPE html>") && !page.contains("<script>"), "{page}");
    assert!(page.contains("&lt;script&gt;") && page.contains("default-src 'none'"));
    assert!(!page.contains("http://") && !page.contains("https://"));
    let table = order_csv(&sheet, UnitSystem::Us);
    let mut reader = csv::Reader::from_reader(table.as_slice());
    let heads = reader.headers().unwrap().clone();
    assert!(heads.iter().any(|head| head == "balance_ton"));
    let records: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(records.len(), sheet.visits.len());
    assert_eq!(&records[0][2], "'=cmd(<b>)");
    assert!(suppliers_text(&plan).contains("Use of each supplier"));
}

/// Cells of a table by the head of their column, of its first row.
fn first_row(table: &[u8]) -> impl Fn(&str) -> String {
    let mut reader = csv::Reader::from_reader(table);
    let heads = reader.headers().unwrap().clone();
    let row = reader.records().next().unwrap().unwrap();
    move |head| row[heads.iter().position(|it| it == head).expect(head)].to_owned()
}

#[test]
fn what_is_ordered_is_a_table_of_its_own() {
    let folder = tempfile::tempdir().unwrap();
    let (mut sheet, _) = case(folder.path(), 1);
    let line = &mut sheet.lines[0];
    line.price_at = Some("delivered".to_owned());
    line.haul_cost = Some(limewright::summary::Quantity { value: 187.5, unit: "$".into() });
    line.to_order.value = 1346.125;
    let (material, supplier) = (line.material.clone(), line.supplier.clone().unwrap());
    let price = line.price.as_ref().unwrap().value.to_string();
    let table = order_lines_csv(&sheet, UnitSystem::Us);
    let cell = first_row(&table);
    assert_eq!((cell("line"), cell("material")), ("1".to_owned(), material));
    assert_eq!((cell("supplier"), cell("moisture")), (supplier, "0.05".to_owned()));
    assert_eq!((cell("to_order_ton"), cell("price_per_ton")), ("1346.125".into(), price));
    assert_eq!((cell("haul_cost"), cell("haul_in_price")), ("187.5".into(), "yes".into()));
    assert_eq!(cell("currency"), "$");
    let rows = String::from_utf8_lossy(&table).lines().count() - 1;
    assert_eq!(rows, sheet.lines.iter().filter(|line| line.fields > 0).count());
    // The same for people: a price that holds delivered has the haul in it.
    let text = order_sheet_text(&sheet);
    assert!(text.contains("1,346.1"), "{text}");
    assert!(text.contains("$187.50; in the price, not added"), "{text}");
    assert!(order_page(&sheet).contains("$187.50; in the price, not added"));
}

#[test]
fn the_sheet_says_places_trucks_and_what_sets_the_last_day() {
    let folder = tempfile::tempdir().unwrap();
    let (mut sheet, _) = case(folder.path(), 1);
    let tons = |value: f64| limewright::summary::Quantity { value, unit: "ton".into() };
    let line = &mut sheet.lines[0];
    (line.short, line.left, line.left_places) = (tons(0.0), tons(81.21), 5);
    let drop = &mut sheet.drops[0];
    (drop.ordered, drop.carried_in) = (tons(150.0), Some(tons(5.4)));
    (drop.trucks, drop.trucks_alone, drop.truck) = (Some(6), Some(6), Some(tons(25.0)));
    let calendar = sheet.calendar.as_mut().unwrap();
    (calendar.binds, calendar.idle_days) = ("stated days".to_owned(), 2);
    for visit in &mut sheet.visits {
        visit.field = "boundary".to_owned();
    }
    let text = order_sheet_text(&sheet);
    // Lines are broken to the width of the terminal.
    let text = text.split_whitespace().collect::<Vec<&str>>().join(" ");
    for part in [
        "81.21 ton left in 5 places",
        "150.00 ton in 6 trucks of 25.0 ton, beside 5.40 ton carried in;",
        ", 2 of them without work, with",
        "The days that jobs state set the last day",
        "do not state `spreader.load_time`",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    let page = order_page(&sheet);
    assert!(!page.contains("boundary") && page.contains(">f00<"), "{page}");
}
