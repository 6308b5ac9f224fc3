//! The finished result of one field, as people and programs read it, and reading it back.
//!
//! The room only puts together what other rooms worked out; numbers keep their full precision.

mod advice;
mod applications;
mod areas;
mod benefit;
mod build;
mod cautions;
mod explanation;
mod horizons;
mod layers;
mod machine;
mod materials;
mod method;
mod money;
mod practice;
mod reaction;
mod read_back;
mod risk;
mod schema;
mod shape;
mod shape_advice;
mod shape_applications;
mod shape_areas;
mod shape_benefit;
mod shape_exports;
mod shape_flat;
mod shape_layers;
mod shape_machine;
mod shape_materials;
mod shape_method;
mod shape_order;
mod shape_practice;
mod shape_risk;
mod shape_sketch;
mod shape_work;
mod sheet;
mod sureness;
mod upkeep;
mod work;
mod worth;

pub use applications::OrderedParts;

pub use advice::{ResultParts, method_result, method_spread};
pub use benefit::{AreaBenefit, Benefit, BenefitParts, Gain, RiskRelief, ph_area};
pub use build::{
    LayerParts, Parts, Spread, build_summary, finding_part, input_part, rate_as_written,
    written_rate,
};
pub use cautions::cautions;

pub use explanation::{
    ExplainedLayer, Explanation, OverrideStep, RateAreaStep, SoilValue, WeighedSample,
};
pub use machine::{ChangeParts, MachineParts, ThrowParts};
pub use materials::{ComparisonParts, OfferParts, RefusedParts, build_comparison};
pub use practice::{ApplicationParts, UnmetParts};
pub use read_back::read_summary;
pub use risk::RiskAreas;
pub use schema::{material_comparison_schema, method_advice_schema, summary_schema};
pub(crate) use shape::part;
pub use shape::*;
pub use shape_advice::*;
pub use shape_applications::OneApplicationPart;
pub use shape_areas::{ChangePart, RateAreasPart};
pub use shape_benefit::{BenefitPart, GainAtPart, OneAreaPart};
pub use shape_exports::{WrittenExport, WrittenFile};
pub use shape_flat::*;
pub use shape_layers::LayerPart;
pub use shape_machine::*;
pub use shape_materials::*;
pub use shape_method::*;
pub use shape_order::*;
pub use shape_practice::*;
pub use shape_risk::*;
pub use shape_sketch::SketchPart;
pub use shape_work::*;
pub use sheet::{Factor, Pile, Sheet, SheetRate, Spot};
