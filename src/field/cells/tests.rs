//! Cells tile the field, whatever its outline and however the grid lies.

use std::collections::BTreeSet;

use geo::{Coord, LineString, MultiPolygon, Polygon, Validation};
use proptest::prelude::*;

use super::*;
use crate::field::edges::{distance_to_edge_m, is_inside};
use crate::field::outline::lay_out;
use crate::field::place::LonLat;
use crate::field::{Frame, tests::boundary_of};
use crate::inputs::{RawPoint, RawPolygon, RingsSorted};
use crate::units::LIMITS;

/// A field drawn in metres about a place, through degrees, as a file would have it.
pub(in crate::field) fn field_at(
    place: (f64, f64),
    outer: &[[f64; 2]],
    holes: &[Vec<[f64; 2]>],
) -> Field {
    let frame = Frame::centred_on(LonLat { lon_deg: place.0, lat_deg: place.1 });
    let degrees = |ring: &[[f64; 2]]| -> Vec<RawPoint> {
        let to = |&[x_m, y_m]: &[f64; 2]| frame.inverse(Point { x_m, y_m });
        ring.iter().map(to).map(|place| [place.lon_deg, place.lat_deg]).collect()
    };
    let holes: Vec<Vec<RawPoint>> = holes.iter().map(|hole| degrees(hole)).collect();
    let holes: Vec<&[RawPoint]> = holes.iter().map(Vec::as_slice).collect();
    lay_out(&boundary_of(&degrees(outer), &holes)).unwrap().0
}

pub(in crate::field) fn cells_in(
    field: &Field,
    partition: &Partition,
    cell_m: f64,
    heading_deg: f64,
) -> Cells {
    let heading = Heading::from_degrees(heading_deg);
    lay_cells(field, partition, Length::from_metres(cell_m), heading).unwrap()
}

pub(in crate::field) fn cells_of(field: &Field, cell_m: f64, heading_deg: f64) -> Cells {
    let partition = Partition::whole(field);
    cells_in(field, &partition, cell_m, heading_deg)
}

pub(in crate::field) fn pieces_of(cell: &Cell) -> Vec<PieceRings> {
    cell.shape.pieces()
}

/// A cell as it would be written and read: degrees of seven decimals.
pub(in crate::field) fn as_written(cells: &Cells, cell: &Cell) -> MultiPolygon<f64> {
    let line = |ring: &[u32]| {
        let coord = |&vertex: &u32| {
            let vertex = &cells.vertices[vertex as usize];
            Coord { x: f64::from(vertex.lon_e7) / 1e7, y: f64::from(vertex.lat_e7) / 1e7 }
        };
        let mut line = LineString(ring.iter().map(coord).collect());
        line.close();
        line
    };
    let polygon = |piece: &PieceRings| {
        Polygon::new(line(&piece.outer), piece.holes.iter().map(|hole| line(hole)).collect())
    };
    MultiPolygon(pieces_of(cell).iter().map(polygon).collect())
}

fn twice_area(cells: &Cells, ring: &[u32]) -> i64 {
    let steps = |vertex: u32| {
        let vertex = &cells.vertices[vertex as usize];
        [i64::from(vertex.lon_e7), i64::from(vertex.lat_e7)]
    };
    trace::twice_area(ring, &steps)
}

