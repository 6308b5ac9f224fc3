//! From a table as written to a method: every field is checked, and every problem told.

use super::super::card::{Basis, MethodCard, MethodMedium};
use super::super::reading_table::ReadingTable;
use super::{MethodTable, Reads};
use crate::findings::{Place, Problem, Refusal};
use crate::units::{Bounded, Length, bound};

/// The words for what a source does not say.
const NOT_STATED: &str = "not stated";

/// The method that `table` is, or every problem with it.
pub(super) fn build(mut table: MethodTable) -> Result<ReadingTable, Refusal> {
    let mut check = Check { problems: Vec::new() };
    check.words(&table);
    check.targets(&table);
    check.rows(&table);
    check.derived_line(&table);
    let depth = check.depth(&table.depth);
    let basis = check.basis(&table.basis);
    let medium = check.medium(&table.ph_medium);
    check.buffer(&table);
    if let Some(trigger) = table.trigger {
        check.number("trigger", trigger, &bound::SOIL_PH);
    }
    Refusal::unless_clean(check.problems, ())?;
    table.rows.sort_by(|a, b| a.reading.total_cmp(&b.reading));
    Ok(ReadingTable::new(MethodCard::new(&table, medium, depth, basis), table))
}

/// The problems found so far.
struct Check {
    problems: Vec<Problem>,
}

impl Check {
    fn refuse(&mut self, what: impl Into<String>, allowed: impl Into<String>) {
        self.problems.push(Problem::at(Place::default(), what).allowed(allowed));
    }

    fn number(&mut self, field: &str, number: f64, bounds: &Bounded) {
        if let Err(misread) = bounds.check(number, &number.to_string()) {
            self.refuse(format!("`{field}` is {}", misread.found), misread.allowed);
        }
    }

    fn words(&mut self, table: &MethodTable) {
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if table.id.is_empty() || !table.id.chars().all(plain) {
            self.refuse(
                format!("`id` is `{}`", table.id),
                "small letters, digits and hyphens, at least one",
            );
        }
        for (field, text) in [
            ("title", &table.title),
            ("source", &table.source),
            ("locator", &table.locator),
            ("region", &table.region),
            ("soils", &table.soils),
        ] {
            if text.trim().is_empty() {
                self.refuse(format!("`{field}` is empty"), format!("words, or `{NOT_STATED}`"));
            }
        }
    }

    fn targets(&mut self, table: &MethodTable) {
        for (at, &target) in table.targets.iter().enumerate() {
            self.number(&format!("targets[{at}]"), target, &bound::TARGET_PH);
        }
        if table.targets.is_empty() || !table.targets.is_sorted_by(|a, b| a < b) {
            self.refuse("`targets` do not rise", "at least one target pH, each above the last");
        }
    }

    fn rows(&mut self, table: &MethodTable) {
        let bounds = match table.reads {
            Reads::Ph => &bound::SOIL_PH,
            Reads::BufferPh => &bound::BUFFER_PH,
        };
        for (at, row) in table.rows.iter().enumerate() {
            self.number(&format!("rows[{at}].reading"), row.reading, bounds);
            if row.needs.len() != table.targets.len() {
                self.refuse(
                    format!("`rows[{at}].needs` has {} numbers", row.needs.len()),
                    format!("{}, one for each target", table.targets.len()),
                );
            }
            for (of, &need) in row.needs.iter().enumerate() {
                self.need(&format!("rows[{at}].needs[{of}]"), need, table);
            }
        }
        let rises = table.rows.is_sorted_by(|a, b| a.reading < b.reading);
        let falls = table.rows.is_sorted_by(|a, b| a.reading > b.reading);
        if table.rows.len() < 2 || !(rises || falls) {
            self.refuse(
                "`rows` are not in order",
                "two rows or more, by rising or falling reading",
            );
        }
    }

    fn need(&mut self, field: &str, need: f64, table: &MethodTable) {
        let most = table.need_unit.number(most_need());
        if !(need.is_finite() && (0.0..=most).contains(&need)) {
            let unit = table.need_unit.words();
            self.refuse(format!("`{field}` is {need}"), format!("from 0 to {most:.0} {unit}"));
        }
    }

    fn derived_line(&mut self, table: &MethodTable) {
        let Some(line) = &table.derived else { return };
        self.need("derived.per_unit", line.per_unit, table);
        let highest = table.rows.iter().map(|row| row.reading).fold(f64::MIN, f64::max);
        if table.targets.len() != 1 {
            self.refuse("`derived` stands in a table of several targets", "a table of one target");
        }
        if !line.zero_at.is_finite() || line.zero_at <= highest || line.zero_at > 14.0 {
            self.refuse(
                format!("`derived.zero_at` is {}", line.zero_at),
                format!("a reading above the highest row, {highest}"),
            );
        }
    }

    fn buffer(&mut self, table: &MethodTable) {
        match (table.reads, table.buffer) {
            (Reads::BufferPh, None) => {
                self.refuse("`buffer` is missing", "the buffer whose pH the rows go by");
            }
            (Reads::Ph, Some(buffer)) => self.refuse(
                format!("`buffer` is `{}`, but the rows go by the soil's pH", buffer.words()),
                "a buffer only where `reads` is `buffer_ph`",
            ),
            _ => {}
        }
    }

    fn depth(&mut self, text: &str) -> Option<Length> {
        if text == NOT_STATED {
            return None;
        }
        match bound::LIMED_DEPTH.read(text) {
            Ok(metres) => Some(Length::from_metres(metres)),
            Err(misread) => {
                let allowed = format!("{}, or `{NOT_STATED}`", misread.allowed);
                self.refuse(format!("`depth` is {}", misread.found), allowed);
                None
            }
        }
    }

    fn basis(&mut self, text: &str) -> Basis {
        let percent = text.strip_suffix("CCE").map(|share| bound::EFFECTIVE.read(share.trim()));
        match percent {
            _ if text == NOT_STATED => Basis::NotStated,
            Some(Ok(share)) => Basis::Stated(share),
            _ => {
                let allowed = format!("such as `100 % CCE`, or `{NOT_STATED}`");
                self.refuse(format!("`basis` is `{text}`"), allowed);
                Basis::NotStated
            }
        }
    }

    fn medium(&mut self, text: &str) -> MethodMedium {
        MethodMedium::from_words(text).unwrap_or_else(|| {
            let all: Vec<_> = MethodMedium::all().map(MethodMedium::words).collect();
            self.refuse(format!("`ph_medium` is `{text}`"), format!("one of {}", all.join(", ")));
            MethodMedium::AnyWater
        })
    }
}

/// More than any printed table asks for: a guard against needs written in the wrong unit.
fn most_need() -> crate::units::LimeNeed {
    crate::units::LimeNeed::from_tonnes_per_hectare(100.0)
}
