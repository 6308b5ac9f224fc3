#![forbid(unsafe_code)]
#![cfg_attr(test, allow(clippy::float_cmp, clippy::unwrap_used))]
//! Soil tests and a field boundary in, a variable-rate lime prescription out.
//!
//! The rooms of this library and what each may know are listed in `DEVELOPERS.md`; data flows
//! through them one way, and [`prescribe`](mod@prescribe) walks them in order.
//!
//! Coordinates in systems other than WGS 84 degrees go through PROJ, and a program that uses this
//! library has PROJ's own settings (`PROJ_DATA` and its like) as its environment has them; the
//! `limewright` command clears them, because it carries its own database.

pub mod agronomy;
mod error;
pub mod field;
pub mod findings;
pub mod hash;
pub mod haul;
pub mod inputs;
pub mod machine;
pub mod material;
pub mod outputs;
pub mod prescribe;
pub mod prescription;
pub mod roster;
pub mod sources;
pub mod start;
pub mod store;
pub mod summary;
pub mod surfaces;
pub mod units;
pub mod verify;

pub use error::Error;
