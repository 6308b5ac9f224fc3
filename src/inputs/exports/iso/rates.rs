//! The rate maps of a task.

use std::collections::BTreeMap;

use super::Files;
use super::faults::Faults;
use super::grid::{cell_bytes, ground};
use super::inside::cells_inside;
use super::model::{Grid, GridKind, Task, TaskFile, TreatmentZone, Value};
use crate::findings::{Refusal, clean};
use crate::inputs::exports::{ReadArea, ReadGrid, ReadGround, ReadMap};

/// DDI 6, Setpoint Mass Per Area Application Rate, in steps of 1 mg/m2 (isobus.net, Data
/// dictionary, version 2025012101, entity 6).
const SETPOINT_MASS_PER_AREA: u16 = 6;
const UNIT: &str = "mg/m2";

/// What a variable is for: the product and the device, as the file names them.
type Channel<'t> = (Option<&'t str>, Option<&'t str>);

/// The rate maps of a task; their kinds are put to `kinds`.
///
/// # Errors
/// Refuses as the reading of a file does.
pub(super) fn maps_of(
    task: &Task,
    file: &TaskFile,
    files: &mut Files<'_>,
    faults: &mut Faults,
    kinds: &mut Vec<&'static str>,
) -> Result<Vec<ReadMap>, Refusal> {
    tell_other_variables(task, faults);
    let mut maps = Vec::new();
    for grid in &task.grids {
        let (kind, of_grid) = match grid.kind {
            GridKind::Codes => ("grid type 1", maps_of_codes(task, grid, file, files, faults)?),
            GridKind::Values(template) => {
                ("grid type 2", maps_of_values(task, grid, template, file, files, faults)?)
            }
        };
        kinds.push(kind);
        maps.extend(of_grid);
    }
    if task.zones.iter().any(|zone| !zone.polygons.is_empty()) {
        kinds.push("polygons");
        maps.extend(maps_of_polygons(task, file));
    }
    if task.grids.is_empty() && !task.unread_grid && maps.is_empty() {
        let text = format!(
            "Task {} has neither a grid nor treatment zones with polygons.",
            clean(&task.id)
        );
        faults.tell("iso_task_without_map", task.place.clone(), text);
    }
    Ok(maps)
}

/// Tells of values that are no rates of mass, and of negative ones.
fn tell_other_variables(task: &Task, faults: &mut Faults) {
    for value in task.zones.iter().flat_map(|zone| &zone.values) {
        match value.ddi {
            Some(SETPOINT_MASS_PER_AREA) => {
                if let Some(number) = value.number.filter(|number| *number < 0) {
                    let text = format!("A treatment zone has a rate of {number} mg/m2.");
                    faults.tell("iso_negative_rate", value.place.clone(), text);
                }
            }
            Some(other) => {
                let text = format!(
                    "It has values of DDI {other:04X}, which is not the rate of a mass on an area \
                     (0006); they were not read."
                );
                faults.tell("iso_other_ddi", value.place.clone(), text);
            }
            None => {}
        }
    }
}

/// What the rates of mass of the zones are for, in the order in which they stand.
fn channels<'t>(zones: impl Iterator<Item = &'t TreatmentZone>) -> Vec<Channel<'t>> {
    let mut channels = Vec::new();
    for value in zones.flat_map(|zone| &zone.values) {
        if value.ddi == Some(SETPOINT_MASS_PER_AREA) && !channels.contains(&channel(value)) {
            channels.push(channel(value));
        }
    }
    channels
}

fn channel(value: &Value) -> Channel<'_> {
    (value.product.as_deref(), value.device.as_deref())
}

/// The rate of a zone in a channel.
fn rate_of(zone: &TreatmentZone, wanted: Channel<'_>) -> Option<f64> {
    let of = |value: &&Value| value.ddi == Some(SETPOINT_MASS_PER_AREA) && channel(value) == wanted;
    let number = zone.values.iter().find(of)?.number?;
    (number >= 0).then(|| f64::from(number))
}

fn name_of(task: &Task, channel: Channel<'_>, of: usize, file: &TaskFile) -> String {
    let name = task.name.as_deref().unwrap_or(&task.id).to_owned();
    let product = channel.0.map(|id| file.products.get(id).map_or(id, String::as_str));
    match (product, channel.1) {
        _ if of < 2 => name,
        (Some(product), Some(device)) => format!("{name}: {product}, {device}"),
        (Some(only), None) | (None, Some(only)) => format!("{name}: {only}"),
        (None, None) => name,
    }
}

fn maps_of_polygons(task: &Task, file: &TaskFile) -> Vec<ReadMap> {
    let drawn = || task.zones.iter().filter(|zone| !zone.polygons.is_empty());
    let channels = channels(drawn());
    let map = |&channel: &Channel<'_>| {
        let area = |zone: &TreatmentZone| ReadArea {
            polygons: zone.polygons.clone(),
            rate: rate_of(zone, channel),
        };
        ReadMap {
            name: name_of(task, channel, channels.len(), file),
            unit: Some(UNIT),
            ground: ReadGround::Areas(drawn().map(area).collect()),
        }
    };
    channels.iter().map(map).collect()
}

