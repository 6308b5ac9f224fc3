//! The parts of a method table that are neither words nor rows: lines, equation, credit.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::agronomy::SoilClass;

/// One line of a rule, and the soils that it holds for:
/// `fixed` + `per_unit` x reading + `per_square` x reading^2, and never below nothing.
///
/// Of the lines of a target the first one that holds is taken; where none holds, nothing is
/// needed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Line {
    /// The target pH that it belongs to.
    pub target: f64,
    /// It holds for readings above this one only.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub above: Option<f64>,
    /// It holds for soils below this pH only.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ph_below: Option<f64>,
    /// The need at a reading of 0, in the unit of the table.
    #[serde(default)]
    pub fixed: f64,
    /// The need per unit of the reading (for acidity: per meq/100 g), in the unit of the table;
    /// below 0 where a higher reading needs less.
    #[serde(default)]
    pub per_unit: f64,
    /// The need per square of the reading, for a line that is bent.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub per_square: f64,
    /// A need below this one, in the unit of the table, is no lime.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub least_need: f64,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for a reference")]
fn is_zero(number: &f64) -> bool {
    *number == 0.0
}

/// The need from the acidity that a buffer shows:
///
/// acidity = (`no_acidity_at` - buffer pH) x `acidity_per_unit`;
/// need = acidity x `need_per_acidity` x (target - pH) / (`ph_without_acidity` - pH) - credit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BufferEquation {
    /// The buffer pH at and above which there is no acidity.
    pub no_acidity_at: f64,
    /// Acidity per unit of buffer pH, meq/100 cm3.
    pub acidity_per_unit: f64,
    /// The soil pH at which all the acidity is neutralised; no target lies above it.
    pub ph_without_acidity: f64,
    /// The need per meq/100 cm3 of acidity, in the unit of the table.
    pub need_per_acidity: f64,
    /// A need below this one, in the unit of the table, is no lime.
    pub least_need: f64,
    /// Where the least need is printed, if from another publication than the equation.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least_need_source: Option<String>,
    /// What earlier lime is still worth, where the source credits it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub credit: Option<Credit>,
}

/// What lime that was applied before is still worth: each month takes off the same part of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Credit {
    /// The part of the applied rate that each month takes off, by class of soil.
    pub per_month: Vec<MonthlyLoss>,
    /// The publication.
    pub source: String,
    /// Where in it.
    pub locator: String,
}

/// The part of an applied rate that each month takes off in one class of soil.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MonthlyLoss {
    /// The class of soil.
    pub soil_class: SoilClass,
    /// The part, from 0 to 1.
    pub part: f64,
}
