//! What the lime is to bring about.

use crate::units::{ph_words, plain};

/// What the lime is to bring about in the soil.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Target {
    /// A pH, in the method's own medium.
    Ph(f64),
    /// The part of the cation exchange capacity that bases hold, 0 to 1.
    BaseSaturation(f64),
    /// The part of the effective capacity that aluminium may hold, 0 to 1.
    AluminiumSaturation(f64),
}

/// The kind of a [`Target`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Aim {
    /// A pH.
    Ph,
    /// A base saturation.
    BaseSaturation,
    /// An aluminium saturation.
    AluminiumSaturation,
}

impl Aim {
    /// What it is called in a sentence.
    pub fn words(self) -> &'static str {
        match self {
            Self::Ph => "a pH",
            Self::BaseSaturation => "a base saturation",
            Self::AluminiumSaturation => "an aluminium saturation",
        }
    }

    /// The key of a job that states it.
    pub fn key(self) -> &'static str {
        match self {
            Self::Ph => "target.ph",
            Self::BaseSaturation => "target.base_saturation",
            Self::AluminiumSaturation => "target.aluminium_saturation",
        }
    }
}

impl Target {
    /// Its kind.
    pub fn aim(self) -> Aim {
        match self {
            Self::Ph(_) => Aim::Ph,
            Self::BaseSaturation(_) => Aim::BaseSaturation,
            Self::AluminiumSaturation(_) => Aim::AluminiumSaturation,
        }
    }

    /// The pH, where it is one.
    pub fn ph(self) -> Option<f64> {
        match self {
            Self::Ph(ph) => Some(ph),
            Self::BaseSaturation(_) | Self::AluminiumSaturation(_) => None,
        }
    }

    /// In words: `pH 6.5`, `60 % base saturation`.
    pub fn words(self) -> String {
        match self {
            Self::Ph(ph) => format!("pH {}", ph_words(ph)),
            Self::BaseSaturation(share) => {
                format!("{} % base saturation", plain(share * 100.0, 0, 4))
            }
            Self::AluminiumSaturation(share) => {
                format!("{} % aluminium saturation", plain(share * 100.0, 0, 4))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_target_is_told_with_its_unit() {
        assert_eq!(Target::Ph(6.5).words(), "pH 6.5");
        assert_eq!(Target::BaseSaturation(0.6).words(), "60 % base saturation");
        assert_eq!(Target::AluminiumSaturation(0.15).words(), "15 % aluminium saturation");
        assert_eq!(Target::Ph(6.5).ph(), Some(6.5));
        assert_eq!(Target::BaseSaturation(0.6).ph(), None);
        for target in
            [Target::Ph(6.0), Target::BaseSaturation(0.5), Target::AluminiumSaturation(0.2)]
        {
            assert!(target.aim().key().starts_with("target."));
            assert!(target.aim().words().starts_with('a'));
        }
    }
}
