//! How well the laboratory repeats its readings.

use super::check::Checker;
use super::file::SamplesTable;
use crate::units::bound;

/// How far readings of one sample lie apart, as standard deviations on the pH scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Repeatability {
    /// Of soil pH.
    pub ph: f64,
    /// Of buffer pH.
    pub buffer_ph: f64,
}

impl Repeatability {
    /// What is taken where the job states nothing.
    ///
    /// Soil pH is told to a tenth (common practice). The buffer pH of a check soil is let pass
    /// within 0.15 (University of Georgia, Agricultural and Environmental Services Laboratories,
    /// on its soil test for lime), taken here as two standard deviations.
    pub const USUAL: Self = Self { ph: 0.1, buffer_ph: 0.075 };
}

impl Checker<'_> {
    pub(super) fn repeatability(&mut self, table: &SamplesTable) -> Option<Repeatability> {
        let mut stated = Repeatability::USUAL;
        let Some(written) = &table.repeatability else { return Some(stated) };
        let mut is_clean = true;
        for (reading, slot) in
            [(&written.value.ph, &mut stated.ph), (&written.value.buffer_ph, &mut stated.buffer_ph)]
        {
            let Some(reading) = reading else { continue };
            match self.ph(reading, &bound::REPEATABILITY) {
                Some(deviation) => *slot = deviation,
                None => is_clean = false,
            }
        }
        is_clean.then_some(stated)
    }
}
