//! What the room does with whole boundaries and samples.

use super::*;
use crate::inputs::{CoordinateSystem, RawBoundary, RawPoint, RawPolygon, RingsSorted};
use crate::units::{Length, UnitSystem};

/// A square field of 400 m in Illinois, invented; 16.0014 ha on the ellipsoid.
pub(in crate::field) const SQUARE: [RawPoint; 5] = [
    [-89.003_036_8, 39.993_884_8],
    [-88.998_354, 39.993_965_7],
    [-88.998_459, 39.997_567_4],
    [-89.003_142_1, 39.997_486_5],
    [-89.003_036_8, 39.993_884_8],
];

pub(in crate::field) fn boundary_of(outer: &[RawPoint], holes: &[&[RawPoint]]) -> RawBoundary {
    let holes = holes.iter().map(|hole| hole.to_vec()).collect();
    RawBoundary {
        file: "boundary.geojson".into(),
        system: CoordinateSystem::Wgs84Degrees,
        polygons: vec![RawPolygon {
            feature: 1,
            outer: outer.to_vec(),
            holes,
            sorted: RingsSorted::ByTheFile,
        }],
    }
}

fn moved(system: &str, factor: f64) -> RawBoundary {
    let proj = proj::Proj::new_known_crs("EPSG:4326", system, None).unwrap();
    let outer: Vec<RawPoint> = SQUARE
        .iter()
        .map(|&[x, y]| {
            let (east, north) = proj.convert((x, y)).unwrap();
            [east * factor, north * factor]
        })
        .collect();
    RawBoundary { system: CoordinateSystem::Declared(system.into()), ..boundary_of(&outer, &[]) }
}

#[test]
fn the_square_has_its_true_area_in_whatever_system_it_came() {
    let (field, findings) = lay_out(&boundary_of(&SQUARE, &[])).unwrap();
    assert!(findings.is_empty());
    // Cases of degrees and of web Mercator taken as metres: 16.0014 ha, not 1.7e-5 and not 27.3.
    assert!((field.area().to_hectares() - 16.0014).abs() < 5e-5, "{:?}", field.area());
    assert!((field.area() / field.geodesic_area() - 1.0).abs() < 1e-6);
    for system in ["EPSG:3857", "EPSG:32616", "EPSG:3435", "EPSG:4269", "EPSG:3035"] {
        let (other, _) = lay_out(&moved(system, 1.0)).unwrap();
        let ratio = other.area() / field.area();
        assert!((ratio - 1.0).abs() < 1e-6, "{system}: {ratio}");
    }
}

#[test]
fn ring_direction_and_closing_do_not_matter() {
    let reversed: Vec<RawPoint> = SQUARE.iter().rev().copied().collect();
    let open = &SQUARE[..4];
    let doubled: Vec<RawPoint> = SQUARE.iter().flat_map(|&point| [point, point]).collect();
    let (field, _) = lay_out(&boundary_of(&SQUARE, &[])).unwrap();
    for ring in [reversed.as_slice(), open, doubled.as_slice()] {
        let (other, _) = lay_out(&boundary_of(ring, &[])).unwrap();
        assert!((other.area() / field.area() - 1.0).abs() < 1e-14);
    }
    let hole: &[RawPoint] = &[[-89.001, 39.995], [-89.0, 39.995], [-89.0, 39.996]];
    let turned: Vec<RawPoint> = hole.iter().rev().copied().collect();
    let (one, _) = lay_out(&boundary_of(&SQUARE, &[hole])).unwrap();
    let (other, _) = lay_out(&boundary_of(&SQUARE, &[&turned])).unwrap();
    assert!(one.area().to_hectares() < field.area().to_hectares() - 0.4);
    assert!((one.area() / other.area() - 1.0).abs() < 1e-14);
}

fn refusal(boundary: &RawBoundary) -> String {
    lay_out(boundary).map(|_| ()).unwrap_err().to_string()
}

#[test]
fn what_makes_no_field_is_refused_with_its_place() {
    let tie = [[0.0, 0.0], [0.002, 0.002], [0.002, 0.0], [0.0, 0.002]];
    let text = refusal(&boundary_of(&tie, &[]));
    assert!(text.contains("crosses itself at longitude 0.0010000, latitude 0.0010000"), "{text}");
    let square = [[0.0, 0.0], [0.01, 0.0], [0.01, 0.01], [0.0, 0.01]];
    let outside: &[RawPoint] = &[[0.02, 0.0], [0.03, 0.0], [0.03, 0.01]];
    assert!(refusal(&boundary_of(&square, &[outside])).contains("hole 1 lies outside"));
    let across: &[RawPoint] = &[[0.005, 0.005], [0.02, 0.005], [0.005, 0.006]];
    assert!(refusal(&boundary_of(&square, &[across])).contains("crosses"));
    let hole: &[RawPoint] = &[[0.002, 0.002], [0.008, 0.002], [0.008, 0.008]];
    let inner: &[RawPoint] = &[[0.004, 0.003], [0.006, 0.003], [0.006, 0.004]];
    assert!(refusal(&boundary_of(&square, &[hole, inner])).contains("hole 2 lies in hole 1"));
    assert!(refusal(&boundary_of(&square[..2], &[])).contains("2 different places"));
    let metres = [[329_000.0, 4_428_000.0], [329_400.0, 4_428_000.0], [329_400.0, 4_428_400.0]];
    assert!(refusal(&boundary_of(&metres, &[])).contains("projected coordinates"));
    let wide = [[-179.99, 0.0], [179.99, 0.0], [179.99, 0.01]];
    assert!(refusal(&boundary_of(&wide, &[])).contains("180th meridian"));
    let mut unknown = boundary_of(&square, &[]);
    unknown.system = CoordinateSystem::Declared("EPSG:999999".into());
    let text = refusal(&unknown);
    assert!(text.contains("`EPSG:999999` is not known") && text.contains("EPSG:32615"), "{text}");
}

