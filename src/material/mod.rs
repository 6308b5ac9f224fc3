//! What a material is worth as a neutraliser, and the refusal of what does not neutralise.
//!
//! The room knows nothing of fields, soils or machines.

mod fineness;
mod kind;
mod lot;
mod magnesium;
mod pail;
mod quality;
mod rank;
mod sieve;
mod steps;
mod worth;

pub use fineness::{
    Fineness, FinenessScheme, SchemeTable, all_fineness_schemes, fineness_of, fineness_scheme,
};
pub use kind::{Chemistry, Kind, all_kinds, find_kind, kind_named};
pub use lot::{Lot, Nutrient, NutrientContent, Worth};
pub use magnesium::{MagnesiumAdvice, MagnesiumCall, magnesium_advice};
pub use pail::{Pail, density_from_pail};
pub use quality::{QualityChecked, QualityLimit, Verdict, all_quality_limits, quality_limit};
pub use rank::{Candidate, Rank, Ranking, cost_per_effective, rank};
pub use worth::{
    Analysis, Basis, Material, Price, PriceAt, Stated, effective_as_spread, effective_dry,
};
