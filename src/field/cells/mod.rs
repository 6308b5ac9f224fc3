//! A field cut into square cells whose polygons tile it.
//!
//! The outlines of the field's regions are walked through the grid once; where one crosses a grid
//! line, one point serves both neighbours. Cells that no outline touches are whole or outside and
//! are never clipped. The pieces of the others are traced region by region in whole steps of the
//! output's coordinates, so that they stay valid polygons without gap or overlap when they are
//! written with seven decimals.

mod cut;
mod find;
pub(in crate::field) mod grid;
mod join;
mod nodes;
mod snap;
pub(super) mod trace;
mod value_point;
mod vertices;
mod walk;

use rayon::prelude::*;

use super::outline::Field;
use super::place::Point;
use super::regions::Partition;
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::units::{Area, Heading, Length, counted};
use cut::{CutCell, Cutter, find_touched};
use grid::Grid;
use join::{SMALL_SHARE, join_small_pieces};
use value_point::find_value_point;
use vertices::Pool;
use walk::{walk_regions, wind_nodes};

/// How far the areas of all cells together may be from that of all regions, as a share of it.
const AREA_TOLERANCE: f64 = 1e-9;

/// A field in cells, row by row.
#[derive(Clone, Debug)]
pub struct Cells {
    /// The vertices of all cells; cells name theirs by number.
    pub vertices: Vec<Vertex>,
    /// The cells that hold some of the field, by row, then by column, then by region.
    pub list: Vec<Cell>,
    /// Rows of the grid, along the travel.
    pub rows: u32,
    /// Columns of the grid, across the travel.
    pub columns: u32,
    /// The area of a whole cell.
    pub cell_area: Area,
    /// What there is to say about the cutting.
    pub findings: Vec<Finding>,
}

/// A vertex of a cell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vertex {
    /// In metres in the field's frame, not rounded.
    pub point: Point,
    /// Longitude in steps of 1e-7 degree, rounded once.
    pub lon_e7: i32,
    /// Latitude in steps of 1e-7 degree, rounded once.
    pub lat_e7: i32,
}

/// One cell, or what one region has of it where it lies in several.
#[derive(Clone, Debug)]
pub struct Cell {
    /// The row, from 0, counted along the travel.
    pub row: u32,
    /// The column, from 0, counted to the right of the travel.
    pub column: u32,
    /// The number of the region that it lies in.
    pub region: usize,
    /// Which part of the square it is, from 0: a square that several regions share has one for
    /// each, in their order.
    pub part: u32,
    /// Its outline.
    pub shape: Shape,
    /// Its true area inside the field, before coordinates were rounded.
    pub area: Area,
    /// Where its soil is read: the centre of a whole cell; else the centroid of the pieces if
    /// that lies inside one of them, else a point inside the largest piece.
    pub value_point: Point,
}

impl Cell {
    /// Its name: row and column, and a letter for the second and further parts of a square, such
    /// as `12-7`, `12-7b`, `12-7c`.
    pub fn name(&self) -> String {
        format!("{}-{}{}", self.row, self.column, self.letters())
    }

    /// The letters behind row and column: none for the first part of a square, then `b` to `z`,
    /// `zb` and so on.
    pub fn letters(&self) -> String {
        let mut letters = "z".repeat(self.part as usize / 25);
        let left = self.part % 25;
        if left > 0 {
            letters.push(char::from(b'a' + left as u8));
        }
        letters
    }
}

/// The outline of a cell, by the numbers of its vertices.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Shape {
    /// The whole square, counter-clockwise from its near left corner.
    Whole([u32; 4]),
    /// One or more polygons.
    Cut(Vec<PieceRings>),
}

/// A polygon by the numbers of its vertices; rings are open: the first vertex is not repeated.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PieceRings {
    /// The outer ring, counter-clockwise.
    pub outer: Vec<u32>,
    /// The holes, clockwise.
    pub holes: Vec<Vec<u32>>,
}

impl Shape {
    /// Its polygons.
    pub(in crate::field) fn pieces(&self) -> Vec<PieceRings> {
        match self {
            Self::Whole(nodes) => vec![PieceRings { outer: nodes.to_vec(), holes: Vec::new() }],
            Self::Cut(pieces) => pieces.clone(),
        }
    }
}

impl PieceRings {
    /// The outer ring, then the holes.
    pub fn rings(&self) -> impl Iterator<Item = &[u32]> {
        std::iter::once(&self.outer).chain(&self.holes).map(Vec::as_slice)
    }

    /// Every edge of every ring, from vertex to vertex, with the inside on its left.
    pub fn edges(&self) -> impl Iterator<Item = (u32, u32)> {
        self.rings().flat_map(|ring| {
            let count = ring.len();
            (0..count).map(move |index| (ring[index], ring[(index + 1) % count]))
        })
    }
}

