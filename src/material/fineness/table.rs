//! The form of a fineness scheme as it is written, and the scheme that it is.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::sieve::{Sieve, class_name};
use crate::findings::{Place, Problem};
use crate::material::{Rating, rating};
use crate::sources::source;
use crate::units::Share;

/// A fineness scheme that was read and found sound.
#[derive(Clone, Debug, PartialEq)]
pub struct FinenessScheme {
    table: SchemeTable,
    sieves: Vec<Sieve>,
    figure: Option<&'static Rating>,
}

/// One product of which the efficiency is the sum.
#[derive(Clone, Debug, PartialEq)]
pub struct Term {
    /// The part in words: `through 8 mesh`, `8-20 mesh`, `over 8 mesh`.
    pub words: String,
    /// What it is multiplied by.
    pub factor: f64,
    /// The part itself, from 0 to 1.
    pub part: f64,
}

impl FinenessScheme {
    /// Reads a scheme from JSON text.
    ///
    /// # Errors
    /// Returns in words why the text is no scheme: unknown fields, a source that the bibliography
    /// lacks, no example, sieves out of order, factors that do not fit them.
    pub fn from_json(text: &str) -> Result<Self, String> {
        let table: SchemeTable = serde_json::from_str(text).map_err(|error| error.to_string())?;
        if source(&table.source).is_none() {
            return Err(format!("the bibliography has no `{}`", table.source));
        }
        if table.examples.is_empty() || table.locator.is_empty() {
            return Err("a scheme needs a locator and a worked example".to_owned());
        }
        let known = |name: &String| {
            Sieve::from_words(name).ok_or_else(|| format!("there is no sieve `{name}`"))
        };
        let sieves = table.sieves.iter().map(known).collect::<Result<Vec<Sieve>, String>>()?;
        if sieves.windows(2).any(|pair| pair[0].opening_mm() <= pair[1].opening_mm()) {
            return Err("the sieves do not run from the coarsest to the finest".to_owned());
        }
        let figure = match &table.figure {
            None => None,
            Some(key) => Some(rating(key).ok_or_else(|| format!("there is no figure `{key}`"))?),
        };
        if table.horizons.is_empty() {
            return Err("a scheme needs factors".to_owned());
        }
        for horizon in &table.horizons {
            table.shape.check(&horizon.factors, sieves.len())?;
        }
        Ok(Self { table, sieves, figure })
    }

    /// Its name in job files.
    pub fn id(&self) -> &str {
        &self.table.id
    }

    /// What it is, in a few words.
    pub fn title(&self) -> &str {
        &self.table.title
    }

    /// The publication and the place in it, in words.
    pub fn source_words(&self) -> String {
        let publication = source(&self.table.source)
            .map_or_else(|| self.table.source.clone(), ToString::to_string);
        let seen = if self.table.from_memory { " (written from memory, not seen)" } else { "" };
        format!("{publication}; {}{seen}", self.table.locator)
    }

    /// Whether its numbers were written from memory and not seen in their source.
    pub fn from_memory(&self) -> bool {
        self.table.from_memory
    }

