//! The need from the acidity that a buffer shows, less what earlier lime is still worth.

use super::need::{Need, SAME_READING, Why};
use super::table::BufferEquation;
use crate::units::LimeNeed;

/// The equation of a [`BufferEquation`], fitted to one job.
#[derive(Clone, Debug)]
pub(super) struct Equation {
    table: BufferEquation,
    target_ph: f64,
    /// What one printed unit of need is, as pure calcium carbonate over the limed depth.
    one: LimeNeed,
    /// What earlier lime is still worth.
    credit: LimeNeed,
}

impl Equation {
    pub(super) fn new(table: BufferEquation, target_ph: f64, one: LimeNeed) -> Self {
        Self { table, target_ph, one, credit: LimeNeed::ZERO }
    }

    /// The printed numbers.
    pub(super) fn table(&self) -> &BufferEquation {
        &self.table
    }

    /// The same, less what earlier lime is still worth.
    pub(super) fn with_credit(self, credit: LimeNeed) -> Self {
        Self { credit, ..self }
    }

    /// The need of a soil of pH `ph`, in the method's own medium, below the target, that reads
    /// `buffer_ph` in the buffer.
    pub(super) fn look_up(&self, ph: f64, buffer_ph: f64) -> Need {
        let Self { table, target_ph, .. } = self;
        // Above the reading without acidity there is none, not less than none (ours).
        let acidity = (table.no_acidity_at - buffer_ph).max(0.0) * table.acidity_per_unit;
        let to_neutralise = table.ph_without_acidity - ph;
        // The target is at most the pH without acidity, so a soil below its target lies below that
        // too; where it all but reaches it, all the acidity is to go.
        let share = if to_neutralise > SAME_READING {
            ((target_ph - ph) / to_neutralise).clamp(0.0, 1.0)
        } else {
            1.0
        };
        let before = self.one * (acidity * share * table.need_per_acidity);
        let need = (before - self.credit).max(LimeNeed::ZERO);
        // A rounding error is not less than the least.
        if need < self.one * (table.least_need * (1.0 - 1e-12)) {
            return Need { need: LimeNeed::ZERO, why: Why::BelowLeast };
        }
        Need { need, why: Why::Table }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An invented table whose need is not its acidity, and that limes for any need.
    fn half_a_ton_for_each() -> BufferEquation {
        BufferEquation {
            no_acidity_at: 6.6,
            acidity_per_unit: 4.0,
            ph_without_acidity: 6.6,
            need_per_acidity: 0.5,
            least_need: 0.0,
            least_need_source: None,
            credit: None,
        }
    }

    fn to(target_ph: f64, table: BufferEquation) -> Equation {
        Equation::new(table, target_ph, LimeNeed::from_short_tons_per_acre(1.0))
    }

    fn tons(equation: &Equation, ph: f64, buffer_ph: f64) -> f64 {
        equation.look_up(ph, buffer_ph).need.to_short_tons_per_acre()
    }

    fn near(found: f64, expected: f64) -> bool {
        (found - expected).abs() < 1e-6
    }

    #[test]
    fn each_part_of_the_acidity_needs_what_the_table_says() {
        // Acidity (6.6 - 5.6) x 4, five eighths of it to go, half a ton for each.
        assert!(near(tons(&to(6.0, half_a_ton_for_each()), 5.0, 5.6), 1.25));
    }

    #[test]
    fn a_buffer_above_the_reading_without_acidity_needs_nothing_with_and_without_a_credit() {
        let plain = to(6.6, half_a_ton_for_each());
        let credit = LimeNeed::from_short_tons_per_acre(0.05);
        let credited = plain.clone().with_credit(credit);
        for buffer_ph in [6.6, 6.601, 6.7, 8.0] {
            let nothing = Need { need: LimeNeed::ZERO, why: Why::Table };
            assert_eq!(plain.look_up(5.0, buffer_ph), nothing, "{buffer_ph}");
            assert_eq!(credited.look_up(5.0, buffer_ph), nothing, "{buffer_ph}");
        }
        // Just below it there is a little, and the credit comes off it.
        assert!(near(tons(&plain, 5.0, 6.599), 0.002));
        assert!(near(tons(&plain, 5.0, 6.55), 0.1));
        assert!(near(tons(&credited, 5.0, 6.55), 0.05));
    }

    #[test]
    fn a_target_close_to_the_ph_without_acidity_takes_its_share_and_no_more() {
        for (target, ph, share) in [
            (6.55, 6.54, 1.0 / 6.0),
            (6.55, 6.5, 0.5),
            (6.59, 6.0, 59.0 / 60.0),
            (6.599, 6.598, 0.5),
            (6.6 - 1e-6, 6.6 - 2e-6, 0.5),
            // As far as a target may lie above it by rounding, all the acidity goes and no more.
            (6.6 + 1e-9, 6.6 - 2e-9, 1.0),
            (6.6, 6.6, 1.0),
        ] {
            let found = tons(&to(target, half_a_ton_for_each()), ph, 5.6);
            assert!(near(found, 2.0 * share), "{target} {ph}: {found}");
        }
    }

    #[test]
    fn a_need_is_less_than_the_least_by_more_than_a_rounding_error_only() {
        let least = BufferEquation { least_need: 0.3, ..half_a_ton_for_each() };
        let equation = to(6.6, least);
        let at = |need: f64| equation.look_up(5.0, 6.6 - need / 2.0).why;
        assert_eq!(at(0.3 * (1.0 - 1e-13)), Why::Table);
        assert_eq!(at(0.3 * (1.0 - 1e-10)), Why::BelowLeast);
        assert_eq!(at(0.3 + 1e-9), Why::Table);
    }
}
