//! Areas laid on a grid of degrees: each cell belongs to the area that its centre lies in.

use super::{PolygonE7, RingE7};
use crate::field::{Frame, LonLat, Point};
use crate::units::{Area, Length};

/// Steps of the coordinates in one degree.
const STEPS_PER_DEGREE: f64 = 1e7;
/// Cells of one grid at the most (ours): a file of a megabyte.
const MOST_CELLS: usize = 250_000;

/// A grid whose columns run to the east and whose rows run to the north, in whole steps of 1e-7
/// degree.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::outputs) struct RasterGrid {
    /// Its west edge.
    pub(in crate::outputs) west_e7: i32,
    /// Its south edge.
    pub(in crate::outputs) south_e7: i32,
    /// The width of a cell.
    pub(in crate::outputs) cell_lon_e7: i32,
    /// The height of a cell.
    pub(in crate::outputs) cell_lat_e7: i32,
    /// Cells from west to east.
    pub(in crate::outputs) columns: usize,
    /// Cells from south to north.
    pub(in crate::outputs) rows: usize,
}

impl RasterGrid {
    /// The grid over all of `polygons`, with cells of about `side`, or larger ones where those
    /// would be too many. None where there is nothing to cover.
    pub(in crate::outputs) fn over<'p>(
        polygons: impl Iterator<Item = &'p PolygonE7>,
        side: Length,
    ) -> Option<Self> {
        let mut corners = polygons.flat_map(|polygon| polygon.outer.iter());
        let first = *corners.next()?;
        let (mut low, mut high) = (first, first);
        for corner in corners {
            for axis in [0, 1] {
                low[axis] = low[axis].min(corner[axis]);
                high[axis] = high[axis].max(corner[axis]);
            }
        }
        let size = [0, 1].map(|axis| i64::from(high[axis]) - i64::from(low[axis]));
        let per_metre = steps_per_metre(low, high);
        let mut side_m = side.to_metres();
        loop {
            let cell = per_metre.map(|steps| ((steps * side_m).round() as i64).max(1));
            // A cell more where the edge falls on a centre's line, so that nothing is cut off.
            let counts = [0, 1].map(|axis| (size[axis] / cell[axis] + 1) as usize);
            if counts[0].saturating_mul(counts[1]) <= MOST_CELLS {
                return Some(Self {
                    west_e7: low[0],
                    south_e7: low[1],
                    cell_lon_e7: i32::try_from(cell[0]).ok()?,
                    cell_lat_e7: i32::try_from(cell[1]).ok()?,
                    columns: counts[0],
                    rows: counts[1],
                });
            }
            side_m *= 1.1;
        }
    }

    /// Whether the cells of the grid could be half as wide and high.
    pub(in crate::outputs) fn may_be_halved(&self) -> bool {
        4 * self.columns * self.rows <= MOST_CELLS
    }

    /// The true area of one cell of each row, from the south.
    pub(in crate::outputs) fn cell_areas(&self) -> Vec<Area> {
        let degrees = |e7: f64| e7 / STEPS_PER_DEGREE;
        let (west, south) = (f64::from(self.west_e7), f64::from(self.south_e7));
        let (wide, high) = (f64::from(self.cell_lon_e7), f64::from(self.cell_lat_e7));
        let middle = west + wide * self.columns as f64 / 2.0;
        let frame = Frame::centred_on(LonLat {
            lon_deg: degrees(middle),
            lat_deg: degrees(south + high * self.rows as f64 / 2.0),
        });
        let at = |lon: f64, lat: f64| {
            frame.forward(LonLat { lon_deg: degrees(lon), lat_deg: degrees(lat) })
        };
        let area = |row: usize| {
            let (low, top) = (south + high * row as f64, south + high * (row + 1) as f64);
            let (left, right) = (middle - wide / 2.0, middle + wide / 2.0);
            enclosed(&[at(left, low), at(right, low), at(right, top), at(left, top)])
        };
        (0..self.rows).map(area).collect()
    }
}

