//! The spreader's hours in the summary for the terminal.

use super::summary_text::{amount, row, wrap};
use crate::summary::{Quantity, WorkPart};

/// The hours, what they are made of, and what is not in them.
pub(super) fn write_work(out: &mut String, work: &WorkPart) -> std::fmt::Result {
    let told = format!("{} ({})", amount(&work.hours, 1), work.covers.join(" + "));
    row(out, "Spreading time", &told)?;
    if let Some(words) = leaves_out(work) {
        wrap(out, "    ", &words)?;
    }
    if let (Some(factor), Some(run)) = (work.run_factor, longest_run(work)) {
        let words = format!(
            "{} from the pile to the ground, one way: a straight line times {factor}",
            amount(run, 0)
        );
        wrap(out, "    ", &words)?;
    }
    Ok(())
}

/// What the hours do not hold, and which keys of a job would bring it.
pub(super) fn leaves_out(work: &WorkPart) -> Option<String> {
    let parts: Vec<String> = work
        .leaves_out
        .iter()
        .map(|part| {
            let keys: Vec<String> =
                work.lacks(part).into_iter().map(|key| format!("`{key}`")).collect();
            if keys.is_empty() { part.clone() } else { format!("{part} ({})", keys.join(", ")) }
        })
        .collect();
    (!parts.is_empty()).then(|| format!("not in it: {}", parts.join(", ")))
}

fn longest_run(work: &WorkPart) -> Option<&Quantity> {
    let runs = work.applications.iter().filter_map(|one| one.run.as_ref());
    runs.max_by(|one, other| one.value.total_cmp(&other.value))
}
