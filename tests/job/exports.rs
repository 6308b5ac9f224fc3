//! Files for a spreader's controller: written, read back by other readers, and refused where they
//! would not hold what was meant. Cases P38 to P40 of what goes wrong with such files.

use std::fs;
use std::path::PathBuf;

use limewright::hash::sha256;
use serde_json::Value;
use shapefile::dbase::FieldValue;
use tiff::decoder::{Decoder, DecodingResult};
use tiff::tags::Tag;

use super::cases;
use super::four_cells;
use super::support::{Ground, JOB, Job, Outcome, Sample, assert_near};

const DATES: &str = "[dates]\nspread = 2026-10-20\nrevision = 1\n";
const ALL: &str = "export.files=[\"csv\", \"shapefile\", \"geotiff\"]";
const STEM: &str = "boundary_calcitic-limestone_2026-10-20_r1";

/// The job of the other cases, on a square of 400 m, with a day and a revision.
fn square() -> Job {
    let job = cases::JOB.replace("[samples]", &format!("{DATES}[samples]"));
    Job::new(&job, cases::SQUARE, &cases::plain())
}

/// A square of 120 m turned by 30 degrees; its east half needs nothing.
fn half_needs_nothing() -> Job {
    let sample = |east_m, north_m, ph, buffer_ph| Sample { east_m, north_m, ph, buffer_ph };
    let mut samples = Vec::new();
    for north_m in [-50.0, 0.0, 50.0] {
        samples.push(sample(-50.0, north_m, 5.5, Some(6.4)));
        samples.push(sample(-10.0, north_m, 5.5, Some(6.4)));
        samples.push(sample(10.0, north_m, 6.8, None));
        samples.push(sample(50.0, north_m, 6.8, None));
    }
    let ground = Ground { turned_deg: 30.0, ..Ground::square(120.0, samples) };
    let job = JOB.replace("[samples]", &format!("{DATES}[samples]"));
    let job = job.replace("\"40 m\"", "\"10 m\"") + "[grid]\nheading = \"30 deg\"\n";
    Job::new(&job, &ground.boundary(), &ground.table())
}

struct Shapes {
    columns: Vec<String>,
    rates: Vec<f64>,
    clockwise: bool,
}

/// The shapefile of a result, by the `shapefile` package.
fn shapes(job: &Job, stem: &str) -> Shapes {
    let path = job.path(&format!("out/exports/{stem}.shp"));
    let head = fs::read(path.with_extension("dbf")).unwrap();
    let columns = head[32..].chunks(32).take_while(|field| field[0] != 0x0d).map(|field| {
        let end = field[..11].iter().position(|byte| *byte == 0).unwrap();
        String::from_utf8(field[..end].to_vec()).unwrap()
    });
    let columns: Vec<String> = columns.collect();
    let mut reader = shapefile::Reader::from_path(path).unwrap();
    let mut rates = Vec::new();
    let mut clockwise = true;
    for pair in reader.iter_shapes_and_records_as::<shapefile::Polygon, shapefile::dbase::Record>()
    {
        let (shape, row) = pair.unwrap();
        // Its reader calls what runs clockwise an outer ring.
        let is_outer =
            |ring: &shapefile::PolygonRing<_>| matches!(ring, shapefile::PolygonRing::Outer(_));
        clockwise &= shape.rings().iter().all(is_outer);
        let Some(FieldValue::Numeric(Some(rate))) = row.get(&columns[0]) else {
            panic!("no number in {}", columns[0]);
        };
        rates.push(*rate);
    }
    Shapes { columns, rates, clockwise }
}

fn map_rates(outcome: &Outcome, name: &str) -> Vec<f64> {
    let features = outcome.features().iter();
    features.map(|feature| feature["properties"][name].as_f64().unwrap()).collect()
}

