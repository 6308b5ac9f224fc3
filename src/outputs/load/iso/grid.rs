//! The grid of a task: its cells, and the file that holds them.

use std::collections::BTreeMap;

use super::steps_of;
use super::xml::{Xml, degrees};
use super::zones::{ELSEWHERE, FIRST_OF_MAP, OUT_OF_FIELD};
use crate::outputs::load::grid::{GridSize, LoadGrid};
use crate::outputs::load::{LoadArea, LoadMap};

/// The name of the grid's file, and that with the ending that readers look for.
const NAME: &str = "GRD00001";
pub(super) const FILE: &str = "GRD00001.bin";
/// Steps of the coordinates in one degree.
const STEPS_PER_DEGREE: f64 = 1e7;

/// A grid with the bytes of its file.
pub(super) struct TaskGrid {
    grid: LoadGrid,
    /// The zone that tells what the values of a grid of rates are.
    template: Option<u8>,
    pub(super) bytes: Vec<u8>,
}

impl TaskGrid {
    /// A grid of type 1; `codes` are the zones of the rates.
    ///
    /// # Errors
    /// Returns a rate that a file cannot hold, in words.
    pub(super) fn of_zones(
        map: &LoadMap,
        size: GridSize,
        codes: &BTreeMap<i32, u8>,
    ) -> Result<Self, String> {
        let of_area = |area: &LoadArea| Ok(codes[&steps_of(area.rate)?]);
        let cells = Cells { of_areas: each(map, of_area)?, kept_out: ELSEWHERE, out: OUT_OF_FIELD };
        let grid = LoadGrid::over(&map.areas, size);
        let bytes = cells.on(map, size, &grid).collect();
        Ok(Self { bytes, grid, template: None })
    }

    /// A grid of type 2, with one value a cell: the rate.
    ///
    /// # Errors
    /// Returns a rate that a file cannot hold, in words.
    pub(super) fn of_rates(map: &LoadMap, size: GridSize) -> Result<Self, String> {
        let of_areas = each(map, |area: &LoadArea| steps_of(area.rate))?;
        let out = steps_of(map.elsewhere.out_of_field)?;
        let grid = LoadGrid::over(&map.areas, size);
        let cells = Cells { of_areas, kept_out: 0, out };
        let bytes = cells.on(map, size, &grid).flat_map(i32::to_le_bytes).collect();
        Ok(Self { bytes, grid, template: Some(FIRST_OF_MAP) })
    }

    pub(super) fn write(&self, xml: &mut Xml) {
        let [west, south, east, north] = self.grid.box_e7;
        let side = |low: i32, high: i32, cells: usize| {
            let steps = f64::from(high) - f64::from(low);
            (steps / STEPS_PER_DEGREE / cells as f64).to_string()
        };
        let attributes = [
            ("A", degrees(south)),
            ("B", degrees(west)),
            ("C", side(south, north, self.grid.rows)),
            ("D", side(west, east, self.grid.columns)),
            ("E", self.grid.columns.to_string()),
            ("F", self.grid.rows.to_string()),
            ("G", NAME.to_owned()),
            ("H", self.bytes.len().to_string()),
            ("I", if self.template.is_some() { "2" } else { "1" }.to_owned()),
        ];
        let mut attributes = attributes.map(|(key, value)| (key, Some(value))).to_vec();
        attributes.push(("J", self.template.map(|code| code.to_string())));
        xml.leaf("GRD", &attributes);
    }
}

fn each<T>(
    map: &LoadMap,
    of_area: impl Fn(&LoadArea) -> Result<T, String>,
) -> Result<Vec<T>, String> {
    map.areas.iter().map(of_area).collect()
}

/// What stands in cells: of each area, on ground of the field in no area, and outside the field.
struct Cells<T> {
    of_areas: Vec<T>,
    kept_out: T,
    out: T,
}

impl<T: Copy> Cells<T> {
    /// What stands in each cell of the grid, row by row from the south-west corner.
    fn on<'c>(
        &'c self,
        map: &LoadMap,
        size: GridSize,
        grid: &'c LoadGrid,
    ) -> impl Iterator<Item = T> + 'c {
        let inside = LoadGrid::inside(&map.areas, size, &map.boundary);
        grid.areas().zip(inside).map(|cell| match cell {
            (Some(area), _) => self.of_areas[area],
            (None, true) => self.kept_out,
            (None, false) => self.out,
        })
    }
}
