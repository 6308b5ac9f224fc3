//! How much lime publications put on the ground at once, and how long before a crop. The program
//! tells them and imposes none.

use std::sync::LazyLock;

use serde::Deserialize;

use super::Placement;
use crate::sources::source;
use crate::units::{EffectiveFraction, LimeNeed, ProductRate, plain};

/// What a published rate is a rate of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum LimitBasis {
    /// Of material as spread.
    #[serde(rename = "material")]
    Material,
    /// Of effective lime: pure calcium carbonate equivalent.
    #[serde(rename = "effective")]
    Effective,
    /// The text does not say.
    #[serde(rename = "not stated")]
    NotStated,
}

impl LimitBasis {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Material, Self::Effective, Self::NotStated];

    /// As reports write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Material => "material",
            Self::Effective => "effective",
            Self::NotStated => "not stated",
        }
    }

    /// The same behind a rate.
    fn behind_a_rate(self) -> &'static str {
        match self {
            Self::Material => "of material",
            Self::Effective => "of effective lime",
            Self::NotStated => "of material or of effective lime, which is not said",
        }
    }
}

/// The most that a publication puts on the ground in one application.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ApplicationLimit {
    /// Where it holds.
    pub region: String,
    placements: Vec<String>,
    most: f64,
    unit: RateUnit,
    /// What it is a rate of.
    pub basis: LimitBasis,
    /// What is said beside it: where it holds, what becomes of the rest.
    pub rest: String,
    source: String,
    locator: String,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
enum RateUnit {
    #[serde(rename = "ton/ac")]
    TonsPerAcre,
    #[serde(rename = "t/ha")]
    TonnesPerHectare,
}

impl RateUnit {
    fn words(self) -> &'static str {
        match self {
            Self::TonsPerAcre => "ton/ac",
            Self::TonnesPerHectare => "t/ha",
        }
    }
}

impl ApplicationLimit {
    /// The rate, as one of whatever it is of.
    pub fn most(&self) -> ProductRate {
        match self.unit {
            RateUnit::TonsPerAcre => ProductRate::from_short_tons_per_acre(self.most),
            RateUnit::TonnesPerHectare => ProductRate::from_tonnes_per_hectare(self.most),
        }
    }

    /// In how many applications a rate of a material keeps to it; at least one. Where the text does
    /// not say what it is of, it is held against the rate of material.
    pub fn applications(&self, rate: ProductRate, effective: EffectiveFraction) -> u32 {
        let held = match self.basis {
            LimitBasis::Material | LimitBasis::NotStated => rate,
            LimitBasis::Effective => rate * effective.to_number(),
        };
        // A rate that is the limit itself may pass it by a rounding error.
        (held / self.most() - 1e-9).ceil().max(1.0) as u32
    }

    /// Whether a rate of a material goes beyond it.
    pub fn is_exceeded_by(&self, rate: ProductRate, effective: EffectiveFraction) -> bool {
        self.applications(rate, effective) > 1
    }

    /// The limit in words, as printed.
    pub fn words(&self) -> String {
        format!(
            "{} {} {} {} ({})",
            self.region,
            plain(self.most, 0, 2),
            self.unit.words(),
            self.basis.behind_a_rate(),
            self.rest
        )
    }

    /// The publication and the place in it, in words.
    pub fn source_words(&self) -> String {
        format!("{}; {}", cited(&self.source), self.locator)
    }
}

/// The published limits for lime that is placed so.
pub fn application_limits(placement: Placement) -> impl Iterator<Item = &'static ApplicationLimit> {
    LIMITS.iter().filter(move |limit| {
        limit.placements.iter().any(|words| Placement::from_words(words) == Some(placement))
    })
}

/// A limit on one application that a user states.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SingleRate {
    /// Of material as spread.
    Material(ProductRate),
    /// Of effective lime.
    Effective(LimeNeed),
}

impl SingleRate {
    /// The rate of a material that it comes to.
    pub fn of(self, effective: EffectiveFraction) -> ProductRate {
        match self {
            Self::Material(rate) => rate,
            Self::Effective(need) => need / effective,
        }
    }
}