#[test]
fn every_format_holds_the_rates_and_the_total_of_the_ledger() {
    let job = square();
    let outcome = job.prescribed(&[ALL]);
    let exports = outcome.summary["exports"].as_array().unwrap();
    let formats: Vec<&str> = exports.iter().map(|e| e["format"].as_str().unwrap()).collect();
    assert_eq!(formats, ["shapefile", "geotiff", "csv"]);
    for export in exports {
        let most = if export["format"] == "geotiff" { 0.01 } else { 0.001 };
        assert!(export["difference"].as_f64().unwrap().abs() <= most, "{export}");
        assert_eq!(export["product"], outcome.summary["product_total"]);
        assert_eq!((&export["unit"], &export["revision"]), (&"t/ha".into(), &1.into()));
        assert!(export.get("supersedes").is_none());
        for file in export["files"].as_array().unwrap() {
            let bytes = fs::read(job.path("out").join(file["path"].as_str().unwrap())).unwrap();
            assert_eq!(file["bytes"].as_u64(), Some(bytes.len() as u64));
            assert_eq!(file["sha256"].as_str(), Some(sha256(&bytes).as_str()));
        }
    }
    let meant = map_rates(&outcome, "rate_t_ha");
    let Shapes { columns, rates, clockwise } = shapes(&job, STEM);
    assert_eq!(columns, ["rate_t_ha", "area_ha", "prod_t", "ph", "need_t_ha", "name"]);
    assert!(clockwise, "outer rings run clockwise in a shapefile");
    assert_eq!(rates.len(), meant.len());
    for (rate, meant) in rates.iter().zip(&meant) {
        assert_near(*rate, *meant, 0.5e-5, "rate in the shapefile");
    }
    let path = |ending: &str| job.path(&format!("out/exports/{STEM}.{ending}"));
    assert_eq!(fs::read(path("cpg")).unwrap(), b"UTF-8");
    assert!(fs::read_to_string(path("prj")).unwrap().starts_with("GEOGCS[\"GCS_WGS_1984\""));
    let mut table = csv::Reader::from_path(path("csv")).unwrap();
    let head: Vec<String> = table.headers().unwrap().iter().map(str::to_owned).collect();
    let expected = [
        "name",
        "centre_lon_deg",
        "centre_lat_deg",
        "area_ha",
        "ph",
        "need_t_ha",
        "rate_t_ha",
        "product_t",
    ];
    assert_eq!(head, expected);
    for ((row, meant), feature) in table.records().zip(&meant).zip(outcome.features()) {
        let row = row.unwrap();
        assert_eq!(row[0], *feature["properties"]["cell"].as_str().unwrap());
        assert_near(row[6].parse().unwrap(), *meant, 1e-9, "rate in the table");
    }
}

/// `lime_rate_short_ton_ac` and `lime_rate_t_ha` both became `lime_rate_` in ten characters (P38).
#[test]
fn the_rate_stands_first_under_a_name_that_keeps_its_unit() {
    let job = square();
    for (unit, name, a_tonne) in [
        // A tonne a hectare in each: 0.45359237 kg/lb and 4046.8564224 m2/ac are exact.
        ("lb/ac", "rate_lb_ac", 1_000.0 / 0.453_592_37 * 0.404_685_642_24),
        ("ton/ac", "rate_tonac", 0.404_685_642_24 / 0.907_184_74),
        ("kg/ha", "rate_kg_ha", 1_000.0),
        ("t/ha", "rate_t_ha", 1.0),
    ] {
        let outcome = job.prescribed(&[ALL, &format!("export.unit={unit}")]);
        assert_eq!(outcome.summary["exports"][0]["unit"], unit);
        let Shapes { columns, rates, .. } = shapes(&job, STEM);
        assert_eq!(columns[0], name);
        assert!(columns.iter().all(|column| column.len() <= 10), "{columns:?}");
        let tolerance = if a_tonne > 100.0 { 0.005_001 } else { 0.000_005_1 };
        for (rate, meant) in rates.iter().zip(map_rates(&outcome, "rate_t_ha")) {
            assert_near(*rate, meant * a_tonne, tolerance, unit);
        }
        let text = fs::read_to_string(job.path("out/job.effective.toml")).unwrap();
        assert!(text.contains(&format!("unit = \"{unit}\"")), "{text}");
    }
}

struct Grid {
    columns: u32,
    numbers: Vec<f32>,
    about: String,
}

