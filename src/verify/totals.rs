//! Areas and product of a map that was read.

use std::collections::BTreeMap;

use super::rings::polygon_m2;
use crate::field::{Frame, LonLat, Point, degrees_of};
use crate::findings::{Place, Problem, Refusal};
use crate::inputs::CoordinateSystem;
use crate::inputs::exports::{FoundExport, ReadArea, ReadGrid, ReadGround, ReadMap};
use crate::units::{Area, ControllerUnit, ProductMass, ProductRate};

/// Different rates of one map that are told one by one; a map of soil values has more.
const MOST_RATES: usize = 1_000;

/// Corners of a grid that are placed at once.
const CORNERS_AT_A_TIME: usize = 1 << 20;

/// What a map comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct MapTotals {
    /// Its polygons, or cells with a rate, or rows.
    pub pieces: usize,
    /// The corners of its polygons; those that are repeated to close a ring are not counted.
    pub vertices: usize,
    /// The area of all of it that has a rate, nothing among the rates.
    pub area: Area,
    /// The area of polygons or rows without a rate; cells of a grid that have none lie outside.
    pub area_without: Area,
    /// The product, where the unit of the rates is known.
    pub product: Option<ProductMass>,
    /// The least and the greatest rate, where there is any.
    pub range: Option<(f64, f64)>,
    /// Its rates, from the least up; none where they are too many to be the rates of a machine.
    pub rates: Vec<RateTotal>,
}

/// The ground of one rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RateTotal {
    /// The rate, in the unit of the map.
    pub rate: f64,
    /// Its area.
    pub area: Area,
}

impl MapTotals {
    /// The mean rate of the ground that gets any, if its numbers were in `unit`.
    pub fn mean_rate_in(&self, unit: ControllerUnit) -> Option<ProductRate> {
        self.mean_number().map(|mean| unit.rate(mean))
    }

    /// The mean rate of the ground that gets any, in the words for its unit that a read map has.
    pub fn mean_rate_of(&self, unit: &str) -> Option<ProductRate> {
        rate_in(Some(unit), self.mean_number()?)
    }

    /// The mean of the numbers of the ground that gets any.
    pub fn mean_number(&self) -> Option<f64> {
        let spread = self.rates.iter().filter(|rate| rate.rate > 0.0);
        let (area, sum) = spread.fold((0.0, 0.0), |(area, sum), rate| {
            let m2 = rate.area.to_square_metres();
            (area + m2, sum + rate.rate * m2)
        });
        (area > 0.0).then(|| sum / area)
    }

    /// The product, if its numbers were in `unit`.
    pub fn product_in(&self, unit: ControllerUnit) -> ProductMass {
        self.rates.iter().map(|rate| unit.rate(rate.rate) * rate.area).sum()
    }
}

/// What the map number `at` of an export comes to; areas are true ones, in an equal-area frame
/// around it.
///
/// # Errors
/// Refuses coordinates that lie nowhere on the ground.
pub fn totals_of(found: &FoundExport, at: usize) -> Result<MapTotals, Refusal> {
    let map = &found.export.maps[at];
    let mut sums = Sums::of(map);
    match &map.ground {
        ReadGround::Areas(areas) => add_areas(&mut sums, found, areas)?,
        ReadGround::Grid(grid) => add_cells(&mut sums, found, grid)?,
        ReadGround::Rows(rows) => rows.iter().for_each(|row| sums.add(row.area_m2, row.rate)),
    }
    Ok(sums.totals())
}

/// What was added up so far.
struct Sums<'m> {
    map: &'m ReadMap,
    pieces: usize,
    vertices: usize,
    with_m2: f64,
    without_m2: f64,
    product: ProductMass,
    range: Option<(f64, f64)>,
    by_rate: BTreeMap<u64, (f64, f64)>,
}

impl<'m> Sums<'m> {
    fn of(map: &'m ReadMap) -> Self {
        Self {
            map,
            pieces: 0,
            vertices: 0,
            with_m2: 0.0,
            without_m2: 0.0,
            product: ProductMass::ZERO,
            range: None,
            by_rate: BTreeMap::new(),
        }
    }

    fn add(&mut self, m2: f64, rate: Option<f64>) {
        self.pieces += 1;
        let Some(rate) = rate else {
            self.without_m2 += m2;
            return;
        };
        self.with_m2 += m2;
        let (low, high) = self.range.unwrap_or((rate, rate));
        self.range = Some((low.min(rate), high.max(rate)));
        if let Some(rate) = rate_in(self.map.unit, rate) {
            self.product += rate * Area::from_square_metres(m2);
        }
        // One more than are told shows that they are too many.
        if self.by_rate.len() <= MOST_RATES {
            self.by_rate.entry(in_order(rate)).or_insert((rate, 0.0)).1 += m2;
        }
    }

    fn totals(mut self) -> MapTotals {
        if self.by_rate.len() > MOST_RATES {
            self.by_rate.clear();
        }
        let rates = self.by_rate.into_values();
        MapTotals {
            pieces: self.pieces,
            vertices: self.vertices,
            area: Area::from_square_metres(self.with_m2),
            area_without: Area::from_square_metres(self.without_m2),
            product: self.map.unit.map(|_| self.product),
            range: self.range,
            rates: rates
                .map(|(rate, m2)| RateTotal { rate, area: Area::from_square_metres(m2) })
                .collect(),
        }
    }
}

/// A rate in the words for its unit that a read map has.
fn rate_in(unit: Option<&str>, number: f64) -> Option<ProductRate> {
    let unit = unit?;
    if unit == "mg/m2" {
        return Some(ControllerUnit::KilogramsPerHectare.rate(number / 100.0));
    }
    let unit = ControllerUnit::ALL.into_iter().find(|known| known.words() == unit)?;
    Some(unit.rate(number))
}

