//! What the data told us: problems that stop a run, findings that do not, and their place.

mod problem;

pub use problem::{Finding, Place, Problem, Refusal, clean};
