//! Regions make up the field, and the cells that are cut from them tile it.

use std::collections::BTreeSet;

use geo::{Area as _, unary_union};
use proptest::prelude::*;

use super::*;
use crate::field::cells::tests::{
    as_written, assert_value_point_is_inside, cells_in, cells_of, field_at, pieces_of, star,
};
use crate::field::edges::distance_to_edge_m;
use crate::field::{Cells, Frame, LonLat};
use crate::inputs::{CoordinateSystem, Feature, RawGeometry, RawPoint, RawPolygon, RingsSorted};

const ILLINOIS: (f64, f64) = (-89.0, 39.995);

/// What a test draws, in metres about a place.
enum Draw {
    Point([f64; 2]),
    Line(Vec<[f64; 2]>),
    Area(Vec<Vec<[f64; 2]>>),
}

fn degrees(place: (f64, f64), points: &[[f64; 2]]) -> Vec<RawPoint> {
    let frame = Frame::centred_on(LonLat { lon_deg: place.0, lat_deg: place.1 });
    let to = |&[x_m, y_m]: &[f64; 2]| frame.inverse(Point { x_m, y_m });
    points.iter().map(to).map(|at| [at.lon_deg, at.lat_deg]).collect()
}

/// Features through degrees of so many decimals, as a file would have them.
fn layer_at(place: (f64, f64), draws: &[Draw], decimals: i32) -> FeatureLayer {
    let scale = 10_f64.powi(decimals);
    let written = |points: &[[f64; 2]]| -> Vec<RawPoint> {
        let round = |[x, y]: RawPoint| [x, y].map(|value| (value * scale).round() / scale);
        degrees(place, points).into_iter().map(round).collect()
    };
    let features = draws.iter().zip(1..).map(|(draw, number)| {
        let mut geometry = RawGeometry::default();
        match draw {
            Draw::Point(point) => geometry.points = written(&[*point]),
            Draw::Line(line) => geometry.lines = vec![written(line)],
            Draw::Area(rings) => {
                geometry.areas = vec![RawPolygon {
                    feature: number,
                    outer: written(&rings[0]),
                    holes: rings[1..].iter().map(|ring| written(ring)).collect(),
                    sorted: RingsSorted::ByTheFile,
                }];
            }
        }
        Feature { number, geometry, attributes: Vec::new() }
    });
    FeatureLayer {
        file: "areas.geojson".into(),
        system: CoordinateSystem::Wgs84Degrees,
        columns: Vec::new(),
        features: features.collect(),
    }
}

fn rectangle([west, south]: [f64; 2], [east, north]: [f64; 2]) -> Vec<[f64; 2]> {
    vec![[west, south], [east, south], [east, north], [west, north]]
}

fn square_field() -> Field {
    field_at(ILLINOIS, &rectangle([-200.0, -200.0], [200.0, 200.0]), &[])
}

fn layer(draws: &[Draw]) -> FeatureLayer {
    layer_at(ILLINOIS, draws, 12)
}

fn names(names: &[&str]) -> Vec<String> {
    names.iter().map(|&name| name.into()).collect()
}

