//! The areas of a load map in the cells of a grid that runs from west to east: a cell is of the
//! area that its centre lies in, and of no other.

use super::{LoadArea, PolygonE7};
use crate::field::{Frame, LonLat};
use crate::units::{LIMITS, Length};

/// What stands for a cell outside all areas.
pub(super) const OUTSIDE: u32 = u32::MAX;

/// A grid over the box around some areas, which it fills without a remainder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoadGrid {
    /// West, south, east, north of it, in steps of 1e-7 degree.
    pub box_e7: [i32; 4],
    /// Cells from west to east.
    pub columns: usize,
    /// Cells from south to north.
    pub rows: usize,
    /// The number of each cell's area, row by row from the south-west corner.
    areas: Vec<u32>,
}

/// The sides of a grid in cells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GridSize {
    /// Cells from west to east.
    pub columns: usize,
    /// Cells from south to north.
    pub rows: usize,
}

impl GridSize {
    /// The fewest cells over `areas` whose sides are `cell` at the most; `None` where these are more
    /// than the limit.
    pub fn with_cells_of(areas: &[LoadArea], cell: Length) -> Option<Self> {
        let [west, south, east, north] = box_of(areas).map(|e7| f64::from(e7) / 1e7);
        let middle =
            LonLat { lon_deg: f64::midpoint(west, east), lat_deg: f64::midpoint(south, north) };
        let frame = Frame::centred_on(middle);
        let at = |lon_deg, lat_deg| frame.forward(LonLat { lon_deg, lat_deg });
        let wide = |lat| at(west, lat).distance_m(at(east, lat));
        let width = wide(south).max(wide(north));
        let height = at(middle.lon_deg, south).distance_m(at(middle.lon_deg, north));
        // A side that is a whole number of cells but for the last bits is that number.
        let cells = |side: f64| (side / cell.to_metres() - 1e-6).ceil().max(1.0) as usize;
        let size = Self { columns: cells(width), rows: cells(height) };
        let all = size.columns.checked_mul(size.rows)?;
        (all <= LIMITS.raster_cells).then_some(size)
    }
}

impl LoadGrid {
    /// The grid of that size over `areas`.
    pub fn over(areas: &[LoadArea], size: GridSize) -> Self {
        let mut grid = Self::empty(areas, size);
        let mut crossings = Vec::new();
        for (number, area) in areas.iter().enumerate() {
            grid.lay(&area.shape, number as u32, &mut crossings);
        }
        grid
    }

    /// Whether each cell of the grid of that size over `areas` lies in `ground`, row by row from the
    /// south-west corner.
    pub(super) fn inside(areas: &[LoadArea], size: GridSize, ground: &[PolygonE7]) -> Vec<bool> {
        let mut grid = Self::empty(areas, size);
        grid.lay(ground, 0, &mut Vec::new());
        grid.areas.iter().map(|&area| area != OUTSIDE).collect()
    }

    fn empty(areas: &[LoadArea], size: GridSize) -> Self {
        let GridSize { columns, rows } = size;
        let box_e7 = box_of(areas);
        Self { box_e7, columns, rows, areas: vec![OUTSIDE; columns * rows] }
    }

    /// The number of the area of each cell, row by row from the south-west corner; `None` outside.
    pub fn areas(&self) -> impl DoubleEndedIterator<Item = Option<usize>> + ExactSizeIterator {
        self.areas.iter().map(|&area| (area != OUTSIDE).then_some(area as usize))
    }

    /// The same for one row, counted from the south.
    pub fn row(&self, row: usize) -> impl Iterator<Item = Option<usize>> {
        let row = &self.areas[row * self.columns..(row + 1) * self.columns];
        row.iter().map(|&area| (area != OUTSIDE).then_some(area as usize))
    }

    /// Gives the cells whose centres lie in `shape` its number.
    ///
    /// Coordinates are multiplied until the centres are whole numbers, and cut points are compared
    /// as fractions, so that of two areas that share an edge one alone gets a centre on it: the one
    /// to the east, and of those above and below the upper.
    fn lay(&mut self, shape: &[PolygonE7], number: u32, crossings: &mut Vec<(usize, usize)>) {
        crossings.clear();
        for polygon in shape {
            for ring in std::iter::once(&polygon.outer).chain(&polygon.holes) {
                for (at, &from) in ring.iter().enumerate() {
                    self.cross(from, ring[(at + 1) % ring.len()], crossings);
                }
            }
        }
        crossings.sort_unstable();
        for pair in crossings.chunks_exact(2) {
            let (row, start, end) = (pair[0].0, pair[0].1, pair[1].1);
            let row = row * self.columns;
            self.areas[row + start..row + end].fill(number);
        }
    }

