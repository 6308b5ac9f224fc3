//! Real boundaries, and published points for the door to other systems.

use std::path::PathBuf;

use super::cells::tests::{assert_tiles, cells_of};
use super::door::Door;
use super::*;
use crate::findings::Place;
use crate::inputs::{CoordinateSystem, RawBoundary, RawPoint, RawPolygon, RingsSorted};

fn data(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(name)
}

fn read_boundary(name: &str) -> RawBoundary {
    let text = std::fs::read_to_string(data("boundaries").join(name)).unwrap();
    let collection: geojson::FeatureCollection = text.parse().unwrap();
    let mut polygons = Vec::new();
    for (index, feature) in collection.features.iter().enumerate() {
        let parts = match feature.geometry.clone().unwrap().value {
            geojson::GeometryValue::Polygon { coordinates } => vec![coordinates],
            geojson::GeometryValue::MultiPolygon { coordinates } => coordinates,
            other => panic!("{name} holds {other:?}"),
        };
        polygons.extend(parts.iter().map(|rings| {
            let mut rings = rings.iter().map(|ring| {
                ring.iter().map(|p| [p.as_slice()[0], p.as_slice()[1]]).collect::<Vec<RawPoint>>()
            });
            let outer = rings.next().unwrap();
            RawPolygon {
                feature: index + 1,
                outer,
                holes: rings.collect(),
                sorted: RingsSorted::ByTheFile,
            }
        }));
    }
    RawBoundary { file: name.into(), system: CoordinateSystem::Wgs84Degrees, polygons }
}

#[derive(serde::Deserialize)]
struct Listed {
    file: String,
    /// Only of valid polygons.
    geodesic_area_m2: Option<f64>,
    valid: String,
}

fn listed() -> Vec<Listed> {
    let mut reader = csv::Reader::from_path(data("boundaries/index.csv")).unwrap();
    reader.deserialize().map(Result::unwrap).collect()
}

#[test]
fn real_boundaries_have_their_geodesic_area() {
    for Listed { file, geodesic_area_m2, valid } in listed() {
        assert_eq!(geodesic_area_m2.is_some(), valid == "True");
        let Some(geodesic_area_m2) = geodesic_area_m2 else { continue };
        let (field, findings) =
            lay_out(&read_boundary(&file)).unwrap_or_else(|refusal| panic!("{refusal}"));
        let ratio = field.area().to_square_metres() / geodesic_area_m2;
        assert!((ratio - 1.0).abs() < 1e-6, "{file}: {ratio}");
        assert!(findings.iter().all(|finding| finding.key == "repeated_vertices"), "{findings:?}");
    }
}

/// What `PROVENANCE.md` says about `repaired.csv`.
#[derive(serde::Deserialize)]
struct Repaired {
    file: String,
    geodesic_area_m2: f64,
    touches_at: String,
}

#[test]
fn real_rings_that_touch_themselves_are_mended_told_and_tiled() {
    let mut reader = csv::Reader::from_path(data("boundaries/repaired.csv")).unwrap();
    let repaired: Vec<Repaired> = reader.deserialize().map(Result::unwrap).collect();
    let invalid = listed().into_iter().filter(|listed| listed.valid == "False").count();
    assert_eq!(repaired.len(), invalid);
    for Repaired { file, geodesic_area_m2, touches_at } in repaired {
        let (field, findings) = lay_out(&read_boundary(&file)).unwrap();
        let ratio = field.area().to_square_metres() / geodesic_area_m2;
        assert!((ratio - 1.0).abs() < 1e-6, "{file}: {ratio}");
        let (lon, lat) = touches_at.split_once(' ').unwrap();
        let (lon, lat): (f64, f64) = (lon.parse().unwrap(), lat.parse().unwrap());
        let at = format!("longitude {lon:.7}, latitude {lat:.7}");
        let told = findings.iter().find(|finding| finding.key == "rings_mended").unwrap();
        assert!(told.text.contains(&at), "{}", told.text);
        assert!(told.text.contains("The area stays as it was"), "{}", told.text);
        for (cell_m, heading) in [(12.0, 0.0), (36.0, 20.0)] {
            assert_tiles(&field, &cells_of(&field, cell_m, heading));
        }
    }
}

