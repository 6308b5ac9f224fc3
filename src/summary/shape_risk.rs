//! The shape of the risks in `summary.json`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Quantity;
use super::shape::part;

part! {
    /// Ground whose soil puts crops at risk before it is limed, by the worst of its layers.
    RiskPart {
        /// Ground where aluminium may harm roots: the pH is low enough, and the aluminium is not
        /// measured or below its limit.
        aluminium_possible_area: Quantity,
        /// Ground where it is likely to: the pH is low enough and the aluminium above its limit.
        aluminium_likely_area: Quantity,
        /// What the aluminium is judged by.
        aluminium_judged_by: String,
        /// Ground where manganese may harm crops.
        manganese_area: Quantity,
        /// Ground whose pH already lies above the band of the target.
        overliming_area: Quantity,
        /// The limits that were taken.
        limits: RiskLimitsPart,
        /// Where they come from.
        sources: Vec<String>,
        /// What may be seen in the field, for each risk that there is.
        look_for: Vec<FieldSignPart>,
    }
}

part! {
    /// The limits of the risks.
    RiskLimitsPart {
        /// Water pH below which aluminium may harm roots.
        aluminium_ph: f64,
        /// Aluminium above which it is likely to, by the extract of the samples; left out where pH
        /// alone decides.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        aluminium: Option<Quantity>,
        /// Aluminium saturation above which it is likely to, 0 to 1; left out where it is not known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        aluminium_saturation: Option<f64>,
        /// Water pH below which manganese may harm crops.
        manganese_ph: f64,
        /// Water pH above which the soil is limed too far.
        overliming_ph: f64,
    }
}

part! {
    /// What a grower may see in the field.
    FieldSignPart {
        /// The risk that it belongs to.
        risk: String,
        /// What to look for.
        sign: String,
    }
}
