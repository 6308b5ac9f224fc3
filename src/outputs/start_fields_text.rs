//! What is told of the jobs of many fields that were started from data.

use std::fmt::Write as _;

use serde::Serialize;

use super::start_text::{Started, StartedFinding, columns_told, told};
use crate::findings::{clean, first_of};
use crate::units::counted;

/// Names told of a kind before the rest is only counted.
const NAMED: usize = 20;

/// What is told of the jobs of many fields.
#[derive(Clone, Debug, Default, Serialize)]
pub struct StartedFields {
    /// The file with the list of the jobs, where one is written.
    pub list: Option<String>,
    /// The attribute of the boundaries that names the fields.
    pub field_attribute: String,
    /// The column of the samples that does.
    pub field_column: String,
    /// The fields that have both a boundary and samples, each with its job.
    pub fields: Vec<Started>,
    /// The names of boundaries that no sample names.
    pub boundaries_without_samples: Vec<String>,
    /// Samples whose field has no boundary.
    pub samples_without_boundary: Vec<UnclaimedSamples>,
    /// Samples that lie inside a field other than the one they name.
    pub samples_in_other_fields: Vec<StraySample>,
    /// What the data told.
    pub findings: Vec<StartedFinding>,
}

/// Samples whose field has no boundary.
#[derive(Clone, Debug, Serialize)]
pub struct UnclaimedSamples {
    /// The field that they name; `None` for those that name none.
    pub field: Option<String>,
    /// What a spreadsheet seems to have made of the name.
    pub looks_damaged: Option<&'static str>,
    /// Their names.
    pub samples: Vec<String>,
    /// The fields that they lie in.
    pub lie_in: Vec<String>,
}

/// A sample that lies inside a field other than the one it names.
#[derive(Clone, Debug, Serialize)]
pub struct StraySample {
    /// Its name.
    pub sample: String,
    /// The field that it names.
    pub names: String,
    /// The field that it lies in.
    pub lies_in: String,
}

/// The same as JSON.
///
/// # Errors
/// Returns the serialiser's error; there is none for this shape, so it is a fault of the program.
pub fn start_fields_json(started: &StartedFields) -> Result<String, serde_json::Error> {
    Ok(serde_json::to_string_pretty(started)? + "\n")
}

/// What is told, as text; the findings stand apart.
pub fn start_fields_text(started: &StartedFields) -> String {
    let mut out = counted(started.fields.len() as u64, "field", "fields");
    if let Some(list) = &started.list {
        // Writing to a String cannot fail.
        let _ = write!(out, ", listed in {}", clean(list));
    }
    out.push('\n');
    for job in &started.fields {
        let file =
            job.file.as_deref().map_or_else(String::new, |file| format!(": {}", clean(file)));
        let _ = writeln!(out, "  {}{file}", clean(&job.field));
        for sentence in &job.about {
            let _ = writeln!(out, "    {}", clean(sentence));
        }
    }
    let _ = writeln!(
        out,
        "Fields are named by `{}` of the boundaries and `{}` of the samples",
        clean(&started.field_attribute),
        clean(&started.field_column)
    );
    apart(&mut out, started);
    if let Some(first) = started.fields.first() {
        columns_told(&mut out, first);
    }
    let _ =
        writeln!(out, "Blanks to fill in, in each job or once in the list: {}", blanks(started));
    out
}

/// What does not come together.
fn apart(out: &mut String, started: &StartedFields) {
    let without = &started.boundaries_without_samples;
    let _ = writeln!(
        out,
        "Boundaries without samples: {}",
        if without.is_empty() { "none".to_owned() } else { first_of(without, NAMED) }
    );
    list_or_none(out, "Samples without a boundary", &started.samples_without_boundary, |samples| {
        let count = counted(samples.samples.len() as u64, "sample", "samples");
        let names = match &samples.field {
            Some(field) => format!("{count} of {}", clean(field)),
            None => format!("{count} without the name of a field"),
        };
        let damage = samples.looks_damaged.map_or_else(String::new, |words| format!(" ({words})"));
        let place = match samples.lie_in.as_slice() {
            [] => String::new(),
            fields => format!("; inside {}", first_of(fields, NAMED)),
        };
        format!("{names}{damage}: {}{place}", first_of(&samples.samples, NAMED))
    });
    let strays = &started.samples_in_other_fields;
    list_or_none(out, "Samples inside a field other than the one they name", strays, |stray| {
        let StraySample { sample, names, lies_in } = stray;
        format!("{} names {}, lies in {}", clean(sample), clean(names), clean(lies_in))
    });
}

fn list_or_none<T>(out: &mut String, head: &str, list: &[T], line: impl Fn(&T) -> String) {
    let _ = writeln!(out, "{head}:{}", if list.is_empty() { " none" } else { "" });
    for entry in list.iter().take(NAMED) {
        let _ = writeln!(out, "  {}", line(entry));
    }
    if list.len() > NAMED {
        let _ = writeln!(out, "  and {} more", list.len() - NAMED);
    }
}

/// The blanks that any of the jobs has, in the order of the jobs.
fn blanks(started: &StartedFields) -> String {
    let mut all: Vec<String> = Vec::new();
    for blank in started.fields.iter().flat_map(|job| &job.blanks) {
        if !all.contains(blank) {
            all.push(blank.clone());
        }
    }
    told(&all)
}
