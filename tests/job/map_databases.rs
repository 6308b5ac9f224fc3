//! Boundaries in databases, GeoPackage and GeoParquet, through the whole job: the square of the
//! other map files, chosen by layer and attribute.

use std::fs;

use super::support::{JOB, Job, Outcome, assert_near, root};

const M2_PER_ACRE: f64 = 4046.8564224;
/// The geodesic area of the square, as GeographicLib has it.
const SQUARE_M2: f64 = 160013.96;

fn data(name: &str) -> Vec<u8> {
    fs::read(root().join("tests/data/map_files").join(name)).unwrap()
}

/// A job whose boundary is that file of the databases.
fn job_on(name: &str) -> Job {
    let samples = String::from_utf8(data("pain/square_samples.csv")).unwrap();
    let rows: Vec<String> = samples
        .lines()
        .enumerate()
        .map(|(line, row)| format!("{row},{}", if line == 0 { "BpH" } else { "6.4" }))
        .collect();
    let job = Job::new(&JOB.replace("boundary.geojson", name), "", &rows.join("\n"));
    fs::write(job.path(name), data(&format!("databases/{name}"))).unwrap();
    job
}

fn assert_square(outcome: &Outcome, what: &str) {
    let area_m2 = outcome.value("/area") * M2_PER_ACRE;
    assert_near(area_m2, SQUARE_M2, 1e-6 * SQUARE_M2, what);
}

#[test]
fn the_only_layer_of_a_geopackage_is_the_field() {
    assert_square(&job_on("one_layer.gpkg").prescribed(&[]), "one layer");
}

#[test]
fn a_layer_and_a_feature_of_several_are_chosen_by_name() {
    let said = job_on("two_layers.gpkg").refused(&[]);
    assert!(said.contains("`in utm`") && said.contains("`degrees`"), "{said}");
    let utm = &["field.layer=in utm", "field.select.id=heron-1"];
    assert_square(&job_on("two_layers.gpkg").prescribed(utm), "in a projected system");
    assert_square(&job_on("two_layers.gpkg").prescribed(&["field.layer=degrees"]), "in degrees");
    let said = job_on("two_layers.gpkg").refused(&["field.layer=in utm", "field.select.id=heron"]);
    assert!(said.contains("`heron-1`, `heron-2`, `heron-3`"), "{said}");
}

#[cfg(feature = "geoparquet")]
#[test]
fn a_field_of_a_geoparquet_file_is_chosen_by_its_attributes() {
    for name in ["fields_snappy.parquet", "fields_zstd.parquet", "utm_plain.parquet"] {
        assert_square(&job_on(name).prescribed(&["field.select.id=heron-1"]), name);
    }
}

#[cfg(not(feature = "geoparquet"))]
#[test]
fn a_program_without_the_reader_of_geoparquet_says_how_to_get_it() {
    let said = job_on("fields_snappy.parquet").refused(&[]);
    assert!(said.contains("--features geoparquet"), "{said}");
}
