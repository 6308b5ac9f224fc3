//! Why there is no plan.

use crate::findings::Refusal;
use crate::prescription::Imbalance;

/// Why there is no plan.
#[derive(Debug, thiserror::Error)]
pub enum PlanError {
    /// What is asked cannot be had.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// A ledger does not balance: a fault of the program.
    #[error(transparent)]
    Unbalanced(#[from] Imbalance),
}