fn grid(path: PathBuf) -> Grid {
    let mut decoder = Decoder::new(fs::File::open(path).unwrap()).unwrap();
    let (columns, _) = decoder.dimensions().unwrap();
    assert_eq!(decoder.get_tag_ascii_string(Tag::GdalNodata).unwrap(), "-9999");
    let keys = decoder.get_tag_u16_vec(Tag::GeoKeyDirectoryTag).unwrap();
    assert!(keys.chunks(4).any(|key| key == [2048, 0, 1, 4326]));
    let about = decoder.get_tag_ascii_string(Tag::ImageDescription).unwrap();
    let DecodingResult::F32(numbers) = decoder.read_image().unwrap() else { panic!("not f32") };
    Grid { columns, numbers, about }
}

/// Zero is a rate; no data is outside the field (P40).
#[test]
fn ground_that_gets_nothing_is_in_every_file_with_a_rate_of_zero() {
    let job = half_needs_nothing();
    let outcome = job.prescribed(&[ALL]);
    let meant = map_rates(&outcome, "rate_ton_ac");
    let zeros = meant.iter().filter(|rate| **rate == 0.0).count();
    assert!(zeros * 3 > meant.len() && zeros < meant.len(), "{zeros} of {}", meant.len());
    let Shapes { rates, .. } = shapes(&job, STEM);
    assert_eq!(rates, meant);
    let Grid { columns, numbers, .. } =
        grid(job.path(&format!("out/exports/{STEM}_rate_ton_ac.tif")));
    let count = |wanted: f32| numbers.iter().filter(|number| **number == wanted).count() as f64;
    let inside = numbers.len() as f64 - count(-9999.0);
    // A square turned by 30 degrees fills 1 / (sin 30 + cos 30)² of the box around it.
    let (sin, cos) = 30_f64.to_radians().sin_cos();
    assert_near(inside / numbers.len() as f64, 1.0 / (sin + cos).powi(2), 0.01, "inside");
    let share = zeros as f64 / meant.len() as f64;
    assert_near(count(0.0) / inside, share, 0.02, "zeros");
    assert_eq!(numbers[0], -9999.0, "the corner of the box lies outside");
    assert!(columns > 40);
    // North is up and east is right: the half that needs nothing lies to the east.
    let middle = numbers.len() as u32 / columns / 2;
    let row = &numbers[(middle * columns) as usize..((middle + 1) * columns) as usize];
    let spread: Vec<usize> = (0..row.len()).filter(|&at| row[at] > 0.0).collect();
    let none: Vec<usize> = (0..row.len()).filter(|&at| row[at] == 0.0).collect();
    assert!(spread.iter().max() < none.iter().max(), "{row:?}");
    let ph = grid(job.path(&format!("out/exports/{STEM}_ph.tif")));
    assert_eq!((ph.columns, ph.numbers.len()), (columns, numbers.len()));
    let range = ph.numbers.iter().filter(|ph| **ph != -9999.0);
    assert!(range.clone().all(|ph| (5.49..6.81).contains(ph)));
    assert!(job.path(&format!("out/exports/{STEM}_need_ton_ac.tif")).exists());
}

#[test]
fn a_newer_revision_takes_the_place_of_the_older_and_says_so() {
    let job = half_needs_nothing();
    job.prescribed(&[ALL]);
    let outcome = job.prescribed(&[ALL, "dates.revision=2"]);
    assert_eq!(outcome.summary["exports"][1]["supersedes"], 1);
    let names = fs::read_dir(job.path("out/exports")).unwrap();
    let names: Vec<String> =
        names.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    assert_eq!(names.len(), 9);
    assert!(names.iter().all(|name| name.contains("_2026-10-20_r2")), "{names:?}");
    let stem = STEM.replace("_r1", "_r2");
    let about = grid(job.path(&format!("out/exports/{stem}_rate_ton_ac.tif"))).about;
    assert!(about.starts_with("rate_ton_ac; "), "{about}");
    assert!(about.contains("revision 2, supersedes 1"), "{about}");
}

