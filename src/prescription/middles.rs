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
    let depth = grid.depths(rates);
    let mut patch_of: Vec<Option<usize>> = vec![None; grid.cell_at.len()];
    let mut patches: Vec<PatchMiddle> = Vec::new();
    for start in 0..grid.cell_at.len() {
        let Some(first) = grid.cell_at[start].filter(|_| patch_of[start].is_none()) else {
            continue;
        };
        let number = patches.len();
        let mut patch =
            PatchMiddle { rate: rates[first], area: Area::ZERO, cell: first, depth: depth[start] };
        patch_of[start] = Some(number);
        let mut left = vec![start];
        while let Some(square) = left.pop() {
            let Some(cell) = grid.cell_at[square] else { continue };
            patch.area += cells.list[cell].area;
            let deeper = depth[square] > patch.depth;
            if deeper || (depth[square] == patch.depth && cell < patch.cell) {
                (patch.depth, patch.cell) = (depth[square], cell);
            }
            for next in grid.beside(square).into_iter().flatten() {
                let same = grid.cell_at[next].is_some_and(|cell| rates[cell] == patch.rate);
                if same && patch_of[next].is_none() {
                    patch_of[next] = Some(number);
                    left.push(next);
                }
            }
        }
        patches.push(patch);
    }
    patches
}

/// The squares of the grid, row by row, and the cell that stands for each.
struct Squares {
    columns: usize,
    rows: usize,
    cell_at: Vec<Option<usize>>,
}

impl Squares {
    fn of(cells: &Cells, rates: &[MachineRate]) -> Self {
        let (columns, rows) = (cells.columns as usize, cells.rows as usize);
        let mut cell_at: Vec<Option<usize>> = vec![None; columns * rows];
        for (number, cell) in cells.list.iter().enumerate().take(rates.len()) {
            let square = &mut cell_at[cell.row as usize * columns + cell.column as usize];
            if square.is_none_or(|held| cells.list[held].area < cell.area) {
                *square = Some(number);
            }
        }
        Self { columns, rows, cell_at }
    }

    /// The squares left, right, below and above.
    fn beside(&self, square: usize) -> [Option<usize>; 4] {
        let (column, row) = (square % self.columns, square / self.columns);
        [
            (column > 0).then(|| square - 1),
            (column + 1 < self.columns).then(|| square + 1),
            (row > 0).then(|| square - self.columns),
            (row + 1 < self.rows).then(|| square + self.columns),
        ]
    }

    /// How many steps, also slanting ones, lead from each square to the nearest one that gets
    /// another rate or lies off the map.
    fn depths(&self, rates: &[MachineRate]) -> Vec<u32> {
        let rate_at = |square: usize| self.cell_at[square].map(|cell| rates[cell]);
        let mut depth = vec![0; self.cell_at.len()];
        // Once with the neighbours that come before a square, once with those that come after it.
        for back in [false, true] {
            for step in 0..depth.len() {
                let square = if back { depth.len() - 1 - step } else { step };
                let Some(rate) = rate_at(square) else { continue };
                let (column, row) = (square % self.columns, square / self.columns);
                let across = if back { 1 } else { -1 };
                let near = [(across, 0), (-1, across), (0, across), (1, across)];
                let least = near.map(|(right, up): (isize, isize)| {
                    let column = column.checked_add_signed(right).filter(|&c| c < self.columns);
                    let row = row.checked_add_signed(up).filter(|&r| r < self.rows);
                    let next = column.zip(row).map(|(column, row)| row * self.columns + column);
                    let same = next.filter(|&next| rate_at(next) == Some(rate));
                    same.map_or(1, |next| depth[next] + 1)
                });
                let least = least.into_iter().min().unwrap_or(1);
                depth[square] = if back { least.min(depth[square]) } else { least };
            }
        }
        depth
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
