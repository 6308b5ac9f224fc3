//! From a table as written to a method: every field is checked, and every problem told.

use super::super::Aim;
use super::super::card::{Basis, MethodCard, MethodMedium};
use super::super::reads::Reads;
use super::super::tabled::TabledMethod;
use super::{Example, MethodTable};
use crate::findings::{Place, Problem, Refusal};
use crate::units::{Bounded, Length, SoilValue, bound};

/// The words for what a source does not say.
const NOT_STATED: &str = "not stated";

/// The method that `table` is, or every problem with it.
pub(super) fn build(mut table: MethodTable) -> Result<TabledMethod, Refusal> {
    let mut check = Check { problems: Vec::new() };
    check.words(&table);
    check.shape(&table);
    let depth = check.depth(&table.depth);
    let basis = check.basis(&table.basis);
    let medium = check.medium(&table);
    check.buffer(&table);
    check.extract(&table);
    check.examples(&table);
    if let Some(trigger) = table.trigger {
        check.number("trigger", trigger, &bound::SOIL_PH);
    }
    Refusal::unless_clean(check.problems, ())?;
    table.rows.sort_by(|a, b| a.reading.total_cmp(&b.reading));
    Ok(TabledMethod::new(MethodCard::new(&table, medium, depth, basis), table))
}

/// The problems found so far.
pub(super) struct Check {
    problems: Vec<Problem>,
}

impl Check {
    pub(super) fn refuse(&mut self, what: impl Into<String>, allowed: impl Into<String>) {
        self.problems.push(Problem::at(Place::default(), what).allowed(allowed));
    }

    pub(super) fn number(&mut self, field: &str, number: f64, bounds: &Bounded) {
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

    pub(super) fn need(&mut self, field: &str, need: f64, table: &MethodTable) {
        let most = table.need_unit.number(most_need());
        if !(need.is_finite() && (0.0..=most).contains(&need)) {
            let unit = table.need_unit.words();
            self.refuse(format!("`{field}` is {need}"), format!("from 0 to {most:.0} {unit}"));
        }
    }

    fn buffer(&mut self, table: &MethodTable) {
        match (table.reads.has(Reads::BufferPh), table.buffer) {
            (true, None) => {
                self.refuse("`buffer` is missing", "the buffer whose pH the needs go by");
            }
            (false, Some(buffer)) => self.refuse(
                format!(
                    "`buffer` is `{}`, but the needs go by the {}",
                    buffer.words(),
                    table.reads.words()
                ),
                "a buffer only where `reads` is `buffer_ph`",
            ),
            _ => {}
        }
    }

    fn extract(&mut self, table: &MethodTable) {
        let reads = table.reads.has(Reads::Value(SoilValue::Aluminium));
        if reads && table.al_extract.is_none() {
            self.refuse("`al_extract` is missing", "the extract of the aluminium");
        }
        if !reads && table.al_extract.is_some() {
            self.refuse(
                "`al_extract` stands in a table that reads no aluminium",
                "an extract only where `reads` has `aluminium`",
            );
        }
    }

    /// What an example reads lies where such readings lie, and its need where needs do.
    fn examples(&mut self, table: &MethodTable) {
        for (at, Example { given, expect, tolerance, .. }) in table.examples.iter().enumerate() {
            let acidity = SoilValue::Acidity.bounded();
            for (field, number, bounds) in [
                ("ph", given.ph, &bound::SOIL_PH),
                ("buffer_ph", given.buffer_ph, &bound::BUFFER_PH),
                ("acidity", given.acidity, acidity),
            ] {
                if let Some(number) = number {
                    self.number(&format!("examples[{at}].given.{field}"), number, bounds);
                }
            }
            self.need(&format!("examples[{at}].expect"), *expect, table);
            self.need(&format!("examples[{at}].tolerance"), *tolerance, table);
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

    fn medium(&mut self, table: &MethodTable) -> MethodMedium {
        let text = table.ph_medium.as_str();
        let medium = MethodMedium::from_words(text);
        let counts = table.shape.aim() == Aim::Ph || table.trigger.is_some();
        if medium == Some(MethodMedium::Any) && counts {
            self.refuse(
                format!("`ph_medium` is `{text}`, and a pH of the table decides the need"),
                "the medium of that pH",
            );
        }
        medium.unwrap_or_else(|| {
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
