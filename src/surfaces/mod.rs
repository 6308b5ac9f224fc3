//! Soil values between the samples: natural-neighbour surfaces and their cross-check.
//!
//! Samples that coincide are merged into [`Sites`]; an [`Interpolator`] is prepared once for a set
//! of sites and gives the [`Weights`] of the sites at any number of query points. One set of
//! weights serves every attribute that was measured at the same sites. [`cross_check()`] says how
//! far to trust the surface.
//!
//! # References
//! Natural-neighbour weights: R. Sibson, "A brief description of natural neighbour interpolation",
//! in V. Barnett (ed.), Interpreting Multivariate Data, Wiley, 1981, pp. 21-36 (from memory).

mod cross_check;
mod hull;
mod hull_without;
mod interpolator;
mod mesh;
mod neighbours;
mod outliers;
mod reach;
mod robust;
mod sibson;
mod sites;
mod weighing;
mod weights;

pub use cross_check::{CrossCheck, cross_check, leave_one_out};
pub use interpolator::{Interpolator, Way};
pub use outliers::{StandsOut, find_outliers};
pub use robust::{Robust, STANDS_OUT_AT, median};
pub use sites::{COINCIDENT_WITHIN_M, Sites, merge_coincident};
pub use weights::{Standing, Weights};

#[cfg(test)]
mod tests;
