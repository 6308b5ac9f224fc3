//! What a material is worth as a neutraliser, and the refusal of what does not neutralise.
//!
//! The room knows nothing of fields, soils or machines.

mod fineness;
mod kind;
mod pail;
mod steps;
mod worth;

pub use fineness::{
    Fineness, FinenessScheme, SchemeTable, all_fineness_schemes, fineness_of, fineness_scheme,
};
pub use kind::{Kind, all_kinds, kind_named};
pub use pail::{Pail, density_from_pail};
pub use worth::{
    Analysis, Basis, Material, Price, PriceAt, Stated, effective_as_spread, effective_dry,
};
