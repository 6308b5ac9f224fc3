//! The hallway of job files to be filled in: reads boundaries and a table of samples, tells what
//! they show, and leaves blank what they cannot tell.

mod compose;
mod evidence;
mod farm;
mod gather;
mod ground;
mod lines;
mod list;
mod many;
mod methods;
mod roll;
mod sample_lines;
mod single;

use std::path::{Path, PathBuf};

use crate::agronomy::{LAB_RECOMMENDATION, method, own_table_file};
use crate::error::Error;
use crate::findings::{Place, Problem, Refusal};
use crate::inputs::{JobSettings, NamedFile, path_from};
use crate::outputs::{Started, StartedFields};
use crate::store::{Output, store_new_files};

/// What jobs are started from.
#[derive(Clone, Debug, Default)]
pub struct StartAsked {
    /// The file with the boundary, or its folder.
    pub boundary: PathBuf,
    /// The file with the samples; may be left out where the areas of the zones carry the results.
    pub samples: Option<PathBuf>,
    /// The file with the laboratory's results, where they stand apart.
    pub lab: Option<PathBuf>,
    /// The file with the sample zones.
    pub zones: Option<PathBuf>,
    /// The column of the samples that names their fields, where there are many.
    pub field_column: Option<String>,
    /// The attribute of the boundary's features that names the fields, where it is stated.
    pub field_attribute: Option<String>,
    /// Where to write to: a file that ends in `.toml`, or a folder; nothing is written without it.
    pub out: Option<PathBuf>,
    /// Values for the jobs, each `key=value`.
    pub sets: Vec<String>,
}

/// What there is to tell of what was started.
#[derive(Debug)]
pub enum Told {
    /// Of one job.
    One(Started),
    /// Of the jobs of many fields.
    Many(StartedFields),
}

/// Jobs that were put together, not written yet.
#[derive(Debug)]
pub struct Start {
    /// What there is to tell.
    pub told: Told,
    /// The folder to write to.
    folder: Option<PathBuf>,
    /// The names of the files and their texts.
    files: Vec<(String, String)>,
}

impl Start {
    /// The texts of the files that are written.
    pub fn texts(&self) -> impl Iterator<Item = &str> {
        self.files.iter().map(|(_, text)| text.as_str())
    }

    /// Writes the files, only where nothing stands yet. Without a place to write to nothing happens.
    ///
    /// # Errors
    /// Returns why nothing was written.
    pub fn write(&self) -> Result<(), Error> {
        let Some(folder) = &self.folder else { return Ok(()) };
        let output = |(name, text): &(String, String)| {
            let text = text.clone();
            Output::new(name, move |out| out.write_all(text.as_bytes()))
        };
        Ok(store_new_files(folder, &self.files.iter().map(output).collect::<Vec<_>>())?)
    }
}

/// Puts jobs together from what the files show. Writes nothing.
///
/// # Errors
/// Refuses files that cannot be read, samples that do not fit the boundary, and settings that a job
/// would refuse.
pub fn start(asked: &StartAsked) -> Result<Start, Error> {
    match (&asked.field_column, &asked.field_attribute) {
        (Some(column), _) => many::start_many(asked, column),
        (None, None) => single::start_single(asked),
        (None, Some(attribute)) => {
            let what = format!("`{attribute}` names the fields, and no column of the samples does");
            let place = Place::in_file("--field-attribute");
            let problem = Problem::at(place, what)
                .allowed("`--field-attribute` beside `--field-column`")
                .hint("name the column of the samples with --field-column");
            Err(Refusal::from(problem).into())
        }
    }
}

/// Refuses a method that is not known.
fn check_method(settings: &JobSettings) -> Result<(), Refusal> {
    match settings.text("need.method") {
        // What these stand for is with a job that is still to be written.
        Some(id) if own_table_file(&id).is_some() || id == LAB_RECOMMENDATION => Ok(()),
        Some(id) => method(&id).map(|_| ()).map_err(|refusal| refusal.in_file("--method")),
        None => Ok(()),
    }
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

fn is_toml(out: &Path) -> bool {
    out.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("toml"))
}
