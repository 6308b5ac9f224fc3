//! What to load and to order, how many loads and trips, and what hauling comes to.
//!
//! The room knows masses, volumes and distances, and nothing of soils.

mod cost;
mod loads;
mod money;
mod totals;
mod work;

pub use cost::{Charges, Haul, HaulAsked, haul_of};
pub use loads::{Binds, Load, Loads, count_loads};
pub use money::{AtEach, Costs, CostsAsked, costs_of};
pub use totals::{OrderAsked, Totals, order_totals};
pub use work::{Work, WorkAsked, work_of};