#[test]
fn the_effective_job_gives_the_same_bytes() {
    let job = half_needs_nothing();
    let first = job.prescribed(&["export.files=[\"Shapefile\", \"GEOTIFF\", \"csv\"]"]);
    fs::copy(job.path("out/job.effective.toml"), job.path("job.toml")).unwrap();
    let again = job.prescribed(&[]);
    assert_eq!(first.summary["exports"], again.summary["exports"]);
    assert_eq!(first.summary["exports"].as_array().unwrap().len(), 3);
}

#[test]
fn files_need_a_day_a_revision_and_a_folder() {
    let bare = Job::on(&four_cells::ground());
    let said = bare.refused(&[ALL]);
    assert!(said.contains("`dates.spread`") && said.contains("`dates.revision`"), "{said}");
    let dated = half_needs_nothing();
    assert!(dated.refused(&[ALL, "dates.revision=0"]).contains("from 1"));
    // Two applications on one day would have one name.
    let twice = ["spreader.applications=2", "dates.revision=1"];
    let said = dated.refused(&[&[ALL], &twice[..]].concat());
    assert!(said.contains("`dates.further_spread` is missing"), "{said}");
    let said = dated.refused(&["export.files=[\"shape\"]"]);
    assert!(said.contains("`shapefile`") && said.contains("`geotiff`"), "{said}");
    let said = dated.refused(&[ALL, "export.unit=t/ac"]);
    assert!(said.contains("`lb/ac`") && said.contains("export.unit"), "{said}");
    assert!(dated.refused(&[ALL, "export.raster_cell=0.1 m"]).contains("0.25 to 100 m"));

    let unused = dated.prescribed(&["export.unit=kg/ha", "export.raster_cell=2 m"]);
    let said = unused.finding("unused_keys").unwrap();
    assert!(said.contains("export.unit") && said.contains("export.raster_cell"), "{said}");
    assert!(unused.summary.get("exports").is_none());
    fs::remove_dir_all(dated.path("out")).unwrap();

    let usage = dated.run(&["prescribe", "job.toml", "--export", "csv"]);
    assert_eq!(usage.status.code(), Some(2));
    let usage = dated.run(&["prescribe", "job.toml", "--out", "out", "--export", "shape"]);
    assert_eq!(usage.status.code(), Some(2));
    assert!(!dated.path("out").exists());
    let run = dated.run(&[
        "prescribe",
        "job.toml",
        "--out",
        "out",
        "--export",
        "csv",
        "--export",
        "GeoTIFF",
    ]);
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let said = String::from_utf8(run.stdout).unwrap();
    assert!(said.contains("each read back") && said.contains(&format!("{STEM}.csv")), "{said}");
    assert_eq!(fs::read_dir(dated.path("out/exports")).unwrap().count(), 4);
}

#[test]
fn a_grid_too_coarse_for_the_total_is_refused_with_both_numbers() {
    let job = half_needs_nothing();
    let said = job.refused(&["export.files=[\"geotiff\"]", "export.raster_cell=50 m"]);
    for word in ["GeoTIFF comes to", "the ledger has", "1 % is allowed", "export.raster_cell"] {
        assert!(said.contains(word), "{word}: {said}");
    }
    // Chosen by the program the cells are small enough, whatever the field.
    let outcome = job.prescribed(&["export.files=[\"geotiff\"]"]);
    let difference = outcome.summary["exports"][0]["difference"].as_f64().unwrap();
    assert!(difference.abs() < 0.0025, "{difference}");
}

fn read(job: &Job, arguments: &[&str]) -> (Value, Option<i32>) {
    let output = job.run(&[&["read", "--json"], arguments].concat());
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    (
        serde_json::from_slice(&output.stdout).unwrap_or_else(|_| panic!("{said}")),
        output.status.code(),
    )
}