fn maps_of_codes(
    task: &Task,
    grid: &Grid,
    file: &TaskFile,
    files: &mut Files<'_>,
    faults: &mut Faults,
) -> Result<Vec<ReadMap>, Refusal> {
    let Some(codes) = cell_bytes(grid, 1, files, faults)? else { return Ok(Vec::new()) };
    let zones: BTreeMap<u8, &TreatmentZone> =
        task.zones.iter().filter_map(|zone| Some((zone.code?, zone))).collect();
    let mut unknown: BTreeMap<u8, usize> = BTreeMap::new();
    for code in codes.iter().filter(|code| !zones.contains_key(code)) {
        *unknown.entry(*code).or_default() += 1;
    }
    for (code, cells) in unknown {
        let text = format!(
            "{cells} cells of its grid have treatment zone {code}, which the task does not have; \
             they were taken for cells without a rate."
        );
        faults.tell("iso_dangling_reference", grid.place.clone(), text);
    }
    let inside = inside_of(task, &ground(grid), file, faults);
    let channels = channels(task.zones.iter());
    let map = |&channel: &Channel<'_>| {
        let mut rates = [None; 256];
        for (&code, zone) in zones.iter().filter(|(code, _)| task.out_of_field != Some(**code)) {
            rates[usize::from(code)] = rate_of(zone, channel);
        }
        let rates = codes.iter().enumerate().map(|(cell, &code)| {
            let counts = inside.as_ref().is_none_or(|inside| inside[cell]);
            rates[usize::from(code)].filter(|_| counts)
        });
        ReadMap {
            name: name_of(task, channel, channels.len(), file),
            unit: Some(UNIT),
            ground: ReadGround::Grid(ReadGrid { rates: rates.collect(), ..ground(grid) }),
        }
    };
    Ok(channels.iter().map(map).collect())
}

fn maps_of_values(
    task: &Task,
    grid: &Grid,
    template: Option<u8>,
    file: &TaskFile,
    files: &mut Files<'_>,
    faults: &mut Faults,
) -> Result<Vec<ReadMap>, Refusal> {
    let Some(code) = template else {
        let text = "A grid of type 2 lacks its attribute J, the treatment zone that tells what its \
                    values are.";
        faults.tell("iso_attribute", grid.place.clone(), text);
        return Ok(Vec::new());
    };
    // That there is no such zone was told with the references.
    let Some(zone) = task.zones.iter().find(|zone| zone.code == Some(code)) else {
        return Ok(Vec::new());
    };
    let count = zone.values.len();
    if count == 0 {
        let text = "The treatment zone of a grid has no variable, so its values mean nothing.";
        faults.tell("iso_zone_without_variable", zone.place.clone(), text);
        return Ok(Vec::new());
    }
    let Some(bytes) = cell_bytes(grid, count, files, faults)? else {
        return Ok(Vec::new());
    };
    let inside = inside_of(task, &ground(grid), file, faults);
    let of_mass = zone
        .values
        .iter()
        .enumerate()
        .filter(|(_, value)| value.ddi == Some(SETPOINT_MASS_PER_AREA));
    let of_mass: Vec<(usize, Channel<'_>)> =
        of_mass.map(|(at, value)| (at, channel(value))).collect();
    let mut negative = 0_usize;
    let mut maps = Vec::new();
    for &(at, channel) in &of_mass {
        let values = bytes.chunks_exact(4).skip(at).step_by(count);
        let rates = values.enumerate().map(|(cell, value)| {
            let number = i32::from_le_bytes([value[0], value[1], value[2], value[3]]);
            let counts = inside.as_ref().is_none_or(|inside| inside[cell]);
            negative += usize::from(counts && number < 0);
            (counts && number >= 0).then(|| f64::from(number))
        });
        let rates = rates.collect();
        maps.push(ReadMap {
            name: name_of(task, channel, of_mass.len(), file),
            unit: Some(UNIT),
            ground: ReadGround::Grid(ReadGrid { rates, ..ground(grid) }),
        });
    }
    if negative > 0 {
        let text = format!(
            "{negative} cells of its grid have a rate below zero; they were taken for cells \
             without a rate."
        );
        faults.tell("iso_negative_rate", grid.place.clone(), text);
    }
    Ok(maps)
}

/// Which cells lie in the task's field; none where its boundary is not known or lies elsewhere.
fn inside_of(
    task: &Task,
    grid: &ReadGrid,
    file: &TaskFile,
    faults: &mut Faults,
) -> Option<Vec<bool>> {
    let boundary = file.fields.get(task.field.as_ref()?).filter(|rings| !rings.is_empty())?;
    match cells_inside(grid, boundary) {
        Some(inside) if inside.contains(&true) => return Some(inside),
        Some(_) => {
            let text = "No cell of its grid lies within the boundary of its field; all were taken.";
            faults.tell("iso_grid_outside_field", task.place.clone(), text);
        }
        None => {
            let text = "Its grid and the boundary of its field are too large to be held against \
                        each other; all cells were taken.";
            faults.tell("iso_grid_outside_field", task.place.clone(), text);
        }
    }
    None
}
