//! Samples from the points of map files, through the whole job: the square with its nine samples
//! gives the tons of the table, whatever the format and the system.

use std::fs;
use std::path::Path;

use proj::Proj;
use rusqlite::{Connection, params};
use serde_json::{Value, json};
use shapefile::dbase::{FieldValue, Record, TableWriterBuilder};
use shapefile::{Point, Writer};

use super::cases::{JOB, SQUARE, plain};
use super::support::{Job, Outcome, assert_near};

pub(super) struct Sample {
    pub(super) id: String,
    pub(super) lon: f64,
    pub(super) lat: f64,
    pub(super) ph: f64,
}

pub(super) fn samples() -> Vec<Sample> {
    let number = |text: &str| text.parse::<f64>().unwrap();
    let text = plain();
    let rows = text.lines().skip(1).map(|row| row.split(',').collect::<Vec<_>>());
    rows.map(|cells| Sample {
        id: cells[0].to_owned(),
        lat: number(cells[1]),
        lon: number(cells[2]),
        ph: number(cells[3]),
    })
    .collect()
}

/// The samples as GeoJSON, their pH under this name.
pub(super) fn geojson(ph: &str) -> Value {
    let features: Vec<Value> = samples()
        .iter()
        .map(|sample| {
            json!({
                "type": "Feature",
                "properties": { "sample_id": sample.id, ph: sample.ph },
                "geometry": { "type": "Point", "coordinates": [sample.lon, sample.lat] },
            })
        })
        .collect();
    json!({ "type": "FeatureCollection", "features": features })
}

pub(super) fn job(file: &str) -> Job {
    Job::new(&JOB.replace("samples.csv", file), SQUARE, "")
}

pub(super) fn job_of(file: &str, text: &str) -> Job {
    let job = job(file);
    fs::write(job.path(file), text).unwrap();
    job
}

/// Holds a result against that of the table; a place that went through another system moves by
/// less than a millimetre.
pub(super) fn assert_same(outcome: &Outcome, what: &str) {
    let expected = Job::new(JOB, SQUARE, &plain()).prescribed(&[]);
    let tons = expected.value("/product_total");
    assert_near(outcome.value("/product_total"), tons, 1e-3, what);
    assert_eq!(outcome.value("/soil/ph/samples"), 9.0, "{what}");
    assert_near(outcome.value("/soil/ph/mean"), 53.0 / 9.0, 1e-12, what);
}

#[test]
fn geojson_and_kml_read_as_the_table_does() {
    let outcome = job_of("points.geojson", &geojson("pH").to_string()).prescribed(&[]);
    assert_same(&outcome, "GeoJSON");
    assert_eq!(outcome.summary["inputs"][2]["path"], "points.geojson");
    // By its content, whatever it is called.
    assert_same(&job_of("samples.txt", &geojson("pH").to_string()).prescribed(&[]), "by content");
    let placemarks: Vec<String> = samples()
        .iter()
        .map(|Sample { id, lon, lat, ph }| {
            format!(
                "<Placemark><ExtendedData><Data name=\"sample_id\"><value>{id}</value></Data>\
                 <Data name=\"pH\"><value>{ph}</value></Data></ExtendedData>\
                 <Point><coordinates>{lon},{lat}</coordinates></Point></Placemark>"
            )
        })
        .collect();
    let kml = format!(
        "<kml xmlns=\"http://www.opengis.net/kml/2.2\"><Document>{}</Document></kml>",
        placemarks.concat()
    );
    assert_same(&job_of("points.kml", &kml).prescribed(&[]), "KML");
}

pub(super) fn write_shapefile(path: &Path, system: &str) {
    let way = Proj::new_known_crs("EPSG:4326", system, None).unwrap();
    let table = TableWriterBuilder::new()
        .add_character_field("sample_id".try_into().unwrap(), 10)
        .add_numeric_field("pH".try_into().unwrap(), 8, 2);
    let mut writer = Writer::from_path(path, table).unwrap();
    for Sample { id, lon, lat, ph } in samples() {
        let (x, y) = way.convert((lon, lat)).unwrap();
        let mut record = Record::default();
        record.insert("sample_id".to_owned(), FieldValue::Character(Some(id)));
        record.insert("pH".to_owned(), FieldValue::Numeric(Some(ph)));
        writer.write_shape_and_record(&Point::new(x, y), &record).unwrap();
    }
}

