//! The shape of `fields.json`: all that is known of many fields.

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use super::compare::{Comparison, compare};
use super::fields::{FailedField, Fields};
use super::row::FieldRow;
use crate::summary::{Program, part};
use crate::units::UnitSystem;

/// The name and version of the shape of `fields.json`.
pub const FIELDS_SHAPE: &str = "limewright-fields-1";

part! {
    /// Many fields.
    FieldsResult {
        /// The name and version of this shape.
        schema: String,
        /// The program that made it.
        program: Program,
        /// The system of units of everything that is of more than one field: `us` or `metric`.
        units: String,
        /// The finished fields, by their ids.
        fields: Vec<FieldRow>,
        /// The fields that failed, by their ids.
        failed: Vec<FailedField>,
        /// The finished fields side by side, and their totals.
        comparison: Comparison,
    }
}

/// What is asked of many fields.
#[derive(Clone, Debug)]
pub struct FieldsAsk {
    /// The units of everything that is of more than one field.
    pub units: UnitSystem,
}

impl FieldsResult {
    /// What a set of fields comes to.
    pub fn of(fields: &Fields, asked: &FieldsAsk) -> Self {
        Self {
            schema: FIELDS_SHAPE.to_owned(),
            program: Program::this(),
            units: asked.units.words().to_owned(),
            fields: fields.rows().cloned().collect(),
            failed: fields.failures().cloned().collect(),
            comparison: compare(fields, asked.units),
        }
    }

    /// The system of units of everything that is of more than one field.
    pub fn system(&self) -> UnitSystem {
        if self.units == UnitSystem::Metric.words() { UnitSystem::Metric } else { UnitSystem::Us }
    }
}

/// The JSON Schema of `fields.json`, in draft 2020-12.
pub fn fields_result_schema() -> Value {
    let generator = SchemaSettings::draft2020_12().for_serialize().into_generator();
    let mut schema = generator.into_root_schema_for::<FieldsResult>().to_value();
    let systems = [UnitSystem::Us, UnitSystem::Metric].map(UnitSystem::words);
    for (pointer, keyword, value) in [
        ("/properties/schema", "const", json!(FIELDS_SHAPE)),
        ("/properties/units", "enum", json!(systems)),
        ("/$defs/FieldRow/properties/units", "enum", json!(systems)),
    ] {
        if let Some(property) = schema.pointer_mut(pointer).and_then(Value::as_object_mut) {
            property.insert(keyword.to_owned(), value);
        }
    }
    schema
}
