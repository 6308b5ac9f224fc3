//! JSON read strictly and in bounded memory: a key that stands twice in one object is an error, and
//! so is deep nesting. The features of a collection are handed on one by one, because a document of
//! values takes many times the memory of its text.

use std::cell::{Cell, RefCell};
use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Number, Value};

use super::model::MapFile;
use crate::findings::{Place, Problem, Refusal};
use crate::units::LIMITS;

/// The member of a document whose entries are handed on.
const HANDED_ON: &str = "features";

/// About what values take in memory, in bytes: any of them, a list beside its entries, an object
/// beside its entries, and an entry of an object beside its key and value.
const VALUE_BYTES: usize = 32;
const LIST_BYTES: usize = 120;
const OBJECT_BYTES: usize = 600;
const ENTRY_BYTES: usize = 100;

/// The document in the bytes of `file`. Where it is an object with a list `features`, every entry of
/// that list is given to `take` instead, and an empty list stands in the document.
///
/// # Errors
/// Refuses text that is not UTF-8 or not JSON, repeats a key, nests too deeply or has too large a
/// part, with the line; and what `take` refuses.
pub(super) fn parse_strictly(
    file: &MapFile,
    take: &mut dyn FnMut(Value) -> Result<(), Refusal>,
) -> Result<Value, Refusal> {
    let bytes = file.bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&file.bytes);
    let mut reader = serde_json::Deserializer::from_slice(bytes);
    let reading =
        Reading { spent: Cell::new(0), take: RefCell::new(take), stopped: RefCell::new(None) };
    let document = Strict { depth: 0, part: Part::Document, reading: &reading };
    let read = document.deserialize(&mut reader).and_then(|value| reader.end().map(|()| value));
    if let Some(refusal) = reading.stopped.into_inner() {
        return Err(refusal);
    }
    read.map_err(|error| {
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

/// What is known while a document is read.
struct Reading<'t> {
    /// The bytes that the values read so far take, since the last entry was handed on.
    spent: Cell<usize>,
    take: RefCell<&'t mut dyn FnMut(Value) -> Result<(), Refusal>>,
    /// What `take` refused.
    stopped: RefCell<Option<Refusal>>,
}

/// Which part of the document is read.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Part {
    Document,
    /// What stands under the key whose entries are handed on.
    List,
    Value,
}

/// Reads one value at a depth.
#[derive(Clone, Copy)]
struct Strict<'r, 't> {
    depth: usize,
    part: Part,
    reading: &'r Reading<'t>,
}

impl Strict<'_, '_> {
    fn deeper<E: Error>(self) -> Result<Self, E> {
        if self.depth >= LIMITS.nesting {
            let what = format!("its parts are nested more than {} deep", LIMITS.nesting);
            return Err(E::custom(what));
        }
        Ok(Self { depth: self.depth + 1, part: Part::Value, ..self })
    }

    fn spend<E: Error>(self, bytes: usize) -> Result<(), E> {
        let spent = self.reading.spent.get().saturating_add(bytes);
        self.reading.spent.set(spent);
        if spent > LIMITS.part_bytes {
            return Err(E::custom("one part of it is larger than this program takes on"));
        }
        Ok(())
    }

    fn hand_on<E: Error>(self, value: Value) -> Result<(), E> {
        self.reading.spent.set(0);
        let taken = (self.reading.take.borrow_mut())(value);
        taken.map_err(|refusal| {
            self.reading.stopped.replace(Some(refusal));
            E::custom("it was refused")
        })
    }
}

impl<'de> DeserializeSeed<'de> for Strict<'_, '_> {
    type Value = Value;
    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Value, D::Error> {
        self.spend(VALUE_BYTES)?;
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Strict<'_, '_> {
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
    fn visit_str<E: Error>(self, value: &str) -> Result<Value, E> {
        self.spend(value.len())?;
        Ok(Value::String(value.to_owned()))
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Value, A::Error> {
        let inner = self.deeper()?;
        self.spend(LIST_BYTES)?;
        let mut values = Vec::new();
        while let Some(value) = list.next_element_seed(inner)? {
            if self.part == Part::List {
                self.hand_on(value)?;
            } else {
                values.push(value);
            }
        }
        Ok(Value::Array(values))
    }
    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Value, A::Error> {
        let inner = self.deeper()?;
        self.spend(OBJECT_BYTES)?;
        let mut object = Map::new();
        while let Some(key) = entries.next_key::<String>()? {
            if object.contains_key(&key) {
                return Err(A::Error::custom(format!(
                    "the key `{key}` stands twice in one object"
                )));
            }
            self.spend(ENTRY_BYTES + key.len())?;
            let handed_on = self.part == Part::Document && key == HANDED_ON;
            let part = if handed_on { Part::List } else { Part::Value };
            let value = entries.next_value_seed(Self { part, ..inner })?;
            object.insert(key, value);
        }
        Ok(Value::Object(object))
    }
}
