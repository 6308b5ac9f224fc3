#![forbid(unsafe_code)]
#![cfg_attr(test, allow(clippy::float_cmp, clippy::unwrap_used))]
//! Soil tests and a field boundary in, a variable-rate lime prescription out.

pub mod field;
pub mod findings;
pub mod inputs;
pub mod surfaces;
pub mod units;
