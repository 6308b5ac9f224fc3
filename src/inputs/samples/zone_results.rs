//! What zones give beside samples at points: from a table with a row for each zone, or from the
//! zones' own attributes.

use super::header::quoted;
use super::read::{ReadSamples, samples_of_areas, without_repeats};
use super::table::samples_from_table;
use crate::findings::{Place, Problem, Refusal};
use crate::inputs::features::is_map_file;
use crate::inputs::ids::folded;
use crate::inputs::job::{
    Attributes, ByZonePart, MappedColumns, NamedFile, SamplesPart, ZonesPart,
};
use crate::inputs::{FeatureLayer, Table, TableStyle, read_table};

/// Reads what the zones give; `areas` are the zones as they were read.
///
/// # Errors
/// Refuses a table that cannot be read or has no column with the names of the zones, and as
/// [`samples_from_table`] does.
pub fn read_zone_results(
    part: &SamplesPart,
    zones: &ZonesPart,
    gives: &ByZonePart,
    areas: &FeatureLayer,
) -> Result<ReadSamples, Refusal> {
    let asked = part_of_zones(part, zones, gives);
    let Some(file) = &gives.results else {
        let (samples, findings) = samples_of_areas(areas, &asked)?;
        return Ok(ReadSamples { samples, stated: None, findings, files: Vec::new() });
    };
    refuse_map_file(file)?;
    let read = read_table(file, "zone results", &asked.style)?;
    let key = Some(key_of(&read.table, zones, gives)?);
    let asked = SamplesPart { key, ..asked };
    let mut findings = read.findings;
    let (table, told) = without_repeats(read.table, &asked)?;
    findings.extend(told);
    let (samples, told) = samples_from_table(&table, &asked)?;
    findings.extend(told);
    Ok(ReadSamples { samples, stated: None, findings, files: vec![read.file] })
}

/// The job's samples as if they were composites of the zones, of which only this is read.
fn part_of_zones(part: &SamplesPart, zones: &ZonesPart, gives: &ByZonePart) -> SamplesPart {
    SamplesPart {
        lab: None,
        meter_log: None,
        columns: MappedColumns {
            lon: None,
            lat: None,
            easting: None,
            northing: None,
            zone: None,
            measured_at: None,
            ..part.columns.clone()
        },
        attributes: Attributes::Exactly(gives.attributes.clone()),
        zones: Some(ZonesPart { gives: None, ..zones.clone() }),
        // The rows that are chosen among the points are not those of the zones.
        style: TableStyle { select: Vec::new(), labels: Vec::new(), ..part.style.clone() },
        ..part.clone()
    }
}

fn refuse_map_file(file: &NamedFile) -> Result<(), Refusal> {
    if !is_map_file(file) {
        return Ok(());
    }
    let what = "the zones' results are in a map file";
    Err(Problem::at(Place::in_file(&file.given), what)
        .allowed("a table with a row for each zone")
        .hint(
            "name the map file as samples.zones and leave samples.zone_results out, so that the \
             zones' own attributes count; or export its attributes as CSV",
        )
        .into())
}

/// The header of the column that names the zones.
fn key_of(table: &Table, zones: &ZonesPart, gives: &ByZonePart) -> Result<String, Problem> {
    let wanted = gives.key.as_ref().unwrap_or(&zones.key);
    let found = table.headers.iter().find(|header| *header == wanted.trim());
    let found = found.or_else(|| table.headers.iter().find(|h| folded(h) == folded(wanted)));
    found.cloned().ok_or_else(|| {
        let by = if gives.key.is_some() { "samples.zone_results_key" } else { "samples.zone_key" };
        let what = format!("there is no column `{wanted}`, which `{by}` names");
        let head = Place { line: table.header_line, ..Place::in_file(&table.file) };
        Problem::at(head, what)
            .allowed(quoted(table.headers.iter().map(String::as_str)))
            .hint("name the column with the names of the zones as samples.zone_results_key")
    })
}
