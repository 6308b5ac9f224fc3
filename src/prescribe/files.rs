//! The files of a result, ready to be written.

use std::io::Write;
use std::rc::Rc;

use super::Work;
use super::loads::load_label;
use super::sheets::sheets;
use crate::agronomy::Why;
use crate::error::Error;
use crate::field::{Cell, Cells, Point};
use crate::inputs::EFFECTIVE_JOB_FILE;
use crate::machine::{MachineRate, Setting};
use crate::outputs::{
    DriverNotes, ExportFile, LayerNames, MapArea, MapCell, MapColumns, MapLayer, MapUnits,
    MapValues, Picture, RateOutlines, TableLimit, driver_page, map_svg, summary_json, value_name,
    write_area_map, write_rate_map,
};
use crate::prescription::{CellSoil, Prescription, RateArea, RateAreas};
use crate::store::Output;
use crate::summary::{Sheet, Summary, rate_as_written};
use crate::surfaces::{Standing, merge_coincident};
use crate::units::{Amount, LimeNeed, SoilValue, plain};

/// The rate map, the summary, the picture, the effective job, and the files for the controller.
pub(super) fn result_files<'r>(
    work: &'r Work,
    summary: &'r Summary,
    exports: &'r [ExportFile],
) -> Result<Vec<Output<'r>>, Error> {
    let json = summary_json(summary).map_err(|error| Error::Fault(error.to_string()))?;
    let Work { job, prescription, applications, .. } = work;
    let whole =
        Spread { all: prescription, setting: &job.machine.setting, areas: work.areas.clone() };
    let outlines = Rc::new(RateOutlines::of(&work.cells, prescription));
    let of_map = Rc::clone(&outlines);
    let mut files = vec![
        Output::new("rate_map.geojson", move |out| map_of(work, &whole, out)),
        Output::new("summary.json", move |out| out.write_all(json.as_bytes())),
        Output::new("map.svg", move |out| {
            out.write_all(picture(work, summary, &of_map).as_bytes())
        }),
        Output::new(EFFECTIVE_JOB_FILE, |out| out.write_all(work.effective_job.as_bytes())),
    ];
    if let [_, _, ..] = applications.as_slice() {
        let count = applications.len();
        files.extend(applications.iter().enumerate().map(|(at, all)| {
            let areas = work.areas.as_ref().map(|areas| areas.in_application(all));
            let one = Spread { all, setting: job.machine.single(), areas };
            let name = format!("rate_map_{}_of_{count}.geojson", at + 1);
            Output::new(name, move |out| map_of(work, &one, out))
        }));
    }
    let each = applications.iter().zip(sheets(work, summary)).enumerate();
    files.extend(each.map(|(at, (spread, sheet))| {
        let name = match sheet.application {
            (_, 1) => "driver.html".to_owned(),
            (number, count) => format!("driver_{number}_of_{count}.html"),
        };
        // One application spreads the whole of it.
        let of_page = if rates_of(spread).eq(rates_of(prescription)) {
            Rc::clone(&outlines)
        } else {
            Rc::new(RateOutlines::of(&work.cells, spread))
        };
        let page = driver_page_of(work, summary, (&sheet, at), (spread, &of_page));
        Output::new(name, move |out| out.write_all(page.as_bytes()))
    }));
    files.extend(exports.iter().map(|file| {
        Output::new(file.name.clone(), move |out: &mut dyn Write| out.write_all(&file.bytes))
    }));
    Ok(files)
}

/// The rate of each cell.
fn rates_of(spread: &Prescription) -> impl Iterator<Item = MachineRate> + '_ {
    spread.cells.iter().map(|cell| cell.rate)
}

/// The page for the driver of application number `at`, from 0.
fn driver_page_of(
    work: &Work,
    summary: &Summary,
    (sheet, at): (&Sheet, usize),
    (spread, outlines): (&Prescription, &RateOutlines),
) -> String {
    let Work { job, field, partition, cells, areas, .. } = work;
    let words = |amount: Amount| format!("{} {}", plain(amount.value, 0, 1), amount.unit);
    let speed = job.machine.speed.map(|speed| words(job.units.speed(speed)));
    let notes = DriverNotes {
        hazards: &job.field.site.hazards,
        speed: speed.as_deref(),
        pass_spacing: &words(job.units.length(job.machine.pass_spacing)),
        heading: &format!("{} deg", plain(job.heading.to_degrees(), 0, 1)),
        supersedes: load_label(work, at).supersedes(),
    };
    let picture = Picture {
        units: job.units,
        summary,
        field,
        partition,
        cells,
        prescription: spread,
        outlines,
        areas: areas.as_ref(),
        samples: &[],
    };
    driver_page(&picture, sheet, spread, &notes)
}

/// What a map shows as spread, and the setting whose rates it has.
struct Spread<'a> {
    all: &'a Prescription,
    setting: &'a Setting,
    areas: Option<RateAreas>,
}

/// The map by areas of one rate where there are some, else by cells.
fn map_of(work: &Work, spread: &Spread<'_>, out: &mut dyn Write) -> std::io::Result<()> {
    match &spread.areas {
        Some(areas) => area_map(work, areas, spread.setting, out),
        None => rate_map(work, spread, out),
    }
}

