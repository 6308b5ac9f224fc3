//! Published relations between the pH of a soil in two media.

use std::sync::LazyLock;

use serde::Deserialize;

use super::Citation;
use crate::units::PhMedium;

/// The form of a published relation between the pH of a soil in two media.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ConversionShape {
    /// A straight line.
    Line,
    /// A straight line over the decimal logarithm of the pH it starts from.
    Log10,
}

/// A published equation between the pH of a soil in two media.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PhConversion {
    /// The medium it starts from.
    pub from: String,
    /// The medium it leads to.
    pub to: String,
    /// Its form.
    pub shape: ConversionShape,
    /// What is added.
    pub intercept: f64,
    /// pH in `to` per pH in `from`, or per decade of it.
    pub slope: f64,
    /// The publication, a key of the bibliography.
    pub source: String,
    /// Where in it.
    pub locator: String,
    /// The soils it was made on.
    pub soils: String,
    /// What else is to be told whenever it is used.
    #[serde(default)]
    pub caution: Option<String>,
    /// Lowest and highest pH in `from` for which it is taken without a word of caution.
    pub range: [f64; 2],
    /// Where the range comes from.
    pub range_basis: String,
    /// Checks, run as tests.
    pub examples: Vec<ConversionExample>,
}

/// A check of a conversion.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ConversionExample {
    /// A pH in the medium it starts from.
    pub from: f64,
    /// The pH in the medium it leads to.
    pub to: f64,
    /// How far a computed pH may lie from `to`.
    pub tolerance: f64,
    /// Where the check comes from.
    pub locator: String,
}

impl PhConversion {
    /// The medium it starts from, where its words are known.
    pub fn start(&self) -> Option<PhMedium> {
        PhMedium::from_words(&self.from)
    }

    /// The medium it leads to, where its words are known.
    pub fn end(&self) -> Option<PhMedium> {
        PhMedium::from_words(&self.to)
    }

    /// The publication and the place in it.
    pub fn citation(&self) -> Citation {
        Citation { key: self.source.clone(), locator: self.locator.clone() }
    }

    /// The equation as it is printed in reports.
    pub fn in_words(&self) -> String {
        let sign = if self.intercept < 0.0 { '-' } else { '+' };
        let (slope, intercept) = (self.slope, self.intercept.abs());
        let from = match self.shape {
            ConversionShape::Line => format!("pH({})", self.from),
            ConversionShape::Log10 => format!("log10(pH({}))", self.from),
        };
        format!("pH({}) = {slope} x {from} {sign} {intercept}", self.to)
    }
}

/// The published conversions at hand.
pub fn all_conversions() -> &'static [PhConversion] {
    &CONVERSIONS
}

/// The file as it lies in the source tree.
pub(super) const PH_CONVERSIONS: &str = include_str!("ph_conversions.json");

/// The file is part of the program; the tests of the door read it before a user can.
static CONVERSIONS: LazyLock<Vec<PhConversion>> =
    LazyLock::new(|| serde_json::from_str(PH_CONVERSIONS).expect("the file is well formed"));
