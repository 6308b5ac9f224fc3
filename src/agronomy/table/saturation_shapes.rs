//! The parts of a method table that limes to a share of the soil's charge and not to a pH.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::SoilValue;

/// The need to a base saturation:
///
/// capacity T = the bases + potential acidity; need = `need_per_charge` x (target - bases / T) x T,
/// and never below nothing. All charge is by volume of soil, in cmol/dm3.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BaseSaturationRule {
    /// The need for each cmol/dm3 of charge, in the unit of the table, over the depth of the table.
    pub need_per_charge: f64,
    /// The exchangeable bases that are summed.
    pub bases: Vec<SoilValue>,
    /// The potential acidity by a buffer pH; left out where the samples hold it themselves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub acidity: Option<AcidityByBuffer>,
}

/// The potential acidity, cmol/dm3, by a buffer pH:
/// `fixed` + `per_unit` x buffer pH + `per_square` x buffer pH^2, and never below nothing.
///
/// A curve that is bent turns upward again at some reading; its value there is taken beyond it,
/// because more acidity at a higher buffer pH is an artefact of the fit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AcidityByBuffer {
    /// The acidity at a reading of 0, far from any soil.
    pub fixed: f64,
    /// What it changes by for each unit of the reading; below 0.
    pub per_unit: f64,
    /// The same for each square of the reading; at least 0.
    #[serde(default)]
    pub per_square: f64,
    /// The publication of the equation.
    pub source: String,
    /// Where in it.
    pub locator: String,
}

/// The need to an aluminium saturation:
///
/// excess = aluminium - target x (aluminium + the bases); need = `need_per_charge` x `factor` x
/// excess, and never below nothing. All charge is by volume of soil, in cmol/dm3.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AluminiumSaturationRule {
    /// The need for each cmol/dm3 of charge, in the unit of the table, over the depth of the table.
    pub need_per_charge: f64,
    /// The exchangeable bases in the effective capacity.
    pub bases: Vec<SoilValue>,
    /// The charge of lime for each charge of aluminium beyond the target.
    pub factor: f64,
    /// What stands in for `factor` where the charge of lime by it is more than that of the
    /// aluminium, so that the need jumps there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub factor_beyond_aluminium: Option<f64>,
}
