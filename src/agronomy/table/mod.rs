//! The form of a method table as it is written: in this program's own tables and in a user's.

mod check;
mod check_shape;
mod shapes;

pub use shapes::{BufferEquation, Credit, Line, MonthlyLoss};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Buffer, TabledMethod};
use crate::findings::{Place, Problem, Refusal};
use crate::units::LimeNeed;

/// A lime-need method as a table of printed numbers.
///
/// The printed rows are the method. What the source does not state is written `"not stated"`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MethodTable {
    /// The name under which the method is asked for: small letters, digits and hyphens.
    pub id: String,
    /// What the method is, in a few words.
    pub title: String,
    /// How the numbers are to be read.
    pub shape: Shape,
    /// The publication: a key of this program's bibliography, or in words.
    pub source: String,
    /// Where in the publication: table, equation, page.
    pub locator: String,
    /// Where the method was made.
    pub region: String,
    /// The soils it was made on.
    pub soils: String,
    /// The reading that the needs go by.
    pub reads: Reads,
    /// The buffer, where the needs go by a buffer pH.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub buffer: Option<Buffer>,
    /// The medium of every soil pH in this table, targets included: `water 1:1`, `water 1:2`,
    /// `water 1:2.5`, `water 1:5`, `CaCl2 0.01 M`, `CaCl2 0.01 M + 0.6`, `KCl 1 M`,
    /// `KCl 1 M 1:2.5`, `KCl 1 M 1:5`, or `water` where the source does not state the proportion.
    pub ph_medium: String,
    /// The depth of soil that the needs are stated for, such as `6 in` or `20 cm`, or
    /// `not stated`.
    pub depth: String,
    /// Where the depth comes from, if from another publication than the needs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth_source: Option<String>,
    /// Where in that publication the depth is stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth_locator: Option<String>,
    /// The material that the needs are stated in, as its calcium carbonate equivalent, such as
    /// `100 % CCE`, or `not stated`, which is taken as 100 %.
    pub basis: String,
    /// What holds between two neighbouring rows, where there are rows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub between: Option<Between>,
    /// The unit of the needs.
    pub need_unit: NeedUnit,
    /// The soil pH at and above which the source limes nothing, where it states one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trigger: Option<f64>,
    /// The target pH of each column or set of lines, rising; none where an equation serves all
    /// targets up to its own limit.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub targets: Vec<f64>,
    /// The printed rows of a `reading-table`, by rising or falling reading.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rows: Vec<Row>,
    /// The lines of a `lines` rule.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lines: Vec<Line>,
    /// The numbers of a `buffer-equation`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub equation: Option<BufferEquation>,
    /// A line that carries the rows on to zero; it is ours, not the source's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub derived: Option<DerivedLine>,
    /// What a user has to know beside the numbers.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
    /// Whether the numbers were written down from memory and not seen in the source.
    #[serde(default)]
    pub from_memory: bool,
    /// Printed cells or worked examples of the source, which the table must reproduce.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub examples: Vec<Example>,
}

impl MethodTable {
    /// Reads a table from JSON text. Whether its numbers make sense is for
    /// [`into_method`](Self::into_method) to say.
    ///
    /// # Errors
    /// Returns the line and character at which the text is no table of this form, and why.
    pub fn from_json(text: &str) -> Result<Self, Refusal> {
        serde_json::from_str(text).map_err(|error| {
            let mut words = error.to_string();
            // The place is said apart, as it is for every other file.
            if let Some(cut) = words.rfind(" at line ") {
                words.truncate(cut);
            }
            let place = Place { line: Some(error.line()), ..Place::default() };
            let what = format!("character {}: not a method table: {words}", error.column());
            Refusal::from(Problem::at(place, what))
        })
    }

    /// The method that this table is.
    ///
    /// # Errors
    /// Returns every field that does not make sense, with what is allowed there.
    pub fn into_method(self) -> Result<TabledMethod, Refusal> {
        check::build(self)
    }
}

/// How the numbers of a table are to be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Shape {
    /// One need for each row of one reading and each column of a target.
    ReadingTable,
    /// One straight line, or a few with the soils each holds for, in one reading.
    Lines,
    /// An equation in soil pH and buffer pH, less a credit for earlier lime.
    BufferEquation,
}