/// Everything that makes regions a partition of the field and cells a tiling of them.
fn assert_parts(field: &Field, partition: &Partition, cells: &Cells) {
    let m2 = Area::to_square_metres;
    let gross = m2(field.area());
    let outline_m: f64 = field.rings().iter().map(crate::field::ring::Ring::length_m).sum();
    let off = (m2(partition.net) + m2(partition.kept_out) - gross).abs();
    assert!(off < 1e-9 * gross + 1e-6 * outline_m, "{off} m2 of {gross}");
    let mut of_regions = vec![0.0; partition.regions.len()];
    let mut edges: BTreeSet<(u32, u32)> = BTreeSet::new();
    let mut last = None;
    for cell in &cells.list {
        let name = (cell.row, cell.column, cell.part);
        assert!(last < Some(name), "cells in order");
        last = Some(name);
        of_regions[cell.region] += m2(cell.area);
        let written = as_written(cells, cell);
        geo::Validation::check_validation(&written).unwrap_or_else(|e| panic!("{name:?}: {e}"));
        for edge in pieces_of(cell).iter().flat_map(PieceRings::edges) {
            assert!(edges.insert(edge), "{name:?} repeats the edge {edge:?}");
        }
        assert_value_point_is_inside(cells, cell);
    }
    for (region, sum) in partition.regions.iter().zip(of_regions) {
        // Content thinner than the output's decimals may have gone to a neighbour.
        assert!((m2(region.area) - sum).abs() < 1e-9 * gross, "{} {sum}", m2(region.area));
        assert!((region.outline.unsigned_area() - sum).abs() < 1e-9 * gross);
        assert!(geo::Validation::is_valid(&region.outline));
    }
    assert!((partition.keep_out.unsigned_area() - m2(partition.kept_out)).abs() < 1e-9 * gross);
    let at = |knot: u32| partition.knots[knot as usize].point;
    let borders: Vec<(Point, Point)> = partition
        .regions
        .iter()
        .flat_map(|region| &region.rings)
        .flat_map(|ring| (0..ring.len()).map(|i| (at(ring[i]), at(ring[(i + 1) % ring.len()]))))
        .collect();
    for &(a, b) in edges.iter().filter(|&&(a, b)| !edges.contains(&(b, a))) {
        for vertex in [a, b] {
            let point = cells.vertices[vertex as usize].point;
            let away = borders.iter().map(|edge| distance_to_edge_m(point, *edge));
            assert!(away.fold(f64::INFINITY, f64::min) < 0.02, "an edge in the open");
        }
    }
}

/// No two cells overlap as they are written: their areas are that of their union.
fn assert_no_overlap(cells: &Cells) {
    let written: Vec<_> = cells.list.iter().map(|cell| as_written(cells, cell)).collect();
    let sum: f64 = written.iter().map(geo::Area::unsigned_area).sum();
    let union = unary_union(&written).unsigned_area();
    assert!((union / sum - 1.0).abs() < 1e-6, "{union} {sum}");
}

use crate::field::PieceRings;

#[test]
fn a_well_with_a_setback_is_kept_out_as_a_circle() {
    let field = square_field();
    let wells = layer(&[Draw::Point([3.0, 4.0]), Draw::Point([-200.0, 0.0])]);
    let radius = 15.24;
    let keep = KeepOut { layer: &wells, setback: Length::from_metres(radius) };
    let (partition, findings) =
        part_field(&field, &[keep], None, &[], None, UnitSystem::Metric).unwrap();
    assert!(findings.is_empty());
    // One whole circle, and half of the one on the border.
    let expected = 1.5 * std::f64::consts::PI * radius * radius;
    let kept_out = partition.kept_out.to_square_metres();
    assert!((kept_out - expected).abs() < 0.003 * std::f64::consts::TAU * radius * 1.5);
    assert_eq!(partition.regions.len(), 1);
    for heading in [0.0, 30.0] {
        let cells = cells_in(&field, &partition, 12.0, heading);
        assert_parts(&field, &partition, &cells);
        assert_no_overlap(&cells);
    }
}

