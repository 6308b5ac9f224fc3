//! How fast a ground limestone acts, by its fineness: what publications say of the parts that
//! pass a sieve, and how great these parts are.
//!
//! What passes a sieve that was not used lies between what passes the next coarser and the next
//! finer one that was.

use std::sync::LazyLock;

use serde::Deserialize;

use super::quality::passing;
use super::{Analysis, Material, Sieve, fineness_scheme};
use crate::findings::Place;
use crate::sources::source;

/// What one publication says of one size.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReactionSaid {
    /// All that passes this sieve.
    #[serde(default)]
    finer_than: Option<String>,
    /// Or all that this sieve holds back.
    #[serde(default)]
    coarser_than: Option<String>,
    /// How fast that part acts.
    pub says: String,
    /// The months after which all of it has acted, where the publication states them.
    #[serde(default)]
    pub within_months: Option<u32>,
    source: String,
    locator: String,
}

/// The least and the most that a part of a material can be, from 0 to 1.
pub type ShareRange = (f64, f64);

/// How fast a material acts.
#[derive(Clone, Debug, PartialEq)]
pub struct Reaction {
    /// The part that reacts within a year, by the New York factors.
    pub within_a_year: ShareRange,
    /// The publication of those, and the place in it.
    pub year_source: String,
    /// What publications say of each size, with the part that is of it.
    pub by_size: Vec<(&'static ReactionSaid, ShareRange)>,
}

/// The kinds that the publications speak of.
const GROUND_LIMESTONES: [&str; 2] = ["calcitic limestone", "dolomitic limestone"];

/// The scheme whose factors are what reacts within one year.
const ONE_YEAR_SCHEME: &str = "new-york";

impl Material {
    /// How fast it acts; `None` where it is no ground limestone, or no sieve of it is known.
    pub fn reaction(&self) -> Option<Reaction> {
        let analysis = self.analysis.as_ref()?;
        let is_limestone = GROUND_LIMESTONES.contains(&self.kind.name);
        if !is_limestone || analysis.fineness.passing.is_empty() {
            return None;
        }
        let scheme = fineness_scheme(ONE_YEAR_SCHEME, Place::default()).ok()?;
        let horizon = scheme.horizon(None, &Place::default()).ok()?;
        let factors = scheme.class_factors(horizon);
        let coarsest = *factors.first()?;
        let within_a_year = scheme.sieves().zip(factors.windows(2)).fold(
            (coarsest, coarsest),
            |(least, most), (sieve, pair)| {
                let (low, high) = passing(analysis, sieve);
                let more = pair[1] - pair[0];
                (least + more * low, most + more * high)
            },
        );
        Some(Reaction {
            within_a_year,
            year_source: scheme.source_words(),
            by_size: SAID.iter().map(|said| (said, said.share_of(analysis))).collect(),
        })
    }
}

impl Reaction {
    /// What is sure to have acted `months` after it was spread: of the sizes of which a publication
    /// says so, the one with the greatest part.
    pub fn acted_after(&self, months: u32) -> Option<(&'static ReactionSaid, ShareRange)> {
        let acted = |said: &ReactionSaid| said.within_months.is_some_and(|needs| needs <= months);
        let sizes = self.by_size.iter().filter(|(said, _)| acted(said));
        sizes.max_by(|(_, a), (_, b)| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))).copied()
    }
}

impl ReactionSaid {
    /// The size in words: `finer than 60 mesh`.
    pub fn size_words(&self) -> String {
        let word = if self.finer_than.is_some() { "finer" } else { "coarser" };
        let sieve = Sieve::from_words(self.sieve()).map_or_else(String::new, |it| it.words());
        format!("{word} than {sieve}")
    }

    /// The publication and the place in it, in words.
    pub fn source_words(&self) -> String {
        let publication =
            source(&self.source).map_or_else(|| self.source.clone(), ToString::to_string);
        format!("{publication}; {}", self.locator)
    }

    fn sieve(&self) -> &str {
        self.finer_than.as_ref().or(self.coarser_than.as_ref()).map_or("", String::as_str)
    }

    fn share_of(&self, analysis: &Analysis) -> ShareRange {
        let (least, most) = passing(analysis, self.sieve());
        if self.finer_than.is_some() { (least, most) } else { (1.0 - most, 1.0 - least) }
    }
}

/// The file as it lies in the source tree.
pub(super) const REACTION: &str = include_str!("limits/reaction.json");

