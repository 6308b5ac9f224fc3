//! Where the nodes of a grid lie in degrees: of a row of nodes a few are placed exactly, and the
//! others between them, which spares the functions of the ellipsoid.

use rayon::prelude::*;

use super::grid::Grid;
use crate::field::frame::Frame;
use crate::field::place::STEPS_PER_DEGREE;

/// Nodes of a row that are placed together.
const TOGETHER: usize = 64;
/// Of these so many intervals have exact ends: the polynomial through their ends is a quartic.
const INTERVALS: usize = 4;
const KNOTS: usize = INTERVALS + 1;
/// Up to so long a stretch, in metres, and up to this latitude, in degrees, the fifth derivative
/// leaves nothing between the quartic and the frame but rounding: the tests hold it to 1e-7 m.
const LONGEST_M: f64 = 3_000.0;
const HIGHEST_DEG: f64 = 80.0;
/// Fewer nodes of a stretch are placed one by one.
const FEW: usize = 3 * KNOTS;

/// The places of `nodes` of a grid, which rise, in steps of the output, not rounded.
pub(super) fn place_nodes(nodes: &[usize], grid: &Grid, frame: &Frame) -> Vec<[f64; 2]> {
    let row_of = |node: usize| node / (grid.columns + 1);
    let column_of = |node: usize| node % (grid.columns + 1);
    let exact = |column: usize, row: usize| {
        frame.inverse(grid.point([column as f64, row as f64])).in_steps()
    };
    let smooth =
        grid.cell_m * TOGETHER as f64 <= LONGEST_M && frame.centre().lat_deg.abs() <= HIGHEST_DEG;
    let stretch_of = |node: usize| (row_of(node), column_of(node) / TOGETHER);
    let stretches: Vec<&[usize]> =
        nodes.chunk_by(|&one, &other| stretch_of(one) == stretch_of(other)).collect();
    let place = |stretch: &&[usize]| -> Vec<[f64; 2]> {
        let row = row_of(stretch[0]);
        let column = |node: &usize| column_of(*node);
        if !smooth || stretch.len() < FEW {
            return stretch.iter().map(|node| exact(column(node), row)).collect();
        }
        let first = column(&stretch[0]) / TOGETHER * TOGETHER;
        let knots: [[f64; 2]; KNOTS] =
            std::array::from_fn(|knot| exact(first + knot * TOGETHER / INTERVALS, row));
        // Around the middle knot, so that the digits of the differences are kept.
        let middle = knots[KNOTS / 2];
        let off = knots.map(|knot| [knot[0] - middle[0], knot[1] - middle[1]]);
        // Longitudes leap at the 180th meridian.
        if off.iter().any(|knot| knot[0].abs() > 180.0 * STEPS_PER_DEGREE) {
            return stretch.iter().map(|node| exact(column(node), row)).collect();
        }
        let between = |node: &usize| {
            let shares = &SHARES[column(node) - first];
            let sum = |axis: usize| {
                let parts = off.iter().zip(shares).map(|(knot, share)| knot[axis] * share);
                middle[axis] + parts.sum::<f64>()
            };
            [sum(0), sum(1)]
        };
        stretch.iter().map(between).collect()
    };
    if rayon::current_num_threads() == 1 {
        return stretches.iter().flat_map(place).collect();
    }
    stretches.par_iter().with_min_len(16).flat_map_iter(place).collect()
}

/// For each node of a stretch, what each knot counts there: the polynomials of Lagrange.
const SHARES: [[f64; KNOTS]; TOGETHER] = {
    let mut shares = [[1.0; KNOTS]; TOGETHER];
    let mut node = 0;
    while node < TOGETHER {
        let at = node as f64 * INTERVALS as f64 / TOGETHER as f64;
        let mut knot = 0;
        while knot < KNOTS {
            let mut other = 0;
            while other < KNOTS {
                if other != knot {
                    shares[node][knot] *= (at - other as f64) / (knot as f64 - other as f64);
                }
                other += 1;
            }
            knot += 1;
        }
        node += 1;
    }
    shares
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::field::LonLat;

    /// The longest of rows at the highest latitude, and usual ones.
    #[test]
    fn nodes_between_knots_lie_where_the_frame_puts_them() {
        for (lat_deg, cell_m) in
            [(HIGHEST_DEG, LONGEST_M / TOGETHER as f64), (42.0, 10.0), (-3.0, 25.0)]
        {
            let frame = Frame::centred_on(LonLat { lon_deg: 11.0, lat_deg });
            let grid = Grid::square(cell_m, 400);
            let nodes: Vec<usize> = (0..grid.node_count()).step_by(3).collect();
            let placed = place_nodes(&nodes, &grid, &frame);
            assert_eq!(placed.len(), nodes.len());
            for (&node, steps) in nodes.iter().zip(&placed) {
                let (column, row) = (node % (grid.columns + 1), node / (grid.columns + 1));
                let exact = frame.inverse(grid.point([column as f64, row as f64])).in_steps();
                let narrow = lat_deg.to_radians().cos();
                // A step is about a centimetre: 1e-7 m.
                let off = ((steps[0] - exact[0]) * narrow).hypot(steps[1] - exact[1]);
                assert!(off < 1e-5, "{lat_deg} {cell_m} {node}: {off}");
            }
        }
    }

    #[test]
    fn what_a_quartic_would_miss_is_placed_one_by_one() {
        for (lon_deg, lat_deg, cell_m) in [(11.0, 88.0, 10.0), (11.0, 42.0, LONGEST_M)] {
            let frame = Frame::centred_on(LonLat { lon_deg, lat_deg });
            let grid = Grid::square(cell_m, 80);
            let nodes: Vec<usize> = (0..grid.node_count()).collect();
            for (&node, steps) in nodes.iter().zip(place_nodes(&nodes, &grid, &frame)) {
                let (column, row) = (node % (grid.columns + 1), node / (grid.columns + 1));
                let point = grid.point([column as f64, row as f64]);
                assert_eq!(steps, frame.inverse(point).in_steps());
            }
        }
    }

    #[test]
    fn a_row_across_the_180th_meridian_leaps_and_lies_where_it_must() {
        let frame = Frame::centred_on(LonLat { lon_deg: 180.0, lat_deg: -18.0 });
        let grid = Grid::square(10.0, 80);
        let nodes: Vec<usize> = (0..grid.node_count()).collect();
        for (&node, [lon, _]) in nodes.iter().zip(place_nodes(&nodes, &grid, &frame)) {
            let (column, row) = (node % (grid.columns + 1), node / (grid.columns + 1));
            let exact = frame.inverse(grid.point([column as f64, row as f64])).in_steps();
            assert!((lon - exact[0]).abs() < 1e-5, "{lon} {}", exact[0]);
        }
    }
}
