//! Lengths, speeds and headings.

use super::quantity::quantity;

/// Metres in one international foot, exact (NIST Special Publication 811, 2008, Appendix B.8).
pub const M_PER_FOOT: f64 = 0.3048;
/// Metres in one inch, exact (NIST Special Publication 811, 2008, Appendix B.8).
pub const M_PER_INCH: f64 = 0.0254;
/// Metres in one statute mile of 5,280 international feet, exact.
pub const M_PER_MILE: f64 = 5_280.0 * M_PER_FOOT;
/// Seconds in one hour.
const S_PER_HOUR: f64 = 3_600.0;

quantity! {
    /// A length or distance, held in metres.
    Length {
        /// A length of so many metres.
        from_metres,
        /// In metres.
        to_metres = 1.0;
        /// A length of so many centimetres.
        from_centimetres,
        /// In centimetres.
        to_centimetres = 0.01;
        /// A length of so many kilometres.
        from_kilometres,
        /// In kilometres.
        to_kilometres = 1_000.0;
        /// A length of so many inches.
        from_inches,
        /// In inches.
        to_inches = M_PER_INCH;
        /// A length of so many international feet.
        from_feet,
        /// In international feet.
        to_feet = M_PER_FOOT;
        /// A length of so many statute miles.
        from_miles,
        /// In statute miles.
        to_miles = M_PER_MILE;
    }
}

quantity! {
    /// A ground speed, held in metres per second.
    Speed {
        /// A speed of so many metres per second.
        from_metres_per_second,
        /// In metres per second.
        to_metres_per_second = 1.0;
        /// A speed of so many kilometres per hour.
        from_kilometres_per_hour,
        /// In kilometres per hour.
        to_kilometres_per_hour = 1_000.0 / S_PER_HOUR;
        /// A speed of so many miles per hour.
        from_miles_per_hour,
        /// In miles per hour.
        to_miles_per_hour = M_PER_MILE / S_PER_HOUR;
    }
}

quantity! {
    /// A direction of travel, clockwise from true north, held in radians.
    Heading {
        /// A heading of so many degrees, clockwise from true north.
        from_degrees,
        /// In degrees, clockwise from true north.
        to_degrees = std::f64::consts::PI / 180.0;
        /// A heading of so many radians, clockwise from true north.
        from_radians,
        /// In radians, clockwise from true north.
        to_radians = 1.0;
    }
}
