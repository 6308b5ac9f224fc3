//! Everything that a laboratory may tell of a sample of soil.

use super::SoilValue;

/// Something that is read of a soil: its pH, its buffer pH, another number, or its texture class.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SoilAttribute {
    /// Soil pH.
    Ph,
    /// Buffer pH.
    BufferPh,
    /// Another number.
    Value(SoilValue),
    /// Texture class.
    Texture,
}

impl SoilAttribute {
    /// All of them, in the order in which they stand in maps and reports.
    pub fn all() -> impl Iterator<Item = Self> {
        let values = SoilValue::ALL.into_iter().map(Self::Value);
        [Self::Ph, Self::BufferPh].into_iter().chain(values).chain([Self::Texture])
    }

    /// Its key in job files and results.
    pub fn key(self) -> &'static str {
        match self {
            Self::Ph => "ph",
            Self::BufferPh => "buffer_ph",
            Self::Value(value) => value.key(),
            Self::Texture => "texture",
        }
    }

    /// The attribute of a key.
    pub fn of_key(key: &str) -> Option<Self> {
        Self::all().find(|attribute| attribute.key() == key)
    }

    /// What it is called in a sentence.
    pub fn words(self) -> &'static str {
        match self {
            Self::Ph => "pH",
            Self::BufferPh => "buffer pH",
            Self::Value(value) => value.words(),
            Self::Texture => "texture class",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_key_names_one_attribute() {
        assert_eq!(SoilAttribute::all().count(), SoilValue::COUNT + 3);
        for attribute in SoilAttribute::all() {
            assert_eq!(SoilAttribute::of_key(attribute.key()), Some(attribute));
        }
        assert_eq!(SoilAttribute::of_key("pH"), None);
    }
}
