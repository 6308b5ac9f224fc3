use super::*;
use crate::findings::Finding;
use crate::inputs::exports::{ReadExport, ReadGrid, ReadGround, read_iso};
use crate::outputs::load::{LoadArea, LoadLabel, PolygonE7};
use crate::units::{Area, ControllerUnit, LimeNeed, ProductMass};

/// Cells of 1e-4 degree: about 11 m to the north and 8 m to the east.
const WEST: i32 = -932_000_000;
const SOUTH: i32 = 420_000_000;
const SIDE: i32 = 1_000;

fn square(column: i32, row: i32, cells: i32) -> PolygonE7 {
    let (west, south) = (WEST + column * SIDE, SOUTH + row * SIDE);
    let (east, north) = (west + cells * SIDE, south + cells * SIDE);
    PolygonE7 {
        outer: vec![[west, south], [east, south], [east, north], [west, north]],
        holes: Vec::new(),
    }
}

fn area(column: i32, row: i32, rate: ProductRate) -> LoadArea {
    let shape = vec![square(column, row, 1)];
    let area = shapes::area_of(&shape);
    LoadArea {
        name: format!("{column}-{row}"),
        shape,
        area,
        rate,
        product: rate * area,
        ph: 6.0,
        need: LimeNeed::ZERO,
    }
}

fn tons(rate: f64) -> ProductRate {
    ProductRate::from_short_tons_per_acre(rate)
}

fn label() -> LoadLabel {
    LoadLabel {
        customer: Some("A & B <Farms>".into()),
        farm: Some("Home".into()),
        field: "Field of a name that is longer than a designator may be".into(),
        material: "Pit 4 \"calcitic\"".into(),
        date: Some("2026-10-20".into()),
        revision: Some(2),
        application: 1,
        applications: 1,
    }
}

/// Three by three cells; the middle one is kept out, the east column gets nothing.
fn map() -> LoadMap {
    let mut areas = Vec::new();
    for row in 0..3 {
        for column in 0..3 {
            if (column, row) != (1, 1) {
                let rate = if column == 2 { 0.0 } else { 1.0 + f64::from(row) / 2.0 };
                areas.push(area(column, row, tons(rate)));
            }
        }
    }
    let product: ProductMass = areas.iter().map(|area| area.product).sum();
    LoadMap {
        label: label(),
        unit: ControllerUnit::ShortTonsPerAcre,
        boundary: vec![square(0, 0, 3)],
        keep_out: vec![square(1, 1, 1)],
        areas,
        cells: None,
        product,
    }
}

fn asked(form: IsoForm) -> IsoAsked {
    IsoAsked { form, out_of_field: ProductRate::ZERO, signal_lost: tons(0.5), cell: None }
}

fn written(maps: &[LoadMap], asked: &IsoAsked) -> Vec<(String, Vec<u8>)> {
    iso_files(maps, asked).unwrap()
}

fn text(files: &[(String, Vec<u8>)]) -> String {
    String::from_utf8(files[0].1.clone()).unwrap()
}

fn read(mut files: Vec<(String, Vec<u8>)>) -> ReadExport {
    let read = read_iso(&mut files).unwrap();
    let faults: Vec<String> = read.faults.iter().map(Finding::to_string).collect();
    assert!(faults.is_empty(), "{faults:?}");
    read
}

fn grid(read: &ReadExport, at: usize) -> &ReadGrid {
    match &read.maps[at].ground {
        ReadGround::Grid(grid) => grid,
        ReadGround::Areas(areas) => panic!("polygons: {areas:?}"),
    }
}

/// What a grid spreads, by the true area of its cells.
fn product_of(grid: &ReadGrid) -> f64 {
    let e7 = |degrees: f64| (degrees * 1e7).round() as i32;
    let raster = super::super::raster::RasterGrid {
        west_e7: e7(grid.west_deg),
        south_e7: e7(grid.south_deg),
        cell_lon_e7: e7(grid.cell_lon_deg),
        cell_lat_e7: e7(grid.cell_lat_deg),
        columns: grid.columns,
        rows: grid.rows,
    };
    let areas: Vec<Area> = raster.cell_areas();
    let rows = grid.rates.chunks(grid.columns).zip(&areas);
    rows.map(|(row, area)| row.iter().flatten().sum::<f64>() / 1e6 * area.to_square_metres()).sum()
}

