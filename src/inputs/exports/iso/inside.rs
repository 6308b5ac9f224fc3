//! Which cells of a grid lie in a field.

use super::model::{LonLatDeg, Rings};
use crate::inputs::exports::ReadGrid;

/// Whether the point lies in the ring.
pub(super) fn lies_in(point: LonLatDeg, ring: &[LonLatDeg]) -> bool {
    crossings(ring, point[1]).filter(|&lon| lon <= point[0]).count() % 2 == 1
}

/// Edges held against rows at the most (ours): seconds of work.
const MOST_STEPS: usize = 2_000_000_000;

/// For each cell of the grid whether its centre lies in the polygons, row by row as the grid's
/// rates. Centres on an edge belong to the ground to the east and to the north of it. None where
/// that would be too much work.
pub(super) fn cells_inside(grid: &ReadGrid, polygons: &[Rings]) -> Option<Vec<bool>> {
    let edges: usize = polygons.iter().flatten().map(Vec::len).sum();
    if edges.saturating_mul(grid.rows) > MOST_STEPS {
        return None;
    }
    let mut inside = vec![false; grid.columns * grid.rows];
    let mut across: Vec<f64> = Vec::new();
    for (row, cells) in inside.chunks_mut(grid.columns).enumerate() {
        let lat = grid.south_deg + grid.cell_lat_deg * (row as f64 + 0.5);
        for rings in polygons {
            across.clear();
            across.extend(rings.iter().flat_map(|ring| crossings(ring, lat)));
            across.sort_by(f64::total_cmp);
            for pair in across.chunks_exact(2) {
                let column = |lon: f64| {
                    let column = ((lon - grid.west_deg) / grid.cell_lon_deg - 0.5).ceil();
                    column.clamp(0.0, grid.columns as f64) as usize
                };
                cells[column(pair[0])..column(pair[1])].fill(true);
            }
        }
    }
    Some(inside)
}

/// The longitudes at which the edges of a ring cross a latitude.
fn crossings(ring: &[LonLatDeg], lat: f64) -> impl Iterator<Item = f64> {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).filter(move |(from, to)| (from[1] <= lat) != (to[1] <= lat)).map(
        move |(from, to)| {
            // The same whichever way the edge is drawn.
            let (low, high) = if from[1] <= to[1] { (from, to) } else { (to, from) };
            low[0] + (high[0] - low[0]) * ((lat - low[1]) / (high[1] - low[1]))
        },
    )
}
