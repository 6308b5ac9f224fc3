//! Areas tile what their cells tile, whatever the cells.

use std::collections::{BTreeMap, BTreeSet};

use geo::{Coord, LineString, MultiPolygon, Polygon, Validation};
use proptest::prelude::*;

use super::*;
use crate::field::cells::tests::{cells_of, field_at, star};
use crate::field::{Cells, PieceRings};

/// An area as it would be written and read: degrees of seven decimals.
pub(crate) fn as_written(cells: &Cells, shape: &[PieceRings]) -> MultiPolygon<f64> {
    let line = |ring: &[u32]| {
        let coord = |&vertex: &u32| {
            let vertex = &cells.vertices[vertex as usize];
            Coord { x: f64::from(vertex.lon_e7) / 1e7, y: f64::from(vertex.lat_e7) / 1e7 }
        };
        let mut line: LineString<f64> = ring.iter().map(coord).collect();
        line.close();
        line
    };
    let polygon = |piece: &PieceRings| {
        Polygon::new(line(&piece.outer), piece.holes.iter().map(|hole| line(hole)).collect())
    };
    MultiPolygon(shape.iter().map(polygon).collect())
}

/// Everything that makes areas a tiling of their cells.
pub(crate) fn assert_tile(cells: &Cells, shapes: &[Vec<PieceRings>]) {
    let mut edges: BTreeSet<(u32, u32)> = BTreeSet::new();
    for (number, shape) in shapes.iter().enumerate() {
        for polygon in as_written(cells, shape) {
            polygon.check_validation().unwrap_or_else(|error| panic!("{number}: {error}"));
        }
        as_written(cells, shape)
            .check_validation()
            .unwrap_or_else(|error| panic!("{number}: {error}"));
        for piece in shape {
            let twice = |ring: &[u32]| -> i64 {
                let at = |index: usize| {
                    let vertex = &cells.vertices[ring[index % ring.len()] as usize];
                    let first = &cells.vertices[ring[0] as usize];
                    [vertex.lon_e7 - first.lon_e7, vertex.lat_e7 - first.lat_e7].map(i64::from)
                };
                (0..ring.len())
                    .map(|i| (at(i), at(i + 1)))
                    .map(|(a, b)| a[0] * b[1] - b[0] * a[1])
                    .sum()
            };
            assert!(twice(&piece.outer) > 0, "{number}: an outer ring runs clockwise");
            assert!(piece.holes.iter().all(|hole| twice(hole) < 0), "{number}: a hole does not");
            for edge in piece.edges() {
                assert!(edges.insert(edge), "{number}: the edge {edge:?} is there twice");
            }
        }
    }
    // An edge without its opposite has no area beyond it: it lies on edges of cells that have none.
    let borders = find_borders(cells);
    let outside: BTreeSet<u32> = borders
        .list
        .iter()
        .filter(|border| border.left.is_none() || border.right.is_none())
        .flat_map(|border| [border.ends.0, border.ends.1])
        .collect();
    for &(from, to) in edges.iter().filter(|(from, to)| !edges.contains(&(*to, *from))) {
        assert!(outside.contains(&from) && outside.contains(&to), "a gap beside {from} to {to}");
    }
}

/// Labels that make patches of several cells, holes, and cells that touch at corners.
fn labels(cells: &Cells, seed: u64, count: u32, coarse: u32) -> Vec<u32> {
    let mut known: BTreeMap<u32, u32> = BTreeMap::new();
    let mixed = |row: u32, column: u32| {
        let mut hash = seed ^ (u64::from(row) << 32 | u64::from(column));
        for _ in 0..3 {
            hash = (hash ^ (hash >> 31)).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        }
        (hash >> 40) as u32 % count
    };
    let raw = cells.list.iter().map(|cell| mixed(cell.row / coarse, cell.column / coarse));
    raw.map(|label| {
        let next = known.len() as u32;
        *known.entry(label).or_insert(next)
    })
    .collect()
}

