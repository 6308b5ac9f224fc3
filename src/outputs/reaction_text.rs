//! How fast the material acts by its fineness, in the summary for the terminal.

use std::fmt::Write as _;

use super::summary_text::{percent, wrap};
use crate::summary::{ReactionPart, ReactionSizePart};

pub(super) fn write_reaction(out: &mut String, reaction: &ReactionPart) -> std::fmt::Result {
    writeln!(out, "\nHow fast it acts by its fineness")?;
    let year = &reaction.within_a_year;
    let words = format!("{} of it within a year ({})", range(year.least, year.most), year.source);
    wrap(out, "  - ", &words)?;
    for size in &reaction.by_size {
        let words = format!("{} is {}: {} ({})", share(size), size.size, size.says, size.source);
        wrap(out, "  - ", &words)?;
    }
    if let (Some(months), Some(size)) = (reaction.months_to_seeding, &reaction.acted_by_seeding) {
        let words = format!(
            "The crop is sown {months} months after the lime is spread: by then {} of it, {}, is \
             said to have acted.",
            share(size),
            size.size
        );
        wrap(out, "  - ", &words)?;
    }
    Ok(())
}

fn share(size: &ReactionSizePart) -> String {
    range(size.least, size.most)
}

fn range(least: f64, most: f64) -> String {
    if most - least < 1e-9 {
        percent(least)
    } else {
        format!("{} to {}", percent(least), percent(most))
    }
}
