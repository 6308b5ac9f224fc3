//! One job from one boundary and one table.

use std::path::{Path, PathBuf};

use super::compose::{Known, compose};
use super::gather::{Gathered, sets_of};
use super::ground::{Placed, area_in_words, refuse_empty};
use super::{Start, StartAsked, Told, check_method, is_toml, named, way};
use crate::error::Error;
use crate::field::{check_system, lay_out};
use crate::findings::both;
use crate::inputs::{places_of, read_boundary, read_settings, recognise};
use crate::outputs::StartedFinding;

/// The name of a job file in a folder.
const JOB_FILE: &str = "job.toml";

pub(super) fn start_single(asked: &StartAsked) -> Result<Start, Error> {
    let target = asked.out.as_deref().map(target_of);
    let folder = target.as_ref().map(|(folder, _)| folder.clone());
    let from = folder.as_deref().unwrap_or(Path::new("."));
    let mut settings = read_settings(&sets_of(asked, from)?)?;
    check_method(&settings)?;
    let (boundary, mut gathered) = both(
        read_boundary(&named(&asked.boundary), &settings.wanted),
        Gathered::read(asked, &settings),
    )?;
    let mut findings = boundary.findings;
    for finding in &mut findings {
        if finding.key == "boundary_of_several_features" {
            finding.text.push_str(
                " For a job of each, name the column with the fields of the samples with \
                 --field-column.",
            );
        }
    }
    findings.append(&mut gathered.findings);
    let rows = refuse_empty(&gathered.table)?;
    findings.extend(check_system(&boundary.boundary, boundary.stated.as_ref())?);
    let (field, told) = lay_out(&boundary.boundary)?;
    findings.extend(told);
    if let Some(lab) = &gathered.lab {
        settings.key = Some(lab.points_key.clone());
    }
    let found = recognise(&gathered.table, &settings)?;
    gathered.name_the_zones(&found, asked.samples.is_some());
    let mut about = rows;
    if let Some(places) = places_of(&gathered.table, &found, &settings) {
        let placed = Placed::of(&gathered.table, found.header("samples.key"), places);
        let (inside, told) = placed.fit(&field)?;
        about.push_str(&inside);
        findings.extend(told);
    }
    let stem = asked.boundary.file_stem().map(|stem| stem.to_string_lossy().into_owned());
    let samples = asked.samples.as_deref().map(|samples| way(from, samples)).transpose()?;
    let mut sentences =
        vec![format!("boundary: {}", area_in_words(&field)), format!("samples: {about}")];
    sentences.extend(gathered.lab.as_ref().map(|lab| lab.about.clone()));
    sentences.extend(gathered.zones.as_ref().map(|zones| zones.about.clone()));
    let (text, mut job) = compose(&Known {
        settings: &settings,
        name: (stem.as_deref().unwrap_or("field"), "the name of the boundary's file"),
        boundary: &way(from, &asked.boundary)?,
        samples: samples.as_deref(),
        gathered: &gathered,
        about: sentences,
        found: &found,
        of_many: None,
    });
    job.file = asked.out.as_deref().map(|out| {
        let file = if is_toml(out) { out.to_owned() } else { out.join(JOB_FILE) };
        file.display().to_string()
    });
    job.findings = findings.iter().map(StartedFinding::from).collect();
    let name = target.map_or_else(|| JOB_FILE.to_owned(), |(_, name)| name);
    Ok(Start { told: Told::One(job), folder, files: vec![(name, text)] })
}

/// A file that ends in `.toml` is the job; anything else is the folder for it.
fn target_of(out: &Path) -> (PathBuf, String) {
    let name = out.file_name().filter(|_| is_toml(out));
    match name {
        Some(name) => (parent_of(out), name.to_string_lossy().into_owned()),
        None => (out.to_owned(), JOB_FILE.to_owned()),
    }
}

fn parent_of(path: &Path) -> PathBuf {
    path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new(".")).into()
}
