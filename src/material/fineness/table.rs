//! The form of a fineness scheme as it is written, and the scheme that it is.

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::sources::source;
use crate::units::Share;

/// A fineness scheme that was read and found sound.
#[derive(Clone, Debug, PartialEq)]
pub struct FinenessScheme {
    table: SchemeTable,
}

impl FinenessScheme {
    /// Reads a scheme from JSON text.
    ///
    /// # Errors
    /// Returns in words why the text is no scheme: unknown fields, a source that the bibliography
    /// lacks, no example, factors that are not above 0 or add up to more than 1.
    pub fn from_json(text: &str) -> Result<Self, String> {
        let table: SchemeTable = serde_json::from_str(text).map_err(|error| error.to_string())?;
        if source(&table.source).is_none() {
            return Err(format!("the bibliography has no `{}`", table.source));
        }
        if table.examples.is_empty() || table.locator.is_empty() {
            return Err("a scheme needs a locator and a worked example".to_owned());
        }
        if table.sieves.iter().any(|sieve| sieve.factor.is_nan() || sieve.factor <= 0.0) {
            return Err("a factor is not above 0".to_owned());
        }
        let sum: f64 = table.sieves.iter().map(|sieve| sieve.factor).sum();
        // A material that passes every sieve counts in full, and none counts for more.
        if table.sieves.is_empty() || sum > 1.0 + 1e-9 {
            return Err(format!("the factors add up to {sum}"));
        }
        Ok(Self { table })
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
        format!("{publication}; {}", self.table.locator)
    }

    /// Its sieves by their mesh, from the coarsest to the finest.
    pub fn sieves(&self) -> impl Iterator<Item = &str> {
        self.table.sieves.iter().map(|sieve| sieve.mesh.as_str())
    }

    /// Its sieves, and what the part that passes each is multiplied by.
    pub fn factors(&self) -> impl Iterator<Item = (&str, f64)> {
        self.table.sieves.iter().map(|sieve| (sieve.mesh.as_str(), sieve.factor))
    }

    /// Worked examples of the source.
    pub fn examples(&self) -> &[SchemeExample] {
        &self.table.examples
    }

    /// The part that counts, from the part that passes each of the [`sieves`](Self::sieves).
    ///
    /// # Panics
    /// If there are not as many parts as sieves.
    pub fn efficiency(&self, passing: &[Share]) -> Share {
        let sieves = &self.table.sieves;
        assert_eq!(passing.len(), sieves.len(), "one part for each sieve");
        let sum: f64 = match self.table.shape {
            Shape::WeightedPassing => sieves
                .iter()
                .zip(passing)
                .map(|(sieve, share)| sieve.factor * share.to_number())
                .sum(),
        };
        // The factors add up to 1 at the most, so only a rounding error can pass it.
        Share::from_number(sum.min(1.0)).unwrap_or(Share::NONE)
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
    /// What a percentage is a part of.
    pub percentages: Percentages,
    /// The sieves, from the coarsest to the finest.
    pub sieves: Vec<Sieve>,
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
}

/// What a percentage of a sieve analysis is a part of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum Percentages {
    /// All that passes the sieve, the finer sieves' part included.
    #[serde(rename = "cumulative passing")]
    CumulativePassing,
}

/// One sieve of a scheme.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sieve {
    /// Its mesh: openings to the inch.
    pub mesh: String,
    /// What the part that passes it is multiplied by.
    pub factor: f64,
}

/// A worked example of the source.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SchemeExample {
    /// The part passing each sieve, in percent.
    pub passing: BTreeMap<String, f64>,
    /// The efficiency that the source prints, in percent.
    pub efficiency: f64,
    /// How far from it the scheme may come, in percent.
    pub tolerance: f64,
    /// Where in the source.
    pub locator: String,
}
