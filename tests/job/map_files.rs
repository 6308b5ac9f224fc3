//! Boundaries in the files that people have, through the whole job: a square of 400 m in Illinois,
//! in many formats and systems, always with the same area.

use std::fs;
use std::io::Cursor;

use proj::Proj;
use serde_json::Value;
use shapefile::{Point, Polygon, PolygonRing, ShapeWriter};

use super::support::{JOB, Job, Outcome, assert_near, root};

const M2_PER_ACRE: f64 = 4046.8564224;
/// The geodesic area of the square, as GeographicLib has it.
const SQUARE_M2: f64 = 160013.96;
/// Its corners, counter-clockwise from the south-west.
const CORNERS: [(f64, f64); 4] = [
    (-89.0030368, 39.9938848),
    (-88.998354, 39.9939657),
    (-88.998459, 39.9975674),
    (-89.0031421, 39.9974865),
];

fn data(name: &str) -> Vec<u8> {
    fs::read(root().join("tests/data/map_files/pain").join(name)).unwrap()
}

/// A job whose boundary is the first of these files; they lie together beside it.
fn job_of(files: &[(&str, Vec<u8>)]) -> Job {
    let samples = String::from_utf8(data("square_samples.csv")).unwrap();
    let rows: Vec<String> = samples
        .lines()
        .enumerate()
        .map(|(line, row)| format!("{row},{}", if line == 0 { "BpH" } else { "6.4" }))
        .collect();
    let job = JOB.replace("boundary.geojson", files[0].0);
    let job = Job::new(&job, "", &rows.join("\n"));
    for (name, bytes) in files {
        fs::write(job.path(name), bytes).unwrap();
    }
    job
}

/// A job on a shapefile of the cases, with all files of its set.
fn job_on_set(stem: &str) -> Job {
    let files: Vec<(String, Vec<u8>)> = ["shp", "shx", "dbf", "prj"]
        .iter()
        .map(|extension| format!("{stem}.{extension}"))
        .filter(|name| root().join("tests/data/map_files/pain").join(name).exists())
        .map(|name| (name.clone(), data(&name)))
        .collect();
    let files: Vec<(&str, Vec<u8>)> =
        files.iter().map(|(name, bytes)| (name.as_str(), bytes.clone())).collect();
    job_of(&files)
}

/// The square as a `.shp` file in the numbers of a system.
fn square_in(system: &str) -> Vec<u8> {
    let way = Proj::new_known_crs("EPSG:4326", system, None).unwrap();
    let mut ring: Vec<Point> = CORNERS
        .iter()
        .map(|&corner| way.convert(corner).unwrap())
        .map(|(x, y)| Point::new(x, y))
        .collect();
    ring.push(ring[0]);
    let mut bytes = Cursor::new(Vec::new());
    let polygon = Polygon::new(PolygonRing::Outer(ring));
    ShapeWriter::new(&mut bytes).write_shapes(&vec![polygon]).unwrap();
    bytes.into_inner()
}

fn area_m2(outcome: &Outcome) -> f64 {
    outcome.value("/area") * M2_PER_ACRE
}

fn assert_square(outcome: &Outcome, what: &str) {
    assert_near(area_m2(outcome), SQUARE_M2, 1e-6 * SQUARE_M2, what);
}

#[test]
fn a_shapefile_without_prj_is_taken_as_degrees_only_where_it_can_be_nothing_else() {
    let outcome = job_on_set("p19_noprj").prescribed(&[]);
    assert_square(&outcome, "degrees");
    assert!(outcome.finding("coordinate_system_assumed").unwrap().contains("WGS 84"));
    let job = job_of(&[("utm.shp", square_in("EPSG:32616"))]);
    let said = job.refused(&[]);
    assert!(said.contains(".prj") && said.contains("coordinate_system = "), "{said}");
    assert_square(&job.prescribed(&["field.coordinate_system=EPSG:32616"]), "as stated");
}

#[test]
fn longitude_comes_first_whatever_the_authority_says() {
    let job = job_on_set("p28_polygonz");
    for sets in [&[][..], &["field.coordinate_system=EPSG:4326"]] {
        let outcome = job.prescribed(sets);
        assert_square(&outcome, "in degrees");
        let bbox: Vec<f64> =
            outcome.map["bbox"].as_array().unwrap().iter().filter_map(Value::as_f64).collect();
        assert_near(bbox[0], -89.0031421, 1e-7, "west");
        assert_near(bbox[1], 39.9938848, 1e-7, "south");
        fs::remove_dir_all(job.path("out")).unwrap();
    }
}

