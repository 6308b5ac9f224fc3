//! What to load and to order, how many loads and trips, and what hauling comes to.
//!
//! The room knows masses, volumes and distances, and nothing of soils.

mod loads;
mod totals;

pub use loads::{Binds, Load, Loads, count_loads};
pub use totals::{Haul, HaulAsked, OrderAsked, Totals, haul_of, order_totals};