fn picture(work: &Work, summary: &Summary, outlines: &RateOutlines) -> String {
    let Work { job, field, partition, layers, cells, prescription, areas, .. } = work;
    let areas = areas.as_ref();
    let all: Vec<Point> =
        layers.iter().flat_map(|layer| layer.samples.points.iter().copied()).collect();
    // A point is drawn once, however many of its layers were sampled.
    let samples = if layers.len() > 1 { merge_coincident(&all).points().to_vec() } else { all };
    let samples = &samples;
    map_svg(&Picture {
        units: job.units,
        summary,
        field,
        partition,
        cells,
        prescription,
        outlines,
        areas,
        samples,
    })
}

/// The map with one feature for each area of one rate.
fn area_map(
    work: &Work,
    areas: &RateAreas,
    setting: &Setting,
    out: &mut dyn Write,
) -> std::io::Result<()> {
    let Work { job, partition, cells, soils, .. } = work;
    let system = job.units;
    let soil = &soils.layers[0].cells;
    let values: Vec<MapArea<'_>> = areas
        .list
        .iter()
        .map(|area| MapArea {
            zone: partition.regions[area.region]
                .zone
                .map(|zone| partition.zones[zone].name.as_str()),
            round: partition.regions[area.region].round,
            area: system.area(area.area).value,
            ph: mean_ph(cells, soil, area),
            need: system.need(area.need).value,
            rate: rate_as_written(system, setting.written(area.rate)).value,
            product: system.product(area.product).value,
            unmet: system.need(area.unmet).value,
            shape: &area.shape,
        })
        .collect();
    let zones = job.samples.zones.is_some();
    let rounds = job.rate_areas.as_ref().is_some_and(|asked| asked.end_rows > 0);
    let caveat = work.method.card().caveat();
    let units = MapUnits::of(system);
    write_area_map(out, cells, &values, (zones, rounds), caveat.as_deref(), &units)
}

/// The mean of the pH over the ground of an area.
pub(super) fn mean_ph(cells: &Cells, soil: &[CellSoil], area: &RateArea) -> f64 {
    let over = |value: &dyn Fn(usize) -> f64| -> f64 {
        let of_cell = |&cell: &u32| {
            let cell = cell as usize;
            value(cell) * (cells.list[cell].area / area.area)
        };
        area.cells.iter().map(of_cell).sum()
    };
    over(&|cell| soil[cell].ph) / over(&|_| 1.0)
}

fn rate_map(work: &Work, spread: &Spread<'_>, out: &mut dyn Write) -> std::io::Result<()> {
    let Work { job, partition, cells, soils, risks, layers: read, .. } = work;
    let system = job.units;
    let units = MapUnits::of(system);
    let zone_of = |cell: &Cell| {
        let zone = partition.regions[cell.region].zone?;
        Some(partition.zones[zone].name.as_str())
    };
    // One of several applications meets a part of the need, of each layer alike.
    let part_of = |at: usize| {
        let whole = work.prescription.cells[at].need;
        if whole > LimeNeed::ZERO { spread.all.cells[at].need / whole } else { 1.0 }
    };
    let of_layer = |at: usize, layer: usize| {
        let layer = &soils.layers[layer];
        let soil = &layer.cells[at];
        MapLayer {
            ph: soil.ph,
            buffer_ph: soil.buffer_ph,
            values: &layer.values,
            cell: at,
            need: system.need(soil.need * part_of(at)).value,
            table_limit: match soil.why {
                Why::BelowTable => TableLimit::Below,
                Why::AboveTable => TableLimit::Above,
                Why::AtTrigger | Why::Table | Why::Derived | Why::BelowLeast => TableLimit::None,
            },
        }
    };
    let of_cell = |at: usize| {
        let cell = &spread.all.cells[at];
        MapCell {
            zone: zone_of(&cells.list[at]),
            area: system.area(cell.area).value,
            need: system.need(cell.need).value,
            rate: rate_as_written(system, spread.setting.written(cell.rate)).value,
            product: system.product(cell.product).value,
            unmet: system.need(cell.unmet).value,
            limit: cell.limit,
            beyond: soils.standing(at) != Standing::Inside,
            risk: risks.as_ref().map(|risks| risks.cells[at]),
        }
    };
    let strata = read.iter().filter_map(|layer| layer.stratum.as_ref());
    let reported = &read[0].given.units;
    let named = |(value, _): &(SoilValue, Vec<f64>)| {
        value_name(*value, reported.get(*value).unwrap_or_default())
    };
    let value_names: Vec<String> = soils.layers[0].values.numbers.iter().map(named).collect();
    let names: Vec<LayerNames> =
        strata.map(|stratum| LayerNames::of(&stratum.words, &units, &value_names)).collect();
    let caveat = work.method.card().caveat();
    let with = MapColumns {
        caveat: caveat.as_deref(),
        buffer: soils.layers[0].readings().iter().any(|sites| sites.buffer_ph.is_some()),
        zones: job.samples.zones.is_some(),
        values: &value_names,
        layers: &names,
    };
    let layers = soils.layers.len();
    let values = MapValues { of_cell: &of_cell, layers, of_layer: &of_layer };
    write_rate_map(out, cells, values, with, &units)
}
