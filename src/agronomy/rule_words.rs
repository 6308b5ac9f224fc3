//! The lines or the equation of a method, in words, made from its printed numbers.

use super::table::{BufferEquation, Line, MethodTable};

/// One sentence for each line, or for each part of the equation; none for a table of rows.
pub(super) fn rule_in_words(table: &MethodTable) -> Vec<String> {
    let unit = table.need_unit.words();
    let mut words: Vec<String> =
        table.lines.iter().map(|line| line_in_words(line, table.reads.words(), unit)).collect();
    if let Some(equation) = &table.equation {
        words.extend(equation_in_words(equation, unit));
    }
    words
}

fn line_in_words(line: &Line, reading: &str, unit: &str) -> String {
    let above = line.above.map_or_else(String::new, |above| format!(", above {above}"));
    let below = line.ph_below.map_or_else(String::new, |below| format!(", below pH {below}"));
    let need = match (line.fixed > 0.0, line.per_unit > 0.0) {
        (_, false) => line.fixed.to_string(),
        (false, true) => format!("{} x {reading}", line.per_unit),
        (true, true) => format!("{} + {} x {reading}", line.fixed, line.per_unit),
    };
    format!("To {}{above}{below}: {need}, in {unit}.", line.target)
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
