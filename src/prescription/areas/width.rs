//! Whether ground is anywhere as wide as is asked: whether a circle of that diameter fits into it,
//! which is so where eroding it by half the width leaves something.

use std::collections::BTreeSet;

use geo::{Buffer, MultiPolygon};

use crate::field::{Borders, Cells, Shape, polygons_of};
use crate::units::Length;

/// The part of the width that counts as all of it: a strip of cells that is as wide as a pass is
/// wide enough, whatever rounding does.
const WIDE_ENOUGH: f64 = 0.99;

/// Measures ground in cells.
pub(super) struct Widths<'a> {
    cells: &'a Cells,
    borders: &'a Borders,
    /// Half the width, in metres.
    radius_m: f64,
    /// So many whole cells side by side are as wide.
    block: u32,
    /// How many cells the circle may reach over, from one that it touches.
    reach: usize,
    /// Which cell is the whole square of a row and column.
    whole: Vec<Option<u32>>,
}

impl<'a> Widths<'a> {
    pub(super) fn of(cells: &'a Cells, borders: &'a Borders, least: Length) -> Self {
        let side_m = cells.cell_area.to_square_metres().sqrt();
        let width_m = least.to_metres() * WIDE_ENOUGH;
        let mut whole = vec![None; cells.rows as usize * cells.columns as usize];
        for (number, cell) in (0_u32..).zip(&cells.list) {
            if matches!(cell.shape, Shape::Whole(_)) {
                whole[cell.row as usize * cells.columns as usize + cell.column as usize] =
                    Some(number);
            }
        }
        Self {
            cells,
            borders,
            radius_m: width_m / 2.0,
            block: (width_m / side_m).ceil().max(1.0) as u32,
            // A way of so many cells to the right and as many up.
            reach: 2 * ((width_m / side_m).ceil() as usize + 1),
            whole,
        }
    }

    /// Whether a circle fits into the ground of some cells, sorted.
    pub(super) fn fits(&self, some: &[u32]) -> bool {
        let area_m2: f64 =
            some.iter().map(|&at| self.cells.list[at as usize].area.to_square_metres()).sum();
        if area_m2 < std::f64::consts::PI * self.radius_m * self.radius_m {
            return false;
        }
        self.holds_block(some) || self.erosion_leaves_some(some)
    }

    /// Those of `ground` (by its numbers) that a circle over one of `near` may reach, sorted.
    pub(super) fn around(&self, near: &[u32], is_ground: impl Fn(u32) -> bool) -> Vec<u32> {
        let mut found = near.to_vec();
        found.sort_unstable();
        let mut seen: BTreeSet<u32> = found.iter().copied().collect();
        let mut edge = found.clone();
        for _ in 0..self.reach {
            let mut next = Vec::new();
            for &cell in &edge {
                for &(other, _) in self.borders.around(cell) {
                    if is_ground(other) && seen.insert(other) {
                        next.push(other);
                    }
                }
            }
            edge = next;
        }
        seen.into_iter().collect()
    }

    /// Whether a square block of whole cells is among them: the greatest that ends at each cell is
    /// one more than the least of those that end beside, below and across from it.
    fn holds_block(&self, some: &[u32]) -> bool {
        let columns = self.cells.columns as usize;
        let mut side = vec![0_u32; some.len()];
        for (at, &number) in some.iter().enumerate() {
            let cell = &self.cells.list[number as usize];
            if !matches!(cell.shape, Shape::Whole(_)) {
                continue;
            }
            let beside = |right: u32, up: u32| -> u32 {
                let (Some(row), Some(column)) =
                    (cell.row.checked_sub(up), cell.column.checked_sub(right))
                else {
                    return 0;
                };
                let other = self.whole[row as usize * columns + column as usize];
                let place = other.and_then(|other| some.binary_search(&other).ok());
                place.map_or(0, |place| side[place])
            };
            let least = beside(1, 0).min(beside(0, 1)).min(beside(1, 1));
            side[at] = least + 1;
            if side[at] >= self.block {
                return true;
            }
        }
        false
    }

    fn erosion_leaves_some(&self, some: &[u32]) -> bool {
        // An outline that does not close is told where the areas are drawn.
        let polygons = polygons_of(self.cells, some).unwrap_or(MultiPolygon(Vec::new()));
        polygons.0.iter().any(|polygon| !polygon.buffer(-self.radius_m).0.is_empty())
    }
}
