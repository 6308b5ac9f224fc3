//! The cells of one rate as one outline: edges that two of them share are left out, so the size of
//! a picture follows the length of the borders between rates, not the number of cells.

use rayon::prelude::*;

use crate::field::{Cells, PieceRings, Shape};
use crate::prescription::Prescription;

/// A ring of vertex numbers, open, with the cells on its left.
pub(super) type Ring = Vec<u32>;

/// The outlines of all rates of a prescription, each by its place among them.
#[derive(Debug)]
pub struct RateOutlines(pub(super) Vec<Vec<Ring>>);

impl RateOutlines {
    /// Draws around the cells of each rate.
    pub fn of(cells: &Cells, spread: &Prescription) -> Self {
        let rates = &spread.rates;
        // Every rate of a cell is among the totals, which rise.
        let rate_of: Vec<usize> = spread
            .cells
            .iter()
            .map(|cell| rates.partition_point(|total| total.rate < cell.rate))
            .collect();
        Self(outlines(cells, &rate_of, rates.len()))
    }
}

/// The outline of the cells of each of `count` rates; `rate_of` tells the rate of each cell.
fn outlines(cells: &Cells, rate_of: &[usize], count: usize) -> Vec<Vec<Ring>> {
    let mut edges: Vec<Vec<Edge>> = vec![Vec::new(); count];
    let mut before = None;
    // For each column the far side of the last whole cell in it, with its rate: it is an edge only
    // where no cell of that rate follows.
    let mut far_sides: Vec<Option<(usize, Edge)>> = vec![None; cells.columns as usize];
    for (cell, &rate) in cells.list.iter().zip(rate_of) {
        match &cell.shape {
            &Shape::Whole([near_left, near_right, far_right, far_left]) => {
                // Most cells continue the one before them, whose last edge is then the common one.
                if before == Some((rate, near_left, far_left)) {
                    edges[rate].pop();
                } else {
                    edges[rate].push(Edge::new(far_left, near_left));
                }
                let near_side = Edge::new(near_left, near_right);
                let far_side = Edge::new(far_right, far_left);
                match far_sides[cell.column as usize].replace((rate, far_side)) {
                    Some((of, side)) if of == rate && side.is_reverse_of(near_side) => {}
                    other => {
                        // The last edge has to be the side to the right.
                        edges[rate].push(near_side);
                        if let Some((of, side)) = other {
                            edges[of].push(side);
                        }
                    }
                }
                edges[rate].push(Edge::new(near_right, far_right));
                before = Some((rate, near_right, far_right));
            }
            Shape::Cut(pieces) => {
                let all = pieces.iter().flat_map(PieceRings::edges);
                edges[rate].extend(all.map(|(from, to)| Edge::new(from, to)));
                before = None;
            }
        }
    }
    for (rate, side) in far_sides.into_iter().flatten() {
        edges[rate].push(side);
    }
    let vertices = cells.vertices.len();
    edges
        .into_par_iter()
        .map(|edges| {
            rings_of(&Grouped::of(&outer_edges(&edges, vertices), vertices, |edge| edge.0))
        })
        .collect()
}

/// An edge between two vertices, ordered so that the two directions of it stand side by side.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Edge {
    low: u32,
    high: u32,
    upward: bool,
}

impl Edge {
    fn new(from: u32, to: u32) -> Self {
        Self { low: from.min(to), high: from.max(to), upward: from < to }
    }

    fn is_reverse_of(self, other: Self) -> bool {
        self == Self { upward: !other.upward, ..other }
    }

    fn ends(self) -> (u32, u32) {
        if self.upward { (self.low, self.high) } else { (self.high, self.low) }
    }
}

/// Things sorted by one of their vertices, and those of one vertex by themselves: there are few of
/// a vertex, so they are counted to their places, which takes half of what sorting takes.
struct Grouped<T> {
    /// Where the things of each vertex begin, and the end of all.
    starts: Vec<usize>,
    list: Vec<T>,
}

impl<T: Copy + Ord> Grouped<T> {
    fn of(things: &[T], vertices: usize, vertex_of: impl Fn(&T) -> u32) -> Self {
        // Each vertex is counted two places on, so that filling moves the starts to their own.
        let mut starts = vec![0; vertices + 2];
        for thing in things {
            starts[vertex_of(thing) as usize + 2] += 1;
        }
        for vertex in 2..starts.len() {
            starts[vertex] += starts[vertex - 1];
        }
        let mut list = things.to_vec();
        for thing in things {
            let place = &mut starts[vertex_of(thing) as usize + 1];
            list[*place] = *thing;
            *place += 1;
        }
        starts.pop();
        for vertex in 0..vertices {
            let group = starts[vertex]..starts[vertex + 1];
            if group.len() > 1 {
                list[group].sort_unstable();
            }
        }
        Self { starts, list }
    }
}

