//! How long the lime may last, in the summary for the terminal.

use std::fmt::Write as _;

use super::summary_text::{amount, decimals, wrap};
use crate::summary::UpkeepPart;

/// The range of years, and what each publication says is used.
pub(super) fn write_upkeep(out: &mut String, upkeep: &UpkeepPart) -> std::fmt::Result {
    writeln!(out, "\nHow long it may last")?;
    let range = format!(
        "{} of CaCO3 on limed ground: {} to {} years by sources that disagree; a new soil test \
         decides.",
        amount(&upkeep.supplied, 2),
        decimals(upkeep.years_least, 0),
        decimals(upkeep.years_most, 0)
    );
    wrap(out, "  ", &range)?;
    for one in &upkeep.uses {
        let used = one.used.as_ref().zip(one.years);
        let used = used.map_or_else(
            || "no figure for a form of nitrogen that is given".to_owned(),
            |(used, years)| {
                format!("{} of CaCO3 a year, {} years", amount(used, 3), decimals(years, 1))
            },
        );
        wrap(out, "  - ", &format!("{}: {used} ({})", one.counts, one.source))?;
    }
    Ok(())
}
