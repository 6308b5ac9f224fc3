use std::fs;
use std::io::{Cursor, Write};
use std::path::Path;

use tiff::encoder::{TiffEncoder, colortype, colortype::ColorType};
use tiff::tags::Tag;

use super::*;
use crate::findings::Refusal;
use crate::inputs::CoordinateSystem;

const SQUARE: &str = r#"{"type":"Polygon","coordinates":[[[-93.2,42],[-93.199,42],[-93.199,42.001],[-93.2,42.001],[-93.2,42]]]}"#;

fn collection(properties: &[&str]) -> String {
    let features: Vec<String> = properties
        .iter()
        .map(|p| format!(r#"{{"type":"Feature","properties":{p},"geometry":{SQUARE}}}"#))
        .collect();
    format!(r#"{{"type":"FeatureCollection","features":[{}]}}"#, features.join(","))
}

fn read_in(folder: &Path, name: &str, asked: &ExportAsked) -> Result<FoundExport, String> {
    let mut problems = Vec::new();
    let mut found = read_exports(&folder.join(name), asked, &mut problems);
    Refusal::unless_clean(problems, ()).map_err(|refusal| refusal.to_string())?;
    Ok(found.remove(0))
}

fn read_text(name: &str, text: &str, asked: &ExportAsked) -> Result<FoundExport, String> {
    let place = tempfile::tempdir().unwrap();
    fs::write(place.path().join(name), text).unwrap();
    read_in(place.path(), name, asked)
}

fn rates(found: &FoundExport) -> Vec<Option<f64>> {
    match &found.export.maps[0].ground {
        ReadGround::Areas(areas) => areas.iter().map(|area| area.rate).collect(),
        ReadGround::Rows(rows) => rows.iter().map(|row| row.rate).collect(),
        ReadGround::Grid(grid) => grid.rates.clone(),
    }
}

#[test]
fn the_rates_are_the_column_that_says_so_or_the_only_one_with_numbers() {
    let asked = ExportAsked::default();
    let text = collection(&[
        r#"{"cell":"0-0","area_ac":1.5,"rate_lb_ac":4500,"ph":6.1}"#,
        r#"{"cell":"0-1","area_ac":1.5,"rate_lb_ac":null,"ph":6.2}"#,
    ]);
    let found = read_text("map.geojson", &text, &asked).unwrap();
    assert_eq!(rates(&found), [Some(4500.0), None]);
    assert_eq!(found.export.maps[0].unit, Some("lb/ac"));

    let only = collection(&[r#"{"name":"A","value":2.5}"#]);
    let found = read_text("map.geojson", &only, &asked).unwrap();
    assert_eq!((rates(&found), found.export.maps[0].unit), (vec![Some(2.5)], None));
    let said = ExportAsked {
        unit: Some(crate::units::ControllerUnit::TonnesPerHectare),
        ..ExportAsked::default()
    };
    assert_eq!(read_text("map.geojson", &only, &said).unwrap().export.maps[0].unit, Some("t/ha"));
}

#[test]
fn where_several_columns_may_be_the_rates_they_are_listed() {
    let text = collection(&[r#"{"lime":4500,"seed":80,"note":"x"}"#]);
    let refused = read_text("map.geojson", &text, &ExportAsked::default()).unwrap_err();
    for word in ["`lime` (4500 to 4500)", "`seed` (80 to 80)", "--column"] {
        assert!(refused.contains(word), "{word}: {refused}");
    }
    assert!(!refused.contains("note"), "{refused}");
    let asked = |name: &str| ExportAsked { column: Some(name.into()), ..ExportAsked::default() };
    assert_eq!(rates(&read_text("map.geojson", &text, &asked("seed")).unwrap()), [Some(80.0)]);
    let missing = read_text("map.geojson", &text, &asked("sed")).unwrap_err();
    assert!(missing.contains("no column `sed`"), "{missing}");
    let texts = read_text("map.geojson", &text, &asked("note")).unwrap_err();
    assert!(texts.contains("holds more than numbers"), "{texts}");
}

#[test]
fn rates_in_a_column_of_text_are_told() {
    let place = tempfile::tempdir().unwrap();
    write_shapefile(place.path());
    let asked = ExportAsked::default();
    let found = read_in(place.path(), "map.shp", &asked).unwrap();
    assert!(!faults(&found).contains("column of text"), "{}", faults(&found));
    // The letter of the type stands after the 11 bytes of the first column's name.
    let table = place.path().join("map.dbf");
    let mut bytes = fs::read(&table).unwrap();
    assert_eq!(bytes[32 + 11], b'N');
    bytes[32 + 11] = b'C';
    fs::write(&table, bytes).unwrap();
    let found = read_in(place.path(), "map.shp", &asked).unwrap();
    assert_eq!(rates(&found), [Some(5042.25)]);
    assert!(faults(&found).contains("column of text, `rate_kg_ha`"), "{}", faults(&found));
}

/// A shapefile by the `shapefile` package, which writes neither .prj nor .cpg.
fn write_shapefile(folder: &Path) {
    use shapefile::dbase::{FieldName, FieldValue, Record, TableWriterBuilder};
    let table = TableWriterBuilder::new().add_numeric_field(
        FieldName::try_from("rate_kg_ha").unwrap(),
        10,
        2,
    );
    let mut writer = shapefile::Writer::from_path(folder.join("map.shp"), table).unwrap();
    let corners = [[-93.2, 42.0], [-93.199, 42.0], [-93.199, 42.001], [-93.2, 42.001]];
    let points = corners.map(|[x, y]| shapefile::Point::new(x, y)).to_vec();
    let shape = shapefile::Polygon::new(shapefile::PolygonRing::Outer(points));
    let mut row = Record::default();
    row.insert("rate_kg_ha".to_owned(), FieldValue::Numeric(Some(5042.25)));
    writer.write_shape_and_record(&shape, &row).unwrap();
}

fn faults(found: &FoundExport) -> String {
    let texts: Vec<String> = found.export.faults.iter().map(ToString::to_string).collect();
    texts.join("\n")
}

#[test]
fn missing_parts_and_stray_files_are_told() {
    let place = tempfile::tempdir().unwrap();
    write_shapefile(place.path());
    let asked = ExportAsked::default();
    let found = read_in(place.path(), "map.shp", &asked).unwrap();
    assert_eq!(rates(&found), [Some(5042.25)]);
    assert!(faults(&found).contains("lacks .prj;"), "{}", faults(&found));

    fs::remove_file(place.path().join("map.shx")).unwrap();
    fs::write(place.path().join("._map.shp"), "x").unwrap();
    fs::write(place.path().join("._other.shp"), "x").unwrap();
    let found = read_in(place.path(), "map.shp", &asked).unwrap();
    let told = faults(&found);
    assert!(told.contains("lacks .shx and .prj;") && told.contains("`._map.shp`"), "{told}");
    assert!(!told.contains("._other"), "{told}");

    fs::create_dir(place.path().join("__MACOSX")).unwrap();
    let found = read_in(place.path(), "", &asked).unwrap();
    let told = faults(&found);
    assert!(told.contains("`._other.shp`") && told.contains("`__MACOSX`"), "{told}");

    fs::remove_file(place.path().join("map.dbf")).unwrap();
    let found = read_in(place.path(), "map.shp", &asked).unwrap();
    assert_eq!((rates(&found), found.export.maps[0].unit), (vec![None], None));
}

#[test]
fn an_archive_is_read_with_all_its_maps() {
    let place = tempfile::tempdir().unwrap();
    let mut zip = zip::ZipWriter::new(fs::File::create(place.path().join("maps.zip")).unwrap());
    let how = zip::write::SimpleFileOptions::default();
    for (name, text) in [
        ("a/one.geojson", collection(&[r#"{"rate_t_ha":2.5}"#])),
        ("a/two.csv", "name,area_ha,rate_t_ha\r\nA,1.5,3\r\n".to_owned()),
        ("__MACOSX/a/._one.geojson", "x".to_owned()),
        ("a/read_me.txt", "x".to_owned()),
    ] {
        zip.start_file(name, how).unwrap();
        zip.write_all(text.as_bytes()).unwrap();
    }
    zip.finish().unwrap();
    let mut problems = Vec::new();
    let archive = place.path().join("maps.zip");
    let found = read_exports(&archive, &ExportAsked::default(), &mut problems);
    assert_eq!(problems, []);
    assert_eq!(found.iter().map(rates).collect::<Vec<_>>(), [[Some(2.5)], [Some(3.0)]]);
    assert!(faults(&found[0]).contains("__MACOSX"), "{}", faults(&found[0]));
}

#[test]
fn a_folder_shows_what_can_be_read_and_looks_into_its_exports() {
    let place = tempfile::tempdir().unwrap();
    fs::create_dir(place.path().join("exports")).unwrap();
    let text = collection(&[r#"{"rate_t_ha":2.5}"#]);
    fs::write(place.path().join("rate_map.geojson"), &text).unwrap();
    fs::write(place.path().join("broken.geojson"), &text[..40]).unwrap();
    fs::write(place.path().join("exports/a.csv"), "name,area_ha,rate_t_ha\nA,1,3\n").unwrap();
    let mut problems = Vec::new();
    let found = read_exports(place.path(), &ExportAsked::default(), &mut problems);
    assert_eq!(found.iter().map(rates).collect::<Vec<_>>(), [[Some(2.5)], [Some(3.0)]]);
    let said: Vec<String> = problems.iter().map(ToString::to_string).collect();
    assert!(said.len() == 1 && said[0].contains("broken.geojson"), "{said:?}");
}

#[test]
fn a_table_without_areas_and_what_is_no_map_are_refused() {
    let asked = ExportAsked::default();
    let refused = read_text("cells.csv", "name,rate_t_ha\nA,2\n", &asked).unwrap_err();
    assert!(refused.contains("area_ac") && refused.contains("cells.csv"), "{refused}");
    let refused = read_text("cells.csv", "area_ha,rate_t_ha\n-1,2\n,3\n", &asked).unwrap_err();
    assert!(refused.contains("line 2") && refused.contains("line 3"), "{refused}");
    let refused = read_text("notes.txt", "x", &asked).unwrap_err();
    assert!(refused.contains("no rate map") && refused.contains("GeoTIFF"), "{refused}");
    let place = tempfile::tempdir().unwrap();
    for name in ["gone.shp", "gone.tif", ""] {
        assert!(read_in(place.path(), name, &asked).is_err(), "{name}");
    }
}

const WGS84_KEYS: [u16; 12] = [1, 1, 0, 2, 1024, 0, 1, 2, 2048, 0, 1, 4326];

/// A grid of three columns and two rows whose tie is at its north-west corner.
fn tiff_of<C: ColorType>(numbers: &[C::Inner], keys: &[u16], no_data: Option<&str>) -> Vec<u8>
where
    [C::Inner]: tiff::encoder::TiffValue,
{
    let mut out = Cursor::new(Vec::new());
    let mut encoder = TiffEncoder::new(&mut out).unwrap();
    let mut image = encoder.new_image::<C>(3, 2).unwrap();
    let tags = image.encoder();
    tags.write_tag(Tag::ModelPixelScaleTag, [0.001, 0.002, 0.0].as_slice()).unwrap();
    tags.write_tag(Tag::ModelTiepointTag, [0.0, 0.0, 0.0, -93.2, 42.0, 0.0].as_slice()).unwrap();
    tags.write_tag(Tag::GeoKeyDirectoryTag, keys).unwrap();
    if let Some(text) = no_data {
        tags.write_tag(Tag::GdalNodata, text).unwrap();
    }
    image.write_data(numbers).unwrap();
    out.into_inner()
}

fn read_tiff(bytes: &[u8]) -> Result<FoundExport, String> {
    read_own_export(&[("rate_lb_ac.tif", bytes)]).map_err(|refusal| refusal.to_string())
}

#[test]
fn a_grid_is_read_from_the_south_west_whatever_its_numbers_are() {
    let bytes = tiff_of::<colortype::Gray16>(&[1, 2, 3, 4, 5, 255], &WGS84_KEYS, Some("255"));
    let found = read_tiff(&bytes).unwrap();
    let expected = [Some(4.0), Some(5.0), None, Some(1.0), Some(2.0), Some(3.0)];
    assert_eq!(rates(&found), expected);
    assert_eq!((faults(&found), found.export.maps[0].unit), (String::new(), Some("lb/ac")));
    let ReadGround::Grid(grid) = &found.export.maps[0].ground else { panic!("no grid") };
    assert_eq!((grid.columns, grid.rows, grid.west_deg), (3, 2, -93.2));
    assert!((grid.south_deg - 41.996).abs() < 1e-12 && grid.cell_lat_deg == 0.002);

    let numbers = [0.5, f32::NAN, 0.0, 1.0, 2.0, 3.0];
    let found = read_tiff(&tiff_of::<colortype::Gray32Float>(&numbers, &WGS84_KEYS, None)).unwrap();
    assert_eq!(rates(&found)[3..], [Some(0.5), None, Some(0.0)]);
    assert!(faults(&found).contains("does not declare"), "{}", faults(&found));
}

#[test]
fn cells_without_numbers_and_zero_for_no_data_are_told() {
    let numbers = [0.5, f32::NAN, f32::INFINITY, 1.0, 2.0, 3.0];
    let told = |no_data: &str| {
        let bytes = tiff_of::<colortype::Gray32Float>(&numbers, &WGS84_KEYS, Some(no_data));
        faults(&read_tiff(&bytes).unwrap())
    };
    assert!(told("-1").contains("In 2 cells stands no finite number"), "{}", told("-1"));
    assert!(told("nan").contains("In 1 cell stands"), "{}", told("nan"));
    assert!(told("0").contains("0 stands for no data"), "{}", told("0"));
    assert!(!told("-1").contains("0 stands for"), "{}", told("-1"));
}

#[test]
fn numbers_that_can_be_no_rates_are_taken_away_and_counted() {
    let numbers = [1.5e308, -1e12, 0.0, 1.0, 2.0, 3.0];
    let bytes = tiff_of::<colortype::Gray64Float>(&numbers, &WGS84_KEYS, Some("-1"));
    let found = read_tiff(&bytes).unwrap();
    assert_eq!(rates(&found)[3..], [None, None, Some(0.0)]);
    assert!(faults(&found).contains("2 of its numbers are infinite"), "{}", faults(&found));
    let vast = "area_ha,rate_t_ha\n1e300,2\n";
    assert!(read_text("cells.csv", vast, &ExportAsked::default()).unwrap_err().contains("Earth"));
}

#[test]
fn a_grid_of_points_starts_half_a_cell_further_out() {
    let keys = [1, 1, 0, 3, 1024, 0, 1, 2, 1025, 0, 1, 2, 2048, 0, 1, 4326];
    let found = read_tiff(&tiff_of::<colortype::Gray8>(&[1; 6], &keys, Some("0"))).unwrap();
    let ReadGround::Grid(grid) = &found.export.maps[0].ground else { panic!("no grid") };
    assert!((grid.west_deg + 93.2005).abs() < 1e-12);
    assert!((grid.south_deg + 4.0 * 0.001 - 42.001).abs() < 1e-12);
}

#[test]
fn a_grid_in_another_system_is_told_and_one_in_none_is_refused() {
    let utm = [1, 1, 0, 2, 1024, 0, 1, 1, 3072, 0, 1, 32_615];
    let found = read_tiff(&tiff_of::<colortype::Gray8>(&[1; 6], &utm, Some("0"))).unwrap();
    assert_eq!(found.system, CoordinateSystem::Declared("EPSG:32615".to_owned()));
    assert!(faults(&found).contains("EPSG:32615"), "{}", faults(&found));
    let own = [1, 1, 0, 1, 1024, 0, 1, 1];
    let refused = read_tiff(&tiff_of::<colortype::Gray8>(&[1; 6], &own, Some("0"))).unwrap_err();
    assert!(refused.contains("no coordinate system"), "{refused}");
    let bands = [1; 18];
    let refused = read_tiff(&tiff_of::<colortype::RGB8>(&bands, &WGS84_KEYS, None)).unwrap_err();
    assert!(refused.contains("several bands"), "{refused}");
}

proptest::proptest! {
    /// Cut or changed anywhere, a file is read or refused; it never brings the program down.
    #[test]
    fn a_damaged_grid_is_read_or_refused(
        changes in proptest::collection::vec((0..600_usize, 0..=255_u8), 1..6),
        cut in 0..600_usize,
    ) {
        let numbers = [0.5, 1.0, 0.0, 1.0, 2.0, 3.0];
        let mut bytes = tiff_of::<colortype::Gray32Float>(&numbers, &WGS84_KEYS, Some("-1"));
        let length = bytes.len();
        for (at, byte) in changes {
            bytes[at % length] = byte;
        }
        let _ = read_tiff(&bytes);
        bytes.truncate(cut % length);
        proptest::prop_assert!(read_tiff(&bytes).is_err());
    }
}
