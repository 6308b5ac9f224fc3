//! The hallway of a job file to be filled in: reads a boundary and a table of samples, tells what
//! they show, and leaves blank what they cannot tell.

mod compose;
mod ground;
mod lines;
mod methods;
mod single;

use std::path::PathBuf;

use crate::error::Error;
use crate::outputs::Started;
use crate::store::{Output, store_new_file};

/// What a job is started from.
#[derive(Clone, Debug, Default)]
pub struct StartAsked {
    /// The file with the boundary, or its folder.
    pub boundary: PathBuf,
    /// The file with the samples.
    pub samples: PathBuf,
    /// Where to write to: a file that ends in `.toml`, or a folder; nothing is written without it.
    pub out: Option<PathBuf>,
    /// Values for the job, each `key=value`.
    pub sets: Vec<String>,
}

/// A job that was put together, not written yet.
#[derive(Debug)]
pub struct Start {
    /// What there is to tell.
    pub started: Started,
    target: Option<PathBuf>,
    text: String,
}

impl Start {
    /// The text of the job.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Writes the job, only where nothing stands yet. Without a place to write to nothing happens.
    ///
    /// # Errors
    /// Returns why nothing was written.
    pub fn write(&self) -> Result<(), Error> {
        if let Some(path) = &self.target {
            let job = Output::new("job", |out| out.write_all(self.text.as_bytes()));
            store_new_file(path, &job)?;
        }
        Ok(())
    }
}

/// Puts a job together from what the files show. Writes nothing.
///
/// # Errors
/// Refuses files that cannot be read, samples that do not fit the boundary, and settings that a job
/// would refuse.
pub fn start(asked: &StartAsked) -> Result<Start, Error> {
    single::start_single(asked)
}