#[test]
fn a_hole_in_what_is_kept_out_stays_in_the_field() {
    let field = square_field();
    let yard = Draw::Area(vec![
        rectangle([-100.0, -100.0], [50.0, 50.0]),
        rectangle([-40.0, -40.0], [0.0, 0.0]),
    ]);
    let stream = Draw::Line(vec![[-300.0, 150.0], [300.0, 150.0]]);
    let layer = layer(&[yard, stream]);
    let none = KeepOut { layer: &layer, setback: Length::ZERO };
    let text =
        part_field(&field, &[none], None, &[], None, UnitSystem::Metric).unwrap_err().to_string();
    assert!(text.contains("feature 2: the feature has no area"), "{text}");
    let ten = KeepOut { layer: &layer, setback: Length::from_metres(10.0) };
    let (partition, _) = part_field(&field, &[ten], None, &[], None, UnitSystem::Metric).unwrap();
    // Round corners outside, square ones inside; the stream is cut off at the boundary.
    let yard = 150.0 * 150.0 + 4.0 * 1_500.0 + 100.0 * std::f64::consts::PI - 20.0 * 20.0;
    let expected = yard + 400.0 * 20.0;
    assert!((partition.kept_out.to_square_metres() - expected).abs() < 0.5, "{partition:?}");
    let cells = cells_in(&field, &partition, 17.0, 0.0);
    assert_parts(&field, &partition, &cells);
    assert_no_overlap(&cells);
}

/// Three zones in a T whose corners were written with seven decimals: the borders of two of them
/// miss the corner of the third by a hair.
fn zones_in_a_t() -> FeatureLayer {
    let west = vec![[-200.0, -200.0], [-50.0, -200.0], [30.0, 200.0], [-200.0, 200.0]];
    let south = vec![[-50.0, -200.0], [200.0, -200.0], [200.0, 11.0], [-9.0, 5.0]];
    let north = vec![[-9.0, 5.0], [200.0, 11.0], [200.0, 200.0], [30.0, 200.0]];
    let draws: Vec<Draw> = [west, south, north].into_iter().map(|r| Draw::Area(vec![r])).collect();
    layer_at(ILLINOIS, &draws, 7)
}

#[test]
fn zones_that_meet_but_for_rounding_leave_no_gap_and_no_overlap() {
    let field = square_field();
    let layer = zones_in_a_t();
    let names = names(&["A", "B", "A"]);
    let zones = ZoneAreas { layer: &layer, names: &names };
    let (partition, findings) =
        part_field(&field, &[], Some(zones), &[], None, UnitSystem::Metric).unwrap();
    assert!(findings.is_empty());
    assert!(partition.gaps == Area::ZERO && partition.overlaps == Area::ZERO, "{partition:?}");
    assert_eq!(partition.regions.len(), 2);
    let sum: Area = partition.zones.iter().map(|zone| zone.area).sum();
    assert!((sum / field.area() - 1.0).abs() < 1e-9);
    for (cell, heading) in [(20.0, 0.0), (33.0, 17.0)] {
        let cells = cells_in(&field, &partition, cell, heading);
        assert_parts(&field, &partition, &cells);
        assert_no_overlap(&cells);
        assert!(cells.list.iter().any(|cell| cell.part == 1));
        // The grid is that of the whole field: whole cells stay as they are.
        let whole = cells_of(&field, cell, heading);
        assert_eq!((cells.rows, cells.columns), (whole.rows, whole.columns));
    }
}

#[test]
fn gaps_and_overlaps_of_zones_are_measured_and_the_first_zone_wins() {
    let field = square_field();
    let draws = [
        Draw::Area(vec![rectangle([-200.0, -200.0], [20.0, 200.0])]),
        Draw::Area(vec![rectangle([0.0, -200.0], [190.0, 200.0])]),
        Draw::Area(vec![rectangle([900.0, 0.0], [950.0, 50.0])]),
    ];
    let (layer, names) = (layer(&draws), names(&["left", "right", "far"]));
    let zones = ZoneAreas { layer: &layer, names: &names };
    let (partition, findings) =
        part_field(&field, &[], Some(zones), &[], None, UnitSystem::Metric).unwrap();
    let near = |area: Area, m2: f64| (area.to_square_metres() - m2).abs() < 0.01;
    assert!(near(partition.overlaps, 20.0 * 400.0) && near(partition.gaps, 10.0 * 400.0));
    assert!(near(partition.zones[0].area, 220.0 * 400.0));
    assert!(near(partition.zones[1].area, 170.0 * 400.0));
    assert!(near(partition.zones[2].area, 0.0));
    assert!(findings[0].text.starts_with("1 of 3 sample zones do not touch the field"));
    assert_eq!(partition.nearest_zone(Point { x_m: 195.0, y_m: 0.0 }).unwrap().0, 1);
    assert!(partition.point_in_zone(2).is_none());
    let inside = partition.point_in_zone(1).unwrap();
    assert!(inside.x_m > 20.0 && inside.x_m < 190.0, "{inside:?}");
}

