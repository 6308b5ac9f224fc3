//! What is made of all fields together, when the last of them is done.

use std::path::Path;

use crate::error::Error;
use crate::outputs::{
    FieldsNotes, fields_csv, fields_json, fields_page, order_csv, order_lines_csv, order_page,
    plan_csv,
};
use crate::roster::FieldsResult;
use crate::store::{Output, store_beside};

/// The files that are of all fields together, by which a file of the user's in their way is known
/// before any field runs.
pub const TOGETHER: [&str; 7] = [
    "fields.json",
    "fields.csv",
    "fields.html",
    "order.csv",
    "order_lines.csv",
    "order.html",
    "plan.csv",
];

/// Writes the files of all fields together into `out`, and takes away those of an earlier run that
/// this result has not; returns the names of these.
///
/// # Errors
/// Returns why they stand as they were.
pub fn store_together(
    result: &FieldsResult,
    notes: &FieldsNotes<'_>,
    out: &Path,
) -> Result<Vec<String>, Error> {
    let units = result.system();
    let json = fields_json(result).map_err(|error| Error::Fault(error.to_string()))?;
    let [json_name, csv_name, page_name, visits_name, lines_name, order_page_name, plan_csv_name] =
        TOGETHER;
    let mut files = vec![
        (json_name, json.into_bytes()),
        (csv_name, fields_csv(&result.comparison, units, notes.order)),
        (page_name, fields_page(result, notes).into_bytes()),
    ];
    if let Some(sheet) = &result.order {
        files.push((visits_name, order_csv(sheet, units)));
        files.push((lines_name, order_lines_csv(sheet, units)));
        files.push((order_page_name, order_page(sheet).into_bytes()));
    }
    files.extend(result.plan.as_ref().map(|plan| (plan_csv_name, plan_csv(plan, units))));
    let files: Vec<Output<'_>> =
        files.iter().map(|(name, bytes)| Output::new(*name, |out| out.write_all(bytes))).collect();
    Ok(store_beside(out, &files)?)
}
