//! What is kept out of the map and where rates are overridden, read and laid over the field, with
//! the sample zones.

use super::zones::ReadZones;
use crate::field::{
    Field, KeepOut, OverrideArea, Partition, Rounds, ZoneAreas, check_layer_system, part_field,
};
use crate::findings::{Finding, Refusal};
use crate::inputs::{AreaFile, InputFile, Job, ReadFeatures, read_features};

/// Parts the field as the job asks; with what was found, and the files that were read.
pub(super) fn part(
    job: &Job,
    field: &Field,
    zones: Option<ReadZones>,
) -> Result<(Partition, Vec<Finding>, Vec<InputFile>), Refusal> {
    let mut problems = Vec::new();
    let mut read = |area: &AreaFile, role| -> Option<ReadFeatures> {
        read_areas(area, role).map_err(|refusal| problems.extend(refusal.into_problems())).ok()
    };
    let keep_out: Vec<ReadFeatures> =
        job.field.keep_out.iter().filter_map(|part| read(&part.area, "keep-out")).collect();
    let areas: Vec<ReadFeatures> =
        job.overrides.iter().filter_map(|order| read(&order.area, "override")).collect();
    Refusal::unless_clean(problems, ())?;
    let kept: Vec<KeepOut<'_>> = keep_out
        .iter()
        .zip(&job.field.keep_out)
        .map(|(read, part)| KeepOut { layer: &read.layer, setback: part.setback })
        .collect();
    let overrides: Vec<OverrideArea<'_>> =
        areas.iter().map(|read| OverrideArea { layer: &read.layer }).collect();
    let zone_areas =
        zones.as_ref().map(|read| ZoneAreas { layer: &read.features.layer, names: &read.names });
    let (partition, told) =
        part_field(field, &kept, zone_areas, &overrides, rounds_of(job), job.units)?;
    let (mut findings, mut files) = (Vec::new(), Vec::new());
    for read in zones.map(|zones| zones.features).into_iter().chain(keep_out).chain(areas) {
        findings.extend(read.findings);
        files.extend(read.files);
    }
    findings.extend(told);
    Ok((partition, findings, files))
}

/// The rounds along the boundary that are areas of their own.
fn rounds_of(job: &Job) -> Option<Rounds> {
    let count = job.rate_areas.as_ref()?.end_rows;
    Some(Rounds { count, width: job.machine.pass_spacing })
}

/// Reads a map file beside the boundary and holds its coordinate system to what is asked of the
/// boundary's.
pub(super) fn read_areas(area: &AreaFile, role: &'static str) -> Result<ReadFeatures, Refusal> {
    let mut read = read_features(&area.file, role, &area.wanted)?;
    let told = check_layer_system(&read.layer, role, read.stated.as_ref())?;
    read.findings.extend(told);
    Ok(read)
}