/// The file is part of the program, so a fault in it is a fault of the program, which the tests
/// find before a user can.
static SAID: LazyLock<Vec<ReactionSaid>> =
    LazyLock::new(|| serde_json::from_str(REACTION).expect("the times are sound"));

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;
    use crate::material::{Basis, Stated, fineness_of};
    use crate::units::{EffectiveFraction, Share};

    fn material(kind: &str, scheme: &str, passing: &[(&str, f64)]) -> Material {
        let scheme = fineness_scheme(scheme, Place::default()).expect("known");
        let share = |part| Share::from_number(part).expect("a share");
        let passing: BTreeMap<String, Share> =
            passing.iter().map(|&(mesh, part)| (mesh.to_owned(), share(part))).collect();
        let fineness = fineness_of(scheme, &passing, &Place::default()).expect("sound");
        let fraction = EffectiveFraction::from_number(0.9).expect("in range");
        let analysis = Analysis::stated(Stated { fraction, basis: Basis::AsReceived }, fineness);
        Material::analysed(kind, analysis)
    }

    fn near((least, most): ShareRange, expected: ShareRange) {
        assert!((least - expected.0).abs() < 1e-12, "{least} is not {}", expected.0);
        assert!((most - expected.1).abs() < 1e-12, "{most} is not {}", expected.1);
    }

    #[test]
    fn every_statement_has_a_source_and_a_sieve() {
        for said in SAID.iter() {
            assert!(source(&said.source).is_some(), "{}", said.source);
            assert!(!said.locator.is_empty() && !said.says.is_empty());
            assert!(said.finer_than.is_some() != said.coarser_than.is_some());
            assert!(said.size_words().ends_with(" mesh"), "{}", said.size_words());
        }
    }

    #[test]
    fn with_the_sieves_of_a_publication_its_parts_are_known() {
        // Cornell, performance objective 41: 0, 40, 80 and 100 % by 20, 60 and 100 mesh. 100, 70 and
        // 50 % passing make 0.4 x 30 + 0.8 x 20 + 50 = 78 %.
        let fine = material("aglime", "new-york", &[("20", 1.0), ("60", 0.7), ("100", 0.5)]);
        let reaction = fine.reaction().expect("a limestone");
        near(reaction.within_a_year, (0.78, 0.78));
        let shares: Vec<ShareRange> = reaction.by_size.iter().map(|(_, share)| *share).collect();
        for (share, expected) in shares.into_iter().zip([0.5, 0.7, 1.0, 0.7]) {
            near(share, (expected, expected));
        }
        // What passes 20 mesh passes 10 mesh.
        near(reaction.by_size[4].1, (0.0, 0.0));
        for (months, finer, share) in
            [(0, "100", 0.5), (11, "100", 0.5), (12, "60", 0.7), (30, "20", 1.0)]
        {
            let (said, acted) = reaction.acted_after(months).expect("some has");
            assert_eq!(said.size_words(), format!("finer than {finer} mesh"), "{months}");
            near(acted, (share, share));
        }
    }

    #[test]
    fn with_other_sieves_a_part_lies_between_its_neighbours() {
        // 100, 90 and 55 % through 4, 8 and 60 mesh: through 100 mesh from 0 to 55, through 20 from 55
        // to 90 %; in a year from 0.4 x 55 + 0.4 x 55 to 0.4 x 90 + 0.4 x 55 + 0.2 x 55 %.
        let coarse = material("dolomite", "iowa", &[("4", 1.0), ("8", 0.9), ("60", 0.55)]);
        let reaction = coarse.reaction().expect("a limestone");
        near(reaction.within_a_year, (0.44, 0.69));
        near(reaction.by_size[0].1, (0.0, 0.55));
        near(reaction.by_size[1].1, (0.55, 0.55));
        near(reaction.by_size[2].1, (0.55, 0.9));
        near(reaction.by_size[4].1, (0.1, 0.45));
        assert_eq!(reaction.by_size[4].0.size_words(), "coarser than 10 mesh");
    }

    #[test]
    fn nothing_is_said_of_other_materials() {
        let sieves = [("20", 1.0), ("60", 0.7), ("100", 0.5)];
        assert_eq!(material("hydrated lime", "new-york", &sieves).reaction(), None);
        assert_eq!(material("aglime", "cce-only", &[]).reaction(), None);
        let stated = Material { analysis: None, ..material("aglime", "new-york", &sieves) };
        assert_eq!(stated.reaction(), None);
    }
}
