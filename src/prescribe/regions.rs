//! What is kept out of the map and where rates are overridden, read and laid over the field, with
//! the sample zones.

use super::zones::ReadZones;
use crate::field::{Field, KeepOut, OverrideArea, Partition, ZoneAreas, part_field};
use crate::findings::{Finding, Refusal};
use crate::inputs::{InputFile, Job, NamedFile, ReadFeatures, Wanted, read_features};

/// Parts the field as the job asks; with what was found, and the files that were read.
pub(super) fn part(
    job: &Job,
    field: &Field,
    zones: Option<ReadZones>,
) -> Result<(Partition, Vec<Finding>, Vec<InputFile>), Refusal> {
    let mut problems = Vec::new();
    let mut read = |named: &NamedFile, role| -> Option<ReadFeatures> {
        let features = read_features(named, role, &Wanted::default());
        features.map_err(|refusal| problems.extend(refusal.into_problems())).ok()
    };
    let keep_out = job.field.keep_out.as_ref().and_then(|named| read(named, "keep-out"));
    let areas: Vec<ReadFeatures> =
        job.overrides.iter().filter_map(|order| read(&order.area, "override")).collect();
    Refusal::unless_clean(problems, ())?;
    let kept: Vec<KeepOut<'_>> = keep_out
        .iter()
        .map(|read| KeepOut { layer: &read.layer, setback: job.field.setback })
        .collect();
    let overrides: Vec<OverrideArea<'_>> =
        areas.iter().map(|read| OverrideArea { layer: &read.layer }).collect();
    let zone_areas =
        zones.as_ref().map(|read| ZoneAreas { layer: &read.features.layer, names: &read.names });
    let (partition, told) = part_field(field, &kept, zone_areas, &overrides)?;
    let (mut findings, mut files) = (Vec::new(), Vec::new());
    for read in zones.map(|zones| zones.features).into_iter().chain(keep_out).chain(areas) {
        findings.extend(read.findings);
        files.extend(read.files);
    }
    findings.extend(told);
    Ok((partition, findings, files))
}
