use super::*;
use crate::findings::Finding;
use crate::inputs::exports::{FoundExport, ReadGrid, ReadGround, read_own_export};
use crate::outputs::load::{ElsewhereRates, LoadArea, LoadLabel, PolygonE7};
use crate::units::{ControllerUnit, LimeNeed, ProductMass};
use crate::verify::totals_of;

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
        elsewhere: ElsewhereRates { out_of_field: ProductRate::ZERO, signal_lost: tons(0.5) },
    }
}

/// Cells of a third of a map cell.
const SIZE: GridSize = GridSize { columns: 9, rows: 9 };

fn written(map: &LoadMap, form: IsoForm) -> Vec<ExportFile> {
    iso_files(map, form, "stem").unwrap()
}

fn text(files: &[ExportFile]) -> String {
    String::from_utf8(files[0].bytes.clone()).unwrap()
}

fn read(files: &[ExportFile]) -> FoundExport {
    let files: Vec<(&str, &[u8])> =
        files.iter().map(|file| (file.name.as_str(), file.bytes.as_slice())).collect();
    let found = read_own_export(&files).unwrap();
    let faults: Vec<String> = found.export.faults.iter().map(Finding::to_string).collect();
    assert!(faults.is_empty(), "{faults:?}");
    found
}

fn grid(found: &FoundExport) -> &ReadGrid {
    match &found.export.maps[0].ground {
        ReadGround::Grid(grid) => grid,
        other => panic!("{other:?}"),
    }
}

/// The product of the only map that was read.
fn product_of(found: &FoundExport) -> f64 {
    totals_of(found, 0).unwrap().product.unwrap().to_kilograms()
}

#[test]
fn one_ton_an_acre_is_in_milligrams_on_a_square_metre() {
    // 907.18474 kg on 4046.8564224 m2, both exact: 224,170.2 mg/m2. And 150 kg/ha are 15,000.
    assert_eq!(steps_of(tons(1.0)).unwrap(), 224_170);
    assert_eq!(steps_of(ProductRate::from_kilograms_per_hectare(150.0)).unwrap(), 15_000);
    let beyond = steps_of(ProductRate::from_tonnes_per_hectare(22_000.0)).unwrap_err();
    assert!(beyond.contains("21474836 kg/ha"), "{beyond}");
}

