//! The form of a method table as it is written: in this program's own tables and in a user's.

mod check;
mod check_saturation_shape;
mod check_shape;
mod check_soil_shape;
mod saturation_shapes;
mod shapes;
mod soil_shapes;

pub use saturation_shapes::{AcidityByBuffer, AluminiumSaturationRule, BaseSaturationRule};
pub use shapes::{BufferEquation, Credit, Line, MonthlyLoss};
pub use soil_shapes::{
    Addition, CapacityRule, CarriedToZero, ClassRow, ClassTable, Rise, SaturationEquation,
    WeaklyBuffered,
};

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Aim, AlExtract, Buffer, ReadSet, TabledMethod};
use crate::findings::{Place, Problem, Refusal};
use crate::units::{Length, LimeNeed, M2_PER_HECTARE, SoilValue, TextureClass};

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
    /// The reading or readings that the needs go by.
    pub reads: ReadSet,
    /// The buffer, where the needs go by a buffer pH.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub buffer: Option<Buffer>,
    /// The extract of the aluminium, where the needs go by aluminium.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub al_extract: Option<AlExtract>,
    /// The medium of every soil pH in this table, targets included: `water 1:1`, `water 1:2`,
    /// `water 1:2.5`, `water 1:5`, `CaCl2 0.01 M`, `CaCl2 0.01 M + 0.6`, `KCl 1 M`,
    /// `KCl 1 M 1:2.5`, `KCl 1 M 1:5`, `water` where the source does not state the proportion, or
    /// `any` where no pH decides the need.
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
    /// Lowest and highest target of a rule that serves all between them, in place of `targets`: a
    /// pH, or a saturation in percent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub target_range: Option<[f64; 2]>,
    /// The texture class of each column of a `texture-table`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub textures: Vec<TextureClass>,
    /// The printed rows of a `reading-table` or a `texture-table`, by rising or falling reading.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rows: Vec<Row>,
    /// The lines of a `lines` rule.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lines: Vec<Line>,
    /// The numbers of a `buffer-equation`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub equation: Option<BufferEquation>,
    /// The classes of a `class-table`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub classes: Option<ClassTable>,
    /// How far lime raises the pH, in a `ph-rise` table.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rises: Vec<Rise>,
    /// What a soil of a `ph-rise` table needs more.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub addition: Option<Addition>,
    /// The numbers of a `weakly-buffered` rule.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weakly: Option<WeaklyBuffered>,
    /// The numbers of a `buffer-capacity` rule.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub capacity: Option<CapacityRule>,
    /// The numbers of a `saturation-equation`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub saturation: Option<SaturationEquation>,
    /// The numbers of a `base-saturation` rule.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub base_saturation: Option<BaseSaturationRule>,
    /// The numbers of an `aluminium-saturation` rule.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub aluminium_saturation: Option<AluminiumSaturationRule>,
    /// Lines that carry the rows of a `texture-table` on to zero; they are ours.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carried: Option<CarriedToZero>,
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
    /// One need for each class of pH and each class of another value.
    ClassTable,
    /// One need for each row of pH and each texture class, to one target.
    TextureTable,
    /// So much lime for a rise of the pH, by texture class or for all soils alike.
    PhRise,
    /// So much lime for a rise of the pH up to a most, on soils of a small exchange capacity.
    WeaklyBuffered,
    /// So much lime for a rise of the pH by the lime buffer capacity of each soil.
    BufferCapacity,
    /// An equation in the acid saturation that a pH stands for and a buffer pH.
    SaturationEquation,
    /// So much lime for the charge that bases lack to a share of the capacity.
    BaseSaturation,
    /// So much lime for the aluminium beyond a share of the effective capacity.
    AluminiumSaturation,
}