#[test]
fn one_ton_an_acre_is_in_milligrams_on_a_square_metre() {
    // 907.18474 kg on 4046.8564224 m2, both exact: 224,170.2 mg/m2. And 150 kg/ha are 15,000.
    assert_eq!(steps_of(tons(1.0)).unwrap(), 224_170);
    assert_eq!(steps_of(ProductRate::from_kilograms_per_hectare(150.0)).unwrap(), 15_000);
    let beyond = steps_of(ProductRate::from_tonnes_per_hectare(22_000.0)).unwrap_err();
    assert!(beyond.to_string().contains("21474836 kg/ha"), "{beyond}");
}

#[test]
fn the_elements_refer_to_one_another_and_names_fit() {
    let files = written(&[map()], &asked(IsoForm::Polygons));
    let paths: Vec<&str> = files.iter().map(|(path, _)| path.as_str()).collect();
    assert_eq!(paths, ["TASKDATA/TASKDATA.XML"]);
    let text = text(&files);
    for line in [
        "<CTR A=\"CTR1\" B=\"A &amp; B &lt;Farms&gt;\"/>",
        "<FRM A=\"FRM1\" B=\"Home\" I=\"CTR1\"/>",
        "<PFD A=\"PFD1\" C=\"Field of a name that is longer t\" D=\"828\" E=\"CTR1\" F=\"FRM1\">",
        "<PDT A=\"PDT1\" B=\"Pit 4 &quot;calcitic&quot;\" E=\"004B\"/>",
        "<VPN A=\"VPN1\" B=\"0\" C=\"0.000004460896",
        "D=\"3\" E=\"ton/ac\"/>",
        "<TSK A=\"TSK1\" B=\"2026-10-20 r2 Pit 4 &quot;calcitic&quot;\" C=\"CTR1\" D=\"FRM1\" \
         E=\"PFD1\" G=\"1\" H=\"2\" I=\"1\" J=\"0\">",
        "<PDV A=\"0006\" B=\"112085\" C=\"PDT1\" E=\"VPN1\"/>",
        "<PNT A=\"2\" C=\"42.0000000\" D=\"-93.2000000\"/>",
        "<PLN A=\"6\" B=\"Kept out\">",
        "VersionMajor=\"4\" VersionMinor=\"3\"",
    ] {
        assert!(text.contains(line), "{line}\n{text}");
    }
}

#[test]
fn an_area_without_lime_is_not_ground_outside_the_field() {
    // P40: the rate 0 has a zone of its own; so have the ground that is kept out and that outside.
    let files = written(&[map()], &asked(IsoForm::GridOfZones));
    let codes: std::collections::BTreeSet<u8> = files[1].1.iter().copied().collect();
    let zones = text(&files);
    assert!(zones.contains("<TZN A=\"3\" B=\"0 ton/ac\">"), "{zones}");
    assert!(codes.contains(&3) && codes.contains(&2), "{codes:?}");
    let read = read(files);
    let grid = grid(&read, 0);
    let zero = grid.rates.iter().filter(|rate| **rate == Some(0.0)).count();
    let some = grid.rates.iter().filter(|rate| rate.is_some_and(|rate| rate > 0.0)).count();
    // Four of nine cells get nothing, one of them because it is kept out.
    assert!((zero as f64 / (zero + some) as f64 - 4.0 / 9.0).abs() < 0.02, "{zero} {some}");
}

#[test]
fn ground_outside_the_field_has_its_own_rate_and_kept_out_ground_has_none() {
    let mut map = map();
    // The south-west cell is cut off the field.
    map.areas.remove(0);
    map.product = map.areas.iter().map(|area| area.product).sum();
    let corner = square(0, 0, 1).outer;
    let whole = square(0, 0, 3).outer;
    let outer = vec![corner[1], whole[1], whole[2], whole[3], corner[3], corner[2]];
    map.boundary = vec![PolygonE7 { outer, holes: Vec::new() }];
    let asked = IsoAsked { out_of_field: tons(3.0), ..asked(IsoForm::GridOfValues) };
    let files = written(&[map.clone()], &asked);
    let values: Vec<i32> = files[1]
        .1
        .chunks_exact(4)
        .map(|value| i32::from_le_bytes(value.try_into().unwrap()))
        .collect();
    let read = read(files);
    let grid = grid(&read, 0);
    assert_eq!(values[0], steps_of(tons(3.0)).unwrap(), "the first cell is the south-west one");
    assert_eq!(grid.rates[0], None);
    let middle = grid.columns * (grid.rows / 2) + grid.columns / 2;
    assert_eq!((values[middle], grid.rates[middle]), (0, Some(0.0)), "kept out");
    let expected = map.product.to_kilograms();
    assert!((product_of(grid) / expected - 1.0).abs() < 0.01, "{} {expected}", product_of(grid));
}