/// A key that is ordered as the numbers are.
fn in_order(number: f64) -> u64 {
    let bits = (number + 0.0).to_bits();
    if bits >> 63 == 0 { bits | (1 << 63) } else { !bits }
}

fn same(a: [f64; 2], b: [f64; 2]) -> bool {
    (0..2).all(|axis| a[axis].total_cmp(&b[axis]).is_eq())
}

fn open(ring: &[[f64; 2]]) -> &[[f64; 2]] {
    match ring {
        [first, rest @ .., last] if !rest.is_empty() && same(*first, *last) => {
            &ring[..ring.len() - 1]
        }
        _ => ring,
    }
}

/// Adds the true area of each area, with its rate.
fn add_areas(sums: &mut Sums<'_>, found: &FoundExport, areas: &[ReadArea]) -> Result<(), Refusal> {
    let rings = areas.iter().flat_map(|area| area.polygons.iter().flatten());
    let points: Vec<[f64; 2]> = rings.flat_map(|ring| open(ring)).copied().collect();
    let degrees = degrees_of(&found.system, &points, &found.file)?;
    let Some(frame) = frame_around(&degrees) else { return Ok(()) };
    sums.vertices = points.len();
    let points = placed(&frame, degrees, &found.file)?;
    let mut points = points.into_iter();
    let mut in_metres = |ring: &Vec<[f64; 2]>| -> Vec<Point> {
        let mut ring: Vec<Point> = points.by_ref().take(open(ring).len()).collect();
        ring.extend(ring.first().copied());
        ring
    };
    for area in areas {
        let polygons = area.polygons.iter();
        let polygons = polygons.map(|rings| rings.iter().map(&mut in_metres).collect::<Vec<_>>());
        let m2 = polygons.map(|rings| polygon_m2(&rings)).sum();
        sums.add(m2, area.rate);
    }
    Ok(())
}

/// Adds the true area of each cell that has a rate, with it.
fn add_cells(sums: &mut Sums<'_>, found: &FoundExport, grid: &ReadGrid) -> Result<(), Refusal> {
    let corner = |column: usize, row: usize| {
        [
            grid.west_deg + grid.cell_lon_deg * column as f64,
            grid.south_deg + grid.cell_lat_deg * row as f64,
        ]
    };
    let middle = corner(grid.columns / 2, grid.rows / 2);
    let middle = degrees_of(&found.system, &[middle], &found.file)?;
    let Some(frame) = frame_around(&middle) else { return Ok(()) };
    // In degrees all cells of a row are of one size; in another system each has its own.
    let each = found.system != CoordinateSystem::Wgs84Degrees;
    let lines = if each { grid.columns + 1 } else { 2 };
    let rows_at_a_time = (CORNERS_AT_A_TIME / (2 * lines)).max(1);
    let rates: Vec<&[Option<f64>]> = grid.rates.chunks_exact(grid.columns.max(1)).collect();
    for (block, rows) in rates.chunks(rows_at_a_time).enumerate() {
        let first = block * rows_at_a_time;
        // Two corners for each line between columns: below and above.
        let line = |row: usize| {
            (0..lines).flat_map(move |column| [corner(column, row), corner(column, row + 1)])
        };
        let corners: Vec<[f64; 2]> = (first..first + rows.len()).flat_map(line).collect();
        let places = degrees_of(&found.system, &corners, &found.file)?;
        let points = placed(&frame, places, &found.file)?;
        for (rates, corners) in rows.iter().zip(points.chunks_exact(2 * lines)) {
            let m2 = |column: usize| {
                let at = if each { 2 * column } else { 0 };
                let [a, b, c, d] = [0, 1, 2, 3].map(|corner| corners[at + corner]);
                polygon_m2(&[vec![a, c, d, b, a]])
            };
            let of_row = m2(0);
            for (column, rate) in rates.iter().enumerate().filter(|(_, rate)| rate.is_some()) {
                sums.add(if each { m2(column) } else { of_row }, *rate);
            }
        }
    }
    Ok(())
}

/// Places in the frame around them.
///
/// # Errors
/// Refuses places on the other side of the Earth, which the frame cannot hold.
fn placed(frame: &Frame, places: Vec<LonLat>, file: &str) -> Result<Vec<Point>, Refusal> {
    let points: Vec<Point> = places.into_iter().map(|place| frame.forward(place)).collect();
    if points.iter().all(|point| point.x_m.is_finite() && point.y_m.is_finite()) {
        return Ok(points);
    }
    let what = "its ground reaches around the Earth, so that it has no area";
    Err(Problem::at(Place::in_file(file), what)
        .allowed("a map of one field")
        .hint("check where it says that it lies, and the size of its cells; it may be damaged")
        .into())
}

/// A frame around the middle of some places.
fn frame_around(places: &[LonLat]) -> Option<Frame> {
    let first = places.first()?;
    let (low, high) = places.iter().fold((*first, *first), |(low, high), place| {
        (
            LonLat {
                lon_deg: low.lon_deg.min(place.lon_deg),
                lat_deg: low.lat_deg.min(place.lat_deg),
            },
            LonLat {
                lon_deg: high.lon_deg.max(place.lon_deg),
                lat_deg: high.lat_deg.max(place.lat_deg),
            },
        )
    });
    Some(Frame::centred_on(LonLat {
        lon_deg: f64::midpoint(low.lon_deg, high.lon_deg),
        lat_deg: f64::midpoint(low.lat_deg, high.lat_deg),
    }))
}
