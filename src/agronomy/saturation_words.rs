//! The rules that lime to a share of the soil's charge, in words.

use super::rule_words::formula;
use super::table::{AcidityByBuffer, AluminiumSaturationRule, BaseSaturationRule, MethodTable};
use crate::units::{SoilValue, plain};

/// One sentence for each part of the rule; none for a table of another shape.
pub(super) fn saturation_in_words(table: &MethodTable) -> Vec<String> {
    let unit = table.need_unit.words();
    let of_bases = table.base_saturation.iter().flat_map(|rule| bases_in_words(rule, unit));
    let of_aluminium = table.aluminium_saturation.iter();
    of_bases.chain(of_aluminium.flat_map(|rule| aluminium_in_words(rule, unit))).collect()
}

fn bases_in_words(rule: &BaseSaturationRule, unit: &str) -> Vec<String> {
    let mut words: Vec<String> = rule.acidity.iter().map(acidity_in_words).collect();
    words.push(format!(
        "Capacity T, cmol/dm3 = {} + (H + Al); base saturation V, % = 100 x ({}) / T.",
        symbols(&rule.bases),
        symbols(&rule.bases)
    ));
    words.push(format!(
        "Need, {unit} = {}(target V - V) x T / 100, and nothing at or above the target.",
        factor(rule.need_per_charge)
    ));
    words
}

fn acidity_in_words(curve: &AcidityByBuffer) -> String {
    let turn = curve.turns_at().map_or_else(String::new, |turn| {
        format!("; beyond {}, where the curve turns, as there", plain(turn, 0, 4))
    });
    format!(
        "H + Al, cmol/dm3 = {}, never below 0{turn}.",
        formula([curve.fixed, curve.per_unit, curve.per_square], "buffer pH")
    )
}

fn aluminium_in_words(rule: &AluminiumSaturationRule, unit: &str) -> Vec<String> {
    let bases = symbols(&rule.bases);
    let mut words = vec![format!(
        "Need, {unit} = {}{} x [Al - target % x (Al + {bases}) / 100], by volume of soil in \
         cmol/dm3, and nothing at or below the target.",
        factor(rule.need_per_charge),
        rule.factor
    )];
    words.extend(rule.factor_beyond_aluminium.map(|beyond| {
        format!(
            "Where {} x [...] is more than Al, {beyond} in place of {}: the need jumps there.",
            rule.factor, rule.factor
        )
    }));
    words
}

/// A factor before a product; nothing for 1.
fn factor(number: f64) -> String {
    match plain(number, 0, 6).as_str() {
        "1" => String::new(),
        words => format!("{words} x "),
    }
}

/// Bases by their symbols: `Ca + Mg + K`.
pub(super) fn symbols(bases: &[SoilValue]) -> String {
    let symbol = |base: &SoilValue| match base {
        SoilValue::Calcium => "Ca",
        SoilValue::Magnesium => "Mg",
        SoilValue::Potassium => "K",
        SoilValue::Sodium => "Na",
        other => other.words(),
    };
    bases.iter().map(symbol).collect::<Vec<_>>().join(" + ")
}