/// Steps of longitude and of latitude in a metre, at the middle of a box.
fn steps_per_metre(low: [i32; 2], high: [i32; 2]) -> [f64; 2] {
    const APART_DEG: f64 = 0.001;
    let middle = [0, 1].map(|axis| (f64::from(low[axis]) + f64::from(high[axis])) / 2.0);
    let [lon_deg, lat_deg] = middle.map(|e7| e7 / STEPS_PER_DEGREE);
    let frame = Frame::centred_on(LonLat { lon_deg, lat_deg });
    let east = frame.forward(LonLat { lon_deg: lon_deg + APART_DEG, lat_deg });
    let north = frame.forward(LonLat { lon_deg, lat_deg: lat_deg + APART_DEG });
    [east.x_m, north.y_m].map(|metres| APART_DEG * STEPS_PER_DEGREE / metres)
}

/// The true area inside a ring.
pub(in crate::outputs) fn ring_area(ring: &RingE7) -> Area {
    let place = |&[lon, lat]: &[i32; 2]| LonLat {
        lon_deg: f64::from(lon) / STEPS_PER_DEGREE,
        lat_deg: f64::from(lat) / STEPS_PER_DEGREE,
    };
    let Some(first) = ring.first() else { return Area::ZERO };
    let frame = Frame::centred_on(place(first));
    let corners: Vec<Point> = ring.iter().map(|corner| frame.forward(place(corner))).collect();
    enclosed(&corners)
}

fn enclosed(corners: &[Point]) -> Area {
    let next = corners.iter().cycle().skip(1);
    let doubled: f64 =
        corners.iter().zip(next).map(|(from, to)| from.x_m * to.y_m - to.x_m * from.y_m).sum();
    Area::from_square_metres((doubled / 2.0).abs())
}

/// Where an edge crosses the line through the centres of a row.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Crossing {
    row: u32,
    shape: u32,
    /// The first column whose centre lies on the crossing or to the east of it.
    column: u32,
}

/// For each cell of `grid`, row by row from the south-west corner, which of `shapes` its centre
/// lies in; none where it lies in no shape.
///
/// A centre on an edge belongs to the shape to the east of it, and on a level edge to the one to
/// the north. All is worked out in whole numbers, so shapes that share their vertices share no
/// centre and leave none out between them. Where shapes overlap, the first one has the cell.
pub(in crate::outputs) fn raster(shapes: &[&[PolygonE7]], grid: &RasterGrid) -> Vec<Option<u32>> {
    let mut crossings = Vec::new();
    for (shape, polygons) in shapes.iter().enumerate() {
        for polygon in *polygons {
            for ring in std::iter::once(&polygon.outer).chain(&polygon.holes) {
                for (at, &from) in ring.iter().enumerate() {
                    let to = ring[(at + 1) % ring.len()];
                    cross(grid, from, to, shape as u32, &mut crossings);
                }
            }
        }
    }
    crossings.sort_unstable();
    let mut cells = vec![None; grid.columns * grid.rows];
    for pair in crossings.chunks_exact(2) {
        let start = pair[0].row as usize * grid.columns;
        let run = start + pair[0].column as usize..start + pair[1].column as usize;
        for cell in cells[run].iter_mut().filter(|cell| cell.is_none()) {
            *cell = Some(pair[0].shape);
        }
    }
    cells
}

