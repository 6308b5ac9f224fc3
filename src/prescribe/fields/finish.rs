//! What is made of all fields together, when the last of them is done.

use std::path::Path;

use crate::error::Error;
use crate::outputs::{
    FieldsNotes, fields_csv, fields_page, order_csv, order_lines_csv, order_page, plan_csv,
    write_fields_json,
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
    let [json_name, csv_name, page_name, visits_name, lines_name, order_page_name, plan_csv_name] =
        TOGETHER;
    let comparison = &result.comparison;
    // Each is made when it is written, so that one of them is in memory.
    let mut files = vec![
        Output::new(json_name, |out| write_fields_json(result, out)),
        Output::new(csv_name, |out| out.write_all(&fields_csv(comparison, units, notes.order))),
        Output::new(page_name, |out| out.write_all(fields_page(result, notes).as_bytes())),
    ];
    if let Some(sheet) = &result.order {
        files.push(Output::new(visits_name, |out| out.write_all(&order_csv(sheet, units))));
        files.push(Output::new(lines_name, |out| out.write_all(&order_lines_csv(sheet, units))));
        files.push(Output::new(order_page_name, |out| out.write_all(order_page(sheet).as_bytes())));
    }
    if let Some(plan) = &result.plan {
        files.push(Output::new(plan_csv_name, |out| out.write_all(&plan_csv(plan, units))));
    }
    Ok(store_beside(out, &files)?)
}