#[test]
fn overrides_lie_across_zones_and_one_another() {
    let field = square_field();
    let (zones, names) = (zones_in_a_t(), names(&["A", "B", "C"]));
    let first = layer(&[Draw::Area(vec![rectangle([-60.0, -60.0], [60.0, 60.0])])]);
    let second = layer(&[Draw::Area(vec![rectangle([0.0, 0.0], [90.0, 90.0])])]);
    let overrides = [OverrideArea { layer: &first }, OverrideArea { layer: &second }];
    let zones = ZoneAreas { layer: &zones, names: &names };
    let (partition, _) =
        part_field(&field, &[], Some(zones), &overrides, None, UnitSystem::Metric).unwrap();
    let area_under = |number: usize| -> f64 {
        let regions = partition.regions.iter().filter(|region| region.overrides.contains(&number));
        regions.map(|region| region.area.to_square_metres()).sum()
    };
    assert!((area_under(0) - 14_400.0).abs() < 0.02 && (area_under(1) - 8_100.0).abs() < 0.02);
    assert!(partition.regions.iter().any(|region| region.overrides == [0, 1]));
    let cells = cells_in(&field, &partition, 20.0, 0.0);
    assert_parts(&field, &partition, &cells);
    assert_no_overlap(&cells);
}

#[test]
fn what_covers_the_whole_field_is_refused_and_what_misses_it_is_told() {
    let field = square_field();
    let all = layer(&[Draw::Area(vec![rectangle([-300.0, -300.0], [300.0, 300.0])])]);
    let keep = KeepOut { layer: &all, setback: Length::ZERO };
    let text =
        part_field(&field, &[keep], None, &[], None, UnitSystem::Metric).unwrap_err().to_string();
    assert!(text.contains("covers the whole field"), "{text}");
    let far = layer(&[Draw::Point([1_200.0, 0.0])]);
    let keep = KeepOut { layer: &far, setback: Length::from_metres(50.0) };
    let (partition, findings) =
        part_field(&field, &[keep], None, &[], None, UnitSystem::Metric).unwrap();
    assert_eq!(partition.kept_out, Area::ZERO);
    assert!(findings[0].text.contains("the nearest is 950 m away"), "{findings:?}");
    // Of sample zones there must be one.
    let (layer, names) =
        (layer(&[Draw::Area(vec![rectangle([900.0, 0.0], [950.0, 50.0])])]), names(&["far"]));
    let zones = ZoneAreas { layer: &layer, names: &names };
    let text = part_field(&field, &[], Some(zones), &[], None, UnitSystem::Metric)
        .unwrap_err()
        .to_string();
    assert!(text.contains("none of the 1 sample zones touches the field"), "{text}");
}

