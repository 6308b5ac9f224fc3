//! The shape of the part of `summary.json` that tells what the lime does on the field.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Quantity;
use super::shape::part;

part! {
    /// What the lime of a prescription does, as far as it can be told without a crop: nothing of it
    /// is a yield.
    BenefitPart {
        /// Ground that gets lime and where aluminium may harm roots before it: the pH is low enough.
        /// Left out, as are the next ones of risks, where the risks are not told.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        aluminium_possible_area: Option<Quantity>,
        /// The same where it is likely to.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        aluminium_likely_area: Option<Quantity>,
        /// The product on both, as spread.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        aluminium_product: Option<Quantity>,
        /// Ground that gets lime and where manganese may harm crops before it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        manganese_area: Option<Quantity>,
        /// Ground that gets lime because it lies below the pH that is limed from: its need is above
        /// nothing.
        acid_area: Quantity,
        /// The pH that this ground gains times its area: what its pH lacks to the target, times the
        /// part of its need that is supplied. Left out where the method limes to no pH, as are the
        /// next two.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ph_gain: Option<Quantity>,
        /// The mean pH that it gains.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        mean_ph_gain: Option<f64>,
        /// The same ground by its pH before it is limed, in the method's own medium, from the
        /// lowest up.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        by_ph: Vec<GainAtPart>,
        /// Why no gain of pH is told; left out where it is.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        no_ph_gain: Option<String>,
    }
}

part! {
    /// Ground of one tenth of a pH.
    GainAtPart {
        /// The pH from which the tenth goes up.
        ph: f64,
        /// The ground.
        area: Quantity,
        /// The pH that it gains times its area.
        ph_gain: Quantity,
    }
}

part! {
    /// One area of one rate, and what its lime does.
    OneAreaPart {
        /// Its number, as the rate map has it.
        number: u32,
        /// Its rate.
        rate: Quantity,
        /// Its ground.
        area: Quantity,
        /// The product on it, as spread.
        product: Quantity,
        /// CaCO3 that it needs.
        need: Quantity,
        /// CaCO3 that the product supplies.
        supplied: Quantity,
        /// CaCO3 that is left out.
        unmet: Quantity,
        /// What the lime does.
        benefit: BenefitPart,
    }
}