#[test]
fn squares_side_by_side_keep_only_their_corners() {
    let square = [[-100.0, -100.0], [100.0, -100.0], [100.0, 100.0], [-100.0, 100.0]];
    let field = field_at((-89.0, 39.995), &square, &[]);
    let cells = cells_of(&field, 20.0, 0.0);
    let area_of: Vec<u32> = cells.list.iter().map(|cell| u32::from(cell.column > 4)).collect();
    let drawn = outline_areas(&cells, &find_borders(&cells), &area_of, 2).unwrap();
    assert_tile(&cells, &drawn.shapes);
    assert_eq!((drawn.polygons(), drawn.vertices()), (2, 8));
}

#[test]
fn a_ring_that_would_touch_itself_is_parted() {
    let square = [[0.0, 0.0], [50.0, 0.0], [50.0, 50.0], [0.0, 50.0]];
    let field = field_at((9.0, 52.0), &square, &[]);
    let cells = cells_of(&field, 10.0, 0.0);
    // Two holes that touch each other at a corner, one of which touches the outer ring at one.
    let islands = [(1, 1), (2, 2), (0, 0)];
    let is_island = |row, column| islands.iter().position(|&at| at == (row, column));
    let area_of: Vec<u32> = cells
        .list
        .iter()
        .map(|cell| is_island(cell.row, cell.column).map_or(0, |at| at as u32 + 1))
        .collect();
    let drawn = outline_areas(&cells, &find_borders(&cells), &area_of, 4).unwrap();
    assert_tile(&cells, &drawn.shapes);
    assert_eq!(drawn.shapes[0].len(), 1);
    assert_eq!(drawn.shapes[0][0].holes.len(), 2);
}

#[test]
fn a_long_border_keeps_what_the_last_decimal_shows() {
    // Over 3 km a line that is straight on the ground bends by some 20 cm in degrees.
    let strip = [[0.0, 0.0], [3_000.0, 0.0], [3_000.0, 60.0], [0.0, 60.0]];
    let field = field_at((9.0, 60.0), &strip, &[]);
    let cells = cells_of(&field, 20.0, 0.0);
    let area_of: Vec<u32> = cells.list.iter().map(|cell| u32::from(cell.row > 0)).collect();
    let drawn = outline_areas(&cells, &find_borders(&cells), &area_of, 2).unwrap();
    assert_tile(&cells, &drawn.shapes);
    let kept = drawn.shapes[0][0].outer.len();
    assert!((8..40).contains(&kept), "{kept}");
    for ring in drawn.shapes.iter().flatten().flat_map(PieceRings::rings) {
        // Every vertex of the cells on an edge of an area is within a step and a half of it.
        for (index, &from) in ring.iter().enumerate() {
            let to = ring[(index + 1) % ring.len()];
            let at = |vertex: u32| {
                let vertex = &cells.vertices[vertex as usize];
                ([f64::from(vertex.lon_e7), f64::from(vertex.lat_e7)], vertex.point)
            };
            let ((a, p), (b, q)) = (at(from), at(to));
            for (c, r) in (0..cells.vertices.len() as u32).map(at) {
                let on_edge = p.distance_m(r) + r.distance_m(q) - p.distance_m(q) < 1e-9;
                let way = [b[0] - a[0], b[1] - a[1]];
                let off = (way[0] * (c[1] - a[1]) - way[1] * (c[0] - a[0])).abs();
                assert!(!on_edge || off <= 1.5 * way[0].hypot(way[1]), "{off}");
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn areas_tile_any_cells(
        radii in prop::collection::vec(40.0..220.0_f64, 7..40),
        hole_radii in prop::collection::vec(3.0..18.0_f64, 3..9),
        cell_m in 3.0..60.0_f64,
        heading in prop::sample::select(vec![0.0, 90.0, 33.0, 141.5]),
        lat in -65.0..65.0_f64,
        seed in any::<u64>(),
        (count, coarse) in (1_u32..7, 1_u32..4),
    ) {
        let field = field_at((11.0, lat), &star([0.0, 0.0], &radii), &[star([0.0, 0.0], &hole_radii)]);
        let cells = cells_of(&field, cell_m, heading);
        let area_of = labels(&cells, seed, count, coarse);
        let areas = area_of.iter().max().map_or(0, |&most| most as usize + 1);
        let drawn = outline_areas(&cells, &find_borders(&cells), &area_of, areas);
        assert_tile(&cells, &drawn.unwrap().shapes);
    }
}