#[test]
fn a_shapefile_of_points_is_read_in_its_system_or_the_one_that_is_stated() {
    let job = job("points.shp");
    write_shapefile(&job.path("points.shp"), "EPSG:32616");
    let said = job.refused(&[]);
    assert!(said.contains("coordinate_system = \"EPSG:…\" in [samples]"), "{said}");
    let stated = ["samples.coordinate_system=EPSG:32616"];
    assert_same(&job.prescribed(&stated), "as stated");
    let wrong = job.refused_again(&["samples.coordinate_system=EPSG:32716"]);
    assert!(wrong.contains("points.shp"), "{wrong}");
    let crs = json!({ "type": "name", "properties": { "name": "EPSG:32616" } });
    let way = Proj::new_known_crs("EPSG:4326", "EPSG:32616", None).unwrap();
    let mut projected = geojson("pH");
    projected["crs"] = crs;
    for feature in projected["features"].as_array_mut().unwrap() {
        let place = feature["geometry"]["coordinates"].as_array_mut().unwrap();
        let (x, y) = way.convert((place[0].as_f64().unwrap(), place[1].as_f64().unwrap())).unwrap();
        *place = vec![json!(x), json!(y)];
    }
    let job = job_of("utm.geojson", &projected.to_string());
    assert_same(&job.prescribed(&[]), "its own");
    let said = job.refused_again(&["samples.coordinate_system=EPSG:32617"]);
    assert!(said.contains("take `coordinate_system` out of the job"), "{said}");
}

/// A GeoPackage (OGC 12-128) with two layers: the samples, and the same with a unit more.
pub(super) fn write_geopackage(path: &Path) {
    let database = Connection::open(path).unwrap();
    let head = "PRAGMA application_id = 1196444487; PRAGMA user_version = 10400;
        CREATE TABLE gpkg_spatial_ref_sys (srs_name TEXT, srs_id INTEGER PRIMARY KEY,
            organization TEXT, organization_coordsys_id INTEGER, definition TEXT, description TEXT);
        INSERT INTO gpkg_spatial_ref_sys VALUES ('WGS 84', 4326, 'EPSG', 4326, '', '');
        CREATE TABLE gpkg_contents (table_name TEXT PRIMARY KEY, data_type TEXT, identifier TEXT,
            description TEXT, last_change TEXT, min_x REAL, min_y REAL, max_x REAL, max_y REAL,
            srs_id INTEGER);
        CREATE TABLE gpkg_geometry_columns (table_name TEXT, column_name TEXT,
            geometry_type_name TEXT, srs_id INTEGER, z INTEGER, m INTEGER);";
    database.execute_batch(head).unwrap();
    for (layer, more) in [("spring", 0.0), ("autumn", 1.0)] {
        let sql = format!(
            "CREATE TABLE {layer} (fid INTEGER PRIMARY KEY, geom BLOB, sample_id TEXT, pH REAL,
                 depth TEXT);
             INSERT INTO gpkg_contents (table_name, data_type, srs_id)
                 VALUES ('{layer}', 'features', 4326);
             INSERT INTO gpkg_geometry_columns VALUES ('{layer}', 'geom', 'POINT', 4326, 0, 0);"
        );
        database.execute_batch(&sql).unwrap();
        for (depth, deeper) in [("0-20 cm", 0.0), ("20-40 cm", 0.5)] {
            for Sample { id, lon, lat, ph } in samples() {
                // Header "GP", version 0, little endian without an envelope; then the WKB.
                let mut blob = b"GP\x00\x01\xe6\x10\x00\x00\x01\x01\x00\x00\x00".to_vec();
                blob.extend(lon.to_le_bytes());
                blob.extend(lat.to_le_bytes());
                let sql = format!("INSERT INTO {layer} VALUES (NULL, ?1, ?2, ?3, ?4)");
                let values = params![blob, id, ph + more + deeper, depth];
                database.execute(&sql, values).unwrap();
            }
        }
    }
}

