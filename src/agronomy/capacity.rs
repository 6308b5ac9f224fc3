//! A need from the lime buffer capacity of each soil, over the mass of soil that is limed.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Missing;
use super::need::{Need, Why};
use super::soil::Soil;
use super::table::CapacityRule;
use crate::units::{LimeNeed, SoilValue};

/// How long the base was in the soil when the capacity was read.
///
/// Read after 30 minutes it is too small; the source of the method tells how much.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub enum CapacityReading {
    /// Until the pH no longer changed.
    #[serde(rename = "equilibrium")]
    Equilibrium,
    /// For 30 minutes.
    #[serde(rename = "30 min")]
    ThirtyMinutes,
}

impl CapacityReading {
    /// Both of them, in the order in which they are listed to a user.
    pub const ALL: [Self; 2] = [Self::Equilibrium, Self::ThirtyMinutes];

    /// As it is written in job files.
    pub fn words(self) -> &'static str {
        match self {
            Self::Equilibrium => "equilibrium",
            Self::ThirtyMinutes => "30 min",
        }
    }

    /// The reading written so.
    pub fn from_words(words: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|reading| reading.words() == words.trim())
    }
}

/// The rule of a [`CapacityRule`], fitted to one job.
#[derive(Clone, Debug)]
pub(super) struct Capacity {
    table: CapacityRule,
    reading: CapacityReading,
    target_ph: f64,
    /// What 1 mg CaCO3/kg of soil is over the limed depth.
    per_mg_kg: LimeNeed,
}

impl Capacity {
    pub(super) fn new(
        table: CapacityRule,
        reading: CapacityReading,
        target_ph: f64,
        per_mg_kg: LimeNeed,
    ) -> Self {
        Self { table, reading, target_ph, per_mg_kg }
    }

    /// The need of a soil below the target.
    pub(super) fn look_up(&self, soil: &Soil<'_>) -> Result<Need, Missing> {
        let read = soil.value(SoilValue::BufferCapacity)?;
        let capacity = match self.reading {
            CapacityReading::Equilibrium => read,
            CapacityReading::ThirtyMinutes => read * self.table.ratio(read),
        };
        let need = self.per_mg_kg * (capacity * (self.target_ph - soil.ph).max(0.0));
        Ok(Need { need, why: Why::Table })
    }
}

impl CapacityRule {
    /// The capacity at equilibrium over `read`, the one after 30 minutes.
    pub(super) fn ratio(&self, read: f64) -> f64 {
        self.ratio_fixed + self.ratio_per_unit * read
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ratio_and_the_words_are_those_of_the_source() {
        let rule =
            CapacityRule { ratio_fixed: 1.4742, ratio_per_unit: 0.0023, soil_mass: 2_000_000.0 };
        for (read, expected) in [(100.0, 170.42), (200.0, 386.84), (300.0, 649.26)] {
            assert!((read * rule.ratio(read) - expected).abs() < 1e-9, "{read}");
        }
        for reading in CapacityReading::ALL {
            assert_eq!(CapacityReading::from_words(reading.words()), Some(reading));
            assert_eq!(serde_json::to_value(reading).unwrap(), reading.words());
        }
        assert_eq!(CapacityReading::from_words("1 h"), None);
    }
}