#[test]
fn the_elements_refer_to_one_another_and_names_fit() {
    let files = written(&map(), IsoForm::Polygons);
    let names: Vec<&str> = files.iter().map(|file| file.name.as_str()).collect();
    assert_eq!(names, ["stem_iso-polygons/TASKDATA/TASKDATA.XML"]);
    let text = text(&files);
    for line in [
        "<CTR A=\"CTR1\" B=\"A &amp; B &lt;Farms&gt;\"/>",
        "<FRM A=\"FRM1\" B=\"Home\" I=\"CTR1\"/>",
        "<PFD A=\"PFD1\" C=\"Field of a name that is longer t\" D=\"828\" E=\"CTR1\" F=\"FRM1\">",
        "<PDT A=\"PDT1\" B=\"Pit 4 &quot;calcitic&quot;\" E=\"004B\"/>",
        "<VPN A=\"VPN1\" B=\"0\" C=\"0.0000044608956",
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
    let mut bare = map();
    bare.label.customer = None;
    bare.label.farm = None;
    let text = self::text(&written(&bare, IsoForm::Polygons));
    assert!(!text.contains("CTR") && !text.contains("FRM"), "{text}");
}

#[test]
fn an_area_without_lime_is_not_ground_outside_the_field() {
    // P40: the rate 0 has a zone of its own; so have the ground that is kept out and that outside.
    let files = written(&map(), IsoForm::GridOfZones(SIZE));
    assert!(text(&files).contains("<TZN A=\"3\" B=\"0 ton/ac\">"), "{}", text(&files));
    // Three cells a map cell: from the south 1, 1 and nothing; then 1.5, kept out, nothing.
    let rows: Vec<&[u8]> = files[1].bytes.chunks(9).collect();
    assert_eq!(rows[0], [4, 4, 4, 4, 4, 4, 3, 3, 3], "the south row");
    assert_eq!(rows[4], [5, 5, 5, 2, 2, 2, 3, 3, 3]);
    assert_eq!(rows[8], [6, 6, 6, 6, 6, 6, 3, 3, 3]);
    let found = read(&files);
    let zero = grid(&found).rates.iter().filter(|rate| **rate == Some(0.0)).count();
    assert_eq!((zero, grid(&found).rates.len()), (36, 81));
    assert_eq!(
        product_of(&found) as i64,
        product_of(&read(&written(&map(), IsoForm::GridOfRates(SIZE)))) as i64
    );
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
    map.elsewhere.out_of_field = tons(3.0);
    let files = written(&map, IsoForm::GridOfRates(SIZE));
    let values: Vec<i32> = files[1]
        .bytes
        .chunks_exact(4)
        .map(|value| i32::from_le_bytes(value.try_into().unwrap()))
        .collect();
    let found = read(&files);
    let rates = &grid(&found).rates;
    assert_eq!((values[0], rates[0]), (672_511, None), "the first cell is the south-west one");
    assert_eq!((values[3], rates[3]), (224_170, Some(224_170.0)));
    assert_eq!((values[40], rates[40]), (0, Some(0.0)), "kept out");
    let expected = map.product.to_kilograms();
    assert!((product_of(&found) / expected - 1.0).abs() < 1e-4, "{}", product_of(&found));
}

#[test]
fn a_grid_of_rates_has_four_bytes_a_cell_and_says_so() {
    let files = written(&map(), IsoForm::GridOfRates(GridSize { columns: 12, rows: 9 }));
    assert_eq!(files[1].name, "stem_iso-grid-2/TASKDATA/GRD00001.bin");
    assert_eq!(files[1].bytes.len(), 12 * 9 * 4);
    let text = text(&files);
    let end = "E=\"12\" F=\"9\" G=\"GRD00001\" H=\"432\" I=\"2\" J=\"3\"/>";
    assert!(text.contains(end), "{text}");
    let found = read(&files);
    assert_eq!((grid(&found).columns, grid(&found).rows), (12, 9));
    // Three rows of 1e-4 degree, in nine.
    assert!((grid(&found).cell_lat_deg - 1e-4 / 3.0).abs() < 1e-15);
    assert!((product_of(&found) / map().product.to_kilograms() - 1.0).abs() < 1e-4);
}

#[test]
fn polygons_come_back_as_they_went_with_their_rates() {
    let map = map();
    let found = read(&written(&map, IsoForm::Polygons));
    let ReadGround::Areas(areas) = &found.export.maps[0].ground else { panic!("{found:?}") };
    // Four rates: 0, 1, 1.5 and 2.
    let rates: Vec<f64> = areas.iter().map(|area| area.rate.unwrap()).collect();
    assert_eq!(rates, [0.0, 224_170.0, 336_255.0, 448_340.0]);
    assert_eq!(rates, iso_rates(&map));
    let count: usize = areas.iter().map(|area| area.polygons.len()).sum();
    assert_eq!(count, map.areas.len());
    let e7 = |degrees: f64| (degrees * 1e7).round() as i32;
    let first: Vec<[i32; 2]> = areas[1].polygons[0][0].iter().map(|at| at.map(e7)).collect();
    assert_eq!(first, map.areas[0].shape[0].outer);
    assert!((product_of(&found) / map.product.to_kilograms() - 1.0).abs() < 1e-5);
}

#[test]
fn a_task_is_told_from_others_of_its_field() {
    let mut second = map();
    second.label = LoadLabel { application: 2, applications: 3, ..label() };
    let text = text(&written(&second, IsoForm::Polygons));
    assert!(text.contains("B=\"2026-10-20 r2 2 of 3 Pit 4"), "{text}");
}

#[test]
fn more_rates_than_codes_are_refused_for_zones_and_held_by_values() {
    let rates = 260;
    let areas: Vec<LoadArea> =
        (0..rates).map(|at| area(at % 20, at / 20, tons(1.0 + f64::from(at) / 100.0))).collect();
    let product = areas.iter().map(|area| area.product).sum();
    let boundary = vec![square(0, 0, 20)];
    let many = LoadMap { areas, product, boundary, keep_out: Vec::new(), ..map() };
    let size = GridSize { columns: 20, rows: 13 };
    for form in [IsoForm::GridOfZones(size), IsoForm::Polygons] {
        let refused = iso_files(&many, form, "stem").unwrap_err();
        for word in ["260 rates", "252", "coarser step", "iso-xml grid 2"] {
            assert!(refused.contains(word), "{word}: {refused}");
        }
    }
    let found = read(&written(&many, IsoForm::GridOfRates(size)));
    assert!((product_of(&found) / many.product.to_kilograms() - 1.0).abs() < 1e-4);
}