    /// The name that its source gives to calcium carbonate equivalent times fineness, where it
    /// has one.
    pub fn figure(&self) -> Option<&'static Rating> {
        self.figure
    }

    /// What a user has to know beside the numbers.
    pub fn notes(&self) -> &[String] {
        &self.table.notes
    }

    /// Its sieves by their names, from the coarsest to the finest; none where fineness is not
    /// counted.
    pub fn sieves(&self) -> impl Iterator<Item = &str> {
        self.sieves.iter().map(Sieve::name)
    }

    /// Its sieves, from the coarsest to the finest.
    pub fn sieve_list(&self) -> &[Sieve] {
        &self.sieves
    }

    /// The names of the classes that its sieves make, from the coarsest to the finest: one more
    /// than there are sieves.
    pub fn classes(&self) -> Vec<String> {
        let coarse = std::iter::once(None).chain(self.sieves.iter().map(Some));
        let fine = self.sieves.iter().map(Some).chain(std::iter::once(None));
        coarse.zip(fine).map(|(coarse, fine)| class_name(coarse, fine)).collect()
    }

    /// The years over which it counts, in words; empty where its source states none.
    pub fn horizons(&self) -> Vec<&str> {
        self.table.horizons.iter().filter_map(|horizon| horizon.over.as_deref()).collect()
    }

    /// Worked examples of the source.
    pub fn examples(&self) -> &[SchemeExample] {
        &self.table.examples
    }

    /// The factors over the years that `wanted` names, with the years in words; those that there
    /// are where only one set is.
    ///
    /// # Errors
    /// Returns a [`Problem`] at `place` where the scheme has no such horizon, and where it has
    /// several and none is wanted.
    pub fn horizon(&self, wanted: Option<&str>, place: &Place) -> Result<&Horizon, Problem> {
        let all = &self.table.horizons;
        let words = self.horizons();
        let allowed = if words.is_empty() { "none".to_owned() } else { words.join(", ") };
        let problem = |what: String, hint: &str| {
            Problem::at(place.clone(), what).allowed(allowed.clone()).hint(hint)
        };
        let folded = |text: &str| text.trim().to_lowercase().trim_end_matches('s').to_owned();
        match wanted {
            Some(wanted) => all
                .iter()
                .find(|horizon| {
                    horizon.over.as_deref().is_some_and(|over| folded(over) == folded(wanted))
                })
                .ok_or_else(|| {
                    let what = format!("the scheme `{}` has no horizon `{wanted}`", self.id());
                    problem(what, "take one that it has, or leave `horizon` out where it has none")
                }),
            None if all.len() == 1 => Ok(&all[0]),
            None => {
                let what = format!(
                    "the scheme `{}` counts over several horizons, and none is stated",
                    self.id()
                );
                Err(problem(
                    what,
                    "add `horizon` to the fineness: the short one where the lime has to act soon",
                ))
            }
        }
    }

    /// The products of which the efficiency is the sum, from the part that passes each of the
    /// [`sieves`](Self::sieves).
    pub fn terms(&self, horizon: &Horizon, passing: &[Share]) -> Vec<Term> {
        match self.table.shape {
            Shape::WeightedPassing => self
                .sieves
                .iter()
                .zip(&horizon.factors)
                .zip(passing)
                .map(|((sieve, &factor), part)| Term {
                    words: format!("through {}", sieve.words()),
                    factor,
                    part: part.to_number(),
                })
                .collect(),
            Shape::ClassFactors => {
                let coarser = std::iter::once(1.0).chain(passing.iter().map(|p| p.to_number()));
                let finer = passing.iter().map(|p| p.to_number()).chain(std::iter::once(0.0));
                self.classes()
                    .into_iter()
                    .zip(&horizon.factors)
                    .zip(coarser.zip(finer))
                    .map(|((words, &factor), (coarser, finer))| Term {
                        words,
                        factor,
                        part: coarser - finer,
                    })
                    .collect()
            }
        }
    }

    /// What a part of each class counts for, from the coarsest class to the finest.
    pub fn class_factors(&self, horizon: &Horizon) -> Vec<f64> {
        match self.table.shape {
            Shape::ClassFactors => horizon.factors.clone(),
            // What has passed several sieves is counted with each of them.
            Shape::WeightedPassing => {
                let mut sum = 0.0;
                let sums = horizon.factors.iter().map(|factor| {
                    sum += factor;
                    sum
                });
                std::iter::once(0.0).chain(sums).collect()
            }
        }
    }

    /// The part that counts, from the part that passes each of the [`sieves`](Self::sieves).
    pub fn efficiency(&self, horizon: &Horizon, passing: &[Share]) -> Share {
        let terms = self.terms(horizon, passing);
        let sum: f64 = terms.iter().map(|term| term.factor * term.part).sum();
        // No factor counts a part for more than itself, so only a rounding error passes 1 or 0.
        Share::from_number(sum.clamp(0.0, 1.0)).unwrap_or(Share::NONE)
    }
}

