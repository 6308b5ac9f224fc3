//! Shapefiles: kinds of shapes, tables, code pages, what may be missing and what may not.

use std::fs;

use super::{
    DEGREES_PRJ, SQUARE, data, dbf_of, folder_of, has_finding, parts_of, read, read_as, said,
    shp_of,
};
use crate::inputs::{CoordinateSystem, RingsSorted};

#[test]
fn rings_keep_their_order_and_their_direction_is_not_trusted() {
    for name in ["p23_hole_ok", "p23_hole_bad", "p23_hole_both_cw"] {
        let read = read(&data(&format!("pain/{name}.shp"))).unwrap();
        let [feature] = read.layer.features.as_slice() else { panic!("{name}") };
        let [area] = feature.geometry.areas.as_slice() else { panic!("{name}") };
        assert_eq!((area.outer.len(), area.holes.len()), (5, 1), "{name}");
        assert_eq!(area.sorted, RingsSorted::NotYet, "{name}");
    }
}

#[test]
fn every_file_of_a_set_is_hashed_and_its_prj_goes_on_as_it_stands() {
    let read = read(&data("pain/p28_polygonz.shp")).unwrap();
    let names: Vec<&str> = read.files.iter().map(|file| file.path.as_str()).collect();
    assert_eq!(names, ["p28_polygonz.shp", "p28_polygonz.prj", "p28_polygonz.dbf"]);
    assert!(read.files.iter().all(|file| file.sha256.len() == 64 && file.bytes > 0));
    let prj = fs::read_to_string(data("pain/p28_polygonz.prj")).unwrap();
    assert_eq!(read.layer.system, CoordinateSystem::Declared(prj));
    let area = &read.layer.features[0].geometry.areas[0];
    assert_eq!(area.outer[0], [-89.003_036_8, 39.993_884_8]);
}

#[test]
fn kinds_of_shapes_with_heights_and_measures_read_as_those_without() {
    for (name, points, lines, areas) in [
        ("rs_line", 0, 1, 0),
        ("rs_linem", 0, 1, 0),
        ("rs_linez", 0, 1, 0),
        ("rs_point", 1, 0, 0),
        ("rs_pointm", 1, 0, 0),
        ("rs_pointz", 1, 0, 0),
        ("rs_multipoint", 1, 0, 0),
        ("rs_multipointz", 1, 0, 0),
        ("rs_polygon", 0, 0, 1),
        ("rs_polygonm", 0, 0, 1),
        ("rs_polygonz", 0, 0, 1),
        ("rs_multi_polygon", 0, 0, 1),
    ] {
        let shp = fs::read(data(&format!("shapefiles/{name}.shp"))).unwrap();
        let folder = folder_of(&[("a.shp", &shp), ("a.prj", DEGREES_PRJ.as_bytes())]);
        let read = read(&folder.path().join("a.shp")).unwrap();
        assert!(has_finding(&read, "shapefile_without_table"), "{name}");
        for feature in &read.layer.features {
            let geometry = &feature.geometry;
            let found = [geometry.points.len(), geometry.lines.len(), geometry.areas.len()];
            let wanted = [points, lines, areas];
            assert!(found.iter().zip(wanted).all(|(n, w)| (*n > 0) == (w > 0)), "{name} {found:?}");
        }
    }
}

#[test]
fn what_the_library_writes_is_read() {
    use shapefile::{Point, Polygon, PolygonRing, ShapeWriter};
    let ring = |size: f64| {
        [(0.0, 0.0), (0.0, size), (size, size), (size, 0.0), (0.0, 0.0)]
            .map(|(x, y)| Point::new(x, y))
            .to_vec()
    };
    let mut bytes = std::io::Cursor::new(Vec::new());
    ShapeWriter::new(&mut bytes)
        .write_shapes(&vec![
            Polygon::new(PolygonRing::Outer(ring(0.01))),
            Polygon::with_rings(vec![
                PolygonRing::Outer(ring(0.02)),
                PolygonRing::Outer(ring(0.03)),
            ]),
        ])
        .unwrap();
    let read = read_as("w.shp", &bytes.into_inner()).unwrap();
    let [one, two] = read.layer.features.as_slice() else { panic!() };
    assert_eq!(one.geometry.areas[0].outer.len(), 5);
    assert_eq!(two.geometry.areas[0].holes.len(), 1);
    assert!(has_finding(&read, "coordinate_system_assumed"));
}

#[test]
fn without_prj_only_numbers_that_can_only_be_degrees_are_taken() {
    let read = read(&data("pain/p19_noprj.shp")).unwrap();
    assert_eq!(read.layer.system, CoordinateSystem::Wgs84Degrees);
    assert!(has_finding(&read, "coordinate_system_assumed"));
    for scale in [4000.0, 1e-7, 0.9] {
        let part: Vec<[f64; 2]> = SQUARE
            .iter()
            .map(|[x, y]| [(x + 89.0) * scale * 100.0, (y - 40.0) * scale * 100.0])
            .collect();
        let part: Vec<[f64; 2]> = if scale == 0.9 {
            part.iter().map(|[x, y]| [x * 100.0, y * 100.0]).collect()
        } else {
            part
        };
        let said = said(read_as("a.shp", &shp_of(5, &[parts_of(5, &[&part])])));
        assert!(said.contains(".prj") && said.contains("coordinate_system = "), "{said}");
    }
}

