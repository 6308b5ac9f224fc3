//! The field in few strokes, for pictures of many fields.

use super::Work;
use super::sketch_outline::outline_of;
use crate::field::Cells;
use crate::machine::MachineRate;
use crate::summary::{SketchPart, rate_as_written};
use crate::units::{Area, Length, UnitSystem, tidy};

/// Squares along the longer side at the most.
const MOST_SQUARES: u32 = 32;
/// What a square with a rate above 0 is written as.
const LETTERS: &[u8; 61] = b"123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz";
/// A square where nothing is spread, and one that is off the map for the most part.
const NOTHING: char = '0';
const OFF: char = '.';

/// The sketch of a finished prescription: one pass over its cells.
pub(super) fn sketch_of(work: &Work) -> SketchPart {
    let Work { job, field, cells, prescription, .. } = work;
    let unit = match job.units {
        UnitSystem::Us => Length::from_feet(1.0),
        UnitSystem::Metric => Length::from_metres(1.0),
    };
    let unit_m = unit.to_metres();
    let together = cells.rows.max(cells.columns).div_ceil(MOST_SQUARES).max(1);
    let squares = squares_of(cells, prescription.cells.iter().map(|cell| cell.rate), together);
    let (sin, cos) = job.heading.to_radians().sin_cos();
    let outline = outline_of(field.boundary(), unit_m);
    // The grid starts at the near left corner of the box around the field along the heading.
    let (mut least_across, mut least_along) = (f64::INFINITY, f64::INFINITY);
    for at in field.boundary().iter().flat_map(|polygon| polygon.exterior().coords()) {
        least_across = least_across.min(at.x * cos - at.y * sin);
        least_along = least_along.min(at.x * sin + at.y * cos);
    }
    let corner = [least_across * cos + least_along * sin, least_along * cos - least_across * sin];
    let [west, south] = outline.south_west;
    let (rates, rows) = written(&squares, |rate| {
        rate_as_written(job.units, job.machine.setting.written(rate)).value
    });
    SketchPart {
        outline: outline.rings,
        tolerance: job.units.length(Length::from_metres(outline.tolerance_m)).into(),
        square: {
            let mut side = job.units.length(job.cell * f64::from(together));
            side.value = tidy(side.value);
            side.into()
        },
        heading_deg: job.heading.to_degrees(),
        corner: [(corner[0] - west) / unit_m, (corner[1] - south) / unit_m]
            .map(|place| place.round() as i64),
        rates,
        rows,
    }
}

/// The commonest rate of each square of `together` by `together` cells, row by row; `None` where
/// less than half of it is on the map.
fn squares_of(
    cells: &Cells,
    rates: impl Iterator<Item = MachineRate>,
    together: u32,
) -> Vec<Vec<Option<MachineRate>>> {
    let columns = cells.columns.div_ceil(together) as usize;
    let half = cells.cell_area * (f64::from(together).powi(2) / 2.0);
    let mut rows = Vec::with_capacity(cells.rows.div_ceil(together) as usize);
    let mut band: Vec<Vec<(MachineRate, Area)>> = vec![Vec::new(); columns];
    let close = |band: &mut Vec<Vec<(MachineRate, Area)>>, rows: &mut Vec<_>| {
        rows.push(band.iter_mut().map(|square| commonest(square, half)).collect());
    };
    for (cell, rate) in cells.list.iter().zip(rates) {
        // Rows without a cell stand between the parts of some fields.
        while rows.len() < (cell.row / together) as usize {
            close(&mut band, &mut rows);
        }
        band[(cell.column / together) as usize].push((rate, cell.area));
    }
    close(&mut band, &mut rows);
    rows
}

/// The rate with the most area of those in a square, which is emptied; of two alike the greater.
fn commonest(square: &mut Vec<(MachineRate, Area)>, half: Area) -> Option<MachineRate> {
    // Sorting keeps cells of one rate in their order, so that sums are the same in every run.
    square.sort_by_key(|(rate, _)| *rate);
    let sums = square.chunk_by(|a, b| a.0 == b.0).map(|alike| {
        let area: Area = alike.iter().map(|(_, area)| *area).sum();
        (alike[0].0, area)
    });
    let (mut covered, mut most) = (Area::ZERO, None);
    for (rate, area) in sums {
        covered += area;
        if most.is_none_or(|(_, greatest)| area >= greatest) {
            most = Some((rate, area));
        }
    }
    square.clear();
    most.filter(|_| covered >= half).map(|(rate, _)| rate)
}

/// The list of rates, and the rows in characters.
fn written(
    squares: &[Vec<Option<MachineRate>>],
    value: impl Fn(MachineRate) -> f64,
) -> (String, Vec<String>) {
    let mut all: Vec<MachineRate> =
        squares.iter().flatten().flatten().copied().filter(|rate| rate.spreads()).collect();
    all.sort_unstable();
    all.dedup();
    let alike = all.len().div_ceil(LETTERS.len()).max(1);
    // Of several that are drawn alike the one in their middle stands for all.
    let listed: Vec<String> =
        all.chunks(alike).map(|some| value(some[some.len() / 2]).to_string()).collect();
    let letter = |rate: &Option<MachineRate>| match rate {
        None => OFF,
        Some(rate) => all.binary_search(rate).map_or(NOTHING, |at| LETTERS[at / alike].into()),
    };
    (listed.join(" "), squares.iter().map(|row| row.iter().map(letter).collect()).collect())
}
