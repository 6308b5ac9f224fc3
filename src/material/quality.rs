//! Published minimum qualities of liming materials, and whether an analysis meets them.
//!
//! A part that passes a sieve which was not used lies between what passes the next coarser and the
//! next finer sieve that was; where both ends of that range agree, the answer is known.

use std::sync::LazyLock;

use serde::Deserialize;

use super::{Analysis, Material, Sieve};
use crate::findings::{Place, Problem, nearest_of};
use crate::sources::source;
use crate::units::plain;

/// One published set of minimum figures.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct QualityLimit {
    /// Its name in job files.
    pub id: String,
    /// Where it holds.
    pub title: String,
    /// The publication: a key of the bibliography.
    source: String,
    /// Where in it.
    locator: String,
    requires: Vec<Requirement>,
    /// What a user has to know beside the figures.
    #[serde(default)]
    pub note: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
struct Requirement {
    of: Figure,
    /// The sieve of `passing`.
    #[serde(default)]
    sieve: Option<String>,
    at_least_percent: f64,
}

/// What a minimum is asked of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Figure {
    /// What passes a sieve.
    Passing,
    /// The calcium carbonate equivalent.
    Cce,
    /// The relative neutralising value: CCE times half of what passes 10 mesh and half of what
    /// passes 50 mesh.
    Rnv,
}

/// Whether something is met, as far as an analysis shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It is met.
    Met,
    /// It is not.
    NotMet,
    /// The analysis does not show it.
    NotKnown,
}

impl Verdict {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Met, Self::NotMet, Self::NotKnown];

    /// As reports write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Met => "met",
            Self::NotMet => "not met",
            Self::NotKnown => "not known",
        }
    }
}

/// A material held against one published minimum quality.
#[derive(Clone, Debug, PartialEq)]
pub struct QualityChecked {
    /// The minimum quality.
    pub limit: &'static QualityLimit,
    /// Whether all of it is met.
    pub verdict: Verdict,
    /// Each figure that it asks for: in words, and whether it is met.
    pub parts: Vec<(String, Verdict)>,
}

impl QualityLimit {
    /// The publication and the place in it, in words.
    pub fn source_words(&self) -> String {
        let publication =
            source(&self.source).map_or_else(|| self.source.clone(), ToString::to_string);
        format!("{publication}; {}", self.locator)
    }

    /// What it asks for, in words.
    pub fn asks_for(&self) -> String {
        let parts: Vec<String> = self.requires.iter().map(Requirement::words).collect();
        parts.join(", ")
    }

    /// Holds a material against it.
    pub fn check(&'static self, material: &Material) -> QualityChecked {
        let parts: Vec<(String, Verdict)> = self
            .requires
            .iter()
            .map(|required| {
                let found = material.analysis.as_ref().map(|analysis| required.found_in(analysis));
                let verdict = found.map_or(Verdict::NotKnown, |range| required.verdict(range));
                (format!("{}: {}", required.words(), told(verdict, found)), verdict)
            })
            .collect();
        let has = |wanted: Verdict| parts.iter().any(|&(_, verdict)| verdict == wanted);
        let verdict = if has(Verdict::NotMet) {
            Verdict::NotMet
        } else if has(Verdict::NotKnown) {
            Verdict::NotKnown
        } else {
            Verdict::Met
        };
        QualityChecked { limit: self, verdict, parts }
    }
}

fn told(verdict: Verdict, found: Option<(f64, f64)>) -> String {
    match found {
        None => "not known, there is no analysis".to_owned(),
        Some((least, most)) if most - least < 1e-9 => {
            format!("{} ({} %)", verdict.words(), plain(100.0 * least, 0, 1))
        }
        Some((least, most)) => format!(
            "{} (from {} to {} %, that sieve was not used)",
            verdict.words(),
            plain(100.0 * least, 0, 1),
            plain(100.0 * most, 0, 1)
        ),
    }
}

impl Requirement {
    fn words(&self) -> String {
        let least = plain(self.at_least_percent, 0, 2);
        match self.of {
            Figure::Passing => {
                let sieve = self.sieve.as_deref().unwrap_or_default();
                let words = Sieve::from_words(sieve).map_or_else(String::new, |it| it.words());
                format!("at least {least} % through {words}")
            }
            Figure::Cce => format!("CCE at least {least} %"),
            Figure::Rnv => format!("relative neutralising value at least {least} %"),
        }
    }

