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