#[test]
fn borders_on_grid_lines_or_a_hair_off_are_tiled() {
    let field = square_field();
    for nudge in [0.0, 1e-9, -1e-9, 3e-7, -3e-7, 4e-6, 0.004, -0.011] {
        let west = rectangle([-210.0, -210.0], [0.0 + nudge, 210.0]);
        let corner = rectangle([0.0 - nudge, 0.0 + nudge], [210.0, 210.0]);
        let (west, corner) = (layer(&[Draw::Area(vec![west])]), layer(&[Draw::Area(vec![corner])]));
        let overrides = [OverrideArea { layer: &west }, OverrideArea { layer: &corner }];
        let (partition, _) =
            part_field(&field, &[], None, &overrides, None, UnitSystem::Metric).unwrap();
        for heading in [0.0, 90.0, 180.0, 270.0] {
            let cells = cells_in(&field, &partition, 40.0, heading);
            assert_parts(&field, &partition, &cells);
            assert_no_overlap(&cells);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, ..ProptestConfig::default() })]

    #[test]
    fn any_regions_make_up_the_field_and_are_tiled(
        radii in prop::collection::vec(80.0..220.0_f64, 7..30),
        zones in prop::collection::vec(
            (-150.0..150.0_f64, -150.0..150.0_f64, prop::collection::vec(5.0..150.0_f64, 3..9)),
            1..6,
        ),
        wells in prop::collection::vec((-200.0..200.0_f64, -200.0..200.0_f64), 0..4),
        stream in prop::collection::vec((-250.0..250.0_f64, -250.0..250.0_f64), 2..5),
        setback in 0.5..30.0_f64,
        decimals in 6..9_i32,
        cell_m in 5.0..60.0_f64,
        heading in 0.0..90.0_f64,
        lat in -60.0..60.0_f64,
    ) {
        let place = (11.0, lat);
        let field = field_at(place, &star([0.0, 0.0], &radii), &[]);
        let mut draws: Vec<Draw> = wells.iter().map(|&(x, y)| Draw::Point([x, y])).collect();
        draws.push(Draw::Line(stream.iter().map(|&(x, y)| [x, y]).collect()));
        draws.push(Draw::Point([0.0, 0.0]));
        let kept = layer_at(place, &draws, decimals);
        let keep = KeepOut { layer: &kept, setback: Length::from_metres(setback) };
        let areas: Vec<Draw> = zones
            .iter()
            .map(|(x, y, radii)| Draw::Area(vec![star([*x, *y], radii)]))
            .chain([Draw::Area(vec![rectangle([-30.0, -30.0], [30.0, 30.0])])])
            .collect();
        let layer = layer_at(place, &areas, decimals);
        let names: Vec<String> = (0..areas.len()).map(|number| number.to_string()).collect();
        let zones = ZoneAreas { layer: &layer, names: &names };
        let band = [Draw::Area(vec![rectangle([-40.0, -250.0], [33.3, 250.0])])];
        let band = layer_at(place, &band, decimals);
        let overrides = [OverrideArea { layer: &band }];
        let parts = part_field(&field, &[keep], Some(zones), &overrides, None, UnitSystem::Metric);
        if let Ok((partition, _)) = parts {
            let cells = cells_in(&field, &partition, cell_m, heading);
            assert_parts(&field, &partition, &cells);
        }
    }
}

#[test]
fn a_small_field_that_is_parted_in_the_middle_of_its_sides_adds_up() {
    // A straight side in degrees is curved by a tenth of a millimetre in the frame, so the corners of
    // the zones lie beside it and are rounded to the lattice; on 0.6 ha that is two parts in 1e9.
    let field = field_at(ILLINOIS, &rectangle([-40.0, -40.0], [40.0, 40.0]), &[]);
    let halves = [[-40.0, 0.0], [0.0, 40.0]]
        .map(|[west, east]| Draw::Area(vec![rectangle([west, -40.000_1], [east, 40.000_1])]));
    for decimals in 6..13 {
        let layer = layer_at(ILLINOIS, &halves, decimals);
        let names = names(&["West", "East"]);
        let zones = ZoneAreas { layer: &layer, names: &names };
        let (partition, _) =
            part_field(&field, &[], Some(zones), &[], None, UnitSystem::Metric).unwrap();
        let parts: f64 = partition.zones.iter().map(|zone| zone.area.to_square_metres()).sum();
        let gaps = partition.gaps.to_square_metres();
        assert!((parts + gaps - 6_400.0).abs() < 0.01, "{decimals}: {parts} and {gaps}");
    }
}
