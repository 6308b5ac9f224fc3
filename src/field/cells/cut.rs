//! The cells that an outline touches: for each region in them the true area and the polygons.

use super::grid::Grid;
use super::snap::{Spot, lead_edge};
use super::trace::{Steps, trace_pieces};
use super::walk::{Crossing, Part, Walk, Windings, on_side};
use super::{PieceRings, Vertex};
use crate::field::place::Point;

/// A vertex this near to a cell is looked at when the cell is cut, in metres: rounding moves a
/// vertex by less than 1 cm.
const NEAR_M: f64 = 0.03;

/// All that is needed to cut cells.
pub(super) struct Cutter<'a> {
    pub(super) grid: &'a Grid,
    pub(super) walk: &'a Walk,
    pub(super) windings: &'a Windings,
    /// The touched cells in order, with the corners near each.
    pub(super) touched: &'a [(usize, Vec<u32>)],
    /// The vertices of the map; those of the walk come first, with the same numbers.
    pub(super) vertices: &'a [Vertex],
    /// For each corner of the walk the vertex that stands for it: several may round to one place.
    pub(super) stands_for: &'a [u32],
    /// For each grid node its vertex.
    pub(super) node_vertices: &'a [u32],
    /// The nodes of touched cells, in order, each with its place in steps before rounding.
    pub(super) close_steps: &'a [(usize, [f64; 2])],
}

/// What one region has of a touched cell.
#[derive(Clone, Debug)]
pub(super) struct CutCell {
    pub(super) cell: usize,
    pub(super) region: u32,
    /// The true area inside the outline, before any rounding.
    pub(super) area_m2: f64,
    /// Its polygons; none where it is too thin for the output's decimals.
    pub(super) pieces: Vec<PieceRings>,
}

/// The cells near the corners of the walk that hold some of the field, or whose edge the outline
/// runs along, in order; each with the corners near it.
pub(super) fn find_touched(
    walk: &Walk,
    grid: &Grid,
    windings: &Windings,
) -> Vec<(usize, Vec<u32>)> {
    let margin = NEAR_M / grid.cell_m;
    let mut near: Vec<(usize, u32)> = Vec::with_capacity(walk.corners.len() * 2);
    for (number, corner) in walk.corners.iter().enumerate() {
        let range = |value: f64, count: usize| {
            let low = (value - margin).floor().max(0.0) as usize;
            let high = (value + margin).floor().max(0.0) as usize;
            low..=high.min(count - 1)
        };
        for row in range(corner.position[1], grid.rows) {
            for column in range(corner.position[0], grid.columns) {
                near.push((grid.cell(column, row), number as u32));
            }
        }
    }
    near.sort_unstable();
    let mut parts = walk.parts.as_slice();
    let mut touched = Vec::new();
    for group in near.chunk_by(|a, b| a.0 == b.0) {
        let cell = group[0].0;
        let (before, _) = parts.split_at(parts.partition_point(|part| part.cell < cell));
        parts = &parts[before.len()..];
        let (column, row) = grid.column_and_row(cell);
        let entered = parts.first().is_some_and(|part| part.cell == cell);
        if entered || windings.at(grid.node(column, row)) > 0 {
            touched.push((cell, group.iter().map(|&(_, corner)| corner).collect()));
        }
    }
    touched
}

/// An edge of a cell's content before rounding.
type RawEdge = ((Spot, Point), (Spot, Point));

