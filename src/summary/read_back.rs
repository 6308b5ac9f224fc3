//! A finished summary, read back from its text.

use super::shape::{SUMMARY_SHAPE, Summary};
use crate::findings::{Place, Problem, Refusal, clean};

/// The summary that `text` of the file `name` holds.
///
/// # Errors
/// Refuses what is no summary of this program, or of another version's shape.
pub fn read_summary(text: &str, name: &str) -> Result<Summary, Refusal> {
    serde_json::from_str(text).map_err(|error| {
        let place = Place { line: Some(error.line()), ..Place::in_file(name) };
        Problem::at(
            place,
            format!("it is no summary of a prescription: {}", clean(&error.to_string())),
        )
        .allowed(format!("a `summary.json` of the shape {SUMMARY_SHAPE}"))
        .hint("name the summary.json of the result, or the job file")
        .into()
    })
}