/// A fineness scheme as its file writes it.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SchemeTable {
    /// The name under which job files ask for it: small letters, digits and hyphens.
    pub id: String,
    /// What it is, in a few words.
    pub title: String,
    /// How the numbers are to be read.
    pub shape: Shape,
    /// The publication: a key of this program's bibliography.
    pub source: String,
    /// Where in the publication.
    pub locator: String,
    /// Whether the numbers were written from memory.
    #[serde(default)]
    pub from_memory: bool,
    /// What a percentage is a part of, as the source gives it.
    pub percentages: Percentages,
    /// The key of the figure that the source makes of it.
    #[serde(default)]
    pub figure: Option<String>,
    /// The sieves, from the coarsest to the finest.
    pub sieves: Vec<String>,
    /// The factors, once for each number of years.
    pub horizons: Vec<Horizon>,
    /// What a user has to know beside the numbers.
    #[serde(default)]
    pub notes: Vec<String>,
    /// Worked examples of the source, which the scheme must reproduce.
    pub examples: Vec<SchemeExample>,
}

/// How the numbers of a scheme are to be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Shape {
    /// The efficiency is the sum of each sieve's factor times the part that passes it.
    WeightedPassing,
    /// The efficiency is the sum of each class's factor times the part in it; the classes are what
    /// stays on the coarsest sieve, what lies between each two, and what passes the finest.
    ClassFactors,
}

impl Shape {
    fn check(self, factors: &[f64], sieves: usize) -> Result<(), String> {
        let expected = match self {
            Self::WeightedPassing => sieves,
            Self::ClassFactors => sieves + 1,
        };
        if factors.len() != expected {
            return Err(format!("{expected} factors are needed, not {}", factors.len()));
        }
        match self {
            // A material that passes every sieve counts in full at the most.
            Self::WeightedPassing => {
                if factors.iter().any(|factor| factor.is_nan() || *factor <= 0.0) {
                    return Err("a factor is not above 0".to_owned());
                }
                let sum: f64 = factors.iter().sum();
                if sum > 1.0 + 1e-9 {
                    return Err(format!("the factors add up to {sum}"));
                }
            }
            Self::ClassFactors => {
                if factors.iter().any(|factor| !(0.0..=1.0).contains(factor)) {
                    return Err("a factor is not from 0 to 1".to_owned());
                }
                if factors.windows(2).any(|pair| pair[0] > pair[1]) {
                    return Err("a coarse class counts for more than a finer one".to_owned());
                }
            }
        }
        Ok(())
    }
}

/// What a percentage of a sieve analysis is a part of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum Percentages {
    /// All that passes the sieve, the finer sieves' part included.
    #[serde(rename = "cumulative passing")]
    CumulativePassing,
    /// What one sieve lets through and the next holds back.
    #[serde(rename = "parts between two sieves")]
    Between,
    /// Fineness is not counted.
    #[serde(rename = "none")]
    Uncounted,
}

/// The factors over so many years.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Horizon {
    /// The years in words, where the source states them: `1 year`.
    #[serde(default)]
    pub over: Option<String>,
    /// The factors, from the coarsest sieve or class to the finest.
    pub factors: Vec<f64>,
}

/// A worked example of the source.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SchemeExample {
    /// The part passing each sieve, in percent.
    pub passing: BTreeMap<String, f64>,
    /// The years over which it counts, where the scheme has several.
    #[serde(default)]
    pub horizon: Option<String>,
    /// The efficiency that the source prints, in percent.
    pub efficiency: f64,
    /// How far from it the scheme may come, in percent.
    pub tolerance: f64,
    /// Where in the source, and whether the result itself is printed there.
    pub locator: String,
}
