//! The need from the acid saturation that a pH stands for and the acidity that a buffer shows.

use super::need::{Need, Why};
use super::table::SaturationEquation;
use crate::units::LimeNeed;

/// The equation, fitted to one job.
#[derive(Clone, Debug)]
pub(super) struct Saturation {
    table: SaturationEquation,
    /// The acid saturation at the target.
    at_target: f64,
    /// What one printed unit of need is, as pure calcium carbonate over the limed depth.
    one: LimeNeed,
}

impl Saturation {
    pub(super) fn new(table: SaturationEquation, target_ph: f64, one: LimeNeed) -> Self {
        let at_target = table.saturation_at(target_ph);
        Self { table, at_target, one }
    }

    /// The printed numbers.
    pub(super) fn table(&self) -> &SaturationEquation {
        &self.table
    }

    /// The need of a soil of pH `ph`, below the target, that reads `buffer_ph` in the buffer.
    pub(super) fn look_up(&self, ph: f64, buffer_ph: f64) -> Need {
        let table = &self.table;
        let now = table.saturation_at(ph);
        // A soil below its target has some acid saturation; one that has none needs nothing.
        let share = if now > 0.0 { ((now - self.at_target) / now).clamp(0.0, 1.0) } else { 0.0 };
        let acidity = (table.no_acidity_at - buffer_ph).max(0.0);
        Need { need: self.one * (table.need_per_ph * acidity * share), why: Why::Table }
    }
}

impl SaturationEquation {
    /// The acid saturation that a pH stands for, from 0 to 1; the equation goes above 1 below some
    /// pH, and below 0 above another, where the ends are taken (ours).
    pub(super) fn saturation_at(&self, ph: f64) -> f64 {
        let Self { ph_at_none, linear, square, .. } = *self;
        let under_root = linear * linear - 4.0 * square * (ph_at_none - ph);
        if under_root < 0.0 {
            return 1.0;
        }
        ((linear - under_root.sqrt()) / (2.0 * square)).clamp(0.0, 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_saturation_stays_between_nothing_and_all() {
        let table = SaturationEquation {
            ph_at_none: 7.79,
            linear: 5.55,
            square: 2.27,
            no_acidity_at: 8.0,
            need_per_ph: 12_000.0,
        };
        for (ph, expected) in
            [(3.0, 1.0), (4.5, 1.0), (5.0, 0.7073), (5.5, 0.5256), (6.0, 0.3823), (6.5, 0.2601)]
        {
            assert!((table.saturation_at(ph) - expected).abs() < 2e-4, "{ph}");
        }
        assert_eq!(table.saturation_at(7.9), 0.0);
        assert!(table.saturation_at(4.52) < 1.0);
        let equation = Saturation::new(table, 6.5, LimeNeed::from_pounds_per_acre(1.0));
        assert_eq!(equation.look_up(5.0, 8.2).need, LimeNeed::ZERO);
        let need = equation.look_up(5.0, 7.5).need.to_pounds_per_acre();
        assert!((need - 3_793.7).abs() < 0.5, "{need}");
    }
}
