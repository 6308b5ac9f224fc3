//! Reading a job file from the disk.

use std::path::Path;

use super::Job;
use super::check::check_job;
use super::parse::JobText;
use crate::findings::{Drawn, Refusal};
use crate::inputs::open::{InputFile, read_text};
use crate::units::LIMITS;

/// Reads and checks the job file `path`, with each of `sets` (`key=value`) put over it.
///
/// # Errors
/// Refuses a file that cannot be read, text that is not TOML, unknown keys, and every value that
/// is missing, of the wrong kind or outside its limits; each with its line and character.
pub fn read_job(path: &Path, sets: &[String]) -> Result<(Job, InputFile), Refusal> {
    let name = path.display().to_string();
    let (text, file) = read_text(path, &name, "job", LIMITS.job_file_bytes)?;
    let folder = path.parent().unwrap_or(Path::new(""));
    let drawn = Drawn { name: name.clone(), text: text.clone() };
    let job_text = JobText::new(&name, text, sets);
    let job = job_text.parse().and_then(|shape| check_job(&shape, &job_text, folder));
    match job {
        Ok(job) => Ok((job, file)),
        Err(refusal) => Err(refusal.drawn_on(drawn)),
    }
}
