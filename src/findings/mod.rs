//! What the data told us: problems that stop a run, findings that do not, and their place.

mod listing;
mod nearest;
mod problem;

pub use listing::first_of;
pub use nearest::nearest_of;
pub use problem::{Drawn, Finding, Place, Problem, Refusal, both, clean, clean_long, harmless};
