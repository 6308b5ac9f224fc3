//! From soil values to needs, from needs to rates, and the ledger that must balance.
//!
//! The room knows nothing of files, of degrees, or of how a result is written.

mod applications;
mod areas;
mod blanks;
mod doubt;
mod draws;
mod flat;
mod interval;
mod ledger;
mod middles;
mod needs;
mod rates;
mod sensitivity;
mod values;

pub use applications::{applications_of, rates_at_once};
pub use areas::{AreasFault, RateArea, RateAreas, hold_areas_back, rate_areas};
pub use blanks::{BlankRule, BufferReadings, settle_blanks};
pub use doubt::{Doubt, LayerInDoubt, PartInDoubt, key_of};
pub use flat::{FlatRate, FlatRates, flat_rates};
pub use interval::{DRAWS, Interval, Intervals, TAIL, intervals};
pub use ledger::{Imbalance, Ledger, balance};
pub use middles::{PatchMiddle, patch_middles};
pub use needs::{
    CellReadings, CellSoil, SiteReadings, SoilLayer, area_by_why, soil_of_cells, soil_of_composite,
    whole_needs,
};
pub use rates::{
    AreaAndProduct, CellRate, LimitTotals, Orders, OverrideTotal, Prescription, RateTotal,
    prescribe_overridden, prescribe_rates,
};
pub use sensitivity::{Sensitivity, TENTH, sensitivity};
pub use values::{ValueColumns, most_frequent};

#[cfg(test)]
mod interval_tests;
#[cfg(test)]
mod tests;
