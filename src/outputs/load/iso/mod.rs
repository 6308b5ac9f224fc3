//! ISO 11783-10 task data: the file set that a task controller loads.
//!
//! The elements and attributes are those of ISO 11783-10:2015, annex D, as the schema
//! `ISO11783_TaskFile_V4-3.xsd` of 2018-06-04 (isobus.net) has them; values of process data are
//! those of the public data dictionary of ISO 11783-11 at isobus.net. In both forms of grid the
//! cells start in the south-west corner and run to the east, row by row to the north. The standard
//! itself was not at hand, only summaries of it; the schema was.

mod coding;
mod grid;
mod shapes;
#[cfg(test)]
mod tests;
mod xml;
mod zones;

use std::collections::BTreeSet;

use self::grid::TaskGrid;
use self::xml::{Xml, designator};
use self::zones::{ELSEWHERE, OUT_OF_FIELD, SIGNAL_LOST, TreatmentZone, codes_of, zones_of};
use super::grid::GridSize;
use super::{ExportFile, LoadMap};
use crate::units::ProductRate;

/// DDI 6, Setpoint Mass Per Area Application Rate, in steps of 1 mg/m2 (isobus.net, Data
/// dictionary, version 2025012101, entity 6).
const SETPOINT_MASS_PER_AREA: u16 = 6;
/// Those steps in a kilogram on a hectare: a million milligrams on ten thousand square metres.
const STEPS_PER_KG_HA: f64 = 100.0;

/// The folder and the name of the main file; both are told apart by their letter case (ISO
/// 11783-10:2015, 8.5).
const FOLDER: &str = "TASKDATA";
const MAIN_FILE: &str = "TASKDATA.XML";

/// How the rates of a map stand in task data.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum IsoForm {
    /// Treatment zones with polygons, of which version 4 of the standard has several in a zone.
    Polygons,
    /// Grid type 1: each cell holds the code of a treatment zone.
    GridOfZones(GridSize),
    /// Grid type 2: each cell holds its rate. It has no mark for cells outside the field, which
    /// hold the rate that is spread there.
    GridOfRates(GridSize),
}

impl IsoForm {
    /// As it stands in the name of its folder.
    fn key(self) -> &'static str {
        match self {
            Self::Polygons => "iso-polygons",
            Self::GridOfZones(_) => "iso-grid-1",
            Self::GridOfRates(_) => "iso-grid-2",
        }
    }
}

/// The files of task data with the map as its one task, in a folder named after `stem`; the main
/// file comes first.
///
/// Ground that is kept out gets nothing, whatever is put down outside the field.
///
/// # Errors
/// Returns why the map does not fit: more rates than a file can tell apart, or greater ones than
/// it can hold.
pub(super) fn iso_files(
    map: &LoadMap,
    form: IsoForm,
    stem: &str,
) -> Result<Vec<ExportFile>, String> {
    let zones = zones_of(map, form)?;
    let grid = match form {
        IsoForm::Polygons => None,
        IsoForm::GridOfZones(size) => Some(TaskGrid::of_zones(map, size, &codes_of(&zones))?),
        IsoForm::GridOfRates(size) => Some(TaskGrid::of_rates(map, size)?),
    };
    let mut xml = Xml::new();
    let text = |text: &str| Some(text.to_owned());
    let root = [
        ("VersionMajor", text("4")),
        ("VersionMinor", text("3")),
        ("ManagementSoftwareManufacturer", text("limewright")),
        ("ManagementSoftwareVersion", text(env!("CARGO_PKG_VERSION"))),
        // Made by farm management software.
        ("DataTransferOrigin", text("1")),
    ];
    xml.element("ISO11783_TaskData", &root, |xml| {
        coding::write(xml, map);
        write_task(xml, map, &zones, grid.as_ref());
    });
    let folder = format!("{stem}_{}/{FOLDER}", form.key());
    let file = |name: &str, bytes| ExportFile { name: format!("{folder}/{name}"), bytes };
    let mut files = vec![file(MAIN_FILE, xml.into_bytes())];
    files.extend(grid.map(|grid| file(grid::FILE, grid.bytes)));
    Ok(files)
}

/// The rates of a map as task data hold them, in mg/m2, each once from the least up.
pub fn iso_rates(map: &LoadMap) -> Vec<f64> {
    let steps: BTreeSet<i32> =
        map.areas.iter().filter_map(|area| steps_of(area.rate).ok()).collect();
    steps.into_iter().map(f64::from).collect()
}

fn write_task(xml: &mut Xml, map: &LoadMap, zones: &[TreatmentZone<'_>], grid: Option<&TaskGrid>) {
    let [customer, farm, field] = coding::references(map);
    let attributes = [
        ("A", Some("TSK1".to_owned())),
        ("B", Some(name_of(map))),
        customer,
        farm,
        field,
        // Planned.
        ("G", Some("1".to_owned())),
        ("H", Some(ELSEWHERE.to_string())),
        ("I", Some(SIGNAL_LOST.to_string())),
        ("J", Some(OUT_OF_FIELD.to_string())),
    ];
    xml.element("TSK", &attributes, |xml| {
        for zone in zones {
            zone.write(xml);
        }
        if let Some(grid) = grid {
            grid.write(xml);
        }
    });
}

/// The name of the task. What tells one from another stands first, since a long name is cut.
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

/// A rate in whole steps of the data dictionary, at most half a step from it: 0.005 kg/ha.
///
/// # Errors
/// Returns a rate that a file cannot hold, in words.
fn steps_of(rate: ProductRate) -> Result<i32, String> {
    let steps = (rate.to_kilograms_per_hectare() * STEPS_PER_KG_HA).round();
    if (0.0..=f64::from(i32::MAX)).contains(&steps) {
        return Ok(steps as i32);
    }
    let most = f64::from(i32::MAX) / STEPS_PER_KG_HA;
    Err(format!(
        "a rate of {:.0} kg/ha is not within the 0 to {most:.0} kg/ha of ISO 11783-10 task data",
        rate.to_kilograms_per_hectare()
    ))
}

/// The rate of so many steps of the data dictionary.
fn rate_of(steps: i32) -> ProductRate {
    ProductRate::from_kilograms_per_hectare(f64::from(steps) / STEPS_PER_KG_HA)
}
