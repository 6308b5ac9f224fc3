//! One job from one boundary and one table.

use std::path::{Path, PathBuf};

use super::compose::{Known, compose};
use super::ground::{Placed, area_in_words, refuse_empty};
use super::{Start, StartAsked};
use crate::agronomy::method;
use crate::error::Error;
use crate::field::{check_system, lay_out};
use crate::findings::{Place, Problem, Refusal, both};
use crate::inputs::{NamedFile, places_of, read_boundary, read_settings, read_table, recognise};
use crate::outputs::StartedFinding;
use crate::store::path_from;

/// The name of a job file in a folder.
const JOB_FILE: &str = "job.toml";

pub(super) fn start_single(asked: &StartAsked) -> Result<Start, Error> {
    let settings = read_settings(&asked.sets)?;
    if let Some(id) = settings.text("need.method") {
        method(&id).map_err(|refusal| refusal.in_file("--method"))?;
    }
    let target = asked.out.as_deref().map(target_of);
    let (boundary, table) = both(
        read_boundary(&named(&asked.boundary), &settings.wanted),
        read_table(&named(&asked.samples), "samples", &settings.style),
    )?;
    let mut findings = boundary.findings;
    findings.extend(table.findings);
    let table = table.table;
    let rows = refuse_empty(&table)?;
    findings.extend(check_system(&boundary.boundary, boundary.stated.as_ref())?);
    let (field, told) = lay_out(&boundary.boundary)?;
    findings.extend(told);
    let found = recognise(&table, &settings)?;
    let mut samples = rows;
    if let Some(places) = places_of(&table, &found, &settings) {
        let placed = Placed::of(&table, found.header("samples.key"), places);
        let (inside, told) = placed.fit(&field)?;
        samples.push_str(&inside);
        findings.extend(told);
    }
    let folder = target.as_deref().map_or_else(|| PathBuf::from("."), parent_of);
    let stem = asked.boundary.file_stem().map(|stem| stem.to_string_lossy().into_owned());
    let (text, mut job) = compose(&Known {
        settings: &settings,
        name: (stem.as_deref().unwrap_or("field"), "the name of the boundary's file"),
        boundary: &way(&folder, &asked.boundary)?,
        samples: &way(&folder, &asked.samples)?,
        about: vec![format!("boundary: {}", area_in_words(&field)), format!("samples: {samples}")],
        found: &found,
    });
    job.file = target.as_ref().map(|path| path.display().to_string());
    job.findings = findings.iter().map(StartedFinding::from).collect();
    Ok(Start { started: job, target, text })
}

/// A file that ends in `.toml` is the job; anything else is the folder for it.
fn target_of(out: &Path) -> PathBuf {
    let is_file = out.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("toml"));
    if is_file { out.to_owned() } else { out.join(JOB_FILE) }
}

fn parent_of(path: &Path) -> PathBuf {
    path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new(".")).into()
}

fn named(path: &Path) -> NamedFile {
    NamedFile { given: path.display().to_string(), path: path.to_owned() }
}

/// The way from the folder of a job to a file.
///
/// # Errors
/// Refuses a path that cannot be followed.
fn way(folder: &Path, file: &Path) -> Result<String, Refusal> {
    path_from(folder, file).map_err(|error| {
        let what = format!("the way from `{}` to the file is not known: {error}", folder.display());
        Problem::at(Place::in_file(file.display().to_string()), what).into()
    })
}