/// Everything that makes cells a tiling of the field.
pub(in crate::field) fn assert_tiles(field: &Field, cells: &Cells) {
    let total: f64 = cells.list.iter().map(|cell| cell.area.to_square_metres()).sum();
    assert!((total / field.area().to_square_metres() - 1.0).abs() < 1e-9, "{total}");
    let mut edges: BTreeSet<(u32, u32)> = BTreeSet::new();
    let mut last = None;
    for cell in &cells.list {
        let name = (cell.row, cell.column);
        assert!(last < Some(name), "cells in order");
        last = Some(name);
        let written = as_written(cells, cell);
        written.check_validation().unwrap_or_else(|error| panic!("{name:?}: {error}"));
        for piece in pieces_of(cell) {
            assert!(twice_area(cells, &piece.outer) > 0, "{name:?}");
            assert!(piece.holes.iter().all(|hole| twice_area(cells, hole) < 0), "{name:?}");
            for edge in piece.edges() {
                assert!(edges.insert(edge), "{name:?} repeats the edge {edge:?}");
            }
        }
        assert_value_point_is_inside(cells, cell);
    }
    // No gaps and no overlaps: every edge is met by its opposite, but for those of the outline.
    let outline: Vec<(u32, u32)> =
        edges.iter().copied().filter(|&(a, b)| !edges.contains(&(b, a))).collect();
    for &(a, b) in &outline {
        for vertex in [a, b] {
            let point = cells.vertices[vertex as usize].point;
            let off_m = field
                .rings()
                .iter()
                .flat_map(|ring| {
                    let n = ring.points.len();
                    (0..n).map(move |i| (ring.points[i], ring.points[(i + 1) % n]))
                })
                .map(|edge| distance_to_edge_m(point, edge))
                .fold(f64::INFINITY, f64::min);
            assert!(off_m < 0.02, "an edge of the map lies {off_m} m off the outline");
        }
    }
    let of_edge = |(a, b): (u32, u32)| {
        let [a, b] = [a, b].map(|vertex| &cells.vertices[vertex as usize]);
        let origin = &cells.vertices[0];
        let local =
            |v: &Vertex| (i64::from(v.lon_e7 - origin.lon_e7), i64::from(v.lat_e7 - origin.lat_e7));
        let (a, b) = (local(a), local(b));
        a.0 * b.1 - a.1 * b.0
    };
    let whole: i64 = outline.iter().map(|&edge| of_edge(edge)).sum();
    let parts: i64 = edges.iter().map(|&edge| of_edge(edge)).sum();
    assert_eq!(whole, parts);
}

pub(in crate::field) fn assert_value_point_is_inside(cells: &Cells, cell: &Cell) {
    let holding = pieces_of(cell)
        .iter()
        .flat_map(|piece| piece.rings().map(<[u32]>::to_vec).collect::<Vec<_>>())
        .filter(|ring| {
            let points: Vec<Point> =
                ring.iter().map(|&vertex| cells.vertices[vertex as usize].point).collect();
            is_inside(cell.value_point, &points)
        })
        .count();
    assert_eq!(holding % 2, 1, "cell {} {}", cell.row, cell.column);
}

const ILLINOIS: (f64, f64) = (-89.0, 39.995);

#[test]
fn edge_cells_are_clipped_so_that_the_area_is_right() {
    let (field, _) = lay_out(&boundary_of(&crate::field::tests::SQUARE, &[])).unwrap();
    let cells = cells_of(&field, 30.0, 0.0);
    assert_tiles(&field, &cells);
    // Neither 13 x 13 cells whose centre is inside nor 14 x 14 that are touched.
    assert!(
        (cells.list.iter().map(|cell| cell.area.to_square_metres()).sum::<f64>() - 160_014.0).abs()
            < 1.0
    );
}

#[test]
fn a_square_whose_edges_lie_on_grid_lines_is_all_whole_cells() {
    let square = [[-100.0, -100.0], [100.0, -100.0], [100.0, 100.0], [-100.0, 100.0]];
    let field = field_at(ILLINOIS, &square, &[]);
    for heading in [0.0, 90.0, 180.0, 270.0, -90.0] {
        let cells = cells_of(&field, 20.0, heading);
        assert_tiles(&field, &cells);
        assert_eq!(cells.list.len(), 100, "heading {heading}");
        let cell = Length::from_metres(20.0);
        assert!(
            cells
                .list
                .iter()
                .all(
                    |c| (c.area.to_square_metres() / (cell.to_metres().powi(2)) - 1.0).abs() < 1e-6
                )
        );
    }
}

#[test]
fn holes_in_one_cell_and_holes_on_grid_lines_stay_holes() {
    let square = [[-100.0, -100.0], [100.0, -100.0], [100.0, 100.0], [-100.0, 100.0]];
    let small = vec![[5.0, 5.0], [7.0, 5.0], [7.0, 7.0], [5.0, 7.0]];
    let on_lines = vec![[-60.0, -60.0], [-40.0, -60.0], [-40.0, -40.0], [-60.0, -40.0]];
    let touching = vec![[40.0, -30.0], [45.0, -25.0], [40.0, -21.0], [35.0, -25.0]];
    let field = field_at(ILLINOIS, &square, &[small, on_lines, touching]);
    let cells = cells_of(&field, 20.0, 0.0);
    assert_tiles(&field, &cells);
    let with_hole = cells.list.iter().flat_map(pieces_of).filter(|piece| !piece.holes.is_empty());
    assert_eq!(with_hole.count(), 1);
    assert_eq!(cells.list.len(), 99);
    for heading in [1.0, 17.0, 45.0] {
        assert_tiles(&field, &cells_of(&field, 20.0, heading));
    }
}

