//! The finished result of one field, as people and programs read it, and reading it back.
//!
//! The room only puts together what other rooms worked out; numbers keep their full precision.

mod build;
mod cautions;
mod explanation;
mod horizons;
mod layers;
mod materials;
mod method;
mod money;
mod practice;
mod reaction;
mod risk;
mod schema;
mod shape;
mod shape_layers;
mod shape_materials;
mod shape_method;
mod shape_order;
mod shape_practice;
mod shape_risk;
mod sureness;
mod upkeep;
mod worth;

pub use build::{LayerParts, Parts, Spread, build_summary, rate_as_written, written_rate};
pub use cautions::cautions;
pub use explanation::{ExplainedLayer, Explanation, OverrideStep, SoilValue, WeighedSample};
pub use materials::{ComparisonParts, OfferParts, RefusedParts, build_comparison};
pub use practice::{ApplicationParts, UnmetParts};
pub use risk::RiskAreas;
pub use schema::{material_comparison_schema, summary_schema};
pub use shape::*;
pub use shape_layers::LayerPart;
pub use shape_materials::*;
pub use shape_method::*;
pub use shape_order::*;
pub use shape_practice::*;
pub use shape_risk::*;
