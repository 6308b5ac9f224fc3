//! `compare`.

use std::path::PathBuf;

use limewright::Error;
use limewright::findings::{Finding, Place, clean, first_of};
use limewright::inputs::read_fields_file;
use limewright::outputs::{FieldsNotes, fields_csv};
use limewright::prescribe::{TOGETHER, read_finished, store_together, tell_of_list};
use limewright::roster::{FieldsAsk, FieldsResult, SortBy, units_of_most};
use limewright::store::{may_store_beside, unfinished_in};
use limewright::units::UnitSystem;

use super::args::CompareArgs;
use super::{Status, talk, together};

/// Names in one sentence before the rest is only counted.
const NAMED: usize = 10;

pub(super) fn compare(typed: &CompareArgs) -> Status {
    match compared(typed) {
        Ok(status) => status,
        Err(error) => talk::refuse(&error),
    }
}

fn compared(typed: &CompareArgs) -> Result<Status, Error> {
    let order = typed.sort.as_deref().map(SortBy::from_words).transpose();
    let order = order.map_err(|problem| Error::Refused(problem.into()))?.unwrap_or(SortBy::BY_ID);
    if let Some(folder) = &typed.out {
        // What stands in the way is told before thousands of files are read.
        may_store_beside(folder, &TOGETHER)?;
    }
    let list = typed.with.as_deref().map(read_fields_file).transpose()?.map(|(list, _)| list);
    let fields = read_finished(&typed.paths)?;
    let units = match typed.units.as_deref() {
        Some(words) if words == UnitSystem::Metric.words() => UnitSystem::Metric,
        Some(_) => UnitSystem::Us,
        None => units_of_most(&fields),
    };
    let mut result = FieldsResult::of(&fields, &FieldsAsk { units, list: list.as_ref() })?;
    let mut told = unfinished(&typed.paths);
    let missing = match typed.with.as_deref().zip(list.as_ref()) {
        Some((path, list)) => tell_of_list(&mut result, path, list).unwrap_or_else(|finding| {
            told.push(finding);
            0
        }),
        None => 0,
    };
    let mut removed = Vec::new();
    if let Some(folder) = &typed.out {
        let paths: Vec<String> =
            typed.paths.iter().map(|path| clean(&path.display().to_string())).collect();
        let asked = [format!("Compared: {}.", paths.join(", "))];
        removed = store_together(&result, &FieldsNotes { asked: &asked, order }, folder)?;
    }
    talk::findings(&told);
    together::findings(&result);
    let said = if typed.csv {
        let bytes = fields_csv(&result.comparison, units, order);
        talk::say(&String::from_utf8_lossy(&bytes))
    } else {
        together::say(&result, order, typed.json)
    };
    if !removed.is_empty() {
        say_removed(&removed, typed);
    }
    match &typed.out {
        Some(folder) => talk::note(&format!("Written to {}.", folder.display())),
        None => talk::note("Nothing was written; name a folder with --out to write the page."),
    }
    Ok(if said != Status::Done {
        said
    } else if !result.failed.is_empty() || missing > 0 {
        Status::SomeFailed
    } else if typed.strict && !(told.is_empty() && result.comparison.findings.is_empty()) {
        Status::Findings
    } else {
        Status::Done
    })
}

/// Tells of what runs left in the folders that were killed, or are still writing.
fn unfinished(paths: &[PathBuf]) -> Vec<Finding> {
    let told = paths.iter().filter_map(|path| {
        let names = unfinished_in(path);
        (!names.is_empty()).then(|| {
            let text = format!(
                "A run that was killed, or one that is still writing, has left {} here: a result \
                 may be missing, or be older than its job. Run `limewright fields` again with the \
                 list, which puts this in order.",
                first_of(&names, NAMED)
            );
            Finding::at("unfinished_work", Place::in_file(path.display().to_string()), text)
        })
    });
    told.collect()
}

/// Says which files of an earlier run are gone, and how to have them again.
fn say_removed(removed: &[String], typed: &CompareArgs) {
    let again = if typed.with.is_none() {
        "; an order sheet and a plan are made where --with names the list of the jobs"
    } else {
        ""
    };
    talk::note(&format!(
        "Taken away, because this comparison has none: {}{again}.",
        removed.join(", ")
    ));
}