#[test]
fn a_cell_cut_in_two_is_one_cell_of_two_pieces() {
    // A U whose two arms stand in one row of wide cells.
    let u = [
        [0.0, 0.0],
        [50.0, 0.0],
        [50.0, 100.0],
        [35.0, 100.0],
        [35.0, 10.0],
        [15.0, 10.0],
        [15.0, 100.0],
        [0.0, 100.0],
    ];
    let field = field_at(ILLINOIS, &u, &[]);
    let cells = cells_of(&field, 50.0, 0.0);
    assert_tiles(&field, &cells);
    let upper = cells.list.iter().find(|cell| cell.row == 1).unwrap();
    assert_eq!(pieces_of(upper).len(), 2);
    assert!((upper.area.to_square_metres() - 1_500.0).abs() < 1.0);
}

#[test]
fn too_many_cells_are_refused_with_a_size_that_does() {
    let wide = [[0.0, 0.0], [9_000.0, 0.0], [9_000.0, 9_000.0], [0.0, 9_000.0]];
    let field = field_at(ILLINOIS, &wide, &[]);
    let whole = Partition::whole(&field);
    let lay = |metres| lay_cells(&field, &whole, Length::from_metres(metres), Heading::ZERO);
    let text = lay(2.0).map(|_| ()).unwrap_err().to_string();
    assert!(text.contains("cells of 2 m make 20277009 cells"), "{text}");
    let size = text.split("a cell size of ").nth(1).unwrap().split(' ').next().unwrap();
    let size: f64 = size.parse().unwrap();
    let least = 2.0 * (20_277_009.0 / LIMITS.cells as f64).sqrt();
    assert!(size > least && size < 1.1 * least, "{text}");
    assert!(lay(0.5).is_err() && lay(501.0).is_err());
}

#[test]
fn a_sliver_joins_its_neighbour_and_is_counted() {
    let square = [[0.0, 0.0], [100.2, 0.0], [100.2, 100.0], [0.0, 100.0]];
    let field = field_at(ILLINOIS, &square, &[]);
    let cells = cells_of(&field, 25.0, 0.0);
    assert_tiles(&field, &cells);
    assert_eq!(cells.list.len(), 16);
    assert!(cells.findings[0].text.contains(": 4 pieces smaller"), "{:?}", cells.findings);
    let last = &cells.list[3];
    assert!((last.area.to_square_metres() - 25.0 * 25.2).abs() < 0.1, "{:?}", last.area);
}

/// A star-shaped ring about a centre, counter-clockwise.
pub(in crate::field) fn star(centre: [f64; 2], radii: &[f64]) -> Vec<[f64; 2]> {
    let count = radii.len() as f64;
    let at = |(index, radius): (usize, &f64)| {
        let angle = std::f64::consts::TAU * index as f64 / count;
        [centre[0] + radius * angle.cos(), centre[1] + radius * angle.sin()]
    };
    radii.iter().enumerate().map(at).collect()
}

/// A skyline of towers as wide as a cell of 10 m, each corner nudged; `None` where the nudges make
/// it cross itself, which is refused before any cell is cut.
fn skyline(steps: &[(i32, i32)], nudge_m: f64, lat: f64) -> Option<Field> {
    let mut outer = Vec::new();
    for (index, &(height, nudge)) in steps.iter().enumerate() {
        let lean = f64::from(nudge) * nudge_m;
        let (x, y) = (index as f64 * 10.0, f64::from(height + 1) * 10.0 + lean);
        outer.push([x + lean, y]);
        outer.push([x + 10.0 - lean, y]);
    }
    outer.push([steps.len() as f64 * 10.0, 0.0]);
    outer.push([0.0, 0.0]);
    outer.reverse();
    let frame = Frame::centred_on(LonLat { lon_deg: 11.0, lat_deg: lat });
    let degrees = outer.iter().map(|&[x_m, y_m]| frame.inverse(Point { x_m, y_m }));
    let ring: Vec<RawPoint> = degrees.map(|place| [place.lon_deg, place.lat_deg]).collect();
    lay_out(&boundary_of(&ring, &[])).ok().map(|(field, _)| field)
}

