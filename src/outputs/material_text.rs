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
        let figure = material.stated_as.clone();
        let figure = figure.unwrap_or_else(|| format!("{} effective", percent(effective)));
        format!("Stated: {figure}, {basis}. ")
    });
    let moisture = material.moisture.map_or_else(
        || "moisture not stated".to_owned(),
        |water| format!("{} moisture", percent(water)),
    );
    let dry = material
        .effective_dry
        .map_or_else(|| "not known".to_owned(), |dry| format!("{} effective", percent(dry)));
    let figure = material.figure_as_spread.as_ref();
    let figure = figure.map_or_else(String::new, |figure| format!(" ({figure})"));
    let worth = format!(
        "{stated}As spread (wet, {moisture}): {} effective{figure}, {}. Dry: {dry}.",
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
    for from in &analysis.cce_from {
        wrap(out, "  ", from)?;
    }
    let found = format!(
        "CCE {} x fineness {} = {} effective, {}",
        percent(analysis.cce),
        percent(analysis.fineness),
        percent(analysis.effective),
        analysis.basis
    );
    wrap(out, "  ", &found)?;
    if let Some(by_class) = &analysis.by_size_class {
        wrap(out, "  ", by_class)?;
    }
    wrap(out, "  ", &scheme_in_words(analysis))?;
    wrap(out, "  ", &analysis.fineness_source)
}

fn scheme_in_words(analysis: &AnalysisPart) -> String {
    let scheme = &analysis.fineness_scheme;
    if analysis.passing.is_empty() {
        return format!("Fineness is not counted by the scheme {scheme}");
    }
    let passing: Vec<String> = analysis
        .passing
        .iter()
        .map(|part| {
            let unit = if part.sieve.ends_with('m') { "" } else { " mesh" };
            format!("{} through {}{unit}", percent(part.passing), part.sieve)
        })
        .collect();
    let over = analysis.horizon.as_ref();
    let over = over.map_or_else(String::new, |over| format!(", over {over}"));
    let given = match analysis.fineness_given_as.as_str() {
        "cumulative passing" => String::new(),
        given => format!(" (given as {given})"),
    };
    format!(
        "Fineness by the scheme {scheme}{over}, cumulative passing: {}{given}",
        passing.join(", ")
    )
}