impl Shape {
    /// As it is written in tables.
    pub fn words(self) -> &'static str {
        match self {
            Self::ReadingTable => "reading-table",
            Self::Lines => "lines",
            Self::BufferEquation => "buffer-equation",
        }
    }
}

/// The reading that the needs go by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Reads {
    /// The soil's pH.
    Ph,
    /// The pH of the soil in a buffer.
    BufferPh,
    /// The exchangeable acidity, meq/100 g.
    Acidity,
}

impl Reads {
    /// As it is called in a sentence.
    pub fn words(self) -> &'static str {
        match self {
            Self::Ph => "soil pH",
            Self::BufferPh => "buffer pH",
            Self::Acidity => "exchangeable acidity, meq/100 g",
        }
    }

    /// The same without its unit, as short as it can be.
    pub fn name(self) -> &'static str {
        match self {
            Self::Ph => "pH",
            Self::BufferPh => "buffer pH",
            Self::Acidity => "acidity",
        }
    }

    /// Its unit; none on a pH scale.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Ph | Self::BufferPh => "",
            Self::Acidity => "meq/100 g",
        }
    }
}

/// What holds between two neighbouring rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Between {
    /// The straight line between them; a printed jump is one steep row.
    Linear,
    /// The need of the lower reading, up to the next row.
    Class,
}

/// The unit of printed needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum NeedUnit {
    /// Pounds an acre.
    #[serde(rename = "lb/ac")]
    PoundPerAcre,
    /// Short tons an acre.
    #[serde(rename = "ton/ac")]
    ShortTonPerAcre,
    /// Tonnes a hectare.
    #[serde(rename = "t/ha")]
    TonnePerHectare,
    /// Kilograms a hectare.
    #[serde(rename = "kg/ha")]
    KilogramPerHectare,
}

impl NeedUnit {
    /// As it is written in tables.
    pub fn words(self) -> &'static str {
        match self {
            Self::PoundPerAcre => "lb/ac",
            Self::ShortTonPerAcre => "ton/ac",
            Self::TonnePerHectare => "t/ha",
            Self::KilogramPerHectare => "kg/ha",
        }
    }

    /// A need of so many of this unit.
    ///
    /// # Panics
    /// If the number is not finite.
    pub fn need(self, number: f64) -> LimeNeed {
        match self {
            Self::PoundPerAcre => LimeNeed::from_pounds_per_acre(number),
            Self::ShortTonPerAcre => LimeNeed::from_short_tons_per_acre(number),
            Self::TonnePerHectare => LimeNeed::from_tonnes_per_hectare(number),
            Self::KilogramPerHectare => LimeNeed::from_kilograms_per_hectare(number),
        }
    }

    /// A need in this unit.
    pub fn number(self, need: LimeNeed) -> f64 {
        match self {
            Self::PoundPerAcre => need.to_pounds_per_acre(),
            Self::ShortTonPerAcre => need.to_short_tons_per_acre(),
            Self::TonnePerHectare => need.to_tonnes_per_hectare(),
            Self::KilogramPerHectare => need.to_kilograms_per_hectare(),
        }
    }
}

/// One printed row.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// The reading that the row is for.
    pub reading: f64,
    /// The need for each target, in the unit of the table.
    pub needs: Vec<f64>,
    /// What there is to say about this row.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// The line `per_unit` x (`zero_at` - reading), which takes over above the highest row.
///
/// Readings equal to the highest row keep its printed need, so the need may jump there.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DerivedLine {
    /// Need per unit of the reading, in the unit of the table.
    pub per_unit: f64,
    /// The reading at which nothing more is needed.
    pub zero_at: f64,
    /// Why the line may be drawn.
    pub why: String,
}

/// A printed cell or worked example of the source.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Example {
    /// The readings that the source gives.
    pub given: ExampleReadings,
    /// The target pH.
    pub target: f64,
    /// The need that the source prints, in the unit and on the material basis of the table, for
    /// the depth of the table.
    pub expect: f64,
    /// How far a computed need may lie from it.
    pub tolerance: f64,
    /// Where in the source it is printed.
    pub locator: String,
}

/// The readings of an example, in the media of the table.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ExampleReadings {
    /// The soil's pH. Left out, it is any pH below the trigger.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ph: Option<f64>,
    /// The buffer pH.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub buffer_ph: Option<f64>,
    /// The exchangeable acidity, meq/100 g.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub acidity: Option<f64>,
}

#[cfg(test)]
mod tests;
