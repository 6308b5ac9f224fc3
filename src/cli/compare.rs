//! `compare`.

use limewright::Error;
use limewright::findings::clean;
use limewright::inputs::read_fields_file;
use limewright::outputs::{FieldsNotes, fields_csv, fields_json, fields_page, fields_text};
use limewright::prescribe::read_finished;
use limewright::roster::{Column, FieldsAsk, FieldsResult, SortBy, units_of_most};
use limewright::store::{Output, may_store_beside, store_beside};
use limewright::units::UnitSystem;

use super::args::CompareArgs;
use super::{Status, talk};

/// The files that are written into a folder.
const FILES: [&str; 3] = ["fields.json", "fields.csv", "fields.html"];

pub(super) fn compare(typed: &CompareArgs) -> Status {
    match compared(typed) {
        Ok(status) => status,
        Err(error) => talk::refuse(&error),
    }
}

fn compared(typed: &CompareArgs) -> Result<Status, Error> {
    let order = typed.sort.as_deref().map(SortBy::from_words).transpose();
    let order = order.map_err(|problem| Error::Refused(problem.into()))?;
    let order = order.unwrap_or(SortBy { column: Column::Id, turned: false });
    if let Some(folder) = &typed.out {
        // What stands in the way is told before thousands of files are read.
        may_store_beside(folder, &FILES)?;
    }
    if let Some(list) = &typed.with {
        read_fields_file(list)?;
    }
    let fields = read_finished(&typed.paths)?;
    let units = match typed.units.as_deref() {
        Some(words) if words == UnitSystem::Metric.words() => UnitSystem::Metric,
        Some(_) => UnitSystem::Us,
        None => units_of_most(&fields),
    };
    let result = FieldsResult::of(&fields, &FieldsAsk { units });
    if let Some(folder) = &typed.out {
        let paths: Vec<String> =
            typed.paths.iter().map(|path| clean(&path.display().to_string())).collect();
        let asked = [format!("Compared: {}.", paths.join(", "))];
        let notes = FieldsNotes { asked: &asked, order };
        let json = fields_json(&result).map_err(|error| Error::Fault(error.to_string()))?;
        let csv = fields_csv(&result.comparison, units, order);
        let page = fields_page(&result, &notes);
        let [json_name, csv_name, page_name] = FILES;
        store_beside(
            folder,
            &[
                Output::new(json_name, |out| out.write_all(json.as_bytes())),
                Output::new(csv_name, |out| out.write_all(&csv)),
                Output::new(page_name, |out| out.write_all(page.as_bytes())),
            ],
        )?;
    }
    for told in &result.comparison.findings {
        talk::note(&talk::clean_long(&format!("finding: {}", told.text)));
    }
    let said = said(typed, &result, units, order)?;
    match &typed.out {
        Some(folder) => talk::note(&format!("Written to {}.", folder.display())),
        None => talk::note("Nothing was written; name a folder with --out to write the page."),
    }
    Ok(if said != Status::Done {
        said
    } else if !result.failed.is_empty() {
        Status::SomeFailed
    } else if typed.strict && !result.comparison.findings.is_empty() {
        Status::Findings
    } else {
        Status::Done
    })
}

/// Prints the result in the form that is asked for.
fn said(
    typed: &CompareArgs,
    result: &FieldsResult,
    units: UnitSystem,
    order: SortBy,
) -> Result<Status, Error> {
    if typed.json {
        let text = fields_json(result).map_err(|error| Error::Fault(error.to_string()))?;
        return Ok(talk::say(&text));
    }
    if typed.csv {
        let bytes = fields_csv(&result.comparison, units, order);
        return Ok(talk::say(&String::from_utf8_lossy(&bytes)));
    }
    Ok(talk::say(&fields_text(result, order)))
}
