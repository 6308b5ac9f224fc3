//! All that this room holds from files that are part of the program.

use super::fineness::TABLES;
use super::magnesium::MAGNESIUM;
use super::quality::QUALITY;
use super::reaction::REACTION;

/// The texts of those files.
pub fn built_in_materials() -> impl Iterator<Item = &'static str> {
    TABLES.into_iter().chain([MAGNESIUM, QUALITY, REACTION])
}