#[test]
fn a_finished_map_is_read_whatever_its_format() {
    let job = square();
    let outcome = job.prescribed(&[ALL]);
    // The folder of a result is read with that of its exports.
    let arguments = ["out", "--against", "out/summary.json", "--strict"];
    let (readings, status) = read(&job, &arguments);
    assert_eq!(status, Some(0), "{readings:#}");
    let exports = readings["exports"].as_array().unwrap();
    let formats: Vec<&str> = exports.iter().map(|e| e["format"].as_str().unwrap()).collect();
    let expected = ["GeoJSON", "table of cells", "shapefile", "GeoTIFF", "GeoTIFF", "GeoTIFF"];
    assert_eq!(formats, expected);
    for (export, format) in
        exports.iter().zip(formats).filter(|(e, _)| e["maps"][0]["unit"] != Value::Null)
    {
        let map = &export["maps"][0];
        let most = if format == "GeoTIFF" { 0.01 } else { 0.001 };
        assert!(map["against"]["within"].as_bool().unwrap(), "{format}");
        let product = map["product"]["value"].as_f64().unwrap();
        assert_near(product / outcome.value("/product_total"), 1.0, most, format);
        let area = map["area"]["value"].as_f64().unwrap();
        assert_near(area / outcome.value("/area"), 1.0, most, format);
    }
    let (again, status) = read(&job, &["out/rate_map.geojson", "--against", "job.toml"]);
    assert_eq!(again["exports"][0]["maps"][0]["against"]["within"], true);
    assert_eq!(status, Some(0));
}

/// A short ton an acre called a tonne a hectare is a factor of 2.24; tons called pounds 2,000.
#[test]
fn a_wrong_unit_is_told_with_its_factor() {
    let job = half_needs_nothing();
    job.prescribed(&[]);
    let map = fs::read_to_string(job.path("out/rate_map.geojson")).unwrap();
    let called = |name: &str, arguments: &[&str]| {
        fs::write(job.path("wrong.geojson"), map.replace("rate_ton_ac", name)).unwrap();
        let (readings, status) = read(&job, &[&["wrong.geojson", "--strict"], arguments].concat());
        assert_eq!(status, Some(3), "{readings:#}");
        let faults = readings["exports"][0]["faults"].as_array().unwrap();
        faults.iter().map(|f| f["text"].as_str().unwrap()).collect::<Vec<_>>().join("\n")
    };
    let against = ["--against", "out/summary.json"];
    let said = called("rate_t_ha", &against);
    assert!(said.contains("written in ton/ac") && said.contains("factor of 2.24"), "{said}");
    let said = called("rate_lb_ac", &against);
    assert!(said.contains("written in ton/ac") && said.contains("factor of 2000"), "{said}");
    // Without anything to hold it against only what nobody spreads is told, with its ground.
    let said = called("rate_lb_ac", &[]);
    assert!(said.contains("common practice, no source"), "{said}");
    assert!(said.contains("ton/ac (a factor of 2000)"), "{said}");
    let said = called("rate", &[]);
    assert!(said.contains("--unit"), "{said}");
}

#[test]
fn what_cannot_be_read_is_refused_by_its_name() {
    let job = square();
    job.prescribed(&["export.files=[\"shapefile\"]"]);
    let refused = |arguments: &[&str]| {
        let output = job.run(&[&["read"], arguments].concat());
        assert_eq!(output.status.code(), Some(1));
        assert!(output.stdout.is_empty());
        String::from_utf8(output.stderr).unwrap()
    };
    assert!(refused(&["job.toml"]).contains("job.toml"));
    assert!(refused(&["gone.shp"]).contains("gone.shp"));
    assert!(refused(&["out/rate_map.geojson", "--column", "rates"]).contains("`rate_t_ha`"));
    let map = "out/rate_map.geojson";
    assert!(refused(&[map, "--against", "boundary.geojson"]).contains("no summary"));
    let dbf = job.path(&format!("out/exports/{STEM}.dbf"));
    let bytes = fs::read(&dbf).unwrap();
    fs::write(&dbf, &bytes[..bytes.len() / 2]).unwrap();
    let said = refused(&["out/exports"]);
    assert!(said.contains("damaged") && !said.contains("written"), "{said}");
    // What can be read is shown beside what cannot.
    let output = job.run(&["read", "out"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stdout).contains("rate_map.geojson"));
    assert!(String::from_utf8_lossy(&output.stderr).contains("damaged"));
}
