//! Figures that state a material's effect in one number, calcium carbonate equivalent and fineness
//! together: effective calcium carbonate equivalent, effective neutralising power, and so on.

use crate::units::{Bounded, EffectiveFraction, bound, plain};

/// One such figure.
#[derive(Debug)]
pub struct Rating {
    /// The key under which a job gives it.
    pub key: &'static str,
    /// Its letters, as trade and reports write them.
    pub letters: &'static str,
    /// What they stand for.
    pub meaning: &'static str,
    /// How it is written, and within which limits.
    pub bounded: &'static Bounded,
    /// What pure, fine calcium carbonate has, as a share of its own mass.
    pure: f64,
}

impl PartialEq for Rating {
    fn eq(&self, other: &Self) -> bool {
        self.key == other.key
    }
}

/// Pounds of effective neutralising material in a short ton of pure, fine calcium carbonate.
///
/// Source: University of Missouri, Agricultural Lime Control Service, web page, undated: ENM is
/// CCE/100 x fineness/100 x 800.
const ENM_OF_PURE_LB_PER_TON: f64 = 800.0;
/// Pounds of effective neutralising power in a short ton of pure, fine calcium carbonate: its own
/// mass.
///
/// Source: Ohio State University Extension, Select a lime source based on ENP, 2014.
const ENP_OF_PURE_LB_PER_TON: f64 = POUNDS_PER_TON;
/// Pounds in a short ton.
pub(super) const POUNDS_PER_TON: f64 = 2_000.0;

static RATINGS: [Rating; 7] = [
    percent("ecce", "ECCE", "effective calcium carbonate equivalent"),
    percent("env", "ENV", "effective neutralising value"),
    percent("rnv", "RNV", "relative neutralising value"),
    percent("ecc", "ECC", "effective calcium carbonate"),
    percent("prnt", "PRNT", "relative total neutralising power, Brazil"),
    Rating {
        key: "enp",
        letters: "ENP",
        meaning: "effective neutralising power",
        bounded: &bound::ENP,
        pure: ENP_OF_PURE_LB_PER_TON / POUNDS_PER_TON,
    },
    Rating {
        key: "enm",
        letters: "ENM",
        meaning: "effective neutralising material, Missouri",
        bounded: &bound::ENM,
        pure: ENM_OF_PURE_LB_PER_TON / POUNDS_PER_TON,
    },
];

const fn percent(key: &'static str, letters: &'static str, meaning: &'static str) -> Rating {
    Rating { key, letters, meaning, bounded: &bound::EFFECTIVE, pure: 1.0 }
}

/// All of them.
pub fn all_ratings() -> &'static [Rating] {
    &RATINGS
}

/// The figure under `key`, in any case.
pub fn rating(key: &str) -> Option<&'static Rating> {
    let key = key.trim().to_lowercase();
    RATINGS.iter().find(|rating| rating.key == key)
}

impl Rating {
    /// Whether it is written in pounds to the ton, and not in percent.
    pub fn is_by_mass(&self) -> bool {
        self.bounded.limit_unit == bound::ENP.limit_unit
    }

    /// What pure, fine calcium carbonate has, as a share of its own mass: 1 but for ENM.
    pub fn pure(&self) -> f64 {
        self.pure
    }

    /// The effective part that `number` of it states, as its own bounds read it (a share of the
    /// material's mass). `None` where no material can reach it.
    pub fn effective(&self, number: f64) -> Option<EffectiveFraction> {
        EffectiveFraction::from_number(number / self.pure)
    }

    /// `effective` as this figure: `ENM 451.8 lb/ton`, `ECCE 63 %`.
    pub fn shown(&self, effective: EffectiveFraction) -> String {
        let share = effective.to_number() * self.pure;
        if self.is_by_mass() {
            format!("{} {} lb/ton", self.letters, plain(share * POUNDS_PER_TON, 0, 1))
        } else {
            format!("{} {} %", self.letters, plain(share * 100.0, 0, 2))
        }
    }

    /// How it becomes an effective part, as a sentence without a full stop; `None` where it is one
    /// already.
    pub fn conversion(&self, effective: EffectiveFraction) -> Option<String> {
        self.is_by_mass().then(|| {
            format!(
                "{} over the {} lb/ton of pure CaCO3 = {} % effective",
                self.shown(effective),
                plain(self.pure * POUNDS_PER_TON, 0, 0),
                plain(effective.to_percent(), 0, 4)
            )
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_figure_comes_back_as_it_was_stated() {
        for (key, written, effective, shown) in [
            ("ecce", "63 %", 0.63, "ECCE 63 %"),
            ("ENP", "1600 lb/ton", 0.8, "ENP 1600 lb/ton"),
            ("enm", "400 lb/ton", 0.5, "ENM 400 lb/ton"),
            ("prnt", "80 %", 0.8, "PRNT 80 %"),
        ] {
            let rating = rating(key).expect(key);
            let number = rating.bounded.read(written).expect(written);
            let found = rating.effective(number).expect("within reach");
            assert!((found.to_number() - effective).abs() < 1e-12, "{key}");
            assert_eq!(rating.shown(found), shown);
            assert_eq!(rating.conversion(found).is_some(), written.ends_with("ton"));
        }
        assert!(rating("xyz").is_none());
    }
}
