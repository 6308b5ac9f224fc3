//! `compare`.

use limewright::Error;
use limewright::findings::clean;
use limewright::inputs::read_fields_file;
use limewright::outputs::{FieldsNotes, fields_csv};
use limewright::prescribe::{TOGETHER, read_finished, store_together, tell_of_list};
use limewright::roster::{FieldsAsk, FieldsResult, SortBy, units_of_most};
use limewright::store::may_store_beside;
use limewright::units::UnitSystem;

use super::args::CompareArgs;
use super::{Status, talk, together};

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
    let mut told = Vec::new();
    let missing = match typed.with.as_deref().zip(list.as_ref()) {
        Some((path, list)) => tell_of_list(&mut result, path, list).unwrap_or_else(|finding| {
            told.push(finding);
            0
        }),
        None => 0,
    };
    if let Some(folder) = &typed.out {
        let paths: Vec<String> =
            typed.paths.iter().map(|path| clean(&path.display().to_string())).collect();
        let asked = [format!("Compared: {}.", paths.join(", "))];
        store_together(&result, &FieldsNotes { asked: &asked, order }, folder)?;
    }
    talk::findings(&told);
    together::findings(&result);
    let said = if typed.csv {
        let bytes = fields_csv(&result.comparison, units, order);
        talk::say(&String::from_utf8_lossy(&bytes))
    } else {
        together::say(&result, order, typed.json)
    };
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