#[test]
fn a_grid_of_values_has_four_bytes_a_cell_and_says_so() {
    let files = written(&[map()], &asked(IsoForm::GridOfValues));
    assert_eq!(files[1].0, "TASKDATA/GRD00001.bin");
    let text = text(&files);
    let read = read(files.clone());
    let cells = grid(&read, 0).columns * grid(&read, 0).rows;
    assert_eq!(files[1].1.len(), 4 * cells);
    assert!(text.contains(&format!("H=\"{}\" I=\"2\" J=\"3\"/>", 4 * cells)), "{text}");
    let expected = map().product.to_kilograms();
    assert!((product_of(grid(&read, 0)) / expected - 1.0).abs() < 0.01);
}

#[test]
fn polygons_come_back_as_they_went_with_their_rates() {
    let map = map();
    let read = read(written(std::slice::from_ref(&map), &asked(IsoForm::Polygons)));
    let ReadGround::Areas(areas) = &read.maps[0].ground else { panic!("{read:?}") };
    // Four rates: 0, 1, 1.5 and 2.
    let rates: Vec<f64> = areas.iter().map(|area| area.rate.unwrap()).collect();
    assert_eq!(rates, [0.0, 224_170.0, 336_255.0, 448_340.0]);
    let count: usize = areas.iter().map(|area| area.polygons.len()).sum();
    assert_eq!(count, map.areas.len());
    let e7 = |degrees: f64| (degrees * 1e7).round() as i32;
    let first: Vec<[i32; 2]> = areas[1].polygons[0][0].iter().map(|at| at.map(e7)).collect();
    assert_eq!(first, map.areas[0].shape[0].outer);
}

#[test]
fn several_applications_are_tasks_on_one_field() {
    let (mut first, mut second) = (map(), map());
    first.label.applications = 2;
    second.label = LoadLabel { application: 2, applications: 2, ..label() };
    second.areas[0].rate = tons(4.0);
    second.product = second.areas.iter().map(|area| area.rate * area.area).sum();
    let files = written(&[first, second], &asked(IsoForm::GridOfValues));
    let text = text(&files);
    assert_eq!(text.matches("<PFD ").count(), 1, "{text}");
    assert_eq!(text.matches("<PDT ").count(), 1);
    assert_eq!(text.matches("<TSK ").count(), 2);
    assert!(text.contains("B=\"2026-10-20 r2 2 of 2 Pit 4"), "{text}");
    let paths: Vec<&str> = files.iter().map(|(path, _)| path.as_str()).collect();
    assert_eq!(paths, ["TASKDATA/TASKDATA.XML", "TASKDATA/GRD00001.bin", "TASKDATA/GRD00002.bin"]);
    let read = read(files);
    assert_eq!(read.maps.len(), 2);
    assert_eq!(grid(&read, 0).rates[0], Some(224_170.0));
    assert_eq!(grid(&read, 1).rates[0], Some(896_681.0));
}

#[test]
fn more_rates_than_codes_are_refused_for_zones_and_held_by_values() {
    let rates = 260;
    let areas: Vec<LoadArea> =
        (0..rates).map(|at| area(at % 20, at / 20, tons(1.0 + f64::from(at) / 100.0))).collect();
    let product = areas.iter().map(|area| area.product).sum();
    let boundary = vec![square(0, 0, 20)];
    let many = [LoadMap { areas, product, boundary, keep_out: Vec::new(), ..map() }];
    for form in [IsoForm::GridOfZones, IsoForm::Polygons] {
        let refused = iso_files(&many, &asked(form)).unwrap_err().to_string();
        for word in ["260 rates", "252", "coarser step", "iso-xml grid 2"] {
            assert!(refused.contains(word), "{word}: {refused}");
        }
    }
    let read = read(written(&many, &asked(IsoForm::GridOfValues)));
    let grid = grid(&read, 0);
    let expected = many[0].product.to_kilograms();
    assert!((product_of(grid) / expected - 1.0).abs() < 0.01);
}

#[test]
fn the_same_map_gives_the_same_bytes() {
    for form in [IsoForm::Polygons, IsoForm::GridOfZones, IsoForm::GridOfValues] {
        assert_eq!(written(&[map()], &asked(form)), written(&[map()], &asked(form)));
    }
}

#[test]
fn cells_are_as_large_as_asked_for() {
    let asked = IsoAsked { cell: Some(Length::from_metres(5.0)), ..asked(IsoForm::GridOfValues) };
    let read = read(written(&[map()], &asked));
    // A degree of latitude at 42 degrees north has 111,069 m.
    assert!((grid(&read, 0).cell_lat_deg * 111_069.0 - 5.0).abs() < 0.01);
}