#[test]
fn polygons_may_lie_side_by_side_and_their_overlap_counts_once() {
    let polygon = |feature, outer: [RawPoint; 4]| RawPolygon {
        feature,
        outer: outer.to_vec(),
        holes: Vec::new(),
        sorted: RingsSorted::ByTheFile,
    };
    let left = [[0.0, 0.0], [0.01, 0.0], [0.01, 0.01], [0.0, 0.01]];
    let right = left.map(|[x, y]| [x + 0.01, y]);
    let over = left.map(|[x, y]| [x + 0.0043, y + 0.001]);
    // Where long edges get a point in the middle, these cross at vertices only.
    let through_vertices = left.map(|[x, y]| [x + 0.005, y + 0.005]);
    let within = left.map(|[x, y]| [0.004 + x / 10.0, 0.004 + y / 10.0]);
    let of = |other: [RawPoint; 4]| {
        let mut boundary = boundary_of(&left, &[]);
        boundary.polygons.push(polygon(2, other));
        boundary
    };
    let (single, _) = lay_out(&boundary_of(&left, &[])).unwrap();
    // Degrees near the equator are so nearly the same size that shares of the square are shares of
    // its area.
    for (other, times, told) in [
        (right, 2.0, false),
        (over, 2.0 - 0.57 * 0.9, true),
        (through_vertices, 1.75, true),
        (within, 1.0, true),
        (left, 1.0, true),
    ] {
        let (field, findings) = lay_out(&of(other)).unwrap();
        let ratio = field.area() / single.area();
        assert!((ratio - times).abs() < 1e-6, "{ratio} is not {times}");
        assert_eq!(findings.iter().any(|finding| finding.key == "parts_united"), told);
        assert_eq!(findings.len(), usize::from(told), "{findings:?}");
    }
}

/// Samples of the square: a lattice of nine.
fn lattice() -> Vec<RawPoint> {
    (0..9)
        .map(|i| [-89.0022 + f64::from(i % 3) * 0.0015, 39.9945 + f64::from(i / 3) * 0.0012])
        .collect()
}

fn fit(raw: &[RawPoint]) -> Result<Vec<crate::findings::Finding>, crate::findings::Refusal> {
    fit_told_in(UnitSystem::Metric, raw)
}

fn fit_told_in(
    units: UnitSystem,
    raw: &[RawPoint],
) -> Result<Vec<crate::findings::Finding>, crate::findings::Refusal> {
    let (field, _) = lay_out(&boundary_of(&SQUARE, &[])).unwrap();
    let places = |index: usize| crate::findings::Place {
        line: Some(index + 2),
        sample: Some(format!("S{:02}", index + 1)),
        ..crate::findings::Place::in_file("samples.csv")
    };
    let system = CoordinateSystem::Wgs84Degrees;
    let samples = Samples { file: "samples.csv", system: &system, raw, places: &places };
    let points = place_points(&field, &samples)?;
    check_fit(&field, &samples, &points, units, Length::from_metres(100.0))
}

#[test]
fn samples_with_mixed_up_coordinates_are_refused_with_the_evidence() {
    assert!(fit(&lattice()).unwrap().is_empty());
    let swapped: Vec<RawPoint> = lattice().iter().map(|&[x, y]| [y, x]).collect();
    let text = fit(&swapped).unwrap_err().to_string();
    assert!(text.contains("0 of 9 samples lie in the field"), "{text}");
    assert!(text.contains("exchanged, 9 do"), "{text}");
    let east: Vec<RawPoint> = lattice().iter().map(|&[x, y]| [-x, y]).collect();
    let text = fit(&east).unwrap_err().to_string();
    assert!(text.contains("the sign of the longitude (or x) turned, 9 do"), "{text}");
    let elsewhere: Vec<RawPoint> = lattice().iter().map(|&[x, y]| [x + 1.0, y]).collect();
    assert!(fit(&elsewhere).unwrap_err().to_string().contains("the nearest is 85"));
}

#[test]
fn samples_a_little_outside_are_reported_and_far_ones_refused() {
    let mut raw = lattice();
    raw[4] = [-89.0035, 39.9957];
    let findings = fit(&raw).unwrap();
    assert_eq!(findings.len(), 1);
    assert!(findings[0].text.contains("1 of 9 samples"), "{}", findings[0].text);
    assert!(findings[0].text.contains("S05 (line 6)"), "{}", findings[0].text);
    raw[7] = [-98.0, 39.99];
    let text = fit(&raw).unwrap_err().to_string();
    assert!(text.contains("sample S08") && !text.contains("sample S05"), "{text}");
}

#[test]
fn how_far_samples_lie_outside_is_told_in_the_units_of_the_job() {
    let mut raw = lattice();
    raw[4] = [-89.0035, 39.9957];
    // 0.0004101 degrees of longitude west of the edge, at latitude 39.9957: 35.0 m, 115 ft.
    let told = |units, raw: &[RawPoint]| match fit_told_in(units, raw) {
        Ok(findings) => findings[0].text.clone(),
        Err(refusal) => refusal.to_string(),
    };
    let (metric, us) = (told(UnitSystem::Metric, &raw), told(UnitSystem::Us, &raw));
    assert!(metric.contains("by 35 m:"), "{metric}");
    assert!(us.contains("by 115 ft:"), "{us}");
    raw[7] = [-98.0, 39.99];
    assert!(told(UnitSystem::Metric, &raw).contains(" km from the field"));
    assert!(told(UnitSystem::Us, &raw).contains(" mi from the field"));
}
