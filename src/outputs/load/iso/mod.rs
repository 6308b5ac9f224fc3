//! ISO 11783-10 task data: the file set that a task controller loads.
//!
//! The elements and attributes are those of ISO 11783-10:2015, annex D, as the schema
//! `ISO11783_TaskFile_V4-3.xsd` of 2018-06-04 (isobus.net) has them; values of process data are
//! those of the public data dictionary of ISO 11783-11 at isobus.net. In both forms of grid the
//! cells start in the south-west corner and run to the east, row by row to the north.

mod coding;
mod grid;
mod shapes;
#[cfg(test)]
mod tests;
mod xml;
mod zones;

use self::coding::{Coding, Refers, id};
use self::grid::TaskGrid;
use self::xml::{Xml, designator};
use self::zones::{ELSEWHERE, OUT_OF_FIELD, SIGNAL_LOST, TreatmentZone, codes_of, zones_of};
use super::LoadMap;
use crate::findings::{Place, Problem, Refusal};
use crate::units::{Length, ProductRate};

/// DDI 6, Setpoint Mass Per Area Application Rate, in steps of 1 mg/m2 (isobus.net, Data
/// dictionary, version 2025012101, entity 6).
pub(super) const SETPOINT_MASS_PER_AREA: u16 = 6;
/// Those steps in a kilogram on a hectare: a million milligrams on ten thousand square metres.
const STEPS_PER_KG_HA: f64 = 100.0;

/// The folder and the name of the main file; both are told apart by their letter case (ISO
/// 11783-10:2015, 8.5).
const FOLDER: &str = "TASKDATA";
const MAIN_FILE: &str = "TASKDATA.XML";

/// How the rates of a map stand in task data.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum IsoForm {
    /// Treatment zones with polygons, which version 4 of the standard has.
    Polygons,
    /// Grid type 1: each cell holds the code of a treatment zone.
    GridOfZones,
    /// Grid type 2: each cell holds its rate.
    GridOfValues,
}

/// What is asked of task data beyond the map.
#[derive(Clone, Copy, Debug)]
pub struct IsoAsked {
    /// How the rates stand in it.
    pub form: IsoForm,
    /// What the spreader is to put down outside the field's boundary. A grid of values holds it in
    /// its cells there, since it has no mark for them.
    pub out_of_field: ProductRate,
    /// What it is to put down where its position is lost.
    pub signal_lost: ProductRate,
    /// The side of a grid's cells; where none is asked for, they are finer than the map's.
    pub cell: Option<Length>,
}

/// The files of task data by their paths, with one task for each map.
///
/// Ground that is kept out gets nothing, whatever is put down outside the field. What was cut of a
/// rate to make it whole steps of 1 mg/m2 is at most 0.005 kg/ha.
///
/// # Errors
/// Refuses a map of more rates than a file can tell apart, rates beyond what it can hold, and a
/// map without ground.
pub fn iso_files(maps: &[LoadMap], asked: &IsoAsked) -> Result<Vec<(String, Vec<u8>)>, Refusal> {
    let tasks = maps
        .iter()
        .enumerate()
        .map(|(at, map)| Task::of(map, asked, at))
        .collect::<Result<Vec<_>, _>>()?;
    let (coding, refers) = Coding::of(maps);
    let mut xml = Xml::new();
    let text = |text: &str| Some(text.to_owned());
    let root = [
        ("VersionMajor", text("4")),
        ("VersionMinor", text("3")),
        ("ManagementSoftwareManufacturer", text("limewright")),
        ("ManagementSoftwareVersion", text(env!("CARGO_PKG_VERSION"))),
        // From the farm's office.
        ("DataTransferOrigin", text("1")),
    ];
    xml.element("ISO11783_TaskData", &root, |xml| {
        coding.write(xml);
        for (task, refers) in tasks.iter().zip(&refers) {
            task.write(xml, refers);
        }
    });
    let mut files = vec![(format!("{FOLDER}/{MAIN_FILE}"), xml.into_bytes())];
    let grids = tasks.into_iter().filter_map(|task| task.grid);
    files.extend(grids.map(|grid| (format!("{FOLDER}/{}", grid.file()), grid.bytes)));
    Ok(files)
}

/// One application on one field.
struct Task<'m> {
    id: String,
    name: String,
    zones: Vec<TreatmentZone<'m>>,
    grid: Option<TaskGrid>,
}

impl<'m> Task<'m> {
    fn of(map: &'m LoadMap, asked: &IsoAsked, at: usize) -> Result<Self, Refusal> {
        let zones = zones_of(map, asked)?;
        let grid = match asked.form {
            IsoForm::Polygons => None,
            IsoForm::GridOfZones | IsoForm::GridOfValues => {
                Some(TaskGrid::of(map, asked, &codes_of(&zones), at + 1)?)
            }
        };
        Ok(Self { id: id("TSK", at), name: name_of(map), zones, grid })
    }

    fn write(&self, xml: &mut Xml, refers: &Refers) {
        let attributes = [
            ("A", Some(self.id.clone())),
            ("B", Some(self.name.clone())),
            ("C", refers.customer.clone()),
            ("D", refers.farm.clone()),
            ("E", Some(refers.field.clone())),
            // Planned.
            ("G", Some("1".to_owned())),
            ("H", Some(ELSEWHERE.to_string())),
            ("I", Some(SIGNAL_LOST.to_string())),
            ("J", Some(OUT_OF_FIELD.to_string())),
        ];
        xml.element("TSK", &attributes, |xml| {
            for zone in &self.zones {
                zone.write(xml, &refers.product, &refers.unit);
            }
            if let Some(grid) = &self.grid {
                grid.write(xml);
            }
        });
    }
}

/// The name of a task. What tells one from another stands first, since a long name is cut.
fn name_of(map: &LoadMap) -> String {
    let label = &map.label;
    let mut parts = Vec::new();
    parts.extend(label.date.clone());
    parts.extend(label.revision.map(|revision| format!("r{revision}")));
    if label.applications > 1 {
        parts.push(format!("{} of {}", label.application, label.applications));
    }
    parts.push(label.material.clone());
    designator(&parts.join(" "))
}

/// A rate in whole steps of the data dictionary.
///
/// # Errors
/// Refuses a rate beyond 2,147 kg/m2, which a file cannot hold.
fn steps_of(rate: ProductRate) -> Result<i32, Refusal> {
    let steps = (rate.to_kilograms_per_hectare() * STEPS_PER_KG_HA).round();
    if (0.0..=f64::from(i32::MAX)).contains(&steps) {
        return Ok(steps as i32);
    }
    let most = f64::from(i32::MAX) / STEPS_PER_KG_HA;
    let what = format!("a rate of {:.0} kg/ha", rate.to_kilograms_per_hectare());
    Err(Problem::at(Place::default(), what)
        .allowed(format!("rates from 0 to {most:.0} kg/ha in ISO 11783-10 task data"))
        .hint("check the rates of the spreader and those outside the field")
        .into())
}

/// The rate of so many steps of the data dictionary.
fn rate_of(steps: i32) -> ProductRate {
    ProductRate::from_kilograms_per_hectare(f64::from(steps) / STEPS_PER_KG_HA)
}
