#![forbid(unsafe_code)]
#![cfg_attr(test, allow(clippy::float_cmp))]
//! Soil tests and a field boundary in, a variable-rate lime prescription out.

pub mod findings;
pub mod units;
