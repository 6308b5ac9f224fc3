//! Areas of ground.

use super::quantity::quantity;

/// Square metres in one hectare, exact.
pub const M2_PER_HECTARE: f64 = 10_000.0;

/// Square metres in one international acre, exact: 43,560 square feet of 0.3048 m.
///
/// Source: The World Factbook, Central Intelligence Agency, Appendix G. Older tables of NIST
/// (Special Publication 811, 2008, Appendix B.8) print the survey acre, 4,046.873 m2, which is 4
/// parts per million larger.
pub const M2_PER_ACRE: f64 = 4_046.856_422_4;

quantity! {
    /// An area of ground, held in square metres.
    Area {
        /// An area of so many square metres.
        from_square_metres,
        /// In square metres.
        to_square_metres = 1.0;
        /// An area of so many international acres.
        from_acres,
        /// In international acres.
        to_acres = M2_PER_ACRE;
        /// An area of so many hectares.
        from_hectares,
        /// In hectares.
        to_hectares = M2_PER_HECTARE;
    }
}
