//! Areas of ground.

use super::quantity::quantity;

/// Square metres in one hectare, exact.
pub const M2_PER_HECTARE: f64 = 10_000.0;

/// Square metres in one international acre, exact: 43,560 square feet of 0.3048 m.
///
/// Source: NIST Special Publication 811 (2008), Appendix B.8, footnote on the acre, and the 2019
/// and later NIST guidance that retires the US survey foot from the end of 2022. Tables printed
/// before that show the survey acre (4046.873 m2), which is 4 parts per million larger.
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
