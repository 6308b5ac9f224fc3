//! Where the patches of one rate lie: for each the place that is deepest inside it, where its rate
//! can be written or checked.

use crate::field::Cells;
use crate::machine::MachineRate;
use crate::units::Area;

/// Connected ground of one rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PatchMiddle {
    /// Its rate.
    pub rate: MachineRate,
    /// Its area.
    pub area: Area,
    /// The number of the cell that lies deepest in it; of several the first.
    pub cell: usize,
    /// How many cells that one lies from the nearest of another rate, or from ground off the map.
    pub depth: u32,
}

/// The patches of a map whose cells get `rates`, by their first cells. Cells that share an edge of
/// the grid belong together; of a square that several regions share the largest part counts.
pub fn patch_middles(cells: &Cells, rates: &[MachineRate]) -> Vec<PatchMiddle> {
    let grid = Squares::of(cells, rates);
    let depth = grid.depths();
    let mut is_taken = vec![false; grid.of.len()];
    let mut patches: Vec<PatchMiddle> = Vec::new();
    let mut left = Vec::new();
    for start in 0..grid.of.len() {
        let Some((first, rate)) = grid.of[start].filter(|_| !is_taken[start]) else { continue };
        let first = first as usize;
        let mut patch = PatchMiddle { rate, area: Area::ZERO, cell: first, depth: depth[start] };
        is_taken[start] = true;
        left.push(start);
        while let Some(square) = left.pop() {
            let Some((cell, _)) = grid.of[square] else { continue };
            let cell = cell as usize;
            patch.area += cells.list[cell].area;
            let deeper = depth[square] > patch.depth;
            if deeper || (depth[square] == patch.depth && cell < patch.cell) {
                (patch.depth, patch.cell) = (depth[square], cell);
            }
            // Left, right, below and above.
            for next in [square - 1, square + 1, square - grid.width, square + grid.width] {
                if grid.gets(next) == Some(rate) && !is_taken[next] {
                    is_taken[next] = true;
                    left.push(next);
                }
            }
        }
        patches.push(patch);
    }
    patches
}

/// The squares of the grid, row by row, with a rim of empty ones, so that each has all neighbours.
struct Squares {
    /// Squares in a row, the rim included.
    width: usize,
    /// The cell that stands for a square, and its rate.
    of: Vec<Option<(u32, MachineRate)>>,
}

impl Squares {
    fn of(cells: &Cells, rates: &[MachineRate]) -> Self {
        let width = cells.columns as usize + 2;
        let mut of: Vec<Option<(u32, MachineRate)>> = vec![None; width * (cells.rows as usize + 2)];
        for (number, (cell, &rate)) in cells.list.iter().zip(rates).enumerate() {
            let square = &mut of[(cell.row as usize + 1) * width + cell.column as usize + 1];
            if square.is_none_or(|(held, _)| cells.list[held as usize].area < cell.area) {
                *square = Some((number as u32, rate));
            }
        }
        Self { width, of }
    }

    /// The rate of a square in the field.
    fn gets(&self, square: usize) -> Option<MachineRate> {
        self.of[square].map(|(_, rate)| rate)
    }

    /// How many steps, also slanting ones, lead from each square to the nearest one that gets
    /// another rate or lies off the map.
    fn depths(&self) -> Vec<u32> {
        let mut depth = vec![0; self.of.len()];
        let width = self.width;
        let within = width + 1..self.of.len() - width - 1;
        // Once with the neighbours that come before a square, once with those that come after it.
        for square in within.clone() {
            let row = square - width;
            if let Some(steps) = self.steps(&depth, square, [square - 1, row - 1, row, row + 1]) {
                depth[square] = steps;
            }
        }
        for square in within.rev() {
            let row = square + width;
            if let Some(steps) = self.steps(&depth, square, [square + 1, row - 1, row, row + 1]) {
                depth[square] = steps.min(depth[square]);
            }
        }
        depth
    }

