//! Every map file of the test data, whole and broken: its area is what other programs make of it, or
//! it is refused with the word that the table has.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use super::{check_system, lay_out};
use crate::findings::Refusal;
use crate::inputs::{NamedFile, Wanted, read_boundary};

/// Areas by GDAL 3, shapely 2 and pyproj 3 (`tests/outside/expected_areas.py`); they hold for the
/// rings as the files have them, and borders that are led through common vertices may move by 2 cm.
const TOLERANCE: f64 = 1e-6;

#[derive(serde::Deserialize)]
struct Expected {
    file: String,
    area_m2: Option<f64>,
    refused: String,
}

fn area_m2(path: &Path) -> Result<f64, Refusal> {
    let named = NamedFile { given: path.display().to_string(), path: path.to_owned() };
    let read = read_boundary(&named, &Wanted::default())?;
    check_system(&read.boundary, read.stated.as_ref())?;
    Ok(lay_out(&read.boundary)?.0.area().to_square_metres())
}

#[test]
fn every_map_file_has_its_area_or_is_refused_for_its_fault() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data");
    let mut table = csv::Reader::from_path(root.join("expected_areas.csv")).unwrap();
    let expected: Vec<Expected> = table.deserialize().map(Result::unwrap).collect();
    let mut wrong = Vec::new();
    let read_here = |file: &str| cfg!(feature = "geoparquet") || !file.ends_with(".parquet");
    for Expected { file, area_m2: expected, refused } in &expected {
        if !read_here(file) {
            continue;
        }
        match (area_m2(&root.join(file)), expected) {
            (Ok(area), Some(expected)) if (area / expected - 1.0).abs() <= TOLERANCE => {}
            (Err(said), None) if !refused.is_empty() && said.to_string().contains(refused) => {}
            (found, _) => wrong.push(format!("{file}: {found:?}, not {expected:?} {refused}")),
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let listed: BTreeSet<&str> = expected.iter().map(|row| row.file.as_str()).collect();
    let folders: BTreeSet<&str> =
        listed.iter().filter_map(|file| file.rsplit_once('/')).map(|(folder, _)| folder).collect();
    for folder in folders {
        for entry in fs::read_dir(root.join(folder)).unwrap() {
            let name = entry.unwrap().file_name().into_string().unwrap();
            let is_map = ["shp", "zip", "geojson", "gpkg", "parquet"]
                .iter()
                .any(|kind| Path::new(&name).extension().is_some_and(|own| own == *kind));
            let file = format!("{folder}/{name}");
            assert!(!is_map || listed.contains(file.as_str()), "{file} is not in the table");
        }
    }
}
