//! What a material is worth as a neutraliser, and the refusal of what does not neutralise.
//!
//! The room knows nothing of fields, soils or machines.

mod built_in;
mod byproduct;
mod composition;
mod compound;
mod fineness;
mod kind;
mod lot;
mod magnesium;
mod pail;
mod quality;
mod rank;
mod rating;
mod reaction;
mod recommendation;
mod size_classes;
mod steps;
mod worth;

#[cfg(test)]
mod published_tests;

pub use built_in::built_in_materials;
pub use byproduct::{BEET_LIME_SOURCE, P2O5_PER_P, beet_lime_phosphorus_kg_per_ha};
pub use composition::{Composition, CompoundPart, Oxides, composition_of};
pub use compound::{Acts, Base, Compound, all_compounds, calcite_as_oxide, compound};
pub use fineness::{
    Fineness, FinenessScheme, Horizon, SchemeTable, Sieve, SieveAnalysis, Term,
    all_fineness_schemes, fineness_from, fineness_of, fineness_scheme,
};
pub use kind::{Chemistry, Kind, all_kinds, find_kind, kind_named};
pub use lot::{Lot, Nutrient, NutrientContent, Worth};
pub use magnesium::{MagnesiumAdvice, MagnesiumCall, magnesium_advice};
pub use pail::{Pail, density_from_pail};
pub use quality::{QualityChecked, QualityLimit, Verdict, all_quality_limits, quality_limit};
pub use rank::{Candidate, Rank, Ranking, cost_per_effective, rank};
pub use rating::{Rating, all_ratings, rating};
pub use reaction::{Reaction, ReactionSaid, ShareRange};
pub use recommendation::{RecommendationBasis, recommendation_basis};
pub use size_classes::analysis_by_size_class;
pub use worth::{
    Analysis, Basis, Material, Price, PriceAt, Stated, effective_as_spread, effective_dry,
};
