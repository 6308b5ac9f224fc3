//! The grid of a task: its cells, and the file that holds their values.

use std::collections::BTreeMap;

use super::xml::{Xml, degrees};
use super::zones::{ELSEWHERE, FIRST_OF_MAP, OUT_OF_FIELD};
use super::{IsoAsked, IsoForm, steps_of};
use crate::findings::{Place, Problem, Refusal};
use crate::outputs::load::raster::{RasterGrid, raster};
use crate::outputs::load::{LoadArea, LoadMap, PolygonE7};
use crate::units::{Area, Length, ProductMass};

/// Cells of the grid beside one of the map, each way.
const FINER: f64 = 4.0;
/// The least and the greatest side of a cell that is not asked for: ours. Positions of controllers
/// are no better than the one, and a spreader's width is not below the other.
const SIDES_M: [f64; 2] = [1.0, 10.0];
/// How far the product of the grid may be off the map's before its cells are halved; half of what
/// a raster may be off when it is read back.
const NEAR_ENOUGH: f64 = 0.005;

/// A grid with its file.
pub(super) struct TaskGrid {
    raster: RasterGrid,
    /// Its name without the ending.
    name: String,
    template: Option<u8>,
    pub(super) bytes: Vec<u8>,
}

impl TaskGrid {
    /// The grid of a map, in the file of that number from 1. `codes` are those of the rates.
    ///
    /// # Errors
    /// Refuses a map without ground, and rates beyond what the file can hold.
    pub(super) fn of(
        map: &LoadMap,
        asked: &IsoAsked,
        codes: &BTreeMap<i32, u8>,
        number: usize,
    ) -> Result<Self, Refusal> {
        let (raster_grid, areas) = laid(map, asked.cell)?;
        let inside = raster(&[&map.boundary], &raster_grid);
        let rates: Vec<i32> =
            map.areas.iter().map(|area| steps_of(area.rate)).collect::<Result<_, _>>()?;
        let cells = areas.iter().zip(&inside).map(|(area, inside)| match (area, inside) {
            (Some(area), _) => Ground::Rate(rates[*area as usize]),
            (None, Some(_)) => Ground::KeptOut,
            (None, None) => Ground::OutOfField,
        });
        let (template, bytes): (_, Vec<u8>) = if asked.form == IsoForm::GridOfValues {
            let out_of_field = steps_of(asked.out_of_field)?;
            let value = |ground| match ground {
                Ground::Rate(steps) => steps,
                Ground::KeptOut => 0,
                Ground::OutOfField => out_of_field,
            };
            (Some(FIRST_OF_MAP), cells.flat_map(|ground| value(ground).to_le_bytes()).collect())
        } else {
            let code = |ground| match ground {
                Ground::Rate(steps) => codes[&steps],
                Ground::KeptOut => ELSEWHERE,
                Ground::OutOfField => OUT_OF_FIELD,
            };
            (None, cells.map(code).collect())
        };
        Ok(Self { raster: raster_grid, name: format!("GRD{number:05}"), template, bytes })
    }

    /// The name of its file, in the folder of the task data.
    pub(super) fn file(&self) -> String {
        format!("{}.bin", self.name)
    }

    pub(super) fn write(&self, xml: &mut Xml) {
        let grid = &self.raster;
        let attributes = [
            ("A", degrees(grid.south_e7)),
            ("B", degrees(grid.west_e7)),
            ("C", degrees(grid.cell_lat_e7)),
            ("D", degrees(grid.cell_lon_e7)),
            ("E", grid.columns.to_string()),
            ("F", grid.rows.to_string()),
            ("G", self.name.clone()),
            ("H", self.bytes.len().to_string()),
            ("I", if self.template.is_some() { "2" } else { "1" }.to_owned()),
        ];
        let mut attributes = attributes.map(|(key, value)| (key, Some(value))).to_vec();
        attributes.push(("J", self.template.map(|code| code.to_string())));
        xml.leaf("GRD", &attributes);
    }
}

/// What a cell's centre lies on.
#[derive(Clone, Copy)]
enum Ground {
    Rate(i32),
    KeptOut,
    OutOfField,
}

/// The grid over a map with the area of each of its cells. Where no side of a cell is asked for,
/// the grid is finer than the map's cells, and as fine as its product comes near to the map's.
fn laid(map: &LoadMap, asked: Option<Length>) -> Result<(RasterGrid, Vec<Option<u32>>), Refusal> {
    let shapes: Vec<&[PolygonE7]> = map.areas.iter().map(|area| area.shape.as_slice()).collect();
    let mut side = asked.unwrap_or_else(|| finer_than(map.cells.as_ref().unwrap_or(&map.areas)));
    loop {
        let ground = map.boundary.iter().chain(map.areas.iter().flat_map(|area| &area.shape));
        let grid = RasterGrid::over(ground, side).ok_or_else(|| no_ground(map))?;
        let cells = raster(&shapes, &grid);
        if asked.is_some() || !grid.may_be_halved() || is_near(map, &grid, &cells) {
            return Ok((grid, cells));
        }
        side = side / 2.0;
    }
}

/// A fraction of the side of a middling cell of the map.
fn finer_than(cells: &[LoadArea]) -> Length {
    let mut areas: Vec<Area> = cells.iter().map(|cell| cell.area).collect();
    areas.sort_by(Area::total_cmp);
    let middling = areas.get(areas.len() / 2).map_or(0.0, |area| area.to_square_metres());
    let [least, greatest] = SIDES_M;
    Length::from_metres((middling.sqrt() / FINER).clamp(least, greatest))
}

fn is_near(map: &LoadMap, grid: &RasterGrid, cells: &[Option<u32>]) -> bool {
    let areas = grid.cell_areas();
    let of_row = |(row, &area): (&[Option<u32>], &Area)| -> ProductMass {
        row.iter().flatten().map(|&at| map.areas[at as usize].rate * area).sum()
    };
    let product: ProductMass = cells.chunks(grid.columns).zip(&areas).map(of_row).sum();
    (product - map.product).abs() <= map.product * NEAR_ENOUGH
}

fn no_ground(map: &LoadMap) -> Refusal {
    let what = format!("the map of {} has no ground to lay a grid on", map.label.field);
    Problem::at(Place::default(), what).hint("report this as a fault of the program").into()
}
