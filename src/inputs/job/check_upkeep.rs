//! The `[upkeep]` of a job: the nitrogen that is given and the crops that are carried off each year.

use super::check::Checker;
use super::file::JobFile;
use super::upkeep_file::{NitrogenTable, RemovalTable};
use super::written::At;
use crate::agronomy::{Upkeep, nitrogen_forms, removed_products};
use crate::units::{M2_PER_HECTARE, bound};

impl Checker<'_> {
    /// `Some(None)` where the job has none, `None` where something in it is wrong.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    pub(super) fn upkeep(&mut self, file: &JobFile) -> Option<Option<Upkeep>> {
        let Some(table) = file.upkeep.as_ref().map(|table| &table.value) else { return Some(None) };
        let nitrogen = table.nitrogen.as_ref().map(|list| list.value.as_slice());
        let nitrogen: Vec<Option<_>> =
            nitrogen.unwrap_or_default().iter().map(|entry| self.nitrogen(entry)).collect();
        let removal = table.removal.as_ref().map(|list| list.value.as_slice());
        let removal: Vec<Option<_>> =
            removal.unwrap_or_default().iter().map(|entry| self.removal(entry)).collect();
        Some(Some(Upkeep {
            nitrogen_kg_per_ha: nitrogen.into_iter().collect::<Option<_>>()?,
            removal_t_per_ha: removal.into_iter().collect::<Option<_>>()?,
        }))
    }

    fn nitrogen(&mut self, entry: &At<NitrogenTable>) -> Option<(&'static str, f64)> {
        let form =
            self.one_of("upkeep.nitrogen.form", entry.value.form.as_ref(), &nitrogen_forms());
        let rate = self.required(
            "upkeep.nitrogen.rate",
            "the nitrogen that is given in a year, such as \"150 lb/ac\"",
            entry.value.rate.as_ref(),
        );
        let rate = rate.and_then(|rate| self.quantity(rate, &bound::NITROGEN));
        Some((form?, rate? * M2_PER_HECTARE))
    }

    fn removal(&mut self, entry: &At<RemovalTable>) -> Option<(&'static str, f64)> {
        let product = self.one_of(
            "upkeep.removal.product",
            entry.value.product.as_ref(),
            &removed_products(),
        );
        let harvest = self.required(
            "upkeep.removal.yield",
            "what is carried off in a year, such as \"3 t/ha\"",
            entry.value.harvest.as_ref(),
        );
        let harvest = harvest.and_then(|harvest| self.quantity(harvest, &bound::YIELD));
        Some((product?, harvest? * M2_PER_HECTARE / 1_000.0))
    }
}
