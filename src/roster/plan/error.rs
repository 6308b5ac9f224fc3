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

impl PlanError {
    /// Why, one thing after the other.
    pub fn reasons(&self) -> Vec<String> {
        match self {
            Self::Refused(refusal) => refusal.problems().iter().map(ToString::to_string).collect(),
            Self::Unbalanced(imbalance) => vec![imbalance.to_string()],
        }
    }
}
