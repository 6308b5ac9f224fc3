//! What was read of a soil beside its pH and buffer pH, and the units it was reported in.

use crate::units::{SoilValue, TextureClass};

/// What was read of one soil beside its pH and buffer pH. What was not read is `None`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SoilValues {
    numbers: [Option<f64>; SoilValue::COUNT],
    texture: Option<TextureClass>,
}

impl SoilValues {
    /// A soil of which only the texture class is known, or nothing.
    pub fn of_texture(texture: Option<TextureClass>) -> Self {
        Self { texture, ..Self::default() }
    }

    /// The texture class.
    pub fn texture(&self) -> Option<TextureClass> {
        self.texture
    }

    /// The number, where it was read.
    pub fn get(&self, value: SoilValue) -> Option<f64> {
        self.numbers[value as usize]
    }

    /// The same with this number.
    #[must_use]
    pub fn with(mut self, value: SoilValue, number: f64) -> Self {
        self.numbers[value as usize] = Some(number);
        self
    }

    /// The same with `by` added to a number, where it was read.
    #[must_use]
    pub fn shifted(mut self, value: SoilValue, by: f64) -> Self {
        if let Some(number) = &mut self.numbers[value as usize] {
            *number += by;
        }
        self
    }
}

/// The unit in which each value was reported; `None` for one that was not read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ValueUnits([Option<&'static str>; SoilValue::COUNT]);

impl ValueUnits {
    /// The unit of a value.
    pub fn get(&self, value: SoilValue) -> Option<&'static str> {
        self.0[value as usize]
    }

    /// Sets the unit of a value.
    pub fn set(&mut self, value: SoilValue, unit: &'static str) {
        self.0[value as usize] = Some(unit);
    }

    /// Numbers as reported, each in the unit in which methods take it. A number without a unit means
    /// nothing and is left out.
    pub fn canonical(&self, reported: &SoilValues) -> SoilValues {
        let mut taken = SoilValues::of_texture(reported.texture);
        for value in SoilValue::ALL {
            // Most soils have pH and buffer pH alone, and this is asked for every cell.
            if let Some(number) = reported.numbers[value as usize] {
                let unit = self.0[value as usize];
                taken.numbers[value as usize] = unit.and_then(|unit| value.canonical(number, unit));
            }
        }
        taken
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_taken_in_the_unit_they_were_reported_in() {
        let mut units = ValueUnits::default();
        units.set(SoilValue::Aluminium, "ppm");
        units.set(SoilValue::Cec, "mmol/kg");
        let reported = SoilValues::of_texture(Some(TextureClass::Loam));
        let reported = reported.with(SoilValue::Aluminium, 89.94).with(SoilValue::Cec, 120.0);
        let taken = units.canonical(&reported.with(SoilValue::Clay, 20.0));
        assert!((taken.get(SoilValue::Aluminium).unwrap() - 1.0).abs() < 1e-9);
        assert_eq!(taken.get(SoilValue::Cec), Some(12.0));
        assert_eq!(taken.get(SoilValue::Clay), None, "it has no unit");
        assert_eq!(taken.texture(), Some(TextureClass::Loam));
        assert_eq!(taken.shifted(SoilValue::Cec, 1.0).get(SoilValue::Cec), Some(13.0));
        assert_eq!(taken.shifted(SoilValue::Clay, 1.0).get(SoilValue::Clay), None);
    }
}
