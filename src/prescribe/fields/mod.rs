//! Many fields: each is run by itself, and what they come to together is made of their rows.

mod against;
mod failures;
mod finish;
mod ids;
mod one;
mod tables;
mod unchanged;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use super::Allowed;
use crate::error::Error;
use crate::findings::{Finding, Place, clean, first_of};
use crate::inputs::{
    CalendarPart, FAILED_FOLDER, FieldsFile, FileStates, ListedJob, ListedJobs, check_sets,
    list_jobs, read_fields_file,
};
use crate::outputs::FieldsNotes;
use crate::roster::{
    Called, Fields, FieldsAsk, FieldsResult, SortBy, check_named, only, run_tasks, units_of_most,
};
use crate::store::{may_store_beside, results_in, stored_beside, sweep};

pub use against::tell_of_list;
pub use finish::{TOGETHER, store_together};

use failures::{Failures, as_written};
use one::{Came, Runner};

/// Results of other fields that are named before the rest is only counted.
const OTHERS_NAMED: usize = 10;

/// What is asked of many fields.
#[derive(Clone, Debug, Default)]
pub struct FieldsAsked {
    /// The list of their jobs.
    pub list: PathBuf,
    /// What goes before every job and what they share, each `key=value`.
    pub sets: Vec<String>,
    /// Where the results go; nothing is written without it.
    pub out: Option<PathBuf>,
    /// Which fields: ranges and names, as [`only`] takes them; all of them where there are none.
    pub only: Vec<String>,
    /// Whether fields are run of which nothing changed.
    pub again: bool,
    /// What the runs may do beyond the plain case.
    pub allowed: Allowed,
}

/// How far a run is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Progress {
    /// The fields that are asked for.
    pub all: usize,
    /// Those that were prescribed.
    pub done: usize,
    /// Those that were skipped, because nothing changed.
    pub unchanged: usize,
    /// Those that failed.
    pub failed: usize,
}

/// What became of many fields.
#[derive(Debug)]
pub struct RanFields {
    /// The fields, in the order of the list.
    pub fields: Vec<RanField>,
    /// How many there are of each kind.
    pub count: Progress,
    /// What the list told.
    pub findings: Vec<Finding>,
    /// What they come to together.
    pub result: FieldsResult,
    /// Why there is no plan, where the list asks for one and it could not be made.
    pub without_plan: Option<Error>,
    /// Whether only some of the list were asked for; then the files of all together are not
    /// written.
    pub only_some: bool,
    /// What became of what earlier runs wrote of all fields together.
    pub earlier: Earlier,
}

/// What became of what earlier runs wrote of all fields together.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Earlier {
    /// Their files that stand as they were, and do not hold this run: only some fields were asked
    /// for, or every one failed.
    pub stand: Vec<String>,
    /// Their files that were taken away, because this run has none of them.
    pub removed: Vec<String>,
    /// The fields whose failures were forgotten, because the list does not name them.
    pub forgotten: Vec<String>,
}

/// One of them.
#[derive(Debug)]
pub struct RanField {
    /// The name of its folder.
    pub id: String,
    /// Its job, as the list has it.
    pub job: String,
    /// Why it failed, where it did.
    pub failure: Option<FieldFailure>,
}

/// Why a field failed.
#[derive(Debug)]
pub struct FieldFailure {
    /// What was wrong; never empty.
    pub errors: Vec<Error>,
    /// Whether an earlier result of it stands as it was.
    pub keeps_earlier: bool,
}

/// A field of a list.
pub(super) struct Listed {
    id: String,
    job: ListedJob,
}

