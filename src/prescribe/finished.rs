//! Finished results of many fields, read one after another and put together.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use rayon::prelude::*;

use crate::findings::{Place, Problem, Refusal, clean};
use crate::inputs::{FinishedFile, find_finished, read_summary_text};
use crate::roster::{FieldRow, Fields, HeldResult, SameName, read_result};

/// The fields of all results that `paths` name: see [`find_finished`]. Of each file only what a
/// comparison needs is kept, so that one summary a thread is in memory at a time.
///
/// # Errors
/// Refuses, all of them listed, paths and files that cannot be read, and two different results of one
/// name, with the paths of both.
pub fn read_finished(paths: &[PathBuf]) -> Result<Fields, Refusal> {
    let mut problems = Vec::new();
    let mut files = Vec::new();
    for path in paths {
        match find_finished(path) {
            Ok(found) => files.extend(found),
            Err(refusal) => problems.extend(refusal.into_problems()),
        }
    }
    let read: Vec<Result<HeldResult, Refusal>> = files.par_iter().map(read_one).collect();
    let mut gathered = Gathered::default();
    for (file, read) in files.iter().zip(read) {
        match read {
            Ok(HeldResult::Done(row)) => gathered.take(Arc::from(row), &file.path),
            Ok(HeldResult::Failed(failed)) => gathered.failed.push(Fields::failed(failed)),
            Ok(HeldResult::Many(fields)) => {
                for row in fields.shared_rows() {
                    gathered.take(row, &file.path);
                }
                let failures = fields.failures().cloned();
                gathered.failed.extend(failures.map(Fields::failed));
            }
            Err(refusal) => problems.extend(refusal.into_problems()),
        }
    }
    problems.append(&mut gathered.problems);
    Refusal::unless_clean(problems, ())?;
    gathered.fields()
}

fn read_one(file: &FinishedFile) -> Result<HeldResult, Refusal> {
    let text = read_summary_text(&file.path)?;
    read_result(&text, &file.path.display().to_string(), &file.id)
}

/// Rows with the files that they are from.
#[derive(Default)]
struct Gathered<'p> {
    rows: BTreeMap<String, (Arc<FieldRow>, &'p Path)>,
    failed: Vec<Fields>,
    problems: Vec<Problem>,
}

impl<'p> Gathered<'p> {
    /// The same result may come twice; two results of one name are told with both files.
    fn take(&mut self, row: Arc<FieldRow>, from: &'p Path) {
        match self.rows.entry(row.id.clone()) {
            Entry::Vacant(free) => {
                free.insert((row, from));
            }
            Entry::Occupied(taken) if taken.get().0 == row => {}
            Entry::Occupied(taken) => {
                let (other, id) = (taken.get().1.display(), clean(taken.key()));
                let place = Place::in_file(from.display().to_string());
                let what =
                    format!("its field is called `{id}`, as that of `{other}`, which differs");
                self.problems.push(Problem::at(place, what).hint(
                    "compare the newer of the two alone, or give one of the folders another name",
                ));
            }
        }
    }

    fn fields(self) -> Result<Fields, Refusal> {
        let rows = self.rows.into_values().map(|(row, _)| Fields::done(row));
        let mut fields = Fields::default();
        for part in rows.chain(self.failed) {
            fields = fields.merge(part).map_err(|SameName(id)| {
                let what = format!("two different results are called `{}`", clean(&id));
                Refusal::from(Problem::at(Place::default(), what))
            })?;
        }
        Ok(fields)
    }
}
