//! The lines or the equation of a method, in words, made from its printed numbers.

use super::need::SAME_READING;
use super::table::{BufferEquation, Line, MethodTable, Reads};
use crate::units::ph_words;

/// One sentence for each line, or for each part of the equation; none for a table of rows.
pub(super) fn rule_in_words(table: &MethodTable) -> Vec<String> {
    let unit = table.need_unit.words();
    let all: Vec<&Line> = table.lines.iter().collect();
    let mut words: Vec<String> =
        (0..all.len()).map(|at| line_in_words(&all, at, table.reads, unit)).collect();
    if let Some(equation) = &table.equation {
        words.extend(equation_in_words(equation, unit));
    }
    words
}

/// The soils that the line at `at` holds for, in words; empty where it holds for all. Of the lines
/// of a target the first one that holds is taken, so a later one ends where an earlier begins.
pub(super) fn condition_in_words(lines: &[&Line], at: usize, reads: Reads) -> String {
    let Line { target, above, ph_below, .. } = lines[at];
    let unit = if reads.unit().is_empty() { String::new() } else { format!(" {}", reads.unit()) };
    let name = reads.name();
    let same_target = |line: &&&Line| (line.target - target).abs() <= SAME_READING;
    let up_to = lines[..at]
        .iter()
        .filter(same_target)
        .filter(|line| line.ph_below.is_none())
        .filter_map(|line| line.above)
        .reduce(f64::min);
    let conditions = [
        above.map(|above| format!("{name} above {}{unit}", ph_words(above))),
        up_to.map(|end| format!("{name} up to {}{unit}", ph_words(end))),
        ph_below.map(|below| format!("pH below {}", ph_words(below))),
    ];
    conditions.into_iter().flatten().collect::<Vec<_>>().join(" and ")
}

fn line_in_words(lines: &[&Line], at: usize, reads: Reads, unit: &str) -> String {
    let line = lines[at];
    let condition = condition_in_words(lines, at, reads);
    let condition = if condition.is_empty() { condition } else { format!(", {condition}") };
    let reading = reads.words();
    let need = match (line.fixed > 0.0, line.per_unit > 0.0) {
        (_, false) => line.fixed.to_string(),
        (false, true) => format!("{} x {reading}", line.per_unit),
        (true, true) => format!("{} + {} x {reading}", line.fixed, line.per_unit),
    };
    format!("To pH {}{condition}: {need}, in {unit}.", ph_words(line.target))
}

fn equation_in_words(equation: &BufferEquation, unit: &str) -> Vec<String> {
    let BufferEquation { no_acidity_at, acidity_per_unit, ph_without_acidity, .. } = equation;
    let need_per_acidity = equation.need_per_acidity;
    let credit = if equation.credit.is_some() { " - credit" } else { "" };
    let mut words = vec![
        format!("Acidity, meq/100 cm3 = ({no_acidity_at} - buffer pH) x {acidity_per_unit}."),
        format!(
            "Need, {unit} = {need_per_acidity} x acidity x (target - pH) / ({ph_without_acidity} - pH){credit}."
        ),
        format!("A need below {} {unit} is no lime.", equation.least_need),
    ];
    if let Some(credit) = &equation.credit {
        let losses: Vec<String> = credit
            .per_month
            .iter()
            .map(|loss| format!("{:.0} % on {} soil", 100.0 * loss.part, loss.soil_class.words()))
            .collect();
        words.push(format!(
            "Credit: what was applied before, less for each month since {}.",
            losses.join(", ")
        ));
    }
    words
}