#[test]
fn the_old_crs_member_of_a_projected_file_is_honoured() {
    let outcome = job_of(&[("utm.geojson", data("p21_crs_member.geojson"))]).prescribed(&[]);
    // The square of 400 m in UTM, whose scale is not 1; geodesic area by GeographicLib.
    assert_near(area_m2(&outcome), 160013.07, 0.16, "UTM");
}

/// Illinois East in US survey feet, as GIS programs write it.
const FEET_PRJ: &str = r#"PROJCS["NAD_1983_StatePlane_Illinois_East_FIPS_1201_Feet",GEOGCS["GCS_North_American_1983",DATUM["D_North_American_1983",SPHEROID["GRS_1980",6378137.0,298.257222101]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",984250.0],PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",-88.33333333333333],PARAMETER["Scale_Factor",0.999975],PARAMETER["Latitude_Of_Origin",36.66666666666666],UNIT["Foot_US",0.3048006096012192]]"#;

#[test]
fn feet_and_metres_of_any_zone_give_the_same_square() {
    let feet = [("a.shp", square_in("EPSG:3435")), ("a.prj", FEET_PRJ.into())];
    let job = job_of(&feet);
    assert_square(&job.prescribed(&[]), "by the .prj file");
    fs::remove_dir_all(job.path("out")).unwrap();
    assert_square(&job.prescribed(&["field.coordinate_system=EPSG:3435"]), "stated as well");
    fs::remove_dir_all(job.path("out")).unwrap();
    let said = job.refused(&["field.coordinate_system=EPSG:26971"]);
    assert!(said.contains("is elsewhere"), "metres for feet: {said}");
    for system in ["EPSG:3435", "EPSG:6455", "EPSG:26916", "EPSG:6345", "EPSG:3857", "EPSG:5070"] {
        let stated = format!("field.coordinate_system={system}");
        let outcome = job_of(&[("a.shp", square_in(system))]).prescribed(&[&stated]);
        assert_square(&outcome, system);
    }
}

#[test]
fn a_hole_is_a_hole_whichever_way_its_ring_runs() {
    let hole = job_of(&[("square_hole.geojson", data("square_hole.geojson"))]).prescribed(&[]);
    assert_near(area_m2(&hole), 150012.0, 1.0, "as GeoJSON");
    for stem in ["p23_hole_ok", "p23_hole_bad", "p23_hole_both_cw"] {
        let outcome = job_on_set(stem).prescribed(&[]);
        assert_near(area_m2(&outcome), area_m2(&hole), 1e-6 * 150012.0, stem);
    }
    let mac = job_of(&[("mac.zip", data("p29_mac.zip"))]);
    assert_near(area_m2(&mac.prescribed(&[])), area_m2(&hole), 1e-6 * 150012.0, "from a Mac");
}

#[test]
fn a_bow_tie_is_refused_and_overlapping_parts_count_once() {
    let said = job_of(&[("tie.geojson", data("p24_bowtie.geojson"))]).refused(&[]);
    assert!(said.contains("cross") && said.contains("39.9957"), "{said}");
    let outcome = job_of(&[("two.geojson", data("p26_overlap.geojson"))]).prescribed(&[]);
    assert_near(area_m2(&outcome), 240023.0, 1.0, "the union");
}

#[test]
fn a_system_that_contradicts_the_file_is_refused() {
    let job = job_on_set("p28_polygonz");
    let said = job.refused(&["field.coordinate_system=EPSG:32616"]);
    assert!(said.contains("is elsewhere") && said.contains("EPSG:32616"), "{said}");
    let utm = job_of(&[("utm.geojson", data("p21_crs_member.geojson"))]);
    assert!(utm.refused(&["field.coordinate_system=EPSG:32615"]).contains("is elsewhere"));
    // NAD83 and WGS 84 put the zone at the same place.
    utm.prescribed(&["field.coordinate_system=EPSG:26916"]);
}

