//! What the lime is to bring about.

use crate::units::{Bounded, bound, ph_words, plain};

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

    /// Each of them.
    pub const ALL: [Self; 3] = [Self::Ph, Self::BaseSaturation, Self::AluminiumSaturation];

    /// The target of this kind with a number as tables write it: a pH, or a saturation in percent.
    pub fn target(self, number: f64) -> Target {
        match self {
            Self::Ph => Target::Ph(number),
            Self::BaseSaturation => Target::BaseSaturation(number / 100.0),
            Self::AluminiumSaturation => Target::AluminiumSaturation(number / 100.0),
        }
    }

    /// Its limits, in the unit in which tables write it.
    pub fn bounded(self) -> &'static Bounded {
        match self {
            Self::Ph => &bound::TARGET_PH,
            Self::BaseSaturation => &bound::BASE_SATURATION,
            Self::AluminiumSaturation => &bound::ALUMINIUM_SATURATION,
        }
    }

    /// Numbers of such targets with what they are: `pH 6.5 to 6.9`, `10 to 100 % base saturation`.
    pub fn span_words(self, numbers: &str) -> String {
        match self {
            Self::Ph => format!("pH {numbers}"),
            Self::BaseSaturation => format!("{numbers} % base saturation"),
            Self::AluminiumSaturation => format!("{numbers} % aluminium saturation"),
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

    /// The number: a pH, or a share from 0 to 1.
    pub fn number(self) -> f64 {
        match self {
            Self::Ph(number) | Self::BaseSaturation(number) | Self::AluminiumSaturation(number) => {
                number
            }
        }
    }

    /// The number as tables write it: a pH, or a saturation in percent.
    pub(super) fn in_table(self) -> f64 {
        match self {
            Self::Ph(ph) => ph,
            Self::BaseSaturation(share) | Self::AluminiumSaturation(share) => share * 100.0,
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
        assert_eq!(Aim::Ph.span_words("6.5 to 6.9"), "pH 6.5 to 6.9");
        assert_eq!(Aim::BaseSaturation.target(60.0), Target::BaseSaturation(0.6));
        assert_eq!(Aim::AluminiumSaturation.target(15.0).number(), 0.15);
        for target in
            [Target::Ph(6.0), Target::BaseSaturation(0.5), Target::AluminiumSaturation(0.2)]
        {
            assert!(target.aim().key().starts_with("target."));
            assert!(target.aim().words().starts_with('a'));
            let again = target.aim().target(target.in_table());
            assert_eq!(again.aim(), target.aim());
            assert!((again.number() - target.number()).abs() < 1e-12);
        }
    }
}
