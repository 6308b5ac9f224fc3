//! The shape of what a summary says of each of several applications.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Quantity;
use super::shape::{LedgerPart, LoadParts, Order, RatePart, part};

part! {
    /// One of several applications.
    OneApplicationPart {
        /// Which, from 1.
        number: u32,
        /// The day planned for it, `YYYY-MM-DD`; left out where the job states none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        date: Option<String>,
        /// Where it spreads anything.
        treated_area: Quantity,
        /// What it spreads.
        product_total: Quantity,
        /// What goes into the spreader for it.
        to_load: Quantity,
        /// What is ordered for it.
        to_order: Quantity,
        /// What lies between the three.
        order: Order,
        /// Its loads.
        loads: LoadParts,
        /// What hauling its order costs; left out where that is not known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        haul_cost: Option<Quantity>,
        /// Its rates.
        rates: Vec<RatePart>,
        /// Its ledger: its part of the need, and what it supplies.
        ledger: LedgerPart,
    }
}