#[test]
fn a_datum_is_moved_and_told_or_refused_but_never_ignored() {
    let nad27 = job_of(&[("old.shp", square_in("EPSG:26716"))]);
    let outcome = nad27.prescribed(&["field.coordinate_system=EPSG:26716"]);
    assert_square(&outcome, "NAD27");
    let told = outcome.finding("datum_shift_coarse").unwrap();
    assert!(told.contains("NAD27 to WGS 84") && told.contains(" m only"), "{told}");
    let west = outcome.map["bbox"][0].as_f64().unwrap();
    assert_near(west, -89.0031421, 1e-7, "it was moved there and back");
    fs::remove_dir_all(nad27.path("out")).unwrap();
    let unknown = "field.coordinate_system=+proj=utm +zone=16 +ellps=clrk66 +type=crs";
    let said = nad27.refused(&[unknown]);
    assert!(said.contains("no shift to WGS 84 is known"), "{said}");
    let said = nad27.refused(&["field.coordinate_system=EPSG:999999"]);
    assert!(said.contains("EPSG:999999") && said.contains("not known"), "{said}");
}

#[test]
fn kml_gives_the_square_and_the_columns_to_choose_by() {
    let ring = |east: f64| {
        let at = |&(x, y): &(f64, f64)| format!("{},{y},210", x + east);
        let corners: Vec<String> = CORNERS.iter().chain(&CORNERS[..1]).map(at).collect();
        corners.join(" ")
    };
    let placemark = |name: &str, east| {
        format!(
            "<Placemark><name>{name}</name><Polygon><outerBoundaryIs><LinearRing><coordinates>{}\
             </coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark>",
            ring(east)
        )
    };
    let kml = format!(
        "<kml><Document>{}{}</Document></kml>",
        placemark("Home 3", 0.0),
        placemark("Home 4", 0.01)
    );
    let job = job_of(&[("farm.kml", kml.into_bytes())]);
    let both = job.prescribed(&[]);
    assert_near(area_m2(&both), 2.0 * SQUARE_M2, 1.0, "both fields");
    assert!(both.finding("boundary_of_several_features").unwrap().contains("2 features"));
    fs::remove_dir_all(job.path("out")).unwrap();
    assert_square(&job.prescribed(&["field.select={ name = \"Home 3\" }"]), "the chosen one");
    fs::remove_dir_all(job.path("out")).unwrap();
    let said = job.refused(&["field.select={ name = \"Home 5\" }"]);
    assert!(said.contains("`Home 3`, `Home 4`"), "{said}");
    let said = job.refused(&["field.select={ nam = \"Home 3\" }"]);
    assert!(said.contains("did you mean `name`"), "{said}");
}

#[test]
fn a_folder_of_several_shapefiles_gives_the_layer_that_the_job_names() {
    let job = job_of(&[("fields", Vec::new())]);
    fs::remove_file(job.path("fields")).unwrap();
    fs::create_dir(job.path("fields")).unwrap();
    for name in ["north", "south"] {
        for extension in ["shp", "dbf", "prj"] {
            let bytes = data(&format!("p28_polygonz.{extension}"));
            fs::write(job.path("fields").join(format!("{name}.{extension}")), bytes).unwrap();
        }
    }
    let said = job.refused(&[]);
    assert!(said.contains("`north`, `south`") && said.contains("layer = "), "{said}");
    let outcome = job.prescribed(&["field.layer=south"]);
    assert_square(&outcome, "the south");
    let inputs = outcome.summary["inputs"].as_array().unwrap();
    let paths: Vec<&str> = inputs.iter().filter_map(|input| input["path"].as_str()).collect();
    assert!(
        paths.contains(&"fields/south.shp") && paths.contains(&"fields/south.dbf"),
        "{paths:?}"
    );
    assert!(paths.iter().all(|path| !path.contains("north")), "{paths:?}");
}

#[test]
fn coarse_degrees_are_told_in_metres() {
    let coarse = "{\"type\":\"Polygon\",\"coordinates\":[[[-89.003,39.994],[-88.998,39.994],\
                  [-88.998,39.998],[-89.003,39.998],[-89.003,39.994]]]}";
    let outcome = job_of(&[("a.geojson", coarse.into())]).prescribed(&[]);
    let told = outcome.finding("coordinates_coarse").unwrap();
    // 0.0005 degree: 55.6 m north and south, and cos 39.994 degrees of that east and west.
    assert!(told.contains("56 m north") && told.contains("43 m east"), "{told}");
}