#[test]
fn a_layer_and_features_of_a_geopackage_are_chosen_by_name() {
    let job = job("points.gpkg");
    write_geopackage(&job.path("points.gpkg"));
    let said = job.refused(&[]);
    assert!(said.contains("`spring`, `autumn`") && said.contains("in [samples]"), "{said}");
    let said = job.refused(&["samples.layer=spring"]);
    assert!(said.contains("several depths"), "{said}");
    let spring = ["samples.layer=spring", "samples.select.depth=0-20 cm"];
    assert_same(&job.prescribed(&spring), "spring");
    let said = job.refused_again(&["samples.layer=spring", "samples.select.depth=0-30 cm"]);
    assert!(said.contains("correct `select` in [samples]"), "{said}");
    let autumn = ["samples.layer=autumn", "samples.select.depth=0-20 cm"];
    let outcome = job.prescribed(&autumn);
    assert_near(outcome.value("/soil/ph/mean"), 53.0 / 9.0 + 1.0, 1e-12, "autumn");
    let said = Job::new(JOB, SQUARE, &plain()).refused(&["samples.layer=spring"]);
    assert!(said.contains("`samples.layer` chooses from a map file"), "{said}");
}

#[test]
fn what_is_no_single_point_is_refused_feature_by_feature() {
    let mut map = geojson("pH");
    map["features"][1]["geometry"] =
        json!({ "type": "LineString", "coordinates": [[-89.0, 39.995], [-89.0, 39.996]] });
    map["features"][3]["geometry"] = Value::Null;
    map["features"][4]["geometry"] =
        json!({ "type": "MultiPoint", "coordinates": [[-89.0, 39.995], [-89.0, 39.996]] });
    let said = job_of("points.geojson", &map.to_string()).refused(&[]);
    for part in [
        "points.geojson, feature 2",
        "a line, not a point",
        "feature 4",
        "no geometry",
        "feature 5",
        "holds 2 points",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    let said = job_of("field.geojson", SQUARE).refused(&[]);
    assert!(said.contains("an area, not a point") && said.contains("samples.zones"), "{said}");
    let job = job_of("points.geojson", &geojson("pH").to_string());
    let said = job.refused(&["samples.columns.lon=sample_id", "samples.columns.lat=pH"]);
    assert!(said.contains("`samples.columns.lon` names a column of coordinates"), "{said}");
}

#[test]
fn the_rules_for_cells_and_the_join_hold_for_map_files_too() {
    let mut map = geojson("pH");
    map["features"][0]["properties"]["pH"] = json!("<5.0");
    map["features"][4]["properties"]["pH"] = Value::Null;
    let said = job_of("points.geojson", &map.to_string()).refused(&[]);
    assert!(said.contains("points.geojson, feature 1, sample S01, column pH"), "{said}");
    assert!(said.contains("feature 5, sample S05"), "{said}");
    let rules = ["samples.censored=limit", "samples.missing=leave out"];
    let outcome = job_of("points.geojson", &map.to_string()).prescribed(&rules);
    assert_eq!((outcome.value("/soil/ph/samples"), outcome.value("/soil/ph/min")), (8.0, 5.0));
    for feature in map["features"].as_array_mut().unwrap() {
        let ph = feature["properties"]["pH"].to_string().replace('.', ",");
        feature["properties"]["pH"] = json!(ph.trim_matches('"').replace("null", "6"));
    }
    let outcome = job_of("points.geojson", &map.to_string()).prescribed(&rules);
    assert_eq!(outcome.value("/soil/ph/min"), 5.0);
    assert!(outcome.finding("decimal_commas").unwrap().contains("`pH`"));
    // The readings in a laboratory's file; what the points carry beside their ids is not read.
    let job = job_of("points.geojson", &geojson("crop").to_string());
    let mut rows: Vec<String> =
        samples().iter().map(|sample| format!("{},{}", sample.id, sample.ph)).collect();
    rows.reverse();
    fs::write(job.path("lab.csv"), format!("Sample,pH\n{}\n", rows.join("\n"))).unwrap();
    assert_same(&job.prescribed(&["samples.lab=lab.csv"]), "joined");
    rows.pop();
    fs::write(job.path("lab.csv"), format!("Sample,pH\n{}\n", rows.join("\n"))).unwrap();
    let said = job.refused_again(&["samples.lab=lab.csv"]);
    assert!(said.contains("points.geojson, feature 1, sample S01"), "{said}");
}

#[test]
fn coarse_places_of_points_are_told_in_metres() {
    let mut map = geojson("pH");
    for feature in map["features"].as_array_mut().unwrap() {
        for value in feature["geometry"]["coordinates"].as_array_mut().unwrap() {
            *value = json!((value.as_f64().unwrap() * 1e3).round() / 1e3);
        }
    }
    let outcome = job_of("points.geojson", &map.to_string()).prescribed(&[]);
    let told = outcome.finding("coordinates_coarse").expect("told");
    assert!(told.contains("3 decimals") && told.contains("56 m north"), "{told}");
}
