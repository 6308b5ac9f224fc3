//! The files of a result, ready to be written.

use std::io::Write;

use super::Work;
use crate::agronomy::Why;
use crate::error::Error;
use crate::field::Cell;
use crate::outputs::{
    MapCell, MapColumns, MapUnits, Picture, TableLimit, map_svg, summary_json, write_rate_map,
};
use crate::store::Output;
use crate::summary::{Summary, written_rate};
use crate::surfaces::Standing;

/// The rate map, the summary, the picture and the effective job.
pub(super) fn result_files<'r>(
    work: &'r Work,
    summary: &'r Summary,
) -> Result<Vec<Output<'r>>, Error> {
    let json = summary_json(summary).map_err(|error| Error::Fault(error.to_string()))?;
    Ok(vec![
        Output::new("rate_map.geojson", |out| rate_map(work, out)),
        Output::new("summary.json", move |out| out.write_all(json.as_bytes())),
        Output::new("map.svg", |out| out.write_all(picture(work, summary).as_bytes())),
        Output::new("job.effective.toml", |out| out.write_all(work.effective_job.as_bytes())),
    ])
}

fn picture(work: &Work, summary: &Summary) -> String {
    let Work { job, field, partition, layers, cells, prescription, .. } = work;
    let samples = &layers[0].samples.points;
    map_svg(&Picture { units: job.units, summary, field, partition, cells, prescription, samples })
}

fn rate_map(work: &Work, out: &mut dyn Write) -> std::io::Result<()> {
    let Work { job, partition, cells, soils, prescription, .. } = work;
    let system = job.units;
    let zone_of = |cell: &Cell| {
        let zone = partition.regions[cell.region].zone?;
        Some(partition.zones[zone].name.as_str())
    };
    let top = &soils.layers[0];
    let values: Vec<MapCell<'_>> = top
        .cells
        .iter()
        .zip(&prescription.cells)
        .enumerate()
        .map(|(at, (soil, cell))| MapCell {
            zone: zone_of(&cells.list[at]),
            area: system.area(cell.area).value,
            ph: soil.ph,
            buffer_ph: soil.buffer_ph,
            acidity: soil.acidity,
            need: system.need(cell.need).value,
            rate: written_rate(job, cell.rate).value,
            product: system.product(cell.product).value,
            unmet: system.need(cell.unmet).value,
            limit: cell.limit,
            table_limit: match soil.why {
                Why::BelowTable => TableLimit::Below,
                Why::AboveTable => TableLimit::Above,
                Why::AtTrigger | Why::Table | Why::Derived | Why::BelowLeast => TableLimit::None,
            },
            beyond: soils.standing(at) != Standing::Inside,
        })
        .collect();
    let with =
        MapColumns { buffer: top.sites.buffer_ph.is_some(), zones: job.samples.zones.is_some() };
    write_rate_map(out, cells, &values, with, &MapUnits::of(system))
}
