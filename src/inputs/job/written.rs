//! What the values of a job file are as written, before anything is checked.

use std::borrow::Cow;
use std::ops::Range;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A value together with the bytes of the text where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct At<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub span: Range<usize>,
}

impl<T> At<T> {
    /// A value that stands nowhere: a default.
    pub fn nowhere(value: T) -> Self {
        Self { value, span: 0..0 }
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for At<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let spanned = toml::Spanned::<T>::deserialize(deserializer)?;
        Ok(Self { span: spanned.span(), value: spanned.into_inner() })
    }
}

impl<T: Serialize> Serialize for At<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.value.serialize(serializer)
    }
}

impl<T: JsonSchema> JsonSchema for At<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        T::schema_name()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        T::json_schema(generator)
    }
}

/// A quantity as written: a text that ends in its unit. A bare number is kept as text too, so
/// that the error for it can say which units are accepted.
#[derive(Clone, Debug, PartialEq)]
pub struct Written(pub String);

impl<'de> Deserialize<'de> for Written {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Visitor;
        impl serde::de::Visitor<'_> for Visitor {
            type Value = Written;
            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("a quantity with its unit in quotes, such as \"40 ft\"")
            }
            fn visit_str<E>(self, text: &str) -> Result<Written, E> {
                Ok(Written(text.to_owned()))
            }
            fn visit_i64<E>(self, number: i64) -> Result<Written, E> {
                Ok(Written(number.to_string()))
            }
            fn visit_f64<E>(self, number: f64) -> Result<Written, E> {
                Ok(Written(number.to_string()))
            }
        }
        deserializer.deserialize_any(Visitor)
    }
}

impl Serialize for Written {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0)
    }
}

impl JsonSchema for Written {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        "Quantity".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "string", "format": "quantity" })
    }
}

/// A calendar day as written, without quotes: `2026-09-18`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Day(pub toml::value::Datetime);

impl JsonSchema for Day {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        "Day".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "string", "format": "date" })
    }
}

/// A value to choose by: a text, or a number that is taken as it is written.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice(pub String);

impl<'de> Deserialize<'de> for Choice {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Visitor;
        impl serde::de::Visitor<'_> for Visitor {
            type Value = Choice;
            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("a text or a whole number, as the column has it")
            }
            fn visit_str<E>(self, text: &str) -> Result<Choice, E> {
                Ok(Choice(text.to_owned()))
            }
            fn visit_i64<E>(self, number: i64) -> Result<Choice, E> {
                Ok(Choice(number.to_string()))
            }
        }
        deserializer.deserialize_any(Visitor)
    }
}

impl Serialize for Choice {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0)
    }
}

impl JsonSchema for Choice {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        "Choice".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": ["string", "integer"] })
    }
}
