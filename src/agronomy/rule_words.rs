//! The rule of a method that is no table of rows, in words, made from its printed numbers.

use super::need::SAME_READING;
use super::reads::Reads;
use super::saturation_words::saturation_in_words;
use super::table::{BufferEquation, ClassTable, Line, MethodTable, Rise};
use crate::units::{ph_words, plain};

/// One sentence for each line, or for each part of the equation; none for a table of rows.
pub(super) fn rule_in_words(table: &MethodTable) -> Vec<String> {
    let unit = table.need_unit.words();
    let all: Vec<&Line> = table.lines.iter().collect();
    let mut words: Vec<String> =
        (0..all.len()).map(|at| line_in_words(&all, at, table.reads.lead(), unit)).collect();
    if let Some(equation) = &table.equation {
        words.extend(equation_in_words(equation, unit));
    }
    words.extend(table.classes.iter().flat_map(|classes| classes_in_words(classes, unit)));
    words.extend(table.rises.iter().map(|rise| rise_in_words(rise, unit)));
    if let Some(addition) = &table.addition {
        words.push(format!(
            "{} more where {} is above {} {}, in {unit}.",
            addition.need,
            addition.value.words(),
            addition.above,
            addition.unit
        ));
    }
    if let Some(rule) = &table.weakly {
        words.push(format!(
            "Below a cation exchange capacity of {} meq/100 g: {} {unit} for a rise of {} to {} pH, \
             taken at {}; at most {} {unit}.",
            rule.cec_below,
            rule.by,
            rule.least_rise,
            rule.greatest_rise,
            rule.taken_rise,
            rule.most
        ));
    }
    if let Some(rule) = &table.capacity {
        words.push(format!(
            "Need, {unit} = capacity, mg/kg per pH x (target - pH) x soil, {unit} / 1,000,000; {} \
             {unit} of soil over {} where the job states no samples.bulk_density.",
            plain(rule.soil_mass, 0, 2),
            table.depth
        ));
        words.push(format!(
            "A capacity read after 30 minutes is multiplied by {} + {} x itself.",
            rule.ratio_fixed, rule.ratio_per_unit
        ));
    }
    if let Some(equation) = &table.saturation {
        words.push(format!(
            "Acid saturation H: pH = {} - {} x H + {} x H^2, from 0 to 1.",
            equation.ph_at_none, equation.linear, equation.square
        ));
        words.push(format!(
            "Need, {unit} = {} x ({} - buffer pH) x (H - H at the target) / H.",
            equation.need_per_ph,
            ph_words(equation.no_acidity_at)
        ));
    }
    words.extend(saturation_in_words(table));
    words
}

/// One sentence for each class of pH.
fn classes_in_words(classes: &ClassTable, unit: &str) -> Vec<String> {
    let value_unit = &classes.value_unit;
    let head = format!(
        "Classes of {}: up to {} {value_unit}, and above; pH is rounded to {} and {} to {} \
         decimals first.",
        classes.value.words(),
        classes.value_up_to.iter().map(f64::to_string).collect::<Vec<_>>().join(", "),
        classes.ph_decimals,
        classes.value.words(),
        classes.value_decimals
    );
    let row = |row: &super::table::ClassRow| {
        let class = row
            .ph_up_to
            .map_or_else(|| "pH above".to_owned(), |end| format!("pH up to {}", ph_words(end)));
        let needs: Vec<String> = row.needs.iter().map(f64::to_string).collect();
        format!("{class}: {}, in {unit}.", needs.join(", "))
    };
    std::iter::once(head).chain(classes.rows.iter().map(row)).collect()
}

fn rise_in_words(rise: &Rise, unit: &str) -> String {
    let class = rise.texture.map_or_else(|| "All soils".to_owned(), |class| capital(class.words()));
    format!("{class}: {} {unit} for a rise of {} pH.", rise.by, rise.rise)
}

/// The same with a capital.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
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
    let need = formula([line.fixed, line.per_unit, line.per_square], &reads.words());
    let least = if line.least_need > 0.0 {
        format!("; less than {} is no lime", line.least_need)
    } else {
        String::new()
    };
    format!("To pH {}{condition}: {need}, in {unit}{least}.", ph_words(line.target))
}

/// The formula of a line or curve, its numbers by rising power of its reading, which stands in words
/// or as a number.
pub(super) fn formula([fixed, per_unit, per_square]: [f64; 3], reading: &str) -> String {
    let terms = [
        (fixed, String::new()),
        (per_unit, format!(" x {reading}")),
        (per_square, format!(" x {reading}^2")),
    ];
    let mut words = String::new();
    for (number, of) in terms.iter().filter(|(number, _)| *number != 0.0) {
        let sign = match (words.is_empty(), *number < 0.0) {
            (true, false) => "",
            (true, true) => "-",
            (false, false) => " + ",
            (false, true) => " - ",
        };
        words.extend([sign, &plain(number.abs(), 0, 6), of]);
    }
    if words.is_empty() { "0".to_owned() } else { words }
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
