//! The one error of the library: why a run gave no result.

use crate::findings::Refusal;
use crate::prescription::Imbalance;
use crate::roster::PlanError;
use crate::store::StoreError;

/// Why a run gave no result. Nothing was written.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// The input was refused; every problem that was found is named.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// The ledger does not balance: a fault of the program, which asks to be reported.
    #[error("{0}; this is a fault of the program: please report it with the job")]
    Unbalanced(#[from] Imbalance),
    /// The result could not be put where it was to go.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// Something failed that cannot fail: a fault of the program.
    #[error("{0}; this is a fault of the program: please report it with the job")]
    Fault(String),
}

impl From<PlanError> for Error {
    fn from(error: PlanError) -> Self {
        match error {
            PlanError::Refused(refusal) => Self::Refused(refusal),
            PlanError::Unbalanced(imbalance) => Self::Unbalanced(imbalance),
        }
    }
}
