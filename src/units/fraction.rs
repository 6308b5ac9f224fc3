//! Parts of a whole.

/// A part of a whole, from 0 to 1: moisture, an allowance, a loss.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Share(f64);

impl Share {
    /// No part of it.
    pub const NONE: Self = Self(0.0);

    /// The share `number`, or `None` where it lies outside 0 to 1 or is not finite.
    pub fn from_number(number: f64) -> Option<Self> {
        (0.0..=1.0).contains(&number).then_some(Self(number))
    }

    /// As a number from 0 to 1.
    pub fn to_number(self) -> f64 {
        self.0
    }

    /// In percent.
    pub fn to_percent(self) -> f64 {
        self.0 * 100.0
    }
}

/// The part of a material **as spread** that counts as pure calcium carbonate.
///
/// Oxides and hydroxides neutralise more than their own mass of calcium carbonate, so it may
/// exceed 1; magnesium oxide, the strongest, stands near 2.5. Moisture is already taken off.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct EffectiveFraction(f64);

impl EffectiveFraction {
    /// The largest fraction that any liming material reaches (pure magnesium oxide, from molar
    /// masses 100.09 and 40.30, rounded up).
    pub const MOST: f64 = 2.5;

    /// Pure calcium carbonate.
    pub const ONE: Self = Self(1.0);

    /// The fraction `number`, or `None` where it is not above 0 and at most [`Self::MOST`].
    pub fn from_number(number: f64) -> Option<Self> {
        (number > 0.0 && number <= Self::MOST).then_some(Self(number))
    }

    /// As a number: tons of pure CaCO3 in one ton as spread.
    pub fn to_number(self) -> f64 {
        self.0
    }

    /// In percent.
    pub fn to_percent(self) -> f64 {
        self.0 * 100.0
    }
}
