//! The JSON Schema of a summary.

use schemars::generate::SchemaSettings;
use serde_json::{Value, json};

use super::shape::{SUMMARY_SHAPE, Summary};
use super::{ADVICE_SHAPE, COMPARISON_SHAPE, MaterialComparison, MethodAdvice};
use crate::agronomy::LimitBasis;
use crate::machine::Limit;
use crate::material::{MagnesiumCall, Nutrient, PriceAt, Verdict};
use crate::units::UnitSystem;

/// The JSON Schema of a summary as it is written, in draft 2020-12.
pub fn summary_schema() -> Value {
    let generator = SchemaSettings::draft2020_12().for_serialize().into_generator();
    let mut schema = generator.into_root_schema_for::<Summary>().to_value();
    let systems = [UnitSystem::Us, UnitSystem::Metric].map(UnitSystem::words);
    for (pointer, keyword, value) in [
        ("/properties/schema", "const", json!(SUMMARY_SHAPE)),
        ("/properties/units", "enum", json!(systems)),
        ("/$defs/FlatRatePart/properties/limit", "enum", json!(Limit::ALL.map(Limit::words))),
        ("/$defs/HaulPart/properties/price_at", "enum", json!(PriceAt::ALL.map(PriceAt::words))),
        (
            "/$defs/ApplicationLimitPart/properties/basis",
            "enum",
            json!(LimitBasis::ALL.map(LimitBasis::words)),
        ),
    ] {
        if let Some(property) = schema.pointer_mut(pointer).and_then(Value::as_object_mut) {
            property.insert(keyword.to_owned(), value);
        }
    }
    schema
}

/// The JSON Schema of a comparison of materials as it is written, in draft 2020-12.
pub fn material_comparison_schema() -> Value {
    let generator = SchemaSettings::draft2020_12().for_serialize().into_generator();
    let mut schema = generator.into_root_schema_for::<MaterialComparison>().to_value();
    let systems = [UnitSystem::Us, UnitSystem::Metric].map(UnitSystem::words);
    for (pointer, keyword, value) in [
        ("/properties/schema", "const", json!(COMPARISON_SHAPE)),
        ("/properties/units", "enum", json!(systems)),
        (
            "/$defs/HorizonPart/properties/compared_by",
            "enum",
            json!(PriceAt::ALL.map(PriceAt::words)),
        ),
        ("/$defs/QualityPart/properties/verdict", "enum", json!(Verdict::ALL.map(Verdict::words))),
        (
            "/$defs/MagnesiumAdvicePart/properties/advice",
            "enum",
            json!(MagnesiumCall::ALL.map(MagnesiumCall::words)),
        ),
        (
            "/$defs/NutrientPart/properties/nutrient",
            "enum",
            json!(Nutrient::ALL.map(Nutrient::words)),
        ),
    ] {
        if let Some(property) = schema.pointer_mut(pointer).and_then(Value::as_object_mut) {
            property.insert(keyword.to_owned(), value);
        }
    }
    schema
}

/// The JSON Schema of what is told of the methods on one job, in draft 2020-12.
pub fn method_advice_schema() -> Value {
    let generator = SchemaSettings::draft2020_12().for_serialize().into_generator();
    let mut schema = generator.into_root_schema_for::<MethodAdvice>().to_value();
    let systems = [UnitSystem::Us, UnitSystem::Metric].map(UnitSystem::words);
    for (pointer, keyword, value) in [
        ("/properties/schema", "const", json!(ADVICE_SHAPE)),
        ("/properties/units", "enum", json!(systems)),
    ] {
        if let Some(property) = schema.pointer_mut(pointer).and_then(Value::as_object_mut) {
            property.insert(keyword.to_owned(), value);
        }
    }
    schema
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quantity_is_a_value_and_its_unit_and_nothing_else() {
        let quantity = &summary_schema()["$defs"]["Quantity"];
        assert_eq!(quantity["required"], json!(["value", "unit"]));
        assert_eq!(quantity["additionalProperties"], false);
        assert_eq!(quantity["properties"]["value"]["type"], "number");
    }

    #[test]
    fn every_object_refuses_unknown_keys_and_the_known_words_are_listed() {
        let schema = summary_schema();
        for (name, part) in schema["$defs"].as_object().unwrap() {
            assert_eq!(part["additionalProperties"], false, "{name}");
        }
        assert_eq!(schema["additionalProperties"], false);
        assert_eq!(schema["properties"]["schema"]["const"], SUMMARY_SHAPE);
        for pointer in [
            "/properties/units",
            "/$defs/FlatRatePart/properties/limit",
            "/$defs/HaulPart/properties/price_at",
        ] {
            let words = schema.pointer(pointer).and_then(|property| property["enum"].as_array());
            assert!(words.is_some_and(|words| words.len() > 1), "{pointer}");
        }
    }
}
