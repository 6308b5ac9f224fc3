//! The need to a base saturation, from the bases and the potential acidity of a soil.

use super::Missing;
use super::by_volume::ByVolume;
use super::need::{Need, Why};
use super::soil::Soil;
use super::table::{AcidityByBuffer, BaseSaturationRule};
use crate::units::{LimeNeed, SoilValue};

/// The rule of a [`BaseSaturationRule`], fitted to one job.
#[derive(Clone, Debug)]
pub(super) struct BaseSaturation {
    table: BaseSaturationRule,
    charges: ByVolume,
    /// The share of the capacity that bases are to hold.
    target: f64,
    /// What one printed unit of need is, as pure calcium carbonate over the limed depth.
    one: LimeNeed,
}

impl BaseSaturation {
    pub(super) fn new(
        table: BaseSaturationRule,
        charges: ByVolume,
        target: f64,
        one: LimeNeed,
    ) -> Self {
        Self { table, charges, target, one }
    }

    /// The potential acidity by the buffer, where it is read so.
    pub(super) fn curve(&self) -> Option<&AcidityByBuffer> {
        self.table.acidity.as_ref()
    }

    /// The need of a soil.
    pub(super) fn look_up(&self, soil: &Soil<'_>) -> Result<Need, Missing> {
        let bases = self.charges.sum(soil, &self.table.bases)?;
        let (acidity, why) = match &self.table.acidity {
            None => (self.charges.charge(soil, SoilValue::PotentialAcidity)?, Why::Table),
            Some(curve) if curve.turns_below(soil.reading) => {
                (curve.acidity(soil.reading), Why::AboveTable)
            }
            Some(curve) => (curve.acidity(soil.reading), Why::Table),
        };
        // (target - bases / capacity) x capacity, which a soil without any charge has as well.
        let charge = (self.target * (bases + acidity) - bases).max(0.0);
        Ok(Need { need: self.one * (self.table.need_per_charge * charge), why })
    }
}

impl AcidityByBuffer {
    /// The potential acidity at a reading, cmol/dm3.
    pub(super) fn acidity(&self, buffer_ph: f64) -> f64 {
        let reading = self.turns_at().map_or(buffer_ph, |turn| buffer_ph.min(turn));
        (self.fixed + (self.per_unit + self.per_square * reading) * reading).max(0.0)
    }

    /// The reading at which the curve turns upward again; `None` for a straight line.
    pub(super) fn turns_at(&self) -> Option<f64> {
        (self.per_square > 0.0).then(|| -self.per_unit / (2.0 * self.per_square))
    }

    /// The least reading without acidity; `None` where the curve turns before it comes to nothing.
    pub(super) fn zero_at(&self) -> Option<f64> {
        let Self { fixed, per_unit, per_square, .. } = *self;
        if per_square == 0.0 {
            return Some(fixed / -per_unit);
        }
        let under_root = per_unit * per_unit - 4.0 * per_square * fixed;
        (under_root >= 0.0).then(|| (-per_unit - under_root.sqrt()) / (2.0 * per_square))
    }

    fn turns_below(&self, buffer_ph: f64) -> bool {
        self.turns_at().is_some_and(|turn| buffer_ph > turn)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::agronomy::{SoilValues, ValueUnits};

    const BASES: [SoilValue; 3] = [SoilValue::Calcium, SoilValue::Magnesium, SoilValue::Potassium];

    fn curve(fixed: f64, per_unit: f64, per_square: f64) -> AcidityByBuffer {
        let (source, locator) = (String::new(), String::new());
        AcidityByBuffer { fixed, per_unit, per_square, source, locator }
    }

    fn rule(target: f64, acidity: Option<AcidityByBuffer>) -> BaseSaturation {
        let table = BaseSaturationRule { need_per_charge: 2.0, bases: BASES.to_vec(), acidity };
        let charges = ByVolume::of(BASES.into_iter(), &ValueUnits::default(), None).unwrap();
        BaseSaturation::new(table, charges, target, LimeNeed::from_tonnes_per_hectare(1.0))
    }

    /// The need of a soil with 1.0, 0.5 and 0.25 cmol/dm3 of bases, t/ha.
    fn need(rule: &BaseSaturation, reading: f64, acidity: f64) -> (f64, Why) {
        let values = SoilValues::default()
            .with(SoilValue::Calcium, 1.0)
            .with(SoilValue::Magnesium, 0.5)
            .with(SoilValue::Potassium, 0.25)
            .with(SoilValue::PotentialAcidity, acidity);
        let found = rule.look_up(&Soil { ph: 5.0, reading, values: &values }).unwrap();
        (found.need.to_tonnes_per_hectare(), found.why)
    }

    fn near(found: f64, expected: f64) -> bool {
        (found - expected).abs() < 1e-9
    }

    #[test]
    fn the_capacity_is_the_bases_and_the_acidity_and_a_reached_target_needs_nothing() {
        let measured = rule(0.6, None);
        // T = 1.75 + 5.25 = 7, V = 25 %: 2 x 0.35 x 7.
        assert!(near(need(&measured, 5.25, 5.25).0, 4.9));
        // V = 1.75 / 2.5 = 70 %, and exactly at the target, 1.75 / 3.5 = 50 %.
        assert_eq!(need(&measured, 0.75, 0.75), (0.0, Why::Table));
        assert_eq!(need(&rule(0.5, None), 1.75, 1.75).0, 0.0);
        assert!(near(need(&rule(0.5, None), 1.75, 1.75 + 1e-3).0, 1e-3));
        // All the acidity at 100 %.
        assert!(near(need(&rule(1.0, None), 3.0, 3.0).0, 6.0));
    }

    #[test]
    fn a_bent_curve_is_not_followed_beyond_where_it_turns_and_never_below_nothing() {
        // (reading - 7)^2 + 1 turns at 7, (reading - 7) x (reading - 9) at 8 and below nothing.
        let above = curve(50.0, -14.0, 1.0);
        assert_eq!((above.turns_at(), above.zero_at()), (Some(7.0), None));
        assert!(near(above.acidity(5.0), 5.0) && near(above.acidity(7.0), 1.0));
        assert!(near(above.acidity(8.0), 1.0));
        let through = curve(63.0, -16.0, 1.0);
        assert_eq!((through.turns_at(), through.zero_at()), (Some(8.0), Some(7.0)));
        assert!(near(through.acidity(6.0), 3.0));
        for reading in [7.0, 7.5, 8.0, 9.5] {
            assert_eq!(through.acidity(reading), 0.0, "{reading}");
        }
        let line = curve(21.0, -3.0, 0.0);
        assert_eq!((line.turns_at(), line.zero_at()), (None, Some(7.0)));
        assert!(near(line.acidity(6.0), 3.0) && line.acidity(7.5) == 0.0);
    }

    #[test]
    fn a_reading_beyond_the_turn_is_flagged_and_the_acidity_by_the_buffer_is_taken() {
        let rule = rule(0.6, Some(curve(50.0, -14.0, 1.0)));
        // At 5: T = 1.75 + 5; 2 x (0.6 x 6.75 - 1.75). What else was measured does not count.
        assert!(near(need(&rule, 5.0, 60.0).0, 4.6));
        assert_eq!(need(&rule, 7.0, 0.0).1, Why::Table);
        let beyond = need(&rule, 7.1, 0.0);
        assert_eq!(beyond.1, Why::AboveTable);
        assert_eq!(beyond.0, need(&rule, 7.0, 0.0).0);
    }
}
