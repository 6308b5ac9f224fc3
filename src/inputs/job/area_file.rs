//! Map files as a job names them: by a bare path, or by a table that says more.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt::Formatter;
use std::marker::PhantomData;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::value::{MapAccessDeserializer, StrDeserializer};
use serde::de::{Error, MapAccess, SeqAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::file::job_table;
use super::written::{At, Choice, Written};

job_table! {
    /// A map file, and what is wanted of it.
    AreaTable {
        /// The file, or its folder.
        file: At<String>,
        /// The layer, where the file holds several.
        layer: At<String>,
        /// The features that count: those that have each of these values in the column of that
        /// name. Without it, all of them.
        select: At<BTreeMap<String, At<Choice>>>,
        /// The coordinate system, such as `EPSG:26915`, where the file does not name it.
        coordinate_system: At<String>,
    }
}

job_table! {
    /// A map file with what is kept out, what is wanted of it, and its setback.
    KeepOutTable {
        /// The file, or its folder.
        file: At<String>,
        /// The layer, where the file holds several.
        layer: At<String>,
        /// The features that count: those that have each of these values in the column of that
        /// name. Without it, all of them.
        select: At<BTreeMap<String, At<Choice>>>,
        /// The coordinate system, such as `EPSG:26915`, where the file does not name it.
        coordinate_system: At<String>,
        /// How far around its features is kept out too; `field.setback` unless stated.
        setback: At<Written>,
    }
}

/// A path alone, or a table.
#[derive(Clone, Debug, PartialEq)]
pub enum PathOr<T> {
    /// The path of the file.
    Path(String),
    /// The path, and more.
    Table(T),
}

/// One of something, or a list of it.
#[derive(Clone, Debug, PartialEq)]
pub enum OneOrMore<T> {
    /// One.
    One(T),
    /// A list.
    More(Vec<At<T>>),
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for PathOr<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct OfFile<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for OfFile<T> {
            type Value = PathOr<T>;
            fn expecting(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
                f.write_str("the path of a map file in quotes, or a table with `file`")
            }
            fn visit_str<E>(self, path: &str) -> Result<Self::Value, E> {
                Ok(PathOr::Path(path.to_owned()))
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Self::Value, A::Error> {
                T::deserialize(MapAccessDeserializer::new(map)).map(PathOr::Table)
            }
        }
        deserializer.deserialize_any(OfFile(PhantomData))
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for OneOrMore<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct OfList<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for OfList<T> {
            type Value = OneOrMore<T>;
            fn expecting(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
                f.write_str("the path of a map file in quotes, a table with `file`, or a list")
            }
            fn visit_str<E: Error>(self, path: &str) -> Result<Self::Value, E> {
                T::deserialize(StrDeserializer::new(path)).map(OneOrMore::One)
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Self::Value, A::Error> {
                T::deserialize(MapAccessDeserializer::new(map)).map(OneOrMore::One)
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Self::Value, A::Error> {
                let mut all = Vec::new();
                while let Some(one) = list.next_element()? {
                    all.push(one);
                }
                Ok(OneOrMore::More(all))
            }
        }
        deserializer.deserialize_any(OfList(PhantomData))
    }
}

impl<T: Serialize> Serialize for PathOr<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Path(path) => serializer.serialize_str(path),
            Self::Table(table) => table.serialize(serializer),
        }
    }
}

impl<T: Serialize> Serialize for OneOrMore<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::One(one) => one.serialize(serializer),
            Self::More(all) => all.serialize(serializer),
        }
    }
}

impl<T: JsonSchema> JsonSchema for PathOr<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        format!("PathOr{}", T::schema_name()).into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let table = T::json_schema(generator);
        json_schema!({ "anyOf": [{ "type": "string" }, table] })
    }
}

impl<T: JsonSchema> JsonSchema for OneOrMore<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        format!("OneOrMore{}", T::schema_name()).into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let one = T::json_schema(generator);
        let more = json_schema!({ "type": "array", "items": one.clone(), "minItems": 1 });
        json_schema!({ "anyOf": [one, more] })
    }
}