/// Notes where the edge crosses the lines through the centres of the rows.
fn cross(grid: &RasterGrid, a: [i32; 2], b: [i32; 2], shape: u32, crossings: &mut Vec<Crossing>) {
    // In half steps centres are whole numbers.
    let (low, high) = if a[1] <= b[1] { (a, b) } else { (b, a) };
    let half = |steps: i32| 2 * i128::from(steps);
    let (cell_lon, cell_lat) = (half(grid.cell_lon_e7), half(grid.cell_lat_e7));
    let first_lon = half(grid.west_e7) + cell_lon / 2;
    let first_lat = half(grid.south_e7) + cell_lat / 2;
    let (low_lon, low_lat) = (half(low[0]), half(low[1]));
    let (wide, tall) = (half(high[0]) - low_lon, half(high[1]) - low_lat);
    if tall == 0 {
        return;
    }
    // A row is crossed where its line lies on the lower end or above it, and below the upper end.
    let row_from = |lat: i128| {
        ceiling(lat - first_lat, cell_lat).clamp(0, i128::try_from(grid.rows).unwrap_or(0))
    };
    for row in row_from(low_lat)..row_from(half(high[1])) {
        let up = first_lat + cell_lat * row - low_lat;
        let column = ceiling(wide * up + (low_lon - first_lon) * tall, cell_lon * tall);
        let column = column.clamp(0, i128::try_from(grid.columns).unwrap_or(0));
        crossings.push(Crossing { row: row as u32, shape, column: column as u32 });
    }
}

