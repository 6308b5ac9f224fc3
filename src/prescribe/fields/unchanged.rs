//! Whether a field would come out as it stands.

use std::path::Path;

use super::Listed;
use super::tables::tables_sha256;
use crate::error::Error;
use crate::hash::sha256;
use crate::inputs::{
    AnyOf, FileStates, JobSource, NamedFile, effective_job_text, named_files, read_job,
    read_summary_text, text_if_there,
};
use crate::prescribe::Allowed;
use crate::roster::{FieldRow, RUN_FILE, RUN_SHAPE, RunRecord};
use crate::store::is_as_written;
use crate::summary::{Program, Summary, read_summary};

/// What the result of a field is to be made from, as it lies there now.
///
/// # Errors
/// Refuses a job that cannot be read.
pub(super) fn record_of(
    field: &Listed,
    source: &JobSource<'_>,
    allowed: Allowed,
    states: &FileStates,
) -> Result<RunRecord, Error> {
    let job = read_job(source, AnyOf::default())?.job;
    let text = effective_job_text(&job).map_err(Error::Fault)?;
    let folder = source.path.parent().unwrap_or(Path::new(""));
    let file = NamedFile { given: field.job.given.clone(), path: field.job.path.clone() };
    let file = states.of_one(&file).ok_or_else(|| {
        Error::Fault(format!("the job file {} is gone while it is read", field.job.given))
    })?;
    Ok(RunRecord {
        schema: RUN_SHAPE.to_owned(),
        program: Program::this(),
        tables_sha256: tables_sha256().to_owned(),
        allow_unverified: allowed.unverified,
        job_effective_sha256: sha256(text.as_bytes()),
        job: file,
        inputs: states.of(&named_files(&job, folder)),
    })
}

/// The row of the result in `folder`, where it was made from what `record` says and every file of
/// it is there as it was written.
pub(super) fn unchanged_row(folder: &Path, id: &str, record: &RunRecord) -> Option<FieldRow> {
    let text = text_if_there(&folder.join(RUN_FILE), "record").ok()??;
    let kept: RunRecord = serde_json::from_str(&text).ok()?;
    if kept != *record || !is_as_written(folder) {
        return None;
    }
    let path = folder.join("summary.json");
    let summary =
        read_summary(&read_summary_text(&path).ok()?, &path.display().to_string()).ok()?;
    (summary.job_effective_sha256 == record.job_effective_sha256)
        .then(|| FieldRow::of(&summary, id))
}

/// Whether all that a run read is what was looked at before it: a file that changed in between
/// makes the record worthless.
pub(super) fn holds(record: &RunRecord, summary: &Summary) -> bool {
    let is_known = |sum: &str| {
        record.job.sha256 == sum || record.inputs.iter().any(|state| state.sha256 == sum)
    };
    record.job_effective_sha256 == summary.job_effective_sha256
        && summary.inputs.iter().all(|input| is_known(&input.sha256))
}