#[test]
fn the_number_of_threads_changes_nothing() {
    let field = field_at(ILLINOIS, &star([0.0, 0.0], &[300.0, 180.0, 260.0, 90.0, 240.0]), &[]);
    let on = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| format!("{:?}", cells_of(&field, 4.0, 33.0)))
    };
    assert!(on(1) == on(3), "cells differ between one thread and three");
}

#[test]
fn a_vertex_half_a_step_from_two_places_is_not_passed_over() {
    let steps = [
        (0, -1),
        (1, 1),
        (3, -1),
        (2, 0),
        (0, 0),
        (2, -1),
        (3, -1),
        (1, 1),
        (0, 1),
        (0, 0),
        (0, 1),
        (3, -1),
        (0, 1),
        (1, -1),
        (3, 1),
        (3, 1),
        (3, 0),
        (3, -1),
        (1, 1),
        (3, 0),
        (0, 1),
        (2, 0),
        (3, 1),
    ];
    let field = skyline(&steps, 0.006, 48.704_652_379_214_55).unwrap();
    assert_tiles(&field, &cells_of(&field, 10.0, 90.0));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn cells_tile_any_field(
        radii in prop::collection::vec(40.0..220.0_f64, 7..60),
        hole_radii in prop::collection::vec(3.0..18.0_f64, 3..9),
        hole_at in (-8.0..8.0_f64, -8.0..8.0_f64),
        cell_m in 1.5..90.0_f64,
        heading in -360.0..360.0_f64,
        lat in -70.0..70.0_f64,
    ) {
        let outer = star([0.0, 0.0], &radii);
        let hole = star([hole_at.0, hole_at.1], &hole_radii);
        let field = field_at((11.0, lat), &outer, &[hole]);
        assert_tiles(&field, &cells_of(&field, cell_m.max(3.0), heading));
    }

    #[test]
    fn cells_tile_neighbouring_polygons_of_one_field(
        share in 0.05..0.95_f64,
        corners in prop::collection::vec((-30.0..30.0_f64, -30.0..30.0_f64), 4),
        cell_m in 3.0..60.0_f64,
        heading in 0.0..90.0_f64,
        lat in -60.0..60.0_f64,
    ) {
        // Three polygons in a T, with coordinates of seven decimals: the two on the right meet at
        // a vertex that the left one does not have, and that lies up to half a step off its edge.
        let frame = Frame::centred_on(LonLat { lon_deg: 11.0, lat_deg: lat });
        let at = |x_m: f64, y_m: f64| {
            let place = frame.inverse(Point { x_m, y_m });
            [place.lon_deg, place.lat_deg].map(|degrees| (degrees * 1e7).round() / 1e7)
        };
        let (top, foot) = (corners[0], corners[1]);
        let top = (top.0, 100.0 + top.1);
        let foot = (foot.0, -100.0 + foot.1);
        let meet = at(foot.0 + share * (top.0 - foot.0), foot.1 + share * (top.1 - foot.1));
        let (top, foot) = (at(top.0, top.1), at(foot.0, foot.1));
        let far = at(150.0 + corners[2].0, corners[2].1);
        let mut boundary = boundary_of(&[at(-100.0, -90.0), foot, top, at(-100.0, 90.0)], &[]);
        for (feature, outer) in [(2, [foot, far, meet]), (3, [meet, far, top])] {
            let polygon = RawPolygon { feature, outer: outer.to_vec(), holes: Vec::new(), sorted: RingsSorted::ByTheFile };
            boundary.polygons.push(polygon);
        }
        let (field, _) = lay_out(&boundary).unwrap();
        assert_tiles(&field, &cells_of(&field, cell_m, heading));
    }

    #[test]
    fn cells_tile_fields_whose_vertices_lie_on_grid_lines_or_a_hair_off(
        steps in prop::collection::vec((0_i32..4, -1_i32..=1), 4..24),
        nudge_m in prop::sample::select(vec![0.0, 1e-9, 1e-4, 0.003, 0.006, 0.011, 0.02]),
        heading in prop::sample::select(vec![0.0, 90.0, 180.0, 270.0]),
        lat in -60.0..60.0_f64,
    ) {
        let field = skyline(&steps, nudge_m, lat);
        if let Some(field) = field {
            assert_tiles(&field, &cells_of(&field, 10.0, heading));
        }
    }
}
