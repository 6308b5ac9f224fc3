//! How long the lime may last, in the summary.

use super::build::Builder;
use super::{UpkeepPart, YearlyUsePart};
use crate::units::{Area, LimeNeed};

impl Builder<'_> {
    /// Left out where the job states no upkeep, and where nothing is spread.
    pub(super) fn upkeep(&self) -> Option<UpkeepPart> {
        let upkeep = self.parts.job.upkeep.as_ref()?;
        let prescription = self.parts.prescription;
        if prescription.treated_area <= Area::ZERO {
            return None;
        }
        let supplied: LimeNeed = prescription.ledger.supplied / prescription.treated_area;
        let uses = upkeep.yearly_uses();
        let years: Vec<f64> = uses.iter().filter_map(|one| one.years(supplied)).collect();
        Some(UpkeepPart {
            supplied: self.system.need(supplied).into(),
            years_least: years.iter().copied().reduce(f64::min)?,
            years_most: years.iter().copied().reduce(f64::max)?,
            uses: uses
                .iter()
                .map(|one| YearlyUsePart {
                    counts: one.counts.to_owned(),
                    used: one.used.map(|used| self.system.need(used).into()),
                    years: one.years(supplied),
                    source: one.source.clone(),
                })
                .collect(),
        })
    }
}