/// How long lime is spread before a crop, by the publications.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReactionTime {
    /// The shortest time, in months.
    pub least_months: u32,
    /// The longest that is asked for before a crop that is no legume, in months.
    pub most_months: u32,
    /// What is asked for before a legume, in months.
    pub legume_months: u32,
    sources: Vec<String>,
}

impl ReactionTime {
    /// The publications, in words.
    pub fn source_words(&self) -> String {
        let all: Vec<String> = self.sources.iter().map(|key| cited(key)).collect();
        all.join("; ")
    }
}

/// How long lime is spread before a crop.
pub fn reaction_time() -> &'static ReactionTime {
    &REACTION
}

fn cited(key: &str) -> String {
    source(key).map_or_else(|| key.to_owned(), ToString::to_string)
}

/// The file as it lies in the source tree.
pub(super) const SINGLE_APPLICATIONS: &str = include_str!("practice/single_applications.json");

/// The file as it lies in the source tree.
pub(super) const REACTION_TIMES: &str = include_str!("practice/reaction.json");

/// The files are part of the program, so a fault in one is a fault of the program, which the tests
/// find before a user can.
static LIMITS: LazyLock<Vec<ApplicationLimit>> =
    LazyLock::new(|| serde_json::from_str(SINGLE_APPLICATIONS).expect("the limits are sound"));
static REACTION: LazyLock<ReactionTime> =
    LazyLock::new(|| serde_json::from_str(REACTION_TIMES).expect("the times are sound"));

#[cfg(test)]
mod tests {
    use super::*;

    fn tons(number: f64) -> ProductRate {
        ProductRate::from_short_tons_per_acre(number)
    }

    fn half() -> EffectiveFraction {
        EffectiveFraction::from_number(0.5).expect("in range")
    }

    #[test]
    fn every_limit_has_a_source_and_a_placement_that_there_is() {
        for limit in LIMITS.iter() {
            assert!(source(&limit.source).is_some(), "{}", limit.source);
            assert!(!limit.locator.is_empty() && !limit.rest.is_empty(), "{}", limit.region);
            assert!(limit.most() > ProductRate::ZERO);
            for words in &limit.placements {
                assert!(Placement::from_words(words).is_some(), "{words}");
            }
        }
        for placement in Placement::ALL {
            assert!(application_limits(placement).count() >= 3, "{}", placement.words());
        }
        let time = reaction_time();
        assert!(time.sources.iter().all(|key| source(key).is_some()));
        assert_eq!((time.least_months, time.most_months, time.legume_months), (3, 6, 6));
    }

    #[test]
    fn missouri_puts_two_tons_on_ground_that_is_not_tilled() {
        let missouri = application_limits(Placement::NoTill)
            .find(|limit| limit.region == "Missouri")
            .expect("listed");
        assert!(!missouri.is_exceeded_by(tons(2.0 * (1.0 + 1e-12)), half()));
        assert!(missouri.is_exceeded_by(tons(2.25), half()), "as material, which is not said");
        let words = missouri.words();
        assert!(words.contains("Missouri 2 ton/ac of material or of effective lime, which is not"));
        assert!(words.contains("2 to 3 years later"), "{words}");
        assert!(application_limits(Placement::Tilled).all(|limit| limit.region != "Missouri"));
    }

    #[test]
    fn a_limit_of_effective_lime_looks_at_what_acts() {
        let limit = ApplicationLimit { basis: LimitBasis::Effective, ..LIMITS[0].clone() };
        assert!(!limit.is_exceeded_by(tons(4.0), half()));
        assert!(limit.is_exceeded_by(tons(4.1), half()));
        let stated = SingleRate::Effective(LimeNeed::from_short_tons_per_acre(1.0));
        assert!((stated.of(half()).to_short_tons_per_acre() - 2.0).abs() < 1e-12);
        assert_eq!(SingleRate::Material(tons(2.0)).of(half()), tons(2.0));
    }

    #[test]
    fn metric_limits_are_metric() {
        let grass = application_limits(Placement::EstablishedStand)
            .find(|limit| limit.region.starts_with("Ireland"))
            .expect("listed");
        assert!((grass.most().to_tonnes_per_hectare() - 7.5).abs() < 1e-12);
        assert_eq!(grass.basis, LimitBasis::Material);
    }
}
