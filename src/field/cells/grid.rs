//! The square grid over a field: aligned with travel, anchored at a corner of the box around it.

use crate::field::outline::Field;
use crate::field::place::Point;
use crate::findings::{Place, Problem, Refusal};
use crate::units::{Heading, LIMITS, Length, bound};

/// A grid of square cells. Columns count across the travel, to the right of it, from the box's
/// left side; rows count along the travel from the box's near side. With heading 0 the cell of
/// row 0 and column 0 is the south-western one.
#[derive(Clone, Debug)]
pub(super) struct Grid {
    /// The unit vector to the right of the travel, in the frame.
    across: [f64; 2],
    /// The unit vector of the travel, in the frame.
    along: [f64; 2],
    least_across_m: f64,
    least_along_m: f64,
    pub(super) cell_m: f64,
    pub(super) columns: usize,
    pub(super) rows: usize,
}

impl Grid {
    /// So many columns and rows around the middle of a frame, turned.
    #[cfg(test)]
    pub(super) fn square(cell_m: f64, count: usize) -> Self {
        let least_m = -cell_m * count as f64 / 2.0;
        Self {
            across: [0.8, -0.6],
            along: [0.6, 0.8],
            least_across_m: least_m,
            least_along_m: least_m,
            cell_m,
            columns: count,
            rows: count,
        }
    }

    /// The grid over the box around a field.
    ///
    /// # Errors
    /// Refuses a cell size out of bounds, and one that makes too many cells, naming one that
    /// would do.
    pub(super) fn around(field: &Field, cell: Length, heading: Heading) -> Result<Self, Refusal> {
        let cell_m = cell.to_metres();
        bound::CELL
            .check(cell_m, &format!("{cell_m} m"))
            .map_err(|misread| Problem::misread(Place::default(), bound::CELL.words, misread))?;
        let (sin, cos) = exact_sin_cos(heading);
        let mut grid = Self {
            across: [cos, -sin],
            along: [sin, cos],
            least_across_m: 0.0,
            least_along_m: 0.0,
            cell_m,
            columns: 0,
            rows: 0,
        };
        let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for point in field.rings().iter().flat_map(|ring| &ring.points) {
            for (axis, value) in grid.turned(*point).into_iter().enumerate() {
                low[axis] = low[axis].min(value);
                high[axis] = high[axis].max(value);
            }
        }
        let [columns, rows] = [0, 1].map(|axis| ((high[axis] - low[axis]) / cell_m).floor() + 1.0);
        if columns * rows > LIMITS.cells as f64 {
            return Err(too_many(columns * rows, cell_m).into());
        }
        [grid.least_across_m, grid.least_along_m] = low;
        (grid.columns, grid.rows) = (columns as usize, rows as usize);
        Ok(grid)
    }

    /// Metres to the right and along.
    fn turned(&self, point: Point) -> [f64; 2] {
        [self.across, self.along].map(|axis| point.x_m * axis[0] + point.y_m * axis[1])
    }

    /// A point in columns and rows from the grid's corner.
    pub(super) fn position(&self, point: Point) -> [f64; 2] {
        let [across, along] = self.turned(point);
        [(across - self.least_across_m) / self.cell_m, (along - self.least_along_m) / self.cell_m]
    }

    /// The column and the row that a position lies in; where rounding has carried a point of the
    /// field over the edge of the grid, the last one on this side.
    pub(super) fn lane(&self, [column, row]: [f64; 2]) -> [i64; 2] {
        let within = |value: f64, count: usize| value.floor().clamp(0.0, count as f64 - 1.0) as i64;
        [within(column, self.columns), within(row, self.rows)]
    }

    /// The point at so many columns and rows from the grid's corner.
    pub(super) fn point(&self, [column, row]: [f64; 2]) -> Point {
        let across = self.least_across_m + column * self.cell_m;
        let along = self.least_along_m + row * self.cell_m;
        Point {
            x_m: across * self.across[0] + along * self.along[0],
            y_m: across * self.across[1] + along * self.along[1],
        }
    }

    /// The number of the cell in `column` and `row`, row by row.
    pub(super) fn cell(&self, column: usize, row: usize) -> usize {
        row * self.columns + column
    }

    /// The column and the row of a cell.
    pub(super) fn column_and_row(&self, cell: usize) -> (usize, usize) {
        (cell % self.columns, cell / self.columns)
    }

    /// The number of the grid node at the near left corner of (column, row).
    pub(super) fn node(&self, column: usize, row: usize) -> usize {
        row * (self.columns + 1) + column
    }

    /// The number of nodes.
    pub(super) fn node_count(&self) -> usize {
        (self.columns + 1) * (self.rows + 1)
    }

    /// The area of a whole cell in square metres.
    pub(super) fn cell_m2(&self) -> f64 {
        self.cell_m * self.cell_m
    }
}

/// Sine and cosine of a heading, exact for the four cardinal directions.
pub(in crate::field) fn exact_sin_cos(heading: Heading) -> (f64, f64) {
    let quarters = heading.to_degrees() / 90.0;
    if (quarters - quarters.round()).abs() < 1e-12 {
        return match (quarters.round() as i64).rem_euclid(4) {
            0 => (0.0, 1.0),
            1 => (1.0, 0.0),
            2 => (0.0, -1.0),
            _ => (-1.0, 0.0),
        };
    }
    heading.to_radians().sin_cos()
}

fn too_many(count: f64, cell_m: f64) -> Problem {
    // Two parts in a hundred more, because a partial row and column also count.
    let enough_m = (cell_m * (count / LIMITS.cells as f64).sqrt() * 1.02 * 10.0).ceil() / 10.0;
    let what = format!("cells of {cell_m} m make {count:.0} cells over the box around the field");
    Problem::at(Place::default(), what).allowed(format!("at most {} cells", LIMITS.cells)).hint(
        format!("a cell size of {enough_m} m or more, or fields far apart in files of their own"),
    )
}
