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
    let keys: Vec<String> =
        work.leaves_out.iter().map(|part| format!("{part} ({})", asks_for(part))).collect();
    (!keys.is_empty()).then(|| format!("not in it: {}", keys.join(", ")))
}

fn asks_for(part: &str) -> &'static str {
    match part {
        "driving" => "`spreader.speed`",
        "turning" => "`spreader.turn_time`",
        "loading" => "`spreader.load_time`",
        _ => "`field.pile`, `spreader.run_factor`, `spreader.running_speed`",
    }
}

fn longest_run(work: &WorkPart) -> Option<&Quantity> {
    let runs = work.applications.iter().filter_map(|one| one.run.as_ref());
    runs.max_by(|one, other| one.value.total_cmp(&other.value))
}
