//! Charges by volume of soil: what was reported by mass is multiplied by the soil's bulk density.

use super::soil::Soil;
use super::{Missing, ValueUnits};
use crate::units::{SoilValue, is_by_volume};

/// The unit of charge by volume of soil.
pub(super) const CHARGE_BY_VOLUME: &str = "cmol/dm3";

/// The charges of a method that counts them by volume, and those of them that were reported by mass.
#[derive(Clone, Debug, Default)]
pub(super) struct ByVolume {
    by_mass: Vec<SoilValue>,
    /// kg/dm3; 1 where none was reported by mass.
    density: f64,
}

impl ByVolume {
    /// The charges `values` as they were reported in `units`; one that was not reported counts as
    /// by volume, and is missed elsewhere.
    ///
    /// # Errors
    /// Returns those that were reported by mass, where no density turns them into a volume.
    pub(super) fn of(
        values: impl Iterator<Item = SoilValue>,
        units: &ValueUnits,
        density: Option<f64>,
    ) -> Result<Self, Vec<SoilValue>> {
        let by_mass = |value: &SoilValue| units.get(*value).is_some_and(|unit| !is_by_volume(unit));
        let by_mass: Vec<SoilValue> = values.filter(by_mass).collect();
        match density {
            Some(density) => Ok(Self { by_mass, density }),
            None if by_mass.is_empty() => Ok(Self { by_mass, density: 1.0 }),
            None => Err(by_mass),
        }
    }

    /// Those that were reported by mass.
    pub(super) fn by_mass(&self) -> &[SoilValue] {
        &self.by_mass
    }

    /// A charge of a soil, cmol/dm3.
    pub(super) fn charge(&self, soil: &Soil<'_>, value: SoilValue) -> Result<f64, Missing> {
        let charge = soil.value(value)?;
        Ok(if self.by_mass.contains(&value) { charge * self.density } else { charge })
    }

    /// The sum of several.
    pub(super) fn sum(&self, soil: &Soil<'_>, values: &[SoilValue]) -> Result<f64, Missing> {
        values.iter().try_fold(0.0, |sum, &value| Ok(sum + self.charge(soil, value)?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::agronomy::SoilValues;

    #[test]
    fn charges_by_mass_are_multiplied_by_the_density_and_refused_without_it() {
        let (calcium, magnesium) = (SoilValue::Calcium, SoilValue::Magnesium);
        let mut units = ValueUnits::default();
        units.set(calcium, "cmol/kg");
        units.set(magnesium, "mmol/dm3");
        let both = || [calcium, magnesium].into_iter();
        assert_eq!(ByVolume::of(both(), &units, None).unwrap_err(), [calcium]);
        let charges = ByVolume::of(both(), &units, Some(1.25)).unwrap();
        assert_eq!(charges.by_mass(), [calcium]);
        let values = SoilValues::default().with(calcium, 2.0).with(magnesium, 3.0);
        let soil = Soil { ph: 5.0, reading: 5.0, values: &values };
        assert_eq!(charges.charge(&soil, calcium), Ok(2.5));
        assert_eq!(charges.charge(&soil, magnesium), Ok(3.0));
        assert_eq!(charges.sum(&soil, &[calcium, magnesium]), Ok(5.5));
        let potassium = SoilValue::Potassium;
        assert_eq!(charges.sum(&soil, &[potassium]), Err(Missing::Value(potassium)));
        // By volume no density is needed.
        units.set(calcium, "cmol/dm3");
        let charges = ByVolume::of(both(), &units, None).unwrap();
        assert_eq!(charges.sum(&soil, &[calcium, magnesium]), Ok(5.0));
    }
}
