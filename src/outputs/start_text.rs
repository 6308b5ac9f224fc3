//! What is told of a job file that was started from data, for people and for programs.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use serde::Serialize;

use crate::findings::{Finding, clean};

/// What is told of a job file that was started.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Started {
    /// The field.
    pub field: String,
    /// The job file, where one is written.
    pub file: Option<String>,
    /// What the boundary and the samples hold, one sentence each.
    pub about: Vec<String>,
    /// Keys and the columns that were recognised for them.
    pub recognised: BTreeMap<String, String>,
    /// Keys for which there are several columns, and these.
    pub in_doubt: BTreeMap<String, Vec<String>>,
    /// Columns that were taken for nothing.
    pub not_recognised: Vec<String>,
    /// Keys that are to be filled in.
    pub blanks: Vec<String>,
    /// What the data told.
    pub findings: Vec<StartedFinding>,
}

/// A finding as it is told.
#[derive(Clone, Debug, Serialize)]
pub struct StartedFinding {
    /// Its key.
    pub key: &'static str,
    /// Where and what.
    pub text: String,
}

impl From<&Finding> for StartedFinding {
    fn from(finding: &Finding) -> Self {
        Self { key: finding.key, text: finding.to_string() }
    }
}

/// The same as JSON.
///
/// # Errors
/// Returns the serialiser's error; there is none for this shape, so it is a fault of the program.
pub fn start_json(started: &Started) -> Result<String, serde_json::Error> {
    Ok(serde_json::to_string_pretty(started)? + "\n")
}

/// What is told, as text; the findings stand apart.
pub fn start_text(started: &Started) -> String {
    let mut out = match &started.file {
        None => format!("{}\n", clean(&started.field)),
        Some(file) => format!("{}: {}\n", clean(&started.field), clean(file)),
    };
    for sentence in &started.about {
        // Writing to a String cannot fail.
        let _ = writeln!(out, "  {}", clean(sentence));
    }
    columns_told(&mut out, started);
    let _ = writeln!(out, "Blanks to fill in: {}", told(&started.blanks));
    out
}

pub(super) fn columns_told(out: &mut String, started: &Started) {
    let _ = writeln!(out, "Columns recognised:");
    let width = started.recognised.keys().map(|key| key.chars().count()).max().unwrap_or(0);
    for (key, column) in &started.recognised {
        let _ = writeln!(out, "  {key:<width$}  `{}`", clean(column));
    }
    for (key, columns) in &started.in_doubt {
        let _ = writeln!(out, "In doubt: {key} could be {}", quoted(columns));
    }
    if !started.not_recognised.is_empty() {
        let _ = writeln!(out, "Not recognised: {}", quoted(&started.not_recognised));
    }
}

fn quoted(names: &[String]) -> String {
    let names: Vec<String> = names.iter().map(|name| format!("`{}`", clean(name))).collect();
    names.join(", ")
}

pub(super) fn told(names: &[String]) -> String {
    if names.is_empty() { "none".to_owned() } else { names.join(", ") }
}
