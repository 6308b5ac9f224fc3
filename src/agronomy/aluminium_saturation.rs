//! The need to an aluminium saturation, from the exchangeable aluminium and bases of a soil.

use super::Missing;
use super::by_volume::ByVolume;
use super::need::{Need, Why};
use super::soil::Soil;
use super::table::AluminiumSaturationRule;
use crate::units::{LimeNeed, SoilValue};

/// The rule of an [`AluminiumSaturationRule`], fitted to one job.
#[derive(Clone, Debug)]
pub(super) struct AluminiumSaturation {
    table: AluminiumSaturationRule,
    charges: ByVolume,
    /// The share of the effective capacity that aluminium may hold.
    target: f64,
    /// What one printed unit of need is, as pure calcium carbonate over the limed depth.
    one: LimeNeed,
}

impl AluminiumSaturation {
    pub(super) fn new(
        table: AluminiumSaturationRule,
        charges: ByVolume,
        target: f64,
        one: LimeNeed,
    ) -> Self {
        Self { table, charges, target, one }
    }

    /// The need of a soil.
    pub(super) fn look_up(&self, soil: &Soil<'_>) -> Result<Need, Missing> {
        let aluminium = self.charges.charge(soil, SoilValue::Aluminium)?;
        let bases = self.charges.sum(soil, &self.table.bases)?;
        let excess = (aluminium - self.target * (aluminium + bases)).max(0.0);
        let charge = self.table.factor_for(aluminium, excess) * excess;
        Ok(Need { need: self.one * (self.table.need_per_charge * charge), why: Why::Table })
    }
}

impl AluminiumSaturationRule {
    /// The factor for a soil with so much aluminium, of which `excess` lies beyond the target; what
    /// comes to a rounding error more than the aluminium is no more than it.
    pub(super) fn factor_for(&self, aluminium: f64, excess: f64) -> f64 {
        let is_beyond = self.factor * excess > aluminium * (1.0 + 1e-12);
        self.factor_beyond_aluminium.filter(|_| is_beyond).unwrap_or(self.factor)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::agronomy::{SoilValues, ValueUnits};

    const BASES: [SoilValue; 2] = [SoilValue::Calcium, SoilValue::Magnesium];

    fn rule(target: f64, beyond: Option<f64>) -> AluminiumSaturation {
        let table = AluminiumSaturationRule {
            need_per_charge: 1.0,
            bases: BASES.to_vec(),
            factor: 1.5,
            factor_beyond_aluminium: beyond,
        };
        let charges = ByVolume::of(BASES.into_iter(), &ValueUnits::default(), None).unwrap();
        AluminiumSaturation::new(table, charges, target, LimeNeed::from_tonnes_per_hectare(1.0))
    }

    fn need(rule: &AluminiumSaturation, [aluminium, calcium, magnesium]: [f64; 3]) -> f64 {
        let values = SoilValues::default()
            .with(SoilValue::Aluminium, aluminium)
            .with(SoilValue::Calcium, calcium)
            .with(SoilValue::Magnesium, magnesium);
        let found = rule.look_up(&Soil { ph: 4.5, reading: aluminium, values: &values }).unwrap();
        assert_eq!(found.why, Why::Table);
        found.need.to_tonnes_per_hectare()
    }

    /// Soils and needs of the equation in Tropical Agriculture, 1980 (abstract); arithmetic ours.
    #[test]
    fn the_equation_of_1980_with_its_step_and_its_floor() {
        for (soil, percent, expected) in [
            ([3.0, 1.0, 0.5], 20.0, 4.2),
            ([2.0, 1.5, 0.5], 40.0, 0.6),
            ([4.0, 0.8, 0.2], 10.0, 7.0),
            ([0.3, 4.0, 1.0], 15.0, 0.0),
        ] {
            let found = need(&rule(percent / 100.0, Some(2.0)), soil);
            assert!((found - expected).abs() < 1e-9, "{soil:?}: {found}");
        }
    }

    #[test]
    fn the_step_lies_where_the_lime_is_as_much_as_the_aluminium() {
        // 1.5 x (2 - 0.2 x capacity) is 2 at a capacity of 10 / 3.
        let rule = rule(0.2, Some(2.0));
        let at = |calcium: f64| need(&rule, [2.0, calcium, 0.0]);
        let edge = 10.0 / 3.0 - 2.0;
        assert!((at(edge) - 2.0).abs() < 1e-9, "{}", at(edge));
        assert!((at(edge + 1e-6) - 2.0).abs() < 1e-5);
        assert!((at(edge - 1e-6) - 2.0 * 4.0 / 3.0).abs() < 1e-5);
    }

    #[test]
    fn a_soil_at_its_target_needs_nothing() {
        // 1 of 5 is 20 %.
        assert!(need(&rule(0.2, Some(2.0)), [1.0, 3.0, 1.0]).abs() < 1e-12);
        assert!(need(&rule(0.2, Some(2.0)), [1.0 + 1e-3, 3.0, 1.0]) > 1e-3);
        assert_eq!(need(&rule(0.2, Some(2.0)), [0.0, 3.0, 1.0]), 0.0);
    }

    /// One and a half times the aluminium, the rule of 1970 as a paper of 1980 restates it: without
    /// the step, to no aluminium at all.
    #[test]
    fn without_the_step_and_to_nothing_left_it_is_the_rule_of_1970() {
        for (aluminium, expected) in [(1.0, 1.5), (2.5, 3.75), (4.0, 6.0)] {
            let found = need(&rule(0.0, None), [aluminium, 1.3, 0.4]);
            assert!((found - expected).abs() < 1e-9, "{aluminium}: {found}");
        }
    }
}
