//! When a soil's magnesium speaks for a dolomitic material, and when against it. The publications
//! disagree, so each is told by its name.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::sources::source;
use crate::units::{SoilValue, plain};

/// What one publication says.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
struct Threshold {
    region: String,
    /// Exchangeable magnesium below which it is low, in mg/kg.
    low_below_ppm: f64,
    /// The part of calcium's charge from which on magnesium is high, where the publication has one.
    #[serde(default)]
    high_from_calcium_share: Option<f64>,
    source: String,
    locator: String,
}

/// What a soil's magnesium asks of the material.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MagnesiumCall {
    /// It is low: a dolomitic material is advised.
    Dolomitic,
    /// It is neither low nor high: either will do, by cost.
    Either,
    /// It is high: a dolomitic material is advised against.
    NotDolomitic,
    /// It is not given.
    NotKnown,
}

impl MagnesiumCall {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Dolomitic, Self::Either, Self::NotDolomitic, Self::NotKnown];

    /// As reports write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Dolomitic => "dolomitic",
            Self::Either => "either",
            Self::NotDolomitic => "not dolomitic",
            Self::NotKnown => "not known",
        }
    }
}

/// The advice of one publication.
#[derive(Clone, Debug, PartialEq)]
pub struct MagnesiumAdvice {
    /// Where it holds.
    pub region: String,
    /// What it comes to for this soil.
    pub call: MagnesiumCall,
    /// The same as one sentence.
    pub words: String,
    /// The publication, and the place in it.
    pub source: String,
}

/// What each publication advises for a soil with `magnesium_ppm` and `calcium_ppm` of exchangeable
/// magnesium and calcium (mg/kg), each where it is known.
pub fn magnesium_advice(
    magnesium_ppm: Option<f64>,
    calcium_ppm: Option<f64>,
) -> Vec<MagnesiumAdvice> {
    THRESHOLDS.iter().map(|threshold| threshold.advice(magnesium_ppm, calcium_ppm)).collect()
}

impl Threshold {
    fn advice(&self, magnesium_ppm: Option<f64>, calcium_ppm: Option<f64>) -> MagnesiumAdvice {
        let low = plain(self.low_below_ppm, 0, 2);
        let publication =
            source(&self.source).map_or_else(|| self.source.clone(), ToString::to_string);
        let (call, words) = match magnesium_ppm {
            None => (
                MagnesiumCall::NotKnown,
                format!("soil magnesium is not given; below {low} ppm it advises dolomitic lime"),
            ),
            Some(ppm) if ppm < self.low_below_ppm => (
                MagnesiumCall::Dolomitic,
                format!(
                    "soil magnesium of {} ppm is below {low} ppm: it advises dolomitic lime",
                    plain(ppm, 0, 1)
                ),
            ),
            Some(ppm) => self.not_low(ppm, calcium_ppm, &low),
        };
        let region = self.region.clone();
        let source = format!("{publication}; {}", self.locator);
        MagnesiumAdvice { region, call, words, source }
    }

    fn not_low(&self, ppm: f64, calcium_ppm: Option<f64>, low: &str) -> (MagnesiumCall, String) {
        let found = plain(ppm, 0, 1);
        if let (Some(high), Some(calcium)) = (self.high_from_calcium_share, calcium_ppm)
            && let Some(of_magnesium) = SoilValue::Magnesium.canonical(ppm, "ppm")
            && let Some(of_calcium) = SoilValue::Calcium.canonical(calcium, "ppm")
            && of_magnesium >= high * of_calcium
        {
            let words = format!(
                "soil magnesium of {found} ppm has as much charge as the calcium of {} ppm, or \
                 more: it advises against dolomitic lime",
                plain(calcium, 0, 1)
            );
            return (MagnesiumCall::NotDolomitic, words);
        }
        let words = format!(
            "soil magnesium of {found} ppm is not below {low} ppm: by cost, dolomitic or not"
        );
        (MagnesiumCall::Either, words)
    }
}

/// The file as it lies in the source tree.
pub(super) const MAGNESIUM: &str = include_str!("limits/magnesium.json");

/// The file is part of the program, so a fault in it is a fault of the program, which the tests
/// find before a user can.
static THRESHOLDS: LazyLock<Vec<Threshold>> =
    LazyLock::new(|| serde_json::from_str(MAGNESIUM).expect("the thresholds are sound"));

#[cfg(test)]
mod tests {
    use super::*;

    fn calls(magnesium: Option<f64>, calcium: Option<f64>) -> Vec<(String, MagnesiumCall)> {
        let advice = magnesium_advice(magnesium, calcium);
        advice.into_iter().map(|one| (one.region, one.call)).collect()
    }

    #[test]
    fn ohio_and_ontario_disagree_and_both_are_told() {
        let of = |ppm: f64| {
            let all = calls(Some(ppm), None);
            let by = |region: &str| all.iter().find(|one| one.0 == region).expect(region).1;
            (by("Ohio"), by("Ontario"))
        };
        let (dolomitic, either) = (MagnesiumCall::Dolomitic, MagnesiumCall::Either);
        assert_eq!(of(49.9), (dolomitic, dolomitic));
        assert_eq!(of(50.0), (either, dolomitic));
        assert_eq!(of(99.9), (either, dolomitic));
        assert_eq!(of(100.0), (either, either));
    }

    #[test]
    fn magnesium_is_high_where_it_has_the_charge_of_the_calcium() {
        // 243.05 ppm Mg and 400.78 ppm Ca are 20 meq/kg each.
        let michigan = |magnesium, calcium| {
            let all = calls(Some(magnesium), calcium);
            all.iter().find(|one| one.0 == "Michigan").expect("known").1
        };
        assert_eq!(michigan(243.06, Some(400.78)), MagnesiumCall::NotDolomitic);
        assert_eq!(michigan(243.0, Some(400.78)), MagnesiumCall::Either);
        assert_eq!(michigan(243.06, None), MagnesiumCall::Either);
        assert_eq!(michigan(34.0, Some(10.0)), MagnesiumCall::Dolomitic);
    }

    #[test]
    fn what_is_not_given_is_said() {
        for one in magnesium_advice(None, Some(400.0)) {
            assert_eq!(one.call, MagnesiumCall::NotKnown);
            assert!(one.words.starts_with("soil magnesium is not given"), "{}", one.words);
        }
    }

    #[test]
    fn every_threshold_has_a_source() {
        for threshold in THRESHOLDS.iter() {
            assert!(source(&threshold.source).is_some(), "{}", threshold.region);
            assert!(!threshold.locator.is_empty() && threshold.low_below_ppm > 0.0);
        }
    }
}
