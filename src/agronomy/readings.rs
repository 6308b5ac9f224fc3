//! What was read in one soil: its layers, and the words of the buffers and of the placement.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::SoilValues;
use crate::units::{BufferPh, DepthInterval, PhReading};

/// The readings of one layer of one soil. A reading that was not made is `None`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// The depth it was sampled over.
    pub depth: DepthInterval,
    /// The soil's pH, with the medium it was read in.
    pub ph: Option<PhReading>,
    /// The pH of the soil in a buffer, with the buffer.
    pub buffer_ph: Option<BufferReading>,
    /// What else was read of it, each in the unit in which methods take it.
    pub values: SoilValues,
}

impl Layer {
    /// The same layer with what else was read of it, each in the unit in which methods take it.
    #[must_use]
    pub fn with_values(self, values: SoilValues) -> Self {
        Self { values, ..self }
    }
}

/// A pH in a buffer, and which buffer it was.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BufferReading {
    /// The buffer.
    pub buffer: Buffer,
    /// The reading.
    pub ph: BufferPh,
}

/// The buffer solution in which a laboratory reads the reserve acidity of a soil.
///
/// Their readings are not interchangeable: a lime table is made for one of them.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Buffer {
    /// The SMP buffer.
    Smp,
    /// The Sikora buffer, made to read as the SMP buffer does.
    Sikora,
    /// The Mehlich buffer.
    Mehlich,
    /// The Mehlich buffer with calcium in place of barium.
    ModifiedMehlich,
    /// The Adams-Evans buffer.
    AdamsEvans,
    /// The Adams-Evans buffer without para-nitrophenol.
    ModifiedAdamsEvans,
    /// The Woodruff buffer.
    Woodruff,
}

impl Buffer {
    /// All of them, in the order in which they are listed to a user.
    pub const ALL: [Self; 7] = [
        Self::Smp,
        Self::Sikora,
        Self::Mehlich,
        Self::ModifiedMehlich,
        Self::AdamsEvans,
        Self::ModifiedAdamsEvans,
        Self::Woodruff,
    ];

    /// As it is written in job files and tables.
    pub fn words(self) -> &'static str {
        match self {
            Self::Smp => "smp",
            Self::Sikora => "sikora",
            Self::Mehlich => "mehlich",
            Self::ModifiedMehlich => "modified-mehlich",
            Self::AdamsEvans => "adams-evans",
            Self::ModifiedAdamsEvans => "modified-adams-evans",
            Self::Woodruff => "woodruff",
        }
    }

    /// The pH that the buffer has before soil is put into it.
    ///
    /// Mehlich 6.6 is the reading that North Carolina's acidity counts from (North Carolina
    /// Department of Agriculture and Consumer Services, web pages, undated), Adams-Evans 8.0 that
    /// of the equation by that name. SMP 7.5, Sikora 7.7 and Woodruff 7.0 are from memory.
    pub fn own_ph(self) -> f64 {
        match self {
            Self::Smp => 7.5,
            Self::Sikora => 7.7,
            Self::Mehlich | Self::ModifiedMehlich => 6.6,
            Self::AdamsEvans | Self::ModifiedAdamsEvans => 8.0,
            Self::Woodruff => 7.0,
        }
    }

    /// The buffer written so; case, blanks and hyphens aside.
    pub fn from_words(words: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|buffer| fold(buffer.words()) == fold(words))
    }
}

/// The solution that aluminium was extracted with. What one takes out says nothing of another.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub enum AlExtract {
    /// Potassium chloride, 1 M: exchangeable aluminium.
    #[serde(rename = "KCl 1 M")]
    PotassiumChloride,
    /// Calcium chloride, 0.01 M.
    #[serde(rename = "CaCl2 0.01 M")]
    CalciumChloride,
    /// Modified Morgan (ammonium acetate): reactive aluminium.
    #[serde(rename = "modified Morgan")]
    ModifiedMorgan,
    /// Mehlich 3.
    #[serde(rename = "Mehlich 3")]
    Mehlich3,
}

impl AlExtract {
    /// All of them, in the order in which they are listed to a user.
    pub const ALL: [Self; 4] =
        [Self::PotassiumChloride, Self::CalciumChloride, Self::ModifiedMorgan, Self::Mehlich3];

    /// As it is written in job files.
    pub fn words(self) -> &'static str {
        match self {
            Self::PotassiumChloride => "KCl 1 M",
            Self::CalciumChloride => "CaCl2 0.01 M",
            Self::ModifiedMorgan => "modified Morgan",
            Self::Mehlich3 => "Mehlich 3",
        }
    }

    /// The extract written so; case, blanks and hyphens aside.
    pub fn from_words(words: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|extract| fold(extract.words()) == fold(words))
    }
}

/// How the lime gets into the soil.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Placement {
    /// Worked in by tillage.
    Tilled,
    /// Left on the surface of a field that is not tilled.
    NoTill,
    /// Left on the surface of a stand that is already growing.
    EstablishedStand,
}

impl Placement {
    /// All of them, in the order in which they are listed to a user.
    pub const ALL: [Self; 3] = [Self::Tilled, Self::NoTill, Self::EstablishedStand];

    /// As it is written in job files.
    pub fn words(self) -> &'static str {
        match self {
            Self::Tilled => "tilled",
            Self::NoTill => "no-till",
            Self::EstablishedStand => "established stand",
        }
    }

    /// The placement written so; case, blanks and hyphens aside.
    pub fn from_words(words: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|placement| fold(placement.words()) == fold(words))
    }
}

/// `words` in lower case, without blanks, hyphens and underscores.
fn fold(words: &str) -> String {
    words
        .chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '-' | '_'))
        .flat_map(char::to_lowercase)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_read_back_whatever_their_case_blanks_and_hyphens() {
        for buffer in Buffer::ALL {
            assert_eq!(Buffer::from_words(buffer.words()), Some(buffer));
            // Tables and job files must use the same word.
            assert_eq!(serde_json::to_value(buffer).unwrap(), buffer.words());
        }
        for placement in Placement::ALL {
            assert_eq!(Placement::from_words(placement.words()), Some(placement));
        }
        for extract in AlExtract::ALL {
            assert_eq!(AlExtract::from_words(extract.words()), Some(extract));
            assert_eq!(serde_json::to_value(extract).unwrap(), extract.words());
        }
        assert_eq!(Buffer::from_words("Adams Evans"), Some(Buffer::AdamsEvans));
        assert_eq!(Placement::from_words("Established-Stand"), Some(Placement::EstablishedStand));
        assert_eq!(Placement::from_words("No till"), Some(Placement::NoTill));
    }

    #[test]
    fn unknown_words_are_none() {
        assert_eq!(Buffer::from_words("smpp"), None);
        assert_eq!(Buffer::from_words(""), None);
        assert_eq!(Placement::from_words("ploughed"), None);
    }
}
