//! When there is not enough: which fields get lime first, under a limit of tons or money, in one year
//! or over several.
//!
//! [`allot()`] counts in whole numbers: square metres of ground with aluminium risk, square metres times
//! pH, milligrams of product or hundredths of a cent. What is chosen is worth the most by the rule,
//! proven so or with what no choice could do more than; `choose` is the search for one year, `years`
//! that for several.

mod allot;
mod candidate;
mod choose;
mod counted;
mod error;
mod field_part;
mod flags;
mod in_years;
mod ledger;
mod notes;
mod options;
mod ordered;
mod pool;
mod pool_part;
mod pools;
mod response;
mod rule;
mod shape;
mod sharer;
mod why;
mod worth;
mod years;

pub use allot::allot;
pub use error::PlanError;
pub(super) use ordered::Planned;
pub use shape::{
    Plan, PlanGap, PlanLedger, PlanResponse, PlannedField, PoolPart, PoolYear, RulePart,
};

#[cfg(test)]
mod tests;
