//! The readings that a need goes by, beside the soil pH that says whether a soil is limed at all.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Serialize};

use crate::units::SoilValue;

/// A reading that needs go by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reads {
    /// The soil's own pH.
    Ph,
    /// The pH of the soil in a buffer.
    BufferPh,
    /// The texture class.
    Texture,
    /// A number beside pH and buffer pH.
    Value(SoilValue),
}

impl Reads {
    /// All of them, in the order in which they are listed to a user.
    pub fn all() -> impl Iterator<Item = Self> {
        let values = SoilValue::ALL.into_iter().map(Self::Value);
        [Self::Ph, Self::BufferPh, Self::Texture].into_iter().chain(values)
    }

    /// Its key in tables, job files and results.
    pub fn key(self) -> &'static str {
        match self {
            Self::Ph => "ph",
            Self::BufferPh => "buffer_ph",
            Self::Texture => "texture",
            Self::Value(value) => value.key(),
        }
    }

    /// The reading of a key.
    pub fn of_key(key: &str) -> Option<Self> {
        Self::all().find(|reads| reads.key() == key)
    }

    /// As it is called in a sentence, with its unit.
    pub fn words(self) -> String {
        match self {
            Self::Ph => "soil pH".to_owned(),
            Self::BufferPh => "buffer pH".to_owned(),
            Self::Texture => "texture class".to_owned(),
            Self::Value(value) => format!("{}, {}", value.words(), self.unit()),
        }
    }

    /// The same without its unit, as short as it can be.
    pub fn name(self) -> &'static str {
        match self {
            Self::Ph => "pH",
            Self::BufferPh => "buffer pH",
            Self::Texture => "texture class",
            Self::Value(SoilValue::Acidity) => "acidity",
            Self::Value(value) => value.words(),
        }
    }

    /// The unit in which methods take it; none on a pH scale.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Ph | Self::BufferPh | Self::Texture => "",
            Self::Value(value) => value.bounded().limit_unit,
        }
    }

    /// A small step to the acid side, in [`unit`](Self::unit): what a reading is rounded to by
    /// most laboratories, or thereabouts (ours). pH and bases fall, what has to be neutralised
    /// rises. A texture class has no step; its pH has.
    pub fn acid_step(self) -> f64 {
        match self {
            Self::Ph | Self::BufferPh | Self::Texture => -0.1,
            Self::Value(value) => match value {
                SoilValue::Calcium
                | SoilValue::Magnesium
                | SoilValue::Potassium
                | SoilValue::Sodium => -0.1,
                SoilValue::Clay => 1.0,
                SoilValue::BufferCapacity => 10.0,
                _ => 0.1,
            },
        }
    }
}

/// The readings that the needs of one method go by, the one that leads first: the one of its rows,
/// lines or equation.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Written", into = "Written")]
pub struct ReadSet(Vec<Reads>);

impl ReadSet {
    /// The reading of the rows, the lines or the equation.
    pub fn lead(&self) -> Reads {
        self.0[0]
    }

    /// All of them.
    pub fn iter(&self) -> impl Iterator<Item = Reads> + '_ {
        self.0.iter().copied()
    }

    /// Whether `reading` is one of them.
    pub fn has(&self, reading: Reads) -> bool {
        self.0.contains(&reading)
    }

    /// The numbers beside pH and buffer pH.
    pub fn values(&self) -> impl Iterator<Item = SoilValue> + '_ {
        self.iter().filter_map(|reads| match reads {
            Reads::Value(value) => Some(value),
            _ => None,
        })
    }

    /// All of them in a sentence.
    pub fn words(&self) -> String {
        self.iter().map(Reads::words).collect::<Vec<_>>().join(" and ")
    }
}

impl From<Reads> for ReadSet {
    fn from(only: Reads) -> Self {
        Self(vec![only])
    }
}

/// As it is written: one key, or several.
#[derive(Clone, Serialize, Deserialize)]
#[serde(untagged)]
enum Written {
    One(String),
    Several(Vec<String>),
}

impl TryFrom<Written> for ReadSet {
    type Error = String;

    fn try_from(written: Written) -> Result<Self, String> {
        let keys = match written {
            Written::One(key) => vec![key],
            Written::Several(keys) => keys,
        };
        let mut all = Vec::with_capacity(keys.len());
        for key in &keys {
            let known = || Reads::all().map(Reads::key).collect::<Vec<_>>().join(", ");
            let reads = Reads::of_key(key)
                .ok_or_else(|| format!("`reads` is `{key}`, expected one of {}", known()))?;
            if all.contains(&reads) {
                return Err(format!("`reads` names `{key}` twice"));
            }
            all.push(reads);
        }
        if all.first().is_none_or(|first| *first == Reads::Texture) {
            return Err("`reads` does not begin with a number, such as `ph`".to_owned());
        }
        Ok(Self(all))
    }
}

impl From<ReadSet> for Written {
    fn from(set: ReadSet) -> Self {
        match set.0.as_slice() {
            [only] => Self::One(only.key().to_owned()),
            several => Self::Several(several.iter().map(|reads| reads.key().to_owned()).collect()),
        }
    }
}

impl JsonSchema for ReadSet {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Reads".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let keys: Vec<&str> = Reads::all().map(Reads::key).collect();
        json_schema!({
            "description": "The readings that the needs go by, beside the soil pH that says whether \
                            a soil is limed at all: one, or several with the one of the rows first.",
            "anyOf": [
                { "enum": keys },
                {
                    "type": "array",
                    "items": { "enum": keys },
                    "minItems": 1,
                    "uniqueItems": true,
                },
            ],
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_reading_or_several_are_written_as_they_are_read() {
        for text in ["\"buffer_ph\"", "[\"ph\",\"texture\",\"organic_carbon\"]"] {
            let set: ReadSet = serde_json::from_str(text).unwrap();
            assert_eq!(serde_json::to_string(&set).unwrap(), text);
        }
        let set: ReadSet = serde_json::from_str("[\"ph\", \"aluminium\"]").unwrap();
        assert_eq!((set.lead(), set.has(Reads::Texture)), (Reads::Ph, false));
        assert_eq!(set.values().collect::<Vec<_>>(), [SoilValue::Aluminium]);
        assert_eq!(set.words(), "soil pH and aluminium, cmol/kg");
    }

    #[test]
    fn an_unknown_key_none_a_double_one_and_a_leading_class_are_refused() {
        for (text, found) in [
            ("\"colour\"", "expected one of ph, buffer_ph, texture, acidity"),
            ("[]", "does not begin with a number"),
            ("[\"texture\", \"ph\"]", "does not begin with a number"),
            ("[\"ph\", \"ph\"]", "names `ph` twice"),
        ] {
            let error = serde_json::from_str::<ReadSet>(text).expect_err(text).to_string();
            assert!(error.contains(found), "{text}: {error}");
        }
    }

    #[test]
    fn every_reading_has_a_key_of_its_own_and_a_step() {
        for reads in Reads::all() {
            assert_eq!(Reads::of_key(reads.key()), Some(reads));
            assert!(reads.acid_step() != 0.0 && !reads.words().is_empty());
        }
        assert!(Reads::Value(SoilValue::Calcium).acid_step() < 0.0);
        assert!(Reads::Value(SoilValue::Aluminium).acid_step() > 0.0);
    }
}
