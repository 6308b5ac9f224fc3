//! The job as it was run: the file's own keys, what `--set` added, and every default that was
//! taken, as a job file that gives the same result when it is run again.

use super::Job;
use super::file::{At, GridTable, JobFile, OrderTable, SpreaderTable, Written};

/// The effective job as the text of a job file.
///
/// # Errors
/// Returns the serialiser's words; it has none for this shape, so an error is a fault of ours.
pub fn effective_job_text(job: &Job) -> Result<String, String> {
    let body = toml::to_string(&with_defaults(job)).map_err(|error| error.to_string())?;
    Ok(format!(
        "# The job as it was run, with every default that was taken.\n\
         # Paths are relative to the folder of the job file that it was made from.\n\n{body}"
    ))
}

fn with_defaults(job: &Job) -> JobFile {
    let mut file = job.effective.clone();
    let spreader = fill(&mut file.spreader, SpreaderTable::default());
    fill(&mut spreader.below_min, job.machine.below_min.words().to_owned());
    fill(&mut spreader.applications, 1);
    let spacing = spreader.pass_spacing.clone();
    let grid = fill(&mut file.grid, GridTable::default());
    if grid.cell.is_none() {
        grid.cell = spacing;
    }
    fill(&mut grid.heading, Written("0 deg".to_owned()));
    let order = fill(&mut file.order, OrderTable::default());
    fill(&mut order.overlap_allowance, Written("0 %".to_owned()));
    fill(&mut order.pile_loss, Written("0 %".to_owned()));
    fill(&mut order.whole_trucks, true);
    if let Some(field) = &mut file.field {
        fill(&mut field.value.name, job.field.name.clone());
    }
    file
}

/// The value in `slot`, put there first where it is missing.
fn fill<T>(slot: &mut Option<At<T>>, default: T) -> &mut T {
    &mut slot.get_or_insert_with(|| At::nowhere(default)).value
}
