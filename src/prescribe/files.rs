//! The files of a result, in memory.

use super::Work;
use crate::agronomy::Why;
use crate::error::Error;
use crate::outputs::{MapCell, MapUnits, summary_json, write_rate_map};
use crate::store::Output;
use crate::summary::{Summary, written_rate};
use crate::surfaces::Standing;

/// The rate map, the summary and the effective job.
pub(super) fn result_files(work: &Work, summary: &Summary) -> Result<Vec<Output>, Error> {
    let fault = |error: &dyn std::error::Error| Error::Fault(error.to_string());
    let summary = summary_json(summary).map_err(|error| fault(&error))?;
    let map = rate_map(work).map_err(|error| fault(&error))?;
    let output = |name: &str, bytes: Vec<u8>| Output { name: name.to_owned(), bytes };
    Ok(vec![
        output("rate_map.geojson", map),
        output("summary.json", summary.into_bytes()),
        output("job.effective.toml", work.effective_job.clone().into_bytes()),
    ])
}

fn rate_map(work: &Work) -> std::io::Result<Vec<u8>> {
    let Work { job, cells, soils, prescription, .. } = work;
    let system = job.units;
    let values: Vec<MapCell> = soils
        .cells
        .iter()
        .zip(&prescription.cells)
        .enumerate()
        .map(|(at, (soil, cell))| MapCell {
            area: system.area(cell.area).value,
            ph: soil.ph,
            buffer_ph: soil.buffer_ph,
            need: system.need(cell.need).value,
            rate: written_rate(job, cell.rate).value,
            product: system.product(cell.product).value,
            unmet: system.need(cell.unmet).value,
            limit: cell.limit,
            table_limit: match soil.why {
                Why::BelowTable => "below",
                Why::AboveTable => "above",
                Why::AtTrigger | Why::Table | Why::Derived => "none",
            },
            beyond: soils.weights.standing(at) != Standing::Inside,
        })
        .collect();
    let with_buffer = soils.sites.buffer_ph.is_some();
    let mut out = Vec::new();
    write_rate_map(&mut out, cells, &values, with_buffer, &MapUnits::of(system))?;
    Ok(out)
}
