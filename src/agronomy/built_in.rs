//! All that this room holds from files that are part of the program.

use super::applications::{REACTION_TIMES, SINGLE_APPLICATIONS};
use super::conversion::PH_CONVERSIONS;
use super::crops::CROP_GUIDES;
use super::registry::TABLES;
use super::upkeep::UPKEEP;

/// The texts of those files.
pub fn built_in_agronomy() -> impl Iterator<Item = &'static str> {
    let others =
        [CROP_GUIDES, PH_CONVERSIONS, SINGLE_APPLICATIONS, REACTION_TIMES, UPKEEP].into_iter();
    TABLES.into_iter().map(|(_, text)| text).chain(others)
}