    /// The least depth that a square in the field has by some of its neighbours.
    fn steps(&self, depth: &[u32], square: usize, near: [usize; 4]) -> Option<u32> {
        let rate = self.gets(square)?;
        let by = |next: usize| if self.gets(next) == Some(rate) { depth[next] + 1 } else { 1 };
        near.into_iter().map(by).min()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::field::{Cell, Point, Shape};

    /// Cells of a hectare from rows of digits, the first row the southernmost; a dot is off the map.
    fn field(drawn: &[&str]) -> (Cells, Vec<MachineRate>) {
        let setting = crate::prescription::tests::machine().setting;
        let rate = |digit: u32| {
            (1..digit).fold(
                if digit > 0 { setting.least() } else { MachineRate::NOTHING },
                |rate, _| {
                    let next = setting.rate(rate) + setting.rate(setting.least()) * 0.25;
                    setting.held(next).unwrap()
                },
            )
        };
        let mut list = Vec::new();
        let mut rates = Vec::new();
        for (row, line) in drawn.iter().enumerate() {
            for (column, digit) in line.chars().enumerate() {
                let Some(digit) = digit.to_digit(10) else { continue };
                list.push(Cell {
                    row: row as u32,
                    column: column as u32,
                    region: 0,
                    part: 0,
                    shape: Shape::Whole([0; 4]),
                    area: Area::from_hectares(1.0),
                    value_point: Point { x_m: 0.0, y_m: 0.0 },
                });
                rates.push(rate(digit));
            }
        }
        let (rows, columns) = (drawn.len() as u32, drawn[0].len() as u32);
        let cell_area = Area::from_hectares(1.0);
        let cells = Cells { vertices: vec![], list, rows, columns, cell_area, findings: vec![] };
        (cells, rates)
    }

    #[test]
    fn each_patch_has_its_area_and_its_deepest_cell() {
        let (cells, rates) = field(&["11111..", "11111.2", "111110.", "1111100", "11111.."]);
        let patches = patch_middles(&cells, &rates);
        assert_eq!(patches.len(), 3);
        let deepest = &cells.list[patches[0].cell];
        assert_eq!((deepest.row, deepest.column, patches[0].depth), (2, 2, 3));
        assert!((patches[0].area.to_hectares() - 25.0).abs() < 1e-9);
        assert!((patches[1].area.to_hectares() - 1.0).abs() < 1e-9);
        // Ground that gets nothing is a patch like any other.
        assert_eq!(patches[2].rate, MachineRate::NOTHING);
        assert!((patches[2].area.to_hectares() - 3.0).abs() < 1e-9);
    }

    #[test]
    fn patches_that_touch_at_a_corner_are_two() {
        let (cells, rates) = field(&["12", "21"]);
        assert_eq!(patch_middles(&cells, &rates).len(), 4);
    }

    proptest::proptest! {
        #[test]
        fn patches_take_up_all_ground_and_depth_is_the_distance_to_another_rate(
            drawn in proptest::collection::vec(proptest::collection::vec(0_u32..3, 9), 1..9),
        ) {
            let lines: Vec<String> = drawn.iter().map(|line| line.iter().map(u32::to_string).collect()).collect();
            let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
            let (cells, rates) = field(&lines);
            let patches = patch_middles(&cells, &rates);
            let area: f64 = patches.iter().map(|patch| patch.area.to_hectares()).sum();
            proptest::prop_assert!((area - cells.list.len() as f64).abs() < 1e-9);
            for patch in patches {
                let (row, column) = (cells.list[patch.cell].row, cells.list[patch.cell].column);
                let far = |other: &Cell| other.row.abs_diff(row).max(other.column.abs_diff(column));
                let others = cells.list.iter().zip(&rates).filter(|(_, rate)| **rate != patch.rate);
                let edge = [row, column, cells.rows - 1 - row, cells.columns - 1 - column];
                let edge = edge.into_iter().min().unwrap() + 1;
                let nearest = others.map(|(cell, _)| far(cell)).min().unwrap_or(u32::MAX).min(edge);
                proptest::prop_assert_eq!(patch.depth, nearest);
            }
        }
    }
}
