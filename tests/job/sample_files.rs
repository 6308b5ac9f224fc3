//! Samples from the files that points come in beside a plain map file: a folder or an archive with
//! a shapefile, GeoParquet, and points with a feature for each analyte.

use std::fs;
use std::io::Write as _;

use serde_json::{Value, json};

use super::sample_maps::{assert_same, geojson, job, job_of, samples, write_shapefile};
#[cfg(feature = "geoparquet")]
use super::support::root;

/// The text of a .prj file of UTM zone 16 N.
const UTM_16_N: &str = "PROJCS[\"WGS 84 / UTM zone 16N\",GEOGCS[\"WGS 84\",DATUM[\"WGS_1984\",\
                        SPHEROID[\"WGS 84\",6378137,298.257223563]],PRIMEM[\"Greenwich\",0],\
                        UNIT[\"degree\",0.0174532925199433]],PROJECTION[\"Transverse_Mercator\"],\
                        PARAMETER[\"latitude_of_origin\",0],PARAMETER[\"central_meridian\",-87],\
                        PARAMETER[\"scale_factor\",0.9996],PARAMETER[\"false_easting\",500000],\
                        PARAMETER[\"false_northing\",0],UNIT[\"metre\",1]]";

#[test]
fn a_folder_with_a_shapefile_and_an_archive_of_it_are_read() {
    let job = job("points");
    fs::create_dir(job.path("points")).unwrap();
    write_shapefile(&job.path("points/soil.shp"), "EPSG:32616");
    fs::write(job.path("points/soil.prj"), UTM_16_N).unwrap();
    let outcome = job.prescribed(&[]);
    assert_same(&outcome, "folder");
    assert!(outcome.summary["inputs"].to_string().contains("soil.dbf"), "{}", outcome.summary);

    let mut archive = zip::ZipWriter::new(fs::File::create(job.path("points.zip")).unwrap());
    for part in ["shp", "dbf", "shx", "prj"] {
        let name = format!("soil.{part}");
        archive.start_file(&name, zip::write::SimpleFileOptions::default()).unwrap();
        archive.write_all(&fs::read(job.path(&format!("points/{name}"))).unwrap()).unwrap();
    }
    archive.finish().unwrap();
    fs::remove_dir_all(job.path("out")).unwrap();
    assert_same(&job.prescribed(&["samples.file=points.zip"]), "archive");
    let said = job.refused_again(&["samples.file=points.zip", "samples.layer=other"]);
    assert!(said.contains("other"), "{said}");
}

#[cfg(feature = "geoparquet")]
#[test]
fn points_of_geoparquet_are_read_in_degrees_and_in_another_system() {
    for name in ["degrees.parquet", "utm.parquet"] {
        let job = job(name);
        fs::copy(root().join("tests/data/sample_points").join(name), job.path(name)).unwrap();
        assert_same(&job.prescribed(&[]), name);
    }
}

/// A feature for each sample and analyte.
fn long() -> Value {
    let mut features = Vec::new();
    for (sample, plain) in samples().iter().zip(geojson("pH")["features"].as_array().unwrap()) {
        for (analyte, value) in [("pH", sample.ph), ("clay", 18.0)] {
            let mut feature = plain.clone();
            feature["properties"] =
                json!({ "sample_id": sample.id, "analyte": analyte, "value": value, "unit": "" });
            features.push(feature);
        }
    }
    json!({ "type": "FeatureCollection", "features": features })
}

#[test]
fn a_feature_for_each_analyte_is_read_as_a_long_table_is() {
    let outcome = job_of("points.geojson", &long().to_string()).prescribed(&[]);
    assert_same(&outcome, "long");
    let told = outcome.finding("long_table").unwrap();
    assert!(told.contains("turned into 9 rows with the columns `pH`, `clay`"), "{told}");
}

#[test]
fn values_of_a_sample_at_two_places_or_given_twice_are_refused_by_feature() {
    let mut moved = long();
    moved["features"][3]["geometry"]["coordinates"] = json!([-89.0007138, 39.9946]);
    let said = job_of("points.geojson", &moved.to_string()).refused(&[]);
    assert!(said.contains("points.geojson, feature 4, sample S02"), "{said}");
    assert!(said.contains("another place than in feature 3"), "{said}");
    let mut twice = long();
    twice["features"][3]["properties"]["analyte"] = json!("pH");
    let said = job_of("points.geojson", &twice.to_string()).refused(&[]);
    assert!(said.contains("`pH` stands in feature 3 already"), "{said}");
}