    /// Where an edge crosses the middle of rows: each row, and the first cell whose centre does not
    /// lie west of the crossing.
    fn cross(&self, from: [i32; 2], to: [i32; 2], crossings: &mut Vec<(usize, usize)>) {
        let [west, south, east, north] = self.box_e7.map(i128::from);
        let (width, height) = (east - west, north - south);
        let (columns, rows) = (self.columns as i128, self.rows as i128);
        let scaled = |[lon, lat]: [i32; 2]| {
            ((i128::from(lon) - west) * 2 * columns, (i128::from(lat) - south) * 2 * rows)
        };
        let (low, high) = if from[1] < to[1] { (from, to) } else { (to, from) };
        let ((x0, y0), (x1, y1)) = (scaled(low), scaled(high));
        let (dx, dy) = (x1 - x0, y1 - y0);
        if dy == 0 {
            return;
        }
        // The centre of row r is at (2 r + 1) height, that of column c at (2 c + 1) width.
        let first = div_up(y0 - height, 2 * height).max(0);
        let behind = div_up(y1 - height, 2 * height).min(rows);
        for row in first..behind {
            let y = (2 * row + 1) * height;
            let x_times_dy = x0 * dy + (y - y0) * dx;
            let column = div_up(x_times_dy - width * dy, 2 * width * dy).clamp(0, columns);
            crossings.push((row as usize, column as usize));
        }
    }
}

/// The quotient rounded up, of a positive divisor.
fn div_up(number: i128, by: i128) -> i128 {
    number.div_euclid(by) + i128::from(number.rem_euclid(by) > 0)
}

/// West, south, east, north of the areas; a box without a width gets one step.
fn box_of(areas: &[LoadArea]) -> [i32; 4] {
    let polygons = areas.iter().flat_map(|area| &area.shape);
    let mut corners = polygons.flat_map(|polygon| &polygon.outer).copied();
    let Some([lon, lat]) = corners.next() else { return [0, 0, 1, 1] };
    let [west, south, east, north] =
        corners.fold([lon, lat, lon, lat], |[west, south, east, north], [lon, lat]| {
            [west.min(lon), south.min(lat), east.max(lon), north.max(lat)]
        });
    [west, south, east.max(west + 1), north.max(south + 1)]
}

#[cfg(test)]
mod tests {
    use super::super::tests::area;
    use super::*;

    fn drawn(grid: &LoadGrid) -> Vec<String> {
        let sign = |area: Option<usize>| area.map_or('.', |area| char::from(b'a' + area as u8));
        (0..grid.rows).rev().map(|row| grid.row(row).map(sign).collect()).collect()
    }

    #[test]
    fn a_centre_on_a_shared_edge_is_of_one_area_alone() {
        // Cells are 10 wide; the middle edge runs through the centres of column 1, the upper one
        // through those of row 1.
        let left = area(&[&[[0, 0], [15, 0], [15, 15], [0, 15]]], 1.0);
        let right = area(&[&[[15, 0], [30, 0], [30, 15], [15, 15]]], 2.0);
        let upper = area(&[&[[0, 15], [15, 15], [30, 15], [30, 30], [0, 30]]], 3.0);
        let grid = LoadGrid::over(&[left, right, upper], GridSize { columns: 3, rows: 3 });
        assert_eq!(drawn(&grid), ["ccc", "ccc", "abb"]);
    }

    #[test]
    fn holes_and_parts_are_followed_and_edges_alone_count_for_nothing() {
        let ring: &[[i32; 2]] = &[[0, 0], [50, 0], [50, 50], [0, 50]];
        let hole: &[[i32; 2]] = &[[11, 11], [11, 39], [39, 39], [39, 11]];
        let grid = LoadGrid::over(&[area(&[ring, hole], 1.0)], GridSize { columns: 5, rows: 5 });
        assert_eq!(drawn(&grid), ["aaaaa", "a...a", "a...a", "a...a", "aaaaa"]);
        // A strip narrower than a cell that meets no centre is in no cell.
        let strip = area(&[&[[0, 0], [4, 0], [4, 50], [0, 50]]], 1.0);
        let far = area(&[&[[40, 0], [50, 0], [50, 50], [40, 50]]], 2.0);
        let grid = LoadGrid::over(&[strip, far], GridSize { columns: 5, rows: 5 });
        assert_eq!(drawn(&grid), ["....b"; 5]);
    }

    proptest::proptest! {
        /// Every centre in a square that is cut in four by lines through any point is in one of the
        /// four, the one that its place says.
        #[test]
        fn every_centre_is_in_exactly_one_area(
            [x, y] in [1..999_i32, 1..999_i32],
            [columns, rows] in [1..40_usize, 1..40_usize],
            turn in 0..999_i32,
        ) {
            let (low, high) = ([turn, 0], [999 - turn, 1000]);
            let middle = [x, y];
            let parts = [
                area(&[&[[0, 0], low, middle, [0, y]]], 1.0),
                area(&[&[low, [1000, 0], [1000, y], middle]], 2.0),
                area(&[&[middle, [1000, y], [1000, 1000], high]], 3.0),
                area(&[&[[0, y], middle, high, [0, 1000]]], 4.0),
            ];
            let all = LoadGrid::over(&parts, GridSize { columns, rows });
            proptest::prop_assert!(all.areas().all(|area| area.is_some()));
            let count = |number: usize| all.areas().filter(|a| *a == Some(number)).count();
            // Alone on the same ground each area has the cells that it has among the others.
            for (number, part) in parts.iter().enumerate() {
                let mut alone = LoadGrid { areas: vec![OUTSIDE; columns * rows], ..all.clone() };
                alone.lay(&part.shape, number as u32, &mut Vec::new());
                let own = alone.areas().flatten().count();
                proptest::prop_assert_eq!(own, count(number));
            }
        }
    }
}