#[test]
fn real_boundaries_are_tiled_at_any_heading() {
    for (number, Listed { file, .. }) in
        listed().into_iter().filter(|listed| listed.valid == "True").enumerate()
    {
        let (field, _) = lay_out(&read_boundary(&file)).unwrap();
        for (cell_m, heading) in [(12.0, 0.0), (36.0, 7.0 + 13.0 * number as f64), (200.0, 45.0)] {
            assert_tiles(&field, &cells_of(&field, cell_m, heading));
        }
    }
}

fn to_degrees(system: &str, at: RawPoint) -> LonLat {
    let system = CoordinateSystem::Declared(system.into());
    let door = Door::open(&system, &Place::default()).unwrap();
    door.move_points(&[at], |_| Place::default()).unwrap()[0]
}

#[derive(serde::Deserialize)]
struct GigsPoint {
    projected: String,
    tolerance_m: f64,
    lon_deg: f64,
    lat_deg: f64,
    east: f64,
    north: f64,
}

#[test]
fn the_door_agrees_with_the_gigs_points() {
    let mut reader = csv::Reader::from_path(data("geodesy/gigs.csv")).unwrap();
    let points: Vec<GigsPoint> = reader.deserialize().map(Result::unwrap).collect();
    assert!(points.len() > 30);
    for point in points {
        let place = to_degrees(&point.projected, [point.east, point.north]);
        // A degree is at least 110.5 km long along a meridian.
        let tolerance_deg = point.tolerance_m / 110_500.0;
        let shrink = point.lat_deg.to_radians().cos();
        assert!(
            (place.lat_deg - point.lat_deg).abs() < tolerance_deg,
            "{place:?} {}",
            point.lat_deg
        );
        let off = (place.lon_deg - point.lon_deg).abs() * shrink;
        assert!(off < tolerance_deg, "{place:?} {}", point.lon_deg);
    }
}

#[test]
fn the_door_agrees_with_the_worked_examples_of_the_epsg_registry() {
    // IOGP, Guidance Note 7-2: Coordinate Conversions and Transformations including Formulas,
    // the examples of the Transverse Mercator and of the Lambert Conic Conformal with one and with
    // two standard parallels (values as widely reprinted; the edition was not at hand).
    let dms = |d: f64, m: f64, s: f64| d + m / 60.0 + s / 3_600.0;
    let cases = [
        (
            "+proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000 +ellps=airy \
             +units=m +type=crs",
            [577_274.99, 69_740.50],
            [dms(0.0, 30.0, 0.0), dms(50.0, 30.0, 0.0)],
        ),
        (
            "+proj=lcc +lat_1=28.3833333333333333 +lat_2=30.2833333333333333 \
             +lat_0=27.8333333333333333 +lon_0=-99 +x_0=609601.2192024384 +ellps=clrk66 \
             +units=us-ft +type=crs",
            [2_963_503.91, 254_759.80],
            [-96.0, 28.5],
        ),
        (
            "+proj=lcc +lat_1=18 +lat_0=18 +lon_0=-77 +k_0=1 +x_0=250000 +y_0=150000 \
             +ellps=clrk66 +units=m +type=crs",
            [255_966.58, 142_493.51],
            [-dms(76.0, 56.0, 37.26), dms(17.0, 55.0, 55.80)],
        ),
    ];
    for (system, at, [lon, lat]) in cases {
        let place = to_degrees(system, at);
        // The examples are printed to a hundredth of a unit.
        assert!((place.lon_deg - lon).abs() < 1.5e-7, "{system}: {place:?}");
        assert!((place.lat_deg - lat).abs() < 1.5e-7, "{system}: {place:?}");
    }
}