/// Runs the fields of a list, as many at a time as there are threads, and writes each as soon as it
/// is done. `watch` is told at the start and after each field.
///
/// A field that fails does not stop the others.
///
/// # Errors
/// Refuses a list that cannot be read or names no jobs, fields that are not in it, also in its own
/// tables, settings that no job can take, and files of the user's in the way of those that are
/// written; then no field was run.
pub fn run_fields(
    asked: &FieldsAsked,
    watch: &mut dyn FnMut(Progress),
) -> Result<RanFields, Error> {
    check_sets(&asked.sets)?;
    let (list, _) = read_fields_file(&asked.list)?;
    let ListedJobs { jobs, mut findings } = list_jobs(&asked.list, &list)?;
    let some = fields_asked_for(jobs, &asked.only, &list)?;
    let failures = asked.out.as_deref().map(|out| prepare(out, &some, asked)).transpose()?;
    let runner =
        Runner { asked, settings: &list.settings, states: FileStates::default(), failures };
    let mut ended: Vec<Option<Came>> = some.iter().map(|_| None).collect();
    let mut count = Progress { all: some.len(), ..Progress::default() };
    watch(count);
    run_tasks(
        some.len(),
        rayon::current_num_threads(),
        |at| runner.run(&some[at]),
        |at, came| {
            let came = came.unwrap_or_else(|words| runner.broke_off(&some[at], &words));
            match &came {
                Came::Done(_) => count.done += 1,
                Came::Unchanged(_) => count.unchanged += 1,
                Came::Failed(_) => count.failed += 1,
            }
            ended[at] = Some(came);
            watch(count);
        },
    );
    let only_some = !asked.only.is_empty();
    let mut earlier = Earlier::default();
    if let Some(failures) = &runner.failures {
        if !only_some {
            let ids = some.iter().map(|field| field.id.as_str()).collect();
            earlier.forgotten = failures.forget_others(&ids)?;
        }
        failures.close();
    }
    let (set, fields) = gather(some, ended)?;
    // What is shared out and ordered is of the whole list.
    let ask = FieldsAsk { units: units_of_most(&set), list: Some(&list).filter(|_| !only_some) };
    let (result, without_plan) = match FieldsResult::of(&set, &ask) {
        Ok(result) => (result, None),
        // What is written of the fields stands, whatever is wrong with the plan.
        Err(error) => (FieldsResult::without_plan(&set, &ask, &error), Some(Error::from(error))),
    };
    if let Some(out) = &asked.out {
        if only_some || count.failed == count.all {
            earlier.stand = stored_beside(out, &TOGETHER);
        }
        if !only_some {
            if earlier.stand.is_empty() {
                let list = clean(&asked.list.display().to_string());
                let about = [format!("The fields of {list}.")];
                let notes = FieldsNotes { asked: &about, order: SortBy::BY_ID };
                earlier.removed = store_together(&result, &notes, out)?;
            }
            findings.extend(others_in(out, &fields));
        }
    }
    Ok(RanFields { fields, count, findings, result, without_plan, only_some, earlier })
}

/// The fields that are wanted, of a list whose own tables name no field that it has not.
fn fields_asked_for(
    jobs: Vec<ListedJob>,
    asked: &[String],
    list: &FieldsFile,
) -> Result<Vec<Listed>, Error> {
    let given: Vec<&str> = jobs.iter().map(|job| job.given.as_str()).collect();
    let ids = ids::ids(&given);
    let known: Vec<&str> = ids.iter().map(String::as_str).collect();
    let served = list.supply.named.iter().map(|one| (one.name.as_str(), one.place.clone()));
    check_named("supplier.distance", served, &known)?;
    let CalendarPart { sequence, sequence_at, .. } = &list.calendar;
    let in_turn = sequence.iter().map(String::as_str).zip(sequence_at.iter().cloned());
    check_named("calendar.sequence", in_turn, &known)?;
    let called: Vec<Called<'_>> =
        ids.iter().zip(&given).map(|(id, job)| Called { id, job }).collect();
    let wanted = only(asked, &called)?;
    let mut all: Vec<Option<Listed>> =
        ids.into_iter().zip(jobs).map(|(id, job)| Some(Listed { id, job })).collect();
    Ok(wanted.into_iter().filter_map(|at| all[at].take()).collect())
}

/// Looks whether the results can be written, and clears away what killed runs left.
fn prepare(out: &Path, fields: &[Listed], asked: &FieldsAsked) -> Result<Failures, Error> {
    let names: &[&str] = if asked.only.is_empty() { &TOGETHER } else { &[] };
    may_store_beside(out, names)?;
    let ids: Vec<&str> = fields.iter().map(|field| field.id.as_str()).collect();
    let failures = Failures::of(out, &ids)?;
    sweep(out, &ids)?;
    Ok(failures)
}

/// Tells of results in the same place that are of no field of the list: whoever puts the place
/// together later counts them.
fn others_in(out: &Path, fields: &[RanField]) -> Option<Finding> {
    let mut others = results_in(out, FAILED_FOLDER);
    let known: BTreeSet<&str> = fields.iter().map(|field| field.id.as_str()).collect();
    others.retain(|name| !known.contains(name.as_str()));
    (!others.is_empty()).then(|| {
        let text = format!(
            "It holds results of fields that the list does not name: {}; they are left as they \
             are, and are counted by whoever puts the results in this folder together.",
            first_of(&others, OTHERS_NAMED)
        );
        Finding::at("results_not_in_the_list", Place::in_file(out.display().to_string()), text)
    })
}

/// What became of the fields, in the order of the list, and the set of them.
fn gather(fields: Vec<Listed>, ended: Vec<Option<Came>>) -> Result<(Fields, Vec<RanField>), Error> {
    let mut set = Fields::default();
    let mut ran = Vec::with_capacity(fields.len());
    for (field, came) in fields.into_iter().zip(ended) {
        let (one, failure) = match came {
            Some(Came::Done(row) | Came::Unchanged(row)) => (Fields::done(row), None),
            Some(Came::Failed(failure)) => {
                (Fields::failed(as_written(&field, &failure)), Some(failure))
            }
            None => return Err(Error::Fault(format!("the field {} was not run", field.id))),
        };
        set = set.merge(one).map_err(|same| Error::Fault(same.to_string()))?;
        ran.push(RanField { id: field.id, job: field.job.given, failure });
    }
    Ok((set, ran))
}
