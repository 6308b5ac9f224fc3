//! Texture classes of soil.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A texture class: the twelve of the USDA triangle (Soil Science Division Staff, Soil Survey
/// Manual, USDA Handbook 18, 2017, chapter 3).
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub enum TextureClass {
    /// Sand.
    #[serde(rename = "sand")]
    Sand,
    /// Loamy sand.
    #[serde(rename = "loamy sand")]
    LoamySand,
    /// Sandy loam.
    #[serde(rename = "sandy loam")]
    SandyLoam,
    /// Loam.
    #[serde(rename = "loam")]
    Loam,
    /// Silt loam.
    #[serde(rename = "silt loam")]
    SiltLoam,
    /// Silt.
    #[serde(rename = "silt")]
    Silt,
    /// Sandy clay loam.
    #[serde(rename = "sandy clay loam")]
    SandyClayLoam,
    /// Clay loam.
    #[serde(rename = "clay loam")]
    ClayLoam,
    /// Silty clay loam.
    #[serde(rename = "silty clay loam")]
    SiltyClayLoam,
    /// Sandy clay.
    #[serde(rename = "sandy clay")]
    SandyClay,
    /// Silty clay.
    #[serde(rename = "silty clay")]
    SiltyClay,
    /// Clay.
    #[serde(rename = "clay")]
    Clay,
}

impl TextureClass {
    /// All of them, from light to heavy.
    pub const ALL: [Self; 12] = [
        Self::Sand,
        Self::LoamySand,
        Self::SandyLoam,
        Self::Loam,
        Self::SiltLoam,
        Self::Silt,
        Self::SandyClayLoam,
        Self::ClayLoam,
        Self::SiltyClayLoam,
        Self::SandyClay,
        Self::SiltyClay,
        Self::Clay,
    ];

    /// As it is written.
    pub fn words(self) -> &'static str {
        match self {
            Self::Sand => "sand",
            Self::LoamySand => "loamy sand",
            Self::SandyLoam => "sandy loam",
            Self::Loam => "loam",
            Self::SiltLoam => "silt loam",
            Self::Silt => "silt",
            Self::SandyClayLoam => "sandy clay loam",
            Self::ClayLoam => "clay loam",
            Self::SiltyClayLoam => "silty clay loam",
            Self::SandyClay => "sandy clay",
            Self::SiltyClay => "silty clay",
            Self::Clay => "clay",
        }
    }

    /// The class written so; case, blanks, hyphens and underscores aside.
    pub fn from_words(words: &str) -> Option<Self> {
        let fold = |text: &str| -> String {
            let letters = text.chars().filter(|c| !c.is_whitespace() && !matches!(c, '-' | '_'));
            letters.flat_map(char::to_lowercase).collect()
        };
        Self::ALL.into_iter().find(|class| fold(class.words()) == fold(words))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn classes_are_read_back_whatever_their_case_blanks_and_hyphens() {
        for class in TextureClass::ALL {
            assert_eq!(TextureClass::from_words(class.words()), Some(class));
            assert_eq!(serde_json::to_value(class).unwrap(), class.words());
        }
        assert_eq!(TextureClass::from_words("Silty-Clay loam"), Some(TextureClass::SiltyClayLoam));
        assert_eq!(TextureClass::from_words("SANDY_LOAM"), Some(TextureClass::SandyLoam));
        assert_eq!(TextureClass::from_words("gravel"), None);
    }
}
