//! Results that are put together later, held against the list of their jobs.

use std::path::Path;

use super::ids;
use crate::findings::{Finding, Place};
use crate::inputs::{FieldsFile, list_jobs};
use crate::roster::FieldsResult;

/// Tells in `result` of fields of the list `path` that have no result, and of results that the list
/// does not name. Returns how many have none.
///
/// # Errors
/// Returns what to tell where the jobs of the list cannot be looked up here.
pub fn tell_of_list(
    result: &mut FieldsResult,
    path: &Path,
    list: &FieldsFile,
) -> Result<usize, Finding> {
    let jobs = list_jobs(path, list).map_err(|refusal| {
        let why: Vec<String> = refusal.problems().iter().map(|it| it.what.clone()).collect();
        let text = format!(
            "It is not known whether fields of the list have no result: {}.",
            why.join("; ")
        );
        Finding::at("list_not_looked_up", Place::in_file(path.display().to_string()), text)
    })?;
    let given: Vec<&str> = jobs.jobs.iter().map(|job| job.given.as_str()).collect();
    Ok(result.hold_against(&ids::ids(&given)))
}
