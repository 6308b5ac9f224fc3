//! The polygons around the cells of each area.
//!
//! Edges that two cells of one area share cancel, and the rest is led into rings: exact, because
//! cells that touch share their vertices. Nothing is clipped, so areas that touch share theirs.

use geo::{LineString, MultiPolygon, Polygon};
use rayon::prelude::*;

use super::borders::{Border, Borders};
use super::straight::straight_vertices;
use crate::field::cells::trace::{Steps, trace_pieces};
use crate::field::cells::{Cells, PieceRings, Shape};
use crate::field::place::Point;

/// How far the polygons of all areas together may be from those of all cells, as a share.
const AREA_TOLERANCE: f64 = 1e-9;

/// The polygons of areas, by the numbers of the cells' vertices.
#[derive(Clone, Debug)]
pub struct AreaOutlines {
    /// For each area its polygons; several only where a cell of it lies in several parts.
    pub shapes: Vec<Vec<PieceRings>>,
}

impl AreaOutlines {
    /// How many polygons there are.
    pub fn polygons(&self) -> usize {
        self.shapes.iter().map(Vec::len).sum()
    }

    /// How many vertices all their rings have; the first of a ring counts once.
    pub fn vertices(&self) -> usize {
        self.shapes.iter().flatten().flat_map(PieceRings::rings).map(<[u32]>::len).sum()
    }
}

/// Outlines that do not come out: a fault of the program.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum OutlineFault {
    /// The edges around an area do not lead back to where they began.
    #[error("the outline of a rate area does not close")]
    Open,
    /// The polygons do not measure what the cells do.
    #[error("the rate areas measure {areas_m2} m2, their cells {cells_m2} m2")]
    Area {
        /// All polygons of areas.
        areas_m2: f64,
        /// All polygons of cells.
        cells_m2: f64,
    },
}

/// Draws the outlines of `count` areas; `area_of` tells for each cell which one it belongs to.
///
/// Outer rings run counter-clockwise, holes clockwise; a ring touches no vertex twice. A vertex is
/// left out only where two edges of the net of all areas meet in a straight line; see
/// [`straight_vertices`].
///
/// # Errors
/// Returns a fault of the program where a ring does not close or the areas do not add up.
pub fn outline_areas(
    cells: &Cells,
    borders: &Borders,
    area_of: &[u32],
    count: usize,
) -> Result<AreaOutlines, OutlineFault> {
    let area = |cell: Option<u32>| cell.map(|cell| area_of[cell as usize]);
    let net: Vec<Border> = borders
        .list
        .iter()
        .map(|&Border { ends, left, right }| Border { ends, left: area(left), right: area(right) })
        .filter(|border| border.left != border.right)
        .collect();
    let ends: Vec<(u32, u32)> = net.iter().map(|border| border.ends).collect();
    let left_out = straight_vertices(&cells.vertices, &ends);
    let mut edges: Vec<Vec<(u32, u32)>> = vec![Vec::new(); count];
    for &Border { ends: (from, to), left, right } in &net {
        if let Some(area) = left {
            edges[area as usize].push((from, to));
        }
        if let Some(area) = right {
            edges[area as usize].push((to, from));
        }
    }
    let steps = |vertex| steps_of(cells, vertex);
    let traced: Option<Vec<Vec<PieceRings>>> = edges
        .into_par_iter()
        .map(|edges| {
            let mut pieces = trace_pieces(edges, &steps)?;
            for piece in &mut pieces {
                for ring in std::iter::once(&mut piece.outer).chain(&mut piece.holes) {
                    ring.retain(|&vertex| !left_out[vertex as usize]);
                }
            }
            Some(pieces)
        })
        .collect();
    let shapes = traced.ok_or(OutlineFault::Open)?;
    check_area(cells, &net, &shapes)?;
    Ok(AreaOutlines { shapes })
}

/// The polygons around some of the cells, in metres in the frame, with every vertex; `None` where a
/// ring does not close, which is a fault of the program.
pub fn polygons_of(cells: &Cells, some: &[u32]) -> Option<MultiPolygon<f64>> {
    let mut edges = Vec::with_capacity(some.len() * 4);
    for &cell in some {
        match &cells.list[cell as usize].shape {
            Shape::Whole(at) => edges.extend((0..4).map(|i| (at[i], at[(i + 1) % 4]))),
            Shape::Cut(pieces) => edges.extend(pieces.iter().flat_map(PieceRings::edges)),
        }
    }
    let pieces = trace_pieces(edges, &|vertex| steps_of(cells, vertex))?;
    let line = |ring: &[u32]| -> LineString<f64> {
        ring.iter().map(|&at| cells.vertices[at as usize].point.to_coord()).collect()
    };
    let polygon = |piece: &PieceRings| {
        Polygon::new(line(&piece.outer), piece.holes.iter().map(|hole| line(hole)).collect())
    };
    Some(MultiPolygon(pieces.iter().map(polygon).collect()))
}

fn steps_of(cells: &Cells, vertex: u32) -> Steps {
    let vertex = &cells.vertices[vertex as usize];
    [i64::from(vertex.lon_e7), i64::from(vertex.lat_e7)]
}

/// Holds the area inside all rings against that inside the edges with ground on one side only.
fn check_area(
    cells: &Cells,
    net: &[Border],
    shapes: &[Vec<PieceRings>],
) -> Result<(), OutlineFault> {
    let Some(origin) = cells.vertices.first().map(|vertex| vertex.point) else { return Ok(()) };
    let cross = |(from, to): (u32, u32)| {
        let [a, b] = [from, to].map(|vertex| {
            let Point { x_m, y_m } = cells.vertices[vertex as usize].point;
            [x_m - origin.x_m, y_m - origin.y_m]
        });
        a[0] * b[1] - a[1] * b[0]
    };
    let around = net.iter().map(|border| match (border.left, border.right) {
        (Some(_), None) => cross(border.ends),
        (None, Some(_)) => -cross(border.ends),
        _ => 0.0,
    });
    let cells_m2 = around.sum::<f64>() / 2.0;
    let rings = shapes.iter().flatten().flat_map(PieceRings::edges);
    let areas_m2 = rings.map(cross).sum::<f64>() / 2.0;
    if (areas_m2 - cells_m2).abs() > AREA_TOLERANCE * cells_m2.abs() {
        return Err(OutlineFault::Area { areas_m2, cells_m2 });
    }
    Ok(())
}
