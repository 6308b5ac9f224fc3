//! Masses by meaning, volumes and bulk density.

use super::quantity::{product_of, quantity};

/// Kilograms in one avoirdupois pound, exact (NIST Special Publication 811, 2008, Appendix B.8).
pub const KG_PER_POUND: f64 = 0.453_592_37;
/// Kilograms in one short ton of 2,000 lb, exact.
pub const KG_PER_SHORT_TON: f64 = 2_000.0 * KG_PER_POUND;
/// Kilograms in one tonne.
pub const KG_PER_TONNE: f64 = 1_000.0;
/// Cubic metres in one cubic foot, exact.
const M3_PER_CUBIC_FOOT: f64 = super::M_PER_FOOT * super::M_PER_FOOT * super::M_PER_FOOT;

quantity! {
    /// A mass of pure calcium carbonate equivalent, held in kilograms.
    CarbonateMass {
        /// So many kilograms of CaCO3.
        from_kilograms,
        /// In kilograms of CaCO3.
        to_kilograms = 1.0;
        /// So many pounds of CaCO3.
        from_pounds,
        /// In pounds of CaCO3.
        to_pounds = KG_PER_POUND;
        /// So many short tons of CaCO3.
        from_short_tons,
        /// In short tons of CaCO3.
        to_short_tons = KG_PER_SHORT_TON;
        /// So many tonnes of CaCO3.
        from_tonnes,
        /// In tonnes of CaCO3.
        to_tonnes = KG_PER_TONNE;
    }
}

quantity! {
    /// A mass of material as spread, moisture and all, held in kilograms.
    ProductMass {
        /// So many kilograms of material as spread.
        from_kilograms,
        /// In kilograms as spread.
        to_kilograms = 1.0;
        /// So many pounds of material as spread.
        from_pounds,
        /// In pounds as spread.
        to_pounds = KG_PER_POUND;
        /// So many short tons of material as spread.
        from_short_tons,
        /// In short tons as spread.
        to_short_tons = KG_PER_SHORT_TON;
        /// So many tonnes of material as spread.
        from_tonnes,
        /// In tonnes as spread.
        to_tonnes = KG_PER_TONNE;
    }
}

quantity! {
    /// A volume of a box or body, held in cubic metres.
    Volume {
        /// So many cubic metres.
        from_cubic_metres,
        /// In cubic metres.
        to_cubic_metres = 1.0;
        /// So many cubic feet.
        from_cubic_feet,
        /// In cubic feet.
        to_cubic_feet = M3_PER_CUBIC_FOOT;
        /// So many cubic yards.
        from_cubic_yards,
        /// In cubic yards.
        to_cubic_yards = 27.0 * M3_PER_CUBIC_FOOT;
    }
}

quantity! {
    /// The mass of a unit of volume of the material as it lies in the pile, in kg/m3.
    BulkDensity {
        /// So many kilograms per cubic metre.
        from_kilograms_per_cubic_metre,
        /// In kilograms per cubic metre.
        to_kilograms_per_cubic_metre = 1.0;
        /// So many pounds per cubic foot.
        from_pounds_per_cubic_foot,
        /// In pounds per cubic foot.
        to_pounds_per_cubic_foot = KG_PER_POUND / M3_PER_CUBIC_FOOT;
    }
}

product_of!(BulkDensity * Volume = ProductMass);
