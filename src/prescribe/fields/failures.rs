//! Failures of fields as they are written down, so that whoever puts results together later knows
//! of them.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use super::{FieldFailure, Listed};
use crate::error::Error;
use crate::inputs::{FAILED_FOLDER, text_if_there};
use crate::roster::FailedField;
use crate::store::{StoreError, remove_empty_folder, remove_file, replace_file, results_in};

/// The folder with a file for each field that failed.
pub(super) struct Failures {
    /// Where the results go.
    out: PathBuf,
    folder: PathBuf,
}

impl Failures {
    /// Those of the results in `out`.
    ///
    /// # Errors
    /// Refuses a folder in which a file of the user's is called as that of one of `ids`.
    pub(super) fn of(out: &Path, ids: &[&str]) -> Result<Self, Error> {
        let failures = Self { out: out.to_owned(), folder: out.join(FAILED_FOLDER) };
        let strangers: Vec<String> = ids
            .iter()
            .filter(|id| failures.is_strange(id))
            .map(|id| format!("{FAILED_FOLDER}/{id}.json"))
            .collect();
        if strangers.is_empty() {
            return Ok(failures);
        }
        Err(StoreError::Strangers { folder: out.to_owned(), strangers }.into())
    }

    fn path(&self, id: &str) -> PathBuf {
        self.folder.join(format!("{id}.json"))
    }

    /// Takes back that fields failed which are none of `ids`, and names them; what the user put
    /// there stays.
    pub(super) fn forget_others(&self, ids: &BTreeSet<&str>) -> Result<Vec<String>, Error> {
        let mut others = results_in(&self.out, FAILED_FOLDER);
        let is_there = |id: &str| matches!(text_if_there(&self.path(id), "failure"), Ok(Some(_)));
        others.retain(|id| !ids.contains(id.as_str()) && is_there(id) && !self.is_strange(id));
        for id in &others {
            self.forget(id)?;
        }
        Ok(others)
    }

    /// Whether what lies there was not written by this program of this field.
    fn is_strange(&self, id: &str) -> bool {
        match text_if_there(&self.path(id), "failure") {
            Ok(None) => false,
            Ok(Some(text)) => {
                !serde_json::from_str::<FailedField>(&text).is_ok_and(|failed| failed.id == id)
            }
            Err(_) => true,
        }
    }

    /// Writes down that a field failed.
    pub(super) fn write(&self, failed: &FailedField) -> Result<(), Error> {
        let text = serde_json::to_string_pretty(failed);
        let text = text.map_err(|error| Error::Fault(error.to_string()))? + "\n";
        Ok(replace_file(&self.path(&failed.id), &text)?)
    }

    /// Takes back that a field failed.
    pub(super) fn forget(&self, id: &str) -> Result<(), Error> {
        Ok(remove_file(&self.path(id))?)
    }

    /// Leaves no empty folder.
    pub(super) fn close(&self) {
        remove_empty_folder(&self.folder);
    }
}

/// A failure as it is written down.
pub(super) fn as_written(field: &Listed, failure: &FieldFailure) -> FailedField {
    let reasons_of = |error: &Error| match error {
        Error::Refused(refusal) => refusal.problems().iter().map(ToString::to_string).collect(),
        other => vec![other.to_string()],
    };
    let reasons = failure.errors.iter().flat_map(reasons_of).collect();
    FailedField { id: field.id.clone(), job: field.job.given.clone(), reasons }
}