    /// The least and the most that the figure can be by the analysis.
    fn found_in(&self, analysis: &Analysis) -> (f64, f64) {
        let cce = analysis.cce.fraction.to_number();
        match self.of {
            Figure::Passing => {
                self.sieve.as_deref().map_or((0.0, 1.0), |sieve| passing(analysis, sieve))
            }
            Figure::Cce => (cce, cce),
            Figure::Rnv => {
                let (coarse, fine) = (passing(analysis, "10"), passing(analysis, "50"));
                (cce * 0.5 * (coarse.0 + fine.0), cce * 0.5 * (coarse.1 + fine.1))
            }
        }
    }

    fn verdict(&self, (least, most): (f64, f64)) -> Verdict {
        // A figure that is the minimum itself may miss it by a rounding error.
        let needed = self.at_least_percent / 100.0 - 1e-9;
        if least >= needed {
            Verdict::Met
        } else if most < needed {
            Verdict::NotMet
        } else {
            Verdict::NotKnown
        }
    }
}

/// What passes `sieve`: at least what passes any finer one, at most what passes any coarser one.
pub(super) fn passing(analysis: &Analysis, sieve: &str) -> (f64, f64) {
    let opening = |name: &str| Some(Sieve::from_words(name)?.opening_mm());
    let Some(wanted) = opening(sieve) else { return (0.0, 1.0) };
    let fineness = &analysis.fineness;
    let known = fineness.scheme.sieves().zip(&fineness.passing);
    known.filter_map(|(sieve, share)| Some((opening(sieve)?, share.to_number()))).fold(
        (0.0, 1.0),
        |(least, most): (f64, f64), (opening, share)| {
            let least = if opening <= wanted { least.max(share) } else { least };
            let most = if opening >= wanted { most.min(share) } else { most };
            (least, most)
        },
    )
}

/// All published minimum qualities that the program knows.
pub fn all_quality_limits() -> &'static [QualityLimit] {
    &LIMITS
}

/// The minimum quality called `id`.
///
/// # Errors
/// Returns a [`Problem`] at `place` where there is none, with all of them.
pub fn quality_limit(id: &str, place: Place) -> Result<&'static QualityLimit, Problem> {
    let wanted = id.trim().to_lowercase();
    if let Some(limit) = all_quality_limits().iter().find(|limit| limit.id == wanted) {
        return Ok(limit);
    }
    let ids: Vec<&str> = all_quality_limits().iter().map(|limit| limit.id.as_str()).collect();
    let hint = nearest_of(&wanted, &ids).map_or_else(
        || "leave `quality` out where none of them is yours".to_owned(),
        |near| format!("did you mean `{near}`?"),
    );
    Err(Problem::at(place, format!("there is no minimum quality `{id}`"))
        .allowed(ids.join(", "))
        .hint(hint))
}

/// The file as it lies in the source tree.
pub(super) const QUALITY: &str = include_str!("limits/quality.json");