impl Cutter<'_> {
    /// Cuts one cell, region by region; `None` where the pieces do not close, which is a fault.
    pub(super) fn cut(&self, cell: usize, corners: &[u32]) -> Option<Vec<CutCell>> {
        let (column, row) = self.grid.column_and_row(cell);
        let mut near: Vec<(Steps, u32)> = corners
            .iter()
            .map(|&corner| self.stands_for[corner as usize])
            .chain(self.cell_nodes(column, row))
            .map(|vertex| (self.steps(vertex), vertex))
            .collect();
        near.sort_unstable();
        near.dedup();
        self.regions_in(cell)
            .into_iter()
            .map(|region| self.cut_region(cell, region, &near))
            .collect()
    }

    /// The regions that a touched cell has some of, in order: those whose outline is in it, or the
    /// one that it lies wholly in.
    fn regions_in(&self, cell: usize) -> Vec<u32> {
        let parts = self.parts_in(cell);
        let (column, row) = self.grid.column_and_row(cell);
        let node = self.grid.node(column, row);
        let around = (self.windings.at(node) > 0).then(|| self.windings.region(node));
        let mut regions: Vec<u32> = parts.iter().map(|part| part.region).chain(around).collect();
        regions.sort_unstable();
        regions.dedup();
        regions
    }

    fn cut_region(&self, cell: usize, region: u32, near: &[(Steps, u32)]) -> Option<CutCell> {
        let (column, row) = self.grid.column_and_row(cell);
        let origin = self.grid.point([column as f64, row as f64]);
        let raw = self.raw_edges(cell, region)?;
        let twice: f64 = raw
            .iter()
            .map(|((_, a), (_, b))| {
                (a.x_m - origin.x_m) * (b.y_m - origin.y_m)
                    - (b.x_m - origin.x_m) * (a.y_m - origin.y_m)
            })
            .sum();
        let mut edges = Vec::with_capacity(raw.len() + 4);
        for ((a, _), (b, _)) in raw {
            lead_edge(a, b, near, &mut edges);
        }
        let pieces = trace_pieces(edges, &|vertex| self.steps(vertex))?;
        Some(CutCell { cell, region, area_m2: twice / 2.0, pieces })
    }

    /// The vertices of a cell's nodes, counter-clockwise from the near left one.
    pub(super) fn cell_nodes(&self, column: usize, row: usize) -> [u32; 4] {
        [(0, 0), (1, 0), (1, 1), (0, 1)]
            .map(|(right, up)| self.node_vertices[self.grid.node(column + right, row + up)])
    }

    /// Whether the outline touches a cell.
    pub(super) fn is_touched(&self, cell: usize) -> bool {
        self.touched.binary_search_by_key(&cell, |&(touched, _)| touched).is_ok()
    }

    pub(super) fn steps(&self, vertex: u32) -> Steps {
        let vertex = &self.vertices[vertex as usize];
        [i64::from(vertex.lon_e7), i64::from(vertex.lat_e7)]
    }

    fn parts_in(&self, cell: usize) -> &[Part] {
        let parts = &self.walk.parts;
        let first = parts.partition_point(|part| part.cell < cell);
        let count = parts[first..].partition_point(|part| part.cell == cell);
        &parts[first..first + count]
    }

    fn raw_edges(&self, cell: usize, region: u32) -> Option<Vec<RawEdge>> {
        let (column, row) = self.grid.column_and_row(cell);
        let parts = self.parts_in(cell).iter().filter(|part| part.region == region);
        let mut raw: Vec<RawEdge> = parts
            .filter(|part| part.from != part.to)
            .map(|part| (self.corner_spot(part.from), self.corner_spot(part.to)))
            .collect();
        let (rows, columns) = (&self.walk.of_rows, &self.walk.of_columns);
        // Each node is the end of two sides.
        let at = |right, up| self.node_spot([column + right, row + up]);
        let [near_left, near_right] = [at(0, 0)?, at(1, 0)?];
        let [far_left, far_right] = [at(0, 1)?, at(1, 1)?];
        let winding =
            |column, row| i32::from(self.windings.of_region(region, self.grid.node(column, row)));
        let (left, right, far) = (winding(column, row), winding(column + 1, row), row + 1);
        // Right of an upward crossing is outside; above a crossing to the right is inside.
        for (crossings, ends, winding, reversed) in [
            (on_side(rows, row, column, region), [near_left, near_right], (left, -1), false),
            (on_side(columns, column + 1, row, region), [near_right, far_right], (right, 1), false),
            (
                on_side(rows, far, column, region),
                [far_left, far_right],
                (winding(column, far), -1),
                true,
            ),
            (on_side(columns, column, row, region), [near_left, far_left], (left, 1), true),
        ] {
            self.side(crossings, ends, winding, reversed, &mut raw);
        }
        Some(raw)
    }

    /// Appends those parts of a cell's side that lie inside the outline, from one node to another,
    /// where the outline winds so often around the first of them; `reversed` where the cell lies to
    /// the right of that direction.
    fn side(
        &self,
        crossings: &[Crossing],
        [mut from, last]: [(Spot, Point); 2],
        (mut winding, sign): (i32, i32),
        reversed: bool,
        raw: &mut Vec<RawEdge>,
    ) {
        let stops = crossings
            .iter()
            .map(|crossing| (self.corner_spot(crossing.corner), crossing.turn))
            .chain(std::iter::once((last, 0)));
        for (to, turn) in stops {
            for _ in 0..winding.max(0) {
                raw.push(if reversed { (to, from) } else { (from, to) });
            }
            winding += sign * turn;
            from = to;
        }
    }

    fn corner_spot(&self, corner: u32) -> (Spot, Point) {
        let known = &self.walk.corners[corner as usize];
        let vertex = self.stands_for[corner as usize];
        (Spot { vertex, rounded: self.steps(vertex), steps: known.steps }, known.point)
    }

    /// A node of a touched cell; `None` for another, which is a fault.
    fn node_spot(&self, [column, row]: [usize; 2]) -> Option<(Spot, Point)> {
        let node = self.grid.node(column, row);
        let found = self.close_steps.binary_search_by_key(&node, |&(close, _)| close).ok()?;
        let (_, steps) = self.close_steps[found];
        let vertex = self.node_vertices[node];
        let spot = Spot { vertex, rounded: self.steps(vertex), steps };
        Some((spot, self.grid.point([column as f64, row as f64])))
    }
}
