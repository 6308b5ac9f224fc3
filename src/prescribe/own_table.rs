//! The method that a job asks for: one of the program's, the user's own table, or what the
//! laboratory recommends.

use std::sync::Arc;

use super::reading::at_method;
use super::recommended::recommended;
use crate::agronomy::{LimeMethod, MethodCard, method};
use crate::findings::{Finding, Refusal};
use crate::inputs::{InputFile, Job, read_method_file};
use crate::units::counted;

/// The method of the job, and the file that it was read from, where it is the user's own.
///
/// # Errors
/// Refuses a method that is not known, and a table that cannot be read or does not reproduce its
/// check cells.
pub(super) fn method_of(job: &Job) -> Result<(Arc<dyn LimeMethod>, Option<InputFile>), Refusal> {
    if let Some(file) = &job.own_table {
        let (method, read) = read_method_file(file)?;
        return Ok((method, Some(read)));
    }
    if let Some(stated) = &job.recommendation {
        return Ok((Arc::new(recommended(job, stated)?), None));
    }
    let method = method(&job.method).map_err(|refusal| at_method(refusal, job))?;
    Ok((Arc::clone(method), None))
}

/// That the needs are those of the user's own table, where they are.
pub(super) fn own_table_told(card: &MethodCard) -> Option<Finding> {
    card.own_table.as_ref()?;
    let cells = card.examples.len();
    let text = format!(
        "The needs are those of {}. {} {} out as it states; whether its other numbers are those of \
         the publication, this program cannot say.",
        card.title,
        counted(cells as u64, "check cell", "check cells"),
        if cells == 1 { "comes" } else { "come" }
    );
    Some(Finding::new("own_method_table", text))
}