/// The least whole number that is not less than the quotient; the divisor is above zero.
fn ceiling(dividend: i128, divisor: i128) -> i128 {
    -(-dividend).div_euclid(divisor)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn square(west: i32, south: i32, side: i32) -> PolygonE7 {
        let (east, north) = (west + side, south + side);
        PolygonE7 {
            outer: vec![[west, south], [east, south], [east, north], [west, north]],
            holes: Vec::new(),
        }
    }

    fn grid(west_e7: i32, south_e7: i32, cell: i32, columns: usize, rows: usize) -> RasterGrid {
        RasterGrid { west_e7, south_e7, cell_lon_e7: cell, cell_lat_e7: cell, columns, rows }
    }

    #[test]
    fn rows_start_in_the_south_west() {
        // Two by two cells of 10; one area in the south-west, one in the north-east.
        let areas = [[square(0, 0, 10)], [square(10, 10, 10)]];
        let shapes = areas.each_ref().map(|area| area.as_slice());
        assert_eq!(
            raster(&shapes, &grid(0, 0, 10, 2, 2)),
            [Some(0), None, None, Some(1)],
            "south row first, west column first"
        );
    }

    #[test]
    fn a_centre_on_an_edge_goes_to_the_east_and_to_the_north() {
        // The centres of cells of 10 that start at -5 lie on multiples of ten: all on edges.
        let areas =
            [[square(0, 0, 10)], [square(10, 0, 10)], [square(0, 10, 10)], [square(10, 10, 10)]];
        let shapes = areas.each_ref().map(|area| area.as_slice());
        let cells = raster(&shapes, &grid(-5, -5, 10, 3, 3));
        assert_eq!(
            cells,
            [Some(0), Some(1), None, Some(2), Some(3), None, None, None, None],
            "the east and north edges of the whole are outside"
        );
    }

    #[test]
    fn holes_and_islands_in_them_are_kept_apart() {
        let hole = square(10, 10, 30).outer.into_iter().rev().collect();
        let ring = PolygonE7 { outer: square(0, 0, 50).outer, holes: vec![hole] };
        let areas: [Vec<PolygonE7>; 2] = [vec![ring], vec![square(20, 20, 10)]];
        let shapes = areas.each_ref().map(Vec::as_slice);
        let cells = raster(&shapes, &grid(0, 0, 10, 5, 5));
        let of = |wanted: Option<u32>| cells.iter().filter(|&&cell| cell == wanted).count();
        assert_eq!((of(Some(0)), of(Some(1)), of(None)), (16, 1, 8));
    }

    #[test]
    fn what_lies_beyond_the_grid_neither_fills_nor_fails() {
        let areas = [[square(-1_000, -1_000, 2_000)]];
        let shapes = areas.each_ref().map(|area| area.as_slice());
        assert_eq!(raster(&shapes, &grid(0, 0, 10, 3, 2)), [Some(0); 6]);
        assert_eq!(raster(&shapes, &grid(5_000, 0, 10, 3, 2)), [None; 6]);
        assert_eq!(raster(&[], &grid(0, 0, 10, 1, 1)), [None]);
    }

    #[test]
    fn the_case_of_30_m_cells_on_400_m_counts_centres() {
        // P30: 13 x 13 centres of 30 m cells lie in 400 m, 14 x 14 cells are touched.
        let areas = [[square(0, 0, 400)]];
        let shapes = areas.each_ref().map(|area| area.as_slice());
        let inside = raster(&shapes, &grid(0, 0, 30, 14, 14)).iter().flatten().count();
        assert_eq!(inside, 13 * 13);
    }

    #[test]
    fn a_cell_has_its_true_area() {
        // The area of one ten-thousandth of a degree squared at the equator: a^2 (1 - e^2) times
        // the square of the angle, with the axis and eccentricity of WGS 84.
        let (a, e2) = (6_378_137.0_f64, 0.006_694_379_990_14_f64);
        let expected = a * a * (1.0 - e2) * 1e-4_f64.to_radians().powi(2);
        let areas = grid(0, -500, 1_000, 5, 1).cell_areas();
        assert!((areas[0].to_square_metres() / expected - 1.0).abs() < 1e-6, "{areas:?}");
        // Towards the pole cells narrow.
        let areas = grid(0, 600_000_000, 1_000, 5, 3).cell_areas();
        assert!(areas[0] > areas[1] && areas[1] > areas[2]);
    }

    #[test]
    fn the_grid_covers_all_and_is_bounded() {
        let field = [square(0, 450_000_000, 100_000)];
        let grid = RasterGrid::over(field.iter(), Length::from_metres(3.0)).unwrap();
        assert!(grid.columns * grid.rows <= MOST_CELLS);
        let east = grid.cell_lon_e7 * grid.columns as i32;
        assert!(east >= 100_000 && east < 100_000 + 2 * grid.cell_lon_e7);
        let fine = RasterGrid::over(field.iter(), Length::from_metres(0.1)).unwrap();
        assert!(fine.columns * fine.rows <= MOST_CELLS && !fine.may_be_halved());
        assert_eq!(RasterGrid::over([].iter(), Length::from_metres(3.0)), None);
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

        /// A square is parted into triangles around a point; each centre in the square lies in
        /// exactly one of them, and shapes are right by the definition of inside.
        #[test]
        fn each_centre_lies_in_exactly_one_part(
            (x, y) in (1..99_i32, 1..99_i32),
            (cell, shift) in (1..40_i32, -30..30_i32),
        ) {
            let corners = square(0, 0, 100).outer;
            let parts: Vec<Vec<PolygonE7>> = (0..4)
                .map(|at| {
                    let outer = vec![corners[at], corners[(at + 1) % 4], [x, y]];
                    vec![PolygonE7 { outer, holes: Vec::new() }]
                })
                .collect();
            let whole = [square(0, 0, 100)];
            let grid = grid(shift, shift, cell, 60, 60);
            let in_whole = raster(&[&whole], &grid);
            let mut count = vec![0; in_whole.len()];
            for part in &parts {
                for (cell, inside) in raster(&[part.as_slice()], &grid).iter().enumerate() {
                    count[cell] += usize::from(inside.is_some());
                }
            }
            let shapes: Vec<&[PolygonE7]> = parts.iter().map(Vec::as_slice).collect();
            let together = raster(&shapes, &grid);
            for (at, inside) in in_whole.iter().enumerate() {
                prop_assert_eq!(count[at], usize::from(inside.is_some()));
                prop_assert_eq!(together[at].is_some(), inside.is_some());
                // Half steps, as the centre of an odd cell is not a whole number of steps.
                let centre = |index: usize| 2 * shift + cell * (2 * index as i32 + 1);
                let (lon, lat) = (centre(at % 60), centre(at / 60));
                let expected = (0..200).contains(&lon) && (0..200).contains(&lat);
                prop_assert_eq!(inside.is_some(), expected);
            }
        }
    }
}
