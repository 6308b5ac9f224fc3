//! The charges of a soil by volume, as the rules that lime to a share of the charge take them.

use super::{Soil, Tracer};
use crate::agronomy::by_volume::CHARGE_BY_VOLUME;
use crate::agronomy::{Missing, Step};
use crate::units::{SoilValue, is_by_volume, plain};

impl Tracer<'_> {
    /// A charge by volume; one that was reported by mass is told with the density that turns it.
    pub(super) fn charge(&mut self, soil: &Soil<'_>, value: SoilValue) -> Result<f64, Missing> {
        let read = soil.value(value)?;
        let unit = self.printed.units.get(value);
        let density =
            self.printed.bulk_density.filter(|_| unit.is_some_and(|it| !is_by_volume(it)));
        let Some(density) = density else { return Ok(read) };
        let charge = read * density;
        let words = format!(
            "By volume: {} {} cmol/kg x {} kg/dm3 = {} {CHARGE_BY_VOLUME}",
            value.words(),
            plain(read, 0, 6),
            plain(density, 0, 4),
            plain(charge, 0, 6)
        );
        self.steps.push(
            Step::new("charge_by_volume", words)
                .with("by_mass", read, "cmol/kg")
                .with("density", density, "kg/dm3")
                .with("by_volume", charge, CHARGE_BY_VOLUME),
        );
        Ok(charge)
    }

    /// Several charges by volume, and the sum of them as it is written out.
    pub(super) fn charges(
        &mut self,
        soil: &Soil<'_>,
        values: &[SoilValue],
    ) -> Result<(f64, String), Missing> {
        let (mut sum, mut words) = (0.0, Vec::with_capacity(values.len()));
        for &value in values {
            let charge = self.charge(soil, value)?;
            sum += charge;
            words.push(plain(charge, 0, 6));
        }
        Ok((sum, words.join(" + ")))
    }
}