#[test]
fn null_shapes_are_counted_and_told() {
    let null = 0_i32.to_le_bytes().to_vec();
    let read = read_as("a.shp", &shp_of(5, &[null, parts_of(5, &[SQUARE])])).unwrap();
    assert_eq!(read.layer.features.len(), 2);
    assert!(read.layer.features[0].geometry.is_empty());
    assert!(read.findings.iter().any(|found| found.text.starts_with("1 of 2 shapes")));
}

#[test]
fn names_are_read_by_the_code_page_of_the_cpg_file_or_the_table() {
    let chinese = read(&data("shapefiles/rs_file_cp936.shp")).unwrap();
    assert_eq!(chinese.layer.columns, ["TEST"]);
    assert_eq!(chinese.layer.features[0].attributes, ["测试中文"]);
    let guessed = read(&data("shapefiles/pyshp_latin1.shp")).unwrap();
    assert_eq!(guessed.layer.features[0].attributes, ["2", "Ñandú"]);
    assert!(has_finding(&guessed, "code_page_assumed"));
    let shp = shp_of(5, &[parts_of(5, &[SQUARE])]);
    let dbf = dbf_of(0x01, &["NAME"], &[&[b"M\x81hle"]]);
    let name = |files: &[(&str, &[u8])]| {
        read(&folder_of(files).path().join("a.shp")).unwrap().layer.features[0].attributes[0]
            .clone()
    };
    assert_eq!(name(&[("a.shp", &shp), ("a.dbf", &dbf)]), "Mühle");
    assert_eq!(name(&[("a.shp", &shp), ("A.DBF", &dbf), ("a.cpg", b"1251")]), "MЃhle");
}

#[test]
fn a_table_that_does_not_fit_its_shapes_is_refused() {
    let shp = shp_of(5, &[parts_of(5, &[SQUARE])]);
    let two = dbf_of(0, &["NAME"], &[&[b"one"], &[b"two"]]);
    let read_with =
        |dbf: &[u8]| read(&folder_of(&[("a.shp", &shp), ("a.dbf", dbf)]).path().join("a.shp"));
    let said_of_two = said(read_with(&two));
    assert!(said_of_two.contains("1 shapes") && said_of_two.contains("2 rows"), "{said_of_two}");
    for cut in [0, 5, 31, 40, two.len() - 30] {
        assert!(
            said(read_with(&two[..cut])).contains("table of the shapefile is damaged"),
            "{cut}"
        );
    }
    let mut huge = two.clone();
    huge[4..8].copy_from_slice(&u32::MAX.to_le_bytes());
    assert!(said(read_with(&huge)).contains("4294967295 rows"));
    let mut deleted = dbf_of(0, &["NAME"], &[&[b"one"]]);
    let row = deleted.len() - 22;
    deleted[row] = b'*';
    let left = read_with(&deleted).unwrap();
    assert!(left.layer.features.is_empty() && has_finding(&left, "deleted_shapes"));
}

#[test]
fn lengths_and_counts_that_lie_are_refused() {
    let good = shp_of(5, &[parts_of(5, &[SQUARE, SQUARE])]);
    let with = |at: usize, number: i32| {
        let mut bytes = good.clone();
        bytes[at..at + 4].copy_from_slice(&number.to_le_bytes());
        read_as("a.shp", &bytes)
    };
    assert!(read_as("a.shp", &good).is_ok());
    for (at, number) in [
        (24, 7),         // the length of the file
        (32, 99),        // the kind of the file
        (32, 3),         // another kind than that of its shapes
        (104, i32::MAX), // the length of the record
        (104, -1),
        (108, 77),       // the kind of the shape
        (144, i32::MAX), // parts
        (144, -2),
        (148, i32::MAX), // points
        (148, -1),
        (152, 3),  // the first part does not start at the first point
        (156, 11), // the second starts beyond the last
        (156, -5),
    ] {
        let said = said(with(at, number));
        assert!(said.contains("damaged"), "{at} {number}: {said}");
    }
    let mut nan = good.clone();
    nan[160..168].copy_from_slice(&f64::NAN.to_le_bytes());
    assert!(said(read_as("a.shp", &nan)).contains("no number"));
}

#[test]
fn surfaces_in_space_and_lone_sidecars_are_refused() {
    assert!(said(read(&data("shapefiles/rs_multipatch.shp"))).contains("MultiPatch"));
    for name in ["pain/p28_polygonz.dbf", "pain/p28_polygonz.shx", "pain/p28_polygonz.prj"] {
        assert!(said(read(&data(name))).contains("name the .shp file"), "{name}");
    }
}
