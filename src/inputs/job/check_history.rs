//! The `[[history]]` of a job: lime that was applied before the samples were taken.

use toml::value::Date;

use super::check::Checker;
use super::file::{HistoryTable, JobFile};
use super::written::At;
use crate::agronomy::{PastLime, SoilClass};
use crate::findings::Problem;
use crate::units::{LimeNeed, bound};

impl Checker<'_> {
    /// `None` where something in it is wrong.
    pub(super) fn history(&mut self, file: &JobFile) -> Option<Vec<PastLime>> {
        let Some(entries) = file.history.as_ref().filter(|entries| !entries.value.is_empty())
        else {
            return Some(Vec::new());
        };
        let sampled = self.required(
            "dates.sampled",
            "the day of sampling, from which the age of earlier lime is counted",
            file.dates.as_ref().and_then(|dates| dates.value.sampled.as_ref()),
        );
        let sampled = sampled.and_then(|day| day.value.0.date);
        let read: Vec<Option<PastLime>> =
            entries.value.iter().map(|entry| self.past_lime(entry, sampled)).collect();
        read.into_iter().collect()
    }

    fn past_lime(&mut self, entry: &At<HistoryTable>, sampled: Option<Date>) -> Option<PastLime> {
        let table = &entry.value;
        let applied =
            self.entry_key(entry, "applied", "a day, such as 2025-10-01", table.applied.as_ref());
        let rate = self.entry_key(
            entry,
            "rate",
            "effective lime an area, such as \"1 ton/ac\"",
            table.rate.as_ref(),
        );
        let rate = rate.and_then(|rate| self.quantity(rate, &bound::PAST_RATE));
        let applied = applied?;
        let words = self.day("history.applied", Some(applied))?;
        let months = whole_months(applied.value.0.date?, sampled?);
        if months.is_none() {
            let what = format!("lime of {words} was applied after the samples were taken");
            self.problems.push(
                Problem::at(self.text.place(&applied.span), what)
                    .allowed("a day up to `dates.sampled`")
                    .hint("lime that the samples could not show yet is no history; leave it out"),
            );
        }
        // The bound reads a rate in kilograms per square metre.
        let rate = LimeNeed::from_kilograms_per_hectare(rate? * crate::units::M2_PER_HECTARE);
        Some(PastLime { applied: words, rate, months: months? })
    }

    fn entry_key<'v, T>(
        &mut self,
        entry: &At<HistoryTable>,
        key: &str,
        allowed: &str,
        value: Option<&'v At<T>>,
    ) -> Option<&'v At<T>> {
        if value.is_none() {
            let what = format!("the key `{key}` is missing in this `[[history]]`");
            self.problems.push(
                Problem::at(self.text.place(&entry.span), what).allowed(allowed).hint("add it"),
            );
        }
        value
    }

    pub(super) fn soil_class(&mut self, file: &JobFile) -> Option<SoilClass> {
        let written = file.need.as_ref().and_then(|need| need.value.soil_class.as_ref())?;
        let classes: Vec<&str> = SoilClass::ALL.iter().map(|class| class.words()).collect();
        self.one_of("need.soil_class", Some(written), &classes).and_then(SoilClass::from_words)
    }
}

/// Whole months from one day to another; `None` where the other comes first. Counting whole months
/// only is ours: the source says per month.
pub(super) fn whole_months(from: Date, to: Date) -> Option<u32> {
    let month = |day: Date| u32::from(day.year) * 12 + u32::from(day.month);
    let between = month(to).checked_sub(month(from))?;
    between.checked_sub(u32::from(to.day < from.day))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn months(from: &str, to: &str) -> Option<u32> {
        let day = |text: &str| text.parse::<toml::value::Datetime>().unwrap().date.unwrap();
        whole_months(day(from), day(to))
    }

    #[test]
    fn only_whole_months_count_and_never_backwards() {
        assert_eq!(months("2025-10-01", "2026-03-01"), Some(5));
        assert_eq!(months("2025-10-02", "2026-03-01"), Some(4));
        assert_eq!(months("2025-10-02", "2026-03-31"), Some(5));
        assert_eq!(months("2025-10-02", "2025-10-02"), Some(0));
        assert_eq!(months("2025-10-02", "2025-10-30"), Some(0));
        assert_eq!(months("2025-10-02", "2025-10-01"), None);
        assert_eq!(months("2026-01-01", "2025-12-31"), None);
    }
}
