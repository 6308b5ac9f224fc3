//! JSON read strictly: a key that stands twice in one object is an error, and so is deep nesting.

use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Number, Value};

use super::model::MapFile;
use crate::findings::{Place, Problem, Refusal};
use crate::units::LIMITS;

/// The document in the bytes of `file`.
///
/// # Errors
/// Refuses text that is not UTF-8 or not JSON, repeats a key or nests too deeply, with the line.
pub(super) fn parse_strictly(file: &MapFile) -> Result<Value, Refusal> {
    let bytes = file.bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&file.bytes);
    let mut reader = serde_json::Deserializer::from_slice(bytes);
    let read = Strict { depth: 0 }.deserialize(&mut reader);
    read.and_then(|value| reader.end().map(|()| value)).map_err(|error| {
        let place = Place {
            line: Some(error.line()),
            character: Some(error.column()),
            ..Place::in_file(&file.name)
        };
        Problem::at(place, format!("the {} is not JSON: {error}", file.role))
            .allowed("GeoJSON (RFC 7946): UTF-8, each key once in its object")
            .hint(format!("export the {} again as GeoJSON", file.role))
            .into()
    })
}

/// Reads one value at a depth.
#[derive(Clone, Copy)]
struct Strict {
    depth: usize,
}

impl Strict {
    fn deeper<E: Error>(self) -> Result<Self, E> {
        if self.depth >= LIMITS.nesting {
            let what = format!("its parts are nested more than {} deep", LIMITS.nesting);
            return Err(E::custom(what));
        }
        Ok(Self { depth: self.depth + 1 })
    }
}

impl<'de> DeserializeSeed<'de> for Strict {
    type Value = Value;
    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Value, D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Strict {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }
    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }
    fn visit_bool<E>(self, value: bool) -> Result<Value, E> {
        Ok(Value::Bool(value))
    }
    fn visit_i64<E>(self, value: i64) -> Result<Value, E> {
        Ok(Value::Number(value.into()))
    }
    fn visit_u64<E>(self, value: u64) -> Result<Value, E> {
        Ok(Value::Number(value.into()))
    }
    fn visit_f64<E: Error>(self, value: f64) -> Result<Value, E> {
        Number::from_f64(value)
            .map(Value::Number)
            .ok_or_else(|| E::custom("a number is out of range"))
    }
    fn visit_str<E>(self, value: &str) -> Result<Value, E> {
        Ok(Value::String(value.to_owned()))
    }
    fn visit_string<E>(self, value: String) -> Result<Value, E> {
        Ok(Value::String(value))
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Value, A::Error> {
        let inner = self.deeper()?;
        let mut values = Vec::new();
        while let Some(value) = list.next_element_seed(inner)? {
            values.push(value);
        }
        Ok(Value::Array(values))
    }
    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Value, A::Error> {
        let inner = self.deeper()?;
        let mut object = Map::new();
        while let Some(key) = entries.next_key::<String>()? {
            if object.contains_key(&key) {
                return Err(A::Error::custom(format!(
                    "the key `{key}` stands twice in one object"
                )));
            }
            let value = entries.next_value_seed(inner)?;
            object.insert(key, value);
        }
        Ok(Value::Object(object))
    }
}
