//! One field of many: skipped or prescribed, written, and only its row kept.

use super::failures::{Failures, as_written};
use super::unchanged::{holds, record_of, unchanged_row};
use super::{FieldFailure, FieldsAsked, Listed};
use crate::error::Error;
use crate::inputs::{FileStates, JobSource, SharedSettings};
use crate::prescribe::prescribe_job;
use crate::roster::{FieldRow, RUN_FILE, RunRecord};
use crate::store::{Output, StoreError, holds_a_result, store};

/// What a field came to.
pub(super) enum Came {
    /// It was prescribed.
    Done(Box<FieldRow>),
    /// Nothing changed since it was.
    Unchanged(Box<FieldRow>),
    /// It gave no result.
    Failed(FieldFailure),
}

/// What all fields have in common.
pub(super) struct Runner<'a> {
    pub(super) asked: &'a FieldsAsked,
    pub(super) settings: &'a SharedSettings,
    pub(super) states: FileStates,
    pub(super) failures: Option<Failures>,
}

impl Runner<'_> {
    /// Runs one field. Where results are written, its own are written or stand as they were, and
    /// a failure is written down, or one of an earlier run forgotten.
    pub(super) fn run(&self, field: &Listed) -> Came {
        let came = self.come_to(field);
        let forgotten = self.failures.as_ref().map_or(Ok(()), |all| match &came {
            Ok(_) => all.forget(&field.id),
            Err(_) => Ok(()),
        });
        match forgotten.and(came) {
            Ok(came) => came,
            Err(error) => self.failed(field, error),
        }
    }

    /// What is told of a field in which the program broke off with `words`.
    pub(super) fn broke_off(&self, field: &Listed, words: &str) -> Came {
        self.failed(field, Error::Fault(format!("the field {} broke off: {words}", field.id)))
    }

    fn failed(&self, field: &Listed, error: Error) -> Came {
        let out = self.asked.out.as_ref();
        let keeps_earlier = out.is_some_and(|out| holds_a_result(&out.join(&field.id)));
        // That another run is writing the field says nothing of the field.
        let is_busy = matches!(error, Error::Store(StoreError::Busy(_)));
        let mut failure = FieldFailure { errors: vec![error], keeps_earlier };
        if let Some(failures) = self.failures.as_ref().filter(|_| !is_busy)
            && let Err(error) = failures.write(&as_written(field, &failure))
        {
            failure.errors.push(error);
        }
        Came::Failed(failure)
    }

    fn come_to(&self, field: &Listed) -> Result<Came, Error> {
        let FieldsAsked { sets, allowed, again, out, .. } = self.asked;
        let source =
            JobSource { path: &field.job.path, shared: Some(self.settings), sets: sets.as_slice() };
        let Some(out) = out else {
            let done = prescribe_job(&source, *allowed)?;
            return Ok(Came::Done(Box::new(FieldRow::of(&done.summary, &field.id))));
        };
        let target = out.join(&field.id);
        // A job that cannot be read is refused with all its problems when it is run.
        let record = record_of(field, &source, *allowed, &self.states).ok();
        let row = record.as_ref().filter(|_| !again);
        if let Some(row) = row.and_then(|record| unchanged_row(&target, &field.id, record)) {
            return Ok(Came::Unchanged(Box::new(row)));
        }
        let done = prescribe_job(&source, *allowed)?;
        let record = record.filter(|record| holds(record, &done.summary));
        let mut files = done.files()?;
        files.extend(record.as_ref().map(record_file).transpose()?);
        store(&target, &files)?;
        Ok(Came::Done(Box::new(FieldRow::of(&done.summary, &field.id))))
    }
}

fn record_file(record: &RunRecord) -> Result<Output<'static>, Error> {
    let text = serde_json::to_string_pretty(record);
    let text = text.map_err(|error| Error::Fault(error.to_string()))? + "\n";
    Ok(Output::new(RUN_FILE, move |out| out.write_all(text.as_bytes())))
}