/// The file is part of the program, so a fault in it is a fault of the program, which the tests
/// find before a user can.
static LIMITS: LazyLock<Vec<QualityLimit>> =
    LazyLock::new(|| serde_json::from_str(QUALITY).expect("the limits are sound"));

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;
    use crate::material::{Basis, Stated, fineness_of, fineness_scheme};
    use crate::units::{EffectiveFraction, Share};

    fn material(cce: f64, passing: [f64; 3]) -> Material {
        let scheme = fineness_scheme("iowa", Place::default()).expect("known");
        let share = |part| Share::from_number(part).expect("a share");
        let passing: BTreeMap<String, Share> =
            ["4", "8", "60"].map(str::to_owned).into_iter().zip(passing.map(share)).collect();
        let fineness = fineness_of(scheme, &passing, &Place::default()).expect("sound");
        let fraction = EffectiveFraction::from_number(cce).expect("in range");
        let cce = Stated { fraction, basis: Basis::AsReceived };
        let analysis = Analysis::stated(cce, fineness);
        Material::analysed("aglime", analysis)
    }

    fn verdict(id: &str, material: &Material) -> Verdict {
        quality_limit(id, Place::default()).expect("known").check(material).verdict
    }

    #[test]
    fn every_minimum_has_a_source_and_asks_for_what_can_be_looked_up() {
        for limit in all_quality_limits() {
            assert!(source(&limit.source).is_some(), "{}", limit.id);
            assert!(!limit.locator.is_empty() && !limit.requires.is_empty(), "{}", limit.id);
            for required in &limit.requires {
                let is_passing = required.of == Figure::Passing;
                assert_eq!(is_passing, required.sieve.is_some(), "{}", limit.id);
                assert!(required.sieve.as_deref().is_none_or(|at| Sieve::from_words(at).is_some()));
                assert!((0.0..=100.0).contains(&required.at_least_percent));
            }
        }
    }

    #[test]
    fn the_printed_figures_stand() {
        let asks = |id| quality_limit(id, Place::default()).expect("known").asks_for();
        // Spectrum Analytic, State lime specifications (2001): Kentucky.
        assert_eq!(
            asks("kentucky"),
            "at least 90 % through 10 mesh, at least 35 % through 50 mesh, CCE at least 80 %"
        );
        assert_eq!(asks("missouri"), "at least 90 % through 8 mesh, CCE at least 65 %");
        assert_eq!(asks("tennessee"), "relative neutralising value at least 65 %");
        assert_eq!(asks("UK "), "at least 95 % through 3.35 mm");
    }

    #[test]
    fn a_sieve_that_was_used_decides_and_one_that_was_not_may_still() {
        // 90 % through 8 mesh is Missouri's own figure.
        assert_eq!(verdict("missouri", &material(0.65, [1.0, 0.90, 0.5])), Verdict::Met);
        assert_eq!(verdict("missouri", &material(0.65, [1.0, 0.899, 0.5])), Verdict::NotMet);
        assert_eq!(verdict("missouri", &material(0.649, [1.0, 0.90, 0.5])), Verdict::NotMet);
        // 10 and 50 mesh lie between 8 and 60.
        assert_eq!(verdict("kentucky", &material(0.9, [1.0, 0.95, 0.5])), Verdict::NotKnown);
        assert_eq!(verdict("kentucky", &material(0.9, [1.0, 0.89, 0.5])), Verdict::NotMet);
        assert_eq!(verdict("kentucky", &material(0.9, [1.0, 0.95, 0.92])), Verdict::Met);
        assert_eq!(verdict("kentucky", &material(0.79, [1.0, 0.95, 0.92])), Verdict::NotMet);
        // 3.35 mm lies between 4 and 8 mesh.
        assert_eq!(verdict("uk", &material(0.9, [1.0, 0.95, 0.3])), Verdict::Met);
        assert_eq!(verdict("uk", &material(0.9, [0.94, 0.9, 0.3])), Verdict::NotMet);
    }

    #[test]
    fn the_relative_neutralising_value_is_known_as_a_range() {
        // CCE 90 %: from 0.9 x half of (50 + 50) to 0.9 x half of (95 + 95).
        let coarse = material(0.9, [1.0, 0.95, 0.5]);
        let checked = quality_limit("tennessee", Place::default()).expect("known").check(&coarse);
        assert_eq!(checked.verdict, Verdict::NotKnown);
        assert!(checked.parts[0].0.contains("from 45 to 85.5 %"), "{checked:?}");
        assert_eq!(verdict("tennessee", &material(0.9, [1.0, 0.95, 0.73])), Verdict::Met);
        assert_eq!(verdict("tennessee", &material(0.9, [1.0, 0.70, 0.1])), Verdict::NotMet);
        // Mississippi State P3762: 90 % through 10 mesh, 40 % through 50, CCE 90 are 58.5 %.
        let rnv = Requirement { of: Figure::Rnv, sieve: None, at_least_percent: 58.5 };
        assert_eq!(rnv.verdict((0.9 * 0.5 * 1.3, 0.9 * 0.5 * 1.3)), Verdict::Met);
    }

    #[test]
    fn without_an_analysis_nothing_is_known() {
        let stated = Material { analysis: None, ..material(0.9, [1.0, 0.95, 0.5]) };
        for limit in all_quality_limits() {
            let checked = limit.check(&stated);
            assert_eq!(checked.verdict, Verdict::NotKnown, "{}", limit.id);
            assert!(checked.parts[0].0.ends_with("there is no analysis"), "{checked:?}");
        }
        let problem = quality_limit("kentuky", Place::default()).expect_err("unknown");
        assert_eq!(problem.hint, "did you mean `kentucky`?");
    }
}