/// The edges with no cell of the same rate on their right, from vertex to vertex.
fn outer_edges(edges: &[Edge], vertices: usize) -> Vec<(u32, u32)> {
    let edges = Grouped::of(edges, vertices, |edge| edge.low).list;
    let mut outer = Vec::with_capacity(edges.len());
    for same in edges.chunk_by(|a, b| (a.low, a.high) == (b.low, b.high)) {
        let upward = same.iter().filter(|edge| edge.upward).count();
        let downward = same.len() - upward;
        // Those of one direction stand first, those of the other last.
        let left = upward.abs_diff(downward);
        let one = if upward > downward { same.last() } else { same.first() };
        outer.extend(one.into_iter().flat_map(|edge| std::iter::repeat_n(edge.ends(), left)));
    }
    outer
}

/// Edges, sorted, led into rings. Every vertex has as many edges that come as edges that go, so each
/// way out of a vertex leads back to it.
fn rings_of(edges: &Grouped<(u32, u32)>) -> Vec<Ring> {
    let Grouped { starts, list } = edges;
    let mut used = vec![false; list.len()];
    let mut rings = Vec::new();
    for first in 0..list.len() {
        if used[first] {
            continue;
        }
        let mut ring = Vec::new();
        let mut next = Some(first);
        while let Some(at) = next {
            used[at] = true;
            let (from, to) = list[at];
            ring.push(from);
            next = (starts[to as usize]..starts[to as usize + 1]).find(|&at| !used[at]);
        }
        rings.push(ring);
    }
    rings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::field::{Cell, Point, Vertex};
    use crate::units::Area;

    /// Whole cells of 10 m on a grid of `columns` columns, all but those `left_out`.
    fn grid(columns: u32, rows: u32, left_out: &[(u32, u32)]) -> Cells {
        let node = |column: u32, row: u32| row * (columns + 1) + column;
        let mut vertices = Vec::new();
        for row in 0..=rows {
            for column in 0..=columns {
                let point = Point { x_m: f64::from(column) * 10.0, y_m: f64::from(row) * 10.0 };
                vertices.push(Vertex { point, lon_e7: 0, lat_e7: 0 });
            }
        }
        let mut list = Vec::new();
        for row in 0..rows {
            for column in (0..columns).filter(|&column| !left_out.contains(&(column, row))) {
                list.push(Cell {
                    row,
                    column,
                    region: 0,
                    part: 0,
                    shape: Shape::Whole([
                        node(column, row),
                        node(column + 1, row),
                        node(column + 1, row + 1),
                        node(column, row + 1),
                    ]),
                    area: Area::from_square_metres(100.0),
                    value_point: Point { x_m: 0.0, y_m: 0.0 },
                });
            }
        }
        let cell_area = Area::from_square_metres(100.0);
        Cells { vertices, list, rows, columns, cell_area, findings: Vec::new() }
    }

    fn area_m2(cells: &Cells, rings: &[Ring]) -> f64 {
        let twice = |ring: &Ring| -> f64 {
            (0..ring.len())
                .map(|at| {
                    let a = cells.vertices[ring[at] as usize].point;
                    let b = cells.vertices[ring[(at + 1) % ring.len()] as usize].point;
                    a.x_m * b.y_m - b.x_m * a.y_m
                })
                .sum()
        };
        rings.iter().map(twice).sum::<f64>() / 2.0
    }

    #[test]
    fn cells_of_one_rate_become_one_ring() {
        let cells = grid(4, 3, &[]);
        let found = outlines(&cells, &[0; 12], 1);
        assert_eq!(found[0].len(), 1);
        assert_eq!(found[0][0].len(), 14, "one vertex for each step around");
        assert!((area_m2(&cells, &found[0]) - 1_200.0).abs() < 1e-9);
    }

    #[test]
    fn a_hole_is_a_ring_that_takes_its_area_away() {
        let cells = grid(3, 3, &[(1, 1)]);
        let found = outlines(&cells, &[0; 8], 1);
        assert_eq!(found[0].len(), 2);
        assert!((area_m2(&cells, &found[0]) - 800.0).abs() < 1e-9);
    }

    #[test]
    fn a_cut_cell_joins_the_whole_ones_beside_it() {
        let mut cells = grid(2, 1, &[]);
        cells.list[1].shape =
            Shape::Cut(vec![PieceRings { outer: vec![1, 2, 4], holes: Vec::new() }]);
        let found = outlines(&cells, &[0, 0], 1);
        assert_eq!(found[0].len(), 1);
        assert!((area_m2(&cells, &found[0]) - 150.0).abs() < 1e-9);
    }

    #[test]
    fn every_rate_keeps_the_area_of_its_cells() {
        let cells = grid(9, 7, &[(0, 0), (4, 3), (5, 4)]);
        for count in 1..6 {
            // An uneven pattern in which cells of one rate touch along edges and at corners.
            let rate_of: Vec<usize> =
                (0..cells.list.len()).map(|at| (at * at / 7 + at * 13 / 5) % count).collect();
            let found = outlines(&cells, &rate_of, count);
            for (rate, rings) in found.iter().enumerate() {
                let cells_of = rate_of.iter().filter(|&&of| of == rate).count() as f64;
                assert!((area_m2(&cells, rings) - cells_of * 100.0).abs() < 1e-9, "{count} {rate}");
            }
        }
    }
}