/// Cuts the regions of a field into square cells of side `cell`, aligned with `heading`.
///
/// Columns lie side by side across the travel, to the right of it; rows follow along the travel.
/// The grid starts at the near left corner of the box around the field that is aligned with the
/// heading, so the same job gives the same cells the same numbers, whatever its regions. Cells are
/// cut where regions meet. Pieces smaller than a twentieth of a cell join the neighbour in their
/// region that they share the longest edge with; where there is none they stay.
///
/// # Errors
/// Refuses a cell size out of bounds and one that makes too many cells, naming one that would do.
/// A tiling that does not add up to the regions is reported as a fault of this program.
pub fn lay_cells(
    field: &Field,
    partition: &Partition,
    cell: Length,
    heading: Heading,
) -> Result<Cells, Refusal> {
    let grid = Grid::around(field, cell, heading)?;
    let walk = walk_regions(partition, &grid, field.frame());
    let windings = wind_nodes(&walk, &grid, partition.regions.len());
    let touched = find_touched(&walk, &grid, &windings);
    let pool = Pool::gather(&walk, &grid, field.frame(), &windings, &touched);
    let cutter = Cutter {
        grid: &grid,
        walk: &walk,
        windings: &windings,
        touched: &touched,
        vertices: &pool.vertices,
        stands_for: &pool.stands_for,
        node_vertices: &pool.node_vertices,
        close_steps: &pool.close_steps,
    };
    let cut: Option<Vec<Vec<CutCell>>> =
        touched.par_iter().with_min_len(64).map(|(cell, near)| cutter.cut(*cell, near)).collect();
    let cut = cut.ok_or_else(|| fault("the pieces of a cell do not close"))?;
    let mut cut: Vec<CutCell> = cut.into_iter().flatten().collect();
    let joined = join_small_pieces(&mut cut, &cutter)
        .ok_or_else(|| fault("the pieces of two joined cells do not close"))?;
    let list =
        list_cells(&cut, &cutter).ok_or_else(|| fault("a piece of a cell has no point inside"))?;
    let total: Area = list.iter().map(|cell| cell.area).sum();
    if (total / partition.net - 1.0).abs() > AREA_TOLERANCE {
        let (cells_m2, field_m2) = (total.to_square_metres(), partition.net.to_square_metres());
        return Err(fault(&format!("the cells measure {cells_m2} m2, the field {field_m2} m2")));
    }
    let mut findings = Vec::new();
    if joined > 0 {
        let text = format!(
            "Joined to the neighbouring cell with which the longest edge is shared: {} smaller than \
             {} % of a cell.",
            counted(joined as u64, "piece", "pieces"),
            SMALL_SHARE * 100.0
        );
        findings.push(Finding::new("small_pieces_joined", text));
    }
    let (rows, columns) = (grid.rows as u32, grid.columns as u32);
    let cell_area = Area::from_square_metres(grid.cell_m2());
    Ok(Cells { vertices: pool.vertices, list, rows, columns, cell_area, findings })
}

fn fault(what: &str) -> Refusal {
    Problem::at(Place::default(), format!("{what}, which is a fault of this program"))
        .hint("another cell size or heading, and please report it with the boundary file")
        .into()
}

/// The cells in order, whole ones and cut ones; `None` where a cut one has no value point.
fn list_cells(cut: &[CutCell], cutter: &Cutter<'_>) -> Option<Vec<Cell>> {
    let grid = cutter.grid;
    let points: Vec<Option<Point>> = cut
        .par_iter()
        .with_min_len(64)
        .map(|cell| find_value_point(&cell.pieces, cutter.vertices))
        .collect();
    let mut next_cut = 0;
    let mut next_touched = 0;
    let mut list = Vec::new();
    let whole_area = Area::from_square_metres(grid.cell_m2());
    for row in 0..grid.rows {
        for column in 0..grid.columns {
            let number = grid.cell(column, row);
            let touched = cutter.touched.get(next_touched).is_some_and(|(cell, _)| *cell == number);
            next_touched += usize::from(touched);
            let nodes = || cutter.cell_nodes(column, row);
            let centre = || grid.point([column as f64 + 0.5, row as f64 + 0.5]);
            let node = grid.node(column, row);
            let of_part = |region: u32, part: u32, shape, area, value_point| {
                let (row, column, region) = (row as u32, column as u32, region as usize);
                Cell { row, column, region, part, shape, area, value_point }
            };
            let first = next_cut;
            while let Some(part) = cut.get(next_cut).filter(|part| part.cell == number) {
                let value_point = points[next_cut]?;
                let area = Area::from_square_metres(part.area_m2);
                let (shape, value_point) = if is_whole(&part.pieces, &nodes()) {
                    (Shape::Whole(nodes()), centre())
                } else {
                    (Shape::Cut(part.pieces.clone()), value_point)
                };
                let at = (next_cut - first) as u32;
                list.push(of_part(part.region, at, shape, area, value_point));
                next_cut += 1;
            }
            if next_cut == first && !touched && cutter.windings.at(node) > 0 {
                let region = cutter.windings.region(node);
                list.push(of_part(region, 0, Shape::Whole(nodes()), whole_area, centre()));
            }
        }
    }
    Some(list)
}

/// Whether the pieces are the whole square.
fn is_whole(pieces: &[PieceRings], nodes: &[u32; 4]) -> bool {
    let [piece] = pieces else { return false };
    let ring = &piece.outer;
    let Some(start) = ring.iter().position(|vertex| *vertex == nodes[0]) else { return false };
    piece.holes.is_empty()
        && ring.len() == 4
        && (0..4).all(|index| ring[(start + index) % 4] == nodes[index])
}

#[cfg(test)]
pub(in crate::field) mod tests;