impl Shape {
    /// Those that serve all targets within a range.
    pub(super) const WITH_A_RANGE: &'static [Self] = &[
        Self::PhRise,
        Self::WeaklyBuffered,
        Self::BufferCapacity,
        Self::SaturationEquation,
        Self::BaseSaturation,
        Self::AluminiumSaturation,
    ];

    /// What a method of this shape limes to.
    pub fn aim(self) -> Aim {
        match self {
            Self::BaseSaturation => Aim::BaseSaturation,
            Self::AluminiumSaturation => Aim::AluminiumSaturation,
            _ => Aim::Ph,
        }
    }

    /// As it is written in tables.
    pub fn words(self) -> &'static str {
        match self {
            Self::ReadingTable => "reading-table",
            Self::Lines => "lines",
            Self::BufferEquation => "buffer-equation",
            Self::ClassTable => "class-table",
            Self::TextureTable => "texture-table",
            Self::PhRise => "ph-rise",
            Self::WeaklyBuffered => "weakly-buffered",
            Self::BufferCapacity => "buffer-capacity",
            Self::SaturationEquation => "saturation-equation",
            Self::BaseSaturation => "base-saturation",
            Self::AluminiumSaturation => "aluminium-saturation",
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

/// Square feet in an international acre, by its definition of 10 square chains of 66 ft.
const SQUARE_FEET_PER_ACRE: f64 = 43_560.0;

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
    /// Pounds on 100 square feet.
    #[serde(rename = "lb/100 ft2")]
    PoundPer100SquareFeet,
    /// Pounds on 1,000 square feet.
    #[serde(rename = "lb/1000 ft2")]
    PoundPer1000SquareFeet,
}

impl NeedUnit {
    /// As it is written in tables.
    pub fn words(self) -> &'static str {
        match self {
            Self::PoundPerAcre => "lb/ac",
            Self::ShortTonPerAcre => "ton/ac",
            Self::TonnePerHectare => "t/ha",
            Self::KilogramPerHectare => "kg/ha",
            Self::PoundPer100SquareFeet => "lb/100 ft2",
            Self::PoundPer1000SquareFeet => "lb/1000 ft2",
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
            Self::PoundPer100SquareFeet => {
                LimeNeed::from_pounds_per_acre(number * SQUARE_FEET_PER_ACRE / 100.0)
            }
            Self::PoundPer1000SquareFeet => {
                LimeNeed::from_pounds_per_acre(number * SQUARE_FEET_PER_ACRE / 1000.0)
            }
        }
    }

    /// The mass of soil of this density, kg/dm3, over this depth, in this unit.
    pub(super) fn of_soil(self, kg_dm3: f64, depth: Length) -> f64 {
        let kg_m2 = kg_dm3 * 1_000.0 * depth.to_metres();
        self.number(LimeNeed::from_kilograms_per_hectare(kg_m2 * M2_PER_HECTARE))
    }

    /// A need in this unit.
    pub fn number(self, need: LimeNeed) -> f64 {
        match self {
            Self::PoundPerAcre => need.to_pounds_per_acre(),
            Self::ShortTonPerAcre => need.to_short_tons_per_acre(),
            Self::TonnePerHectare => need.to_tonnes_per_hectare(),
            Self::KilogramPerHectare => need.to_kilograms_per_hectare(),
            Self::PoundPer100SquareFeet => need.to_pounds_per_acre() / SQUARE_FEET_PER_ACRE * 100.0,
            Self::PoundPer1000SquareFeet => {
                need.to_pounds_per_acre() / SQUARE_FEET_PER_ACRE * 1000.0
            }
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
    /// The target: a pH, or a saturation in percent.
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
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
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
    /// The texture class.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub texture: Option<TextureClass>,
    /// The soil's bulk density, such as `1.3 g/cm3`, where the need takes it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bulk_density: Option<String>,
    /// What else the soil reads, each with its unit, such as `90 ppm`.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub values: BTreeMap<SoilValue, String>,
}

#[cfg(test)]
mod soil_shape_tests;
#[cfg(test)]
mod tests;
