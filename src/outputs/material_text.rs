//! The material in the summary for the terminal: what it is worth dry and wet, and why.

use std::fmt::Write as _;

use super::summary_text::{amount, percent, wrap};
use crate::summary::{AnalysisPart, MaterialPart};

/// What the material is worth, always with its basis.
pub(super) fn write_material(out: &mut String, material: &MaterialPart) -> std::fmt::Result {
    writeln!(out, "\nThe material")?;
    if let Some(analysis) = &material.analysis {
        write_analysis(out, analysis)?;
    }
    let stated = material.stated_effective.zip(material.stated_basis.as_ref());
    let stated = stated.map_or_else(String::new, |(effective, basis)| {
        format!("Stated: {} effective, {basis}. ", percent(effective))
    });
    let moisture = material.moisture.map_or_else(
        || "moisture not stated".to_owned(),
        |water| format!("{} moisture", percent(water)),
    );
    let dry = material
        .effective_dry
        .map_or_else(|| "not known".to_owned(), |dry| format!("{} effective", percent(dry)));
    let worth = format!(
        "{stated}As spread (wet, {moisture}): {} effective, {}. Dry: {dry}.",
        percent(material.effective_as_spread),
        amount(&material.effective_mass, 0),
    );
    wrap(out, "  ", &worth)?;
    if let Some(density) = &material.bulk_density {
        let from = material.bulk_density_from.as_ref();
        let from = from.map_or_else(String::new, |from| format!(", from {from}"));
        wrap(out, "  ", &format!("Bulk density {}{from}", amount(density, 1)))?;
    }
    Ok(())
}

fn write_analysis(out: &mut String, analysis: &AnalysisPart) -> std::fmt::Result {
    let passing: Vec<String> = analysis
        .passing
        .iter()
        .map(|part| format!("{} through {} mesh", percent(part.passing), part.sieve))
        .collect();
    let found = format!(
        "CCE {} x fineness {} = {} effective, {}",
        percent(analysis.cce),
        percent(analysis.fineness),
        percent(analysis.effective),
        analysis.basis
    );
    wrap(out, "  ", &found)?;
    let scheme = format!(
        "Fineness by the scheme {}, cumulative passing: {}",
        analysis.fineness_scheme,
        passing.join(", ")
    );
    wrap(out, "  ", &scheme)?;
    wrap(out, "  ", &analysis.fineness_source)
}
