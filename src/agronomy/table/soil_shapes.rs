//! The parts of a method table that go by what a soil is made of: classes, textures, its response
//! to lime.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::{SoilValue, TextureClass};

/// One need for each class of pH and each class of another value.
///
/// A reading is rounded as the classes are printed, half up, and then put into its class.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ClassTable {
    /// The decimals to which a pH is rounded.
    pub ph_decimals: u8,
    /// The other value.
    pub value: SoilValue,
    /// The unit that its classes are printed in.
    pub value_unit: String,
    /// The decimals to which it is rounded, in that unit.
    pub value_decimals: u8,
    /// The highest rounded value of each class, rising; the last class, without an end, is not
    /// listed.
    pub value_up_to: Vec<f64>,
    /// The classes of pH, rising.
    pub rows: Vec<ClassRow>,
}

/// The needs of one class of pH.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ClassRow {
    /// The highest rounded pH of the class; left out for the last one, which has no end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ph_up_to: Option<f64>,
    /// The need of each class of the other value, in the unit of the table.
    pub needs: Vec<f64>,
    /// What there is to say about this class.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// Where the rows of a table by texture are carried on to, in straight lines from the highest row.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CarriedToZero {
    /// The reading at which nothing more is needed.
    pub zero_at: f64,
    /// Why the lines may be drawn.
    pub why: String,
}

/// How far lime raises the pH: `rise` for each `by` of lime, in the unit of the table.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Rise {
    /// The texture class that it is for; left out where it is for all soils.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub texture: Option<TextureClass>,
    /// The rise of the pH.
    pub rise: f64,
    /// The lime that brings it about.
    pub by: f64,
}

/// What a soil needs more, where it needs anything, above a value.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Addition {
    /// The value.
    pub value: SoilValue,
    /// Its unit here.
    pub unit: String,
    /// The number above which more is needed.
    pub above: f64,
    /// How much more, in the unit of the table.
    pub need: f64,
}

/// The need of a weakly buffered soil: so much lime for a rise of the pH that is printed as a
/// range, and never more than a most.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WeaklyBuffered {
    /// The cation exchange capacity, meq/100 g, below which the rule holds.
    pub cec_below: f64,
    /// The least rise of the pH that is printed for `by`.
    pub least_rise: f64,
    /// The greatest.
    pub greatest_rise: f64,
    /// The rise that is taken.
    pub taken_rise: f64,
    /// The lime that brings it about, in the unit of the table.
    pub by: f64,
    /// The most that is limed, in the unit of the table.
    pub most: f64,
}

/// The need from the lime buffer capacity of each soil: capacity x (target - pH) x mass of soil.
///
/// The capacity is that at equilibrium; from one read after 30 minutes it is
/// capacity x (`ratio_fixed` + `ratio_per_unit` x capacity).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CapacityRule {
    /// The ratio of the two capacities at a capacity of 0.
    pub ratio_fixed: f64,
    /// What the ratio rises by for each mg CaCO3/kg per pH read after 30 minutes.
    pub ratio_per_unit: f64,
    /// The mass of soil over the depth of the table, in the unit of the table's needs, which holds
    /// where a job states no density of its soil.
    pub soil_mass: f64,
}

/// The need from the acid saturation that a pH stands for and the acidity that a buffer shows:
///
/// pH = `ph_at_none` - `linear` x H + `square` x H^2, H at most 1;
/// need = `need_per_ph` x (`no_acidity_at` - buffer pH) x (H - H at the target) / H.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SaturationEquation {
    /// The soil pH at an acid saturation of 0.
    pub ph_at_none: f64,
    /// What the pH falls by at first for each unit of the acid saturation.
    pub linear: f64,
    /// The share of its square.
    pub square: f64,
    /// The buffer pH at and above which there is no acidity.
    pub no_acidity_at: f64,
    /// The need of all the acidity for each unit of buffer pH, in the unit of the table.
    pub need_per_ph: f64,
}
