//! What a material is worth as a neutraliser, and the refusal of what does not neutralise.
//!
//! The room knows nothing of fields, soils or machines.

mod kind;
mod worth;

pub use kind::{Kind, all_kinds, kind_named};
pub use worth::{Basis, Material, Price, PriceAt, Stated, effective_as_spread};
