//! Torture: every file of two collections, and bytes cut, flipped and spliced. Whatever a file
//! holds, it is read or refused with a sentence; nothing panics.

use std::fs;

use proptest::prelude::*;

use super::{data, folder_of, read, said, zip_of};

/// Reads the file or checks the sentence for which it is refused.
fn walk(path: &std::path::Path) {
    let read = read(path);
    if read.is_err() {
        said(read);
    }
}

#[test]
fn every_torture_file_is_read_or_refused_with_a_sentence() {
    let mut seen = 0;
    for folder in ["shapefiles", "geojson_bad", "pain"] {
        for entry in fs::read_dir(data(folder)).unwrap() {
            walk(&entry.unwrap().path());
            seen += 1;
        }
        said(read(&data(folder)));
    }
    assert!(seen > 100, "{seen}");
}

#[test]
fn files_that_are_good_geojson_are_read() {
    for entry in fs::read_dir(data("geojson_bad")).unwrap() {
        let path = entry.unwrap().path();
        if path.file_name().unwrap().to_string_lossy().starts_with("good_") {
            read(&path).unwrap();
        }
    }
}

/// Damage: cut off at, bytes flipped, and a piece copied elsewhere, all in thousandths.
type Damage = (u16, Vec<(u16, u8)>, (u16, u16));

fn damage() -> impl Strategy<Value = Damage> {
    let cut = prop_oneof![3 => Just(1000), 1 => 0..1000_u16];
    (cut, prop::collection::vec((0..1000_u16, any::<u8>()), 0..6), (0..1000_u16, 0..1000_u16))
}

fn damaged(bytes: &[u8], (cut, flips, (from, to)): &Damage) -> Vec<u8> {
    let at = |share: u16| bytes.len() * usize::from(share) / 1000;
    let mut broken = bytes.to_vec();
    for (share, mask) in flips {
        if let Some(byte) = broken.get_mut(at(*share)) {
            *byte ^= mask;
        }
    }
    if from % 3 == 0 {
        let piece = broken[at(*from)..(at(*from) + 16).min(bytes.len())].to_vec();
        broken.splice(at(*to)..at(*to), piece);
    }
    broken.truncate(at(*cut));
    broken
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn a_broken_shapefile_never_panics(shp in damage(), dbf in damage(), prj in damage()) {
        for name in ["p23_hole_ok", "p28_polygonz"] {
            let part = |extension: &str, damage| {
                damaged(&fs::read(data(&format!("pain/{name}.{extension}"))).unwrap(), damage)
            };
            let folder = folder_of(&[
                ("a.shp", &part("shp", &shp)),
                ("a.dbf", &part("dbf", &dbf)),
                ("a.prj", &part("prj", &prj)),
            ]);
            walk(&folder.path().join("a.shp"));
        }
    }

    #[test]
    fn a_broken_text_or_archive_never_panics(harm in damage()) {
        let kml: &[u8] = b"<kml><Placemark><name>&lt;a&#38;</name><Polygon><outerBoundaryIs><LinearRing>\
            <coordinates>1,2 3,4 5,6 1,2</coordinates></LinearRing></outerBoundaryIs></Polygon>\
            <ExtendedData><Data name='a'><value>b</value></Data></ExtendedData></Placemark></kml>";
        let geojson = fs::read(data("pain/p21_crs_member.geojson")).unwrap();
        let mac = fs::read(data("pain/p29_mac.zip")).unwrap();
        let kmz = zip_of(&[("doc.kml", kml)]);
        for (name, bytes) in
            [("a.kml", kml), ("a.geojson", &geojson), ("a.zip", &mac), ("a.kmz", &kmz)]
        {
            let folder = folder_of(&[(name, &damaged(bytes, &harm))]);
            walk(&folder.path().join(name));
        }
    }
}
