//! The result of many fields, held against the list that they are of.

use std::collections::BTreeSet;

use super::result::FieldsResult;
use crate::findings::first_of;
use crate::summary::FindingPart;
use crate::units::counted;

/// Fields that are named before the rest is only counted.
const NAMED: usize = 10;

impl FieldsResult {
    /// Tells of fields that `listed` names and that have no result, and of results that it does not
    /// name. Returns how many have none; a field that failed has told of itself.
    pub fn hold_against(&mut self, listed: &[String]) -> usize {
        let done = self.fields.iter().map(|row| row.id.as_str());
        let known: BTreeSet<&str> =
            done.chain(self.failed.iter().map(|failed| failed.id.as_str())).collect();
        let wanted: BTreeSet<&str> = listed.iter().map(String::as_str).collect();
        let missing: Vec<&str> =
            listed.iter().map(String::as_str).filter(|id| !known.contains(id)).collect();
        let others: Vec<&str> = known.difference(&wanted).copied().collect();
        let mut told = Vec::new();
        if !missing.is_empty() {
            let text = format!(
                "{} of {} of the list have no result here: {}. They are in no total and in no \
                 order; run `limewright fields` with the list to finish them.",
                missing.len(),
                counted(listed.len() as u64, "field", "fields"),
                first_of(&missing, NAMED)
            );
            told.push(("fields_without_result", text));
        }
        if !others.is_empty() {
            let text = format!(
                "{} here that the list does not name: {}. They are counted.",
                counted(others.len() as u64, "result is", "results are"),
                first_of(&others, NAMED)
            );
            told.push(("results_not_in_the_list", text));
        }
        let count = missing.len();
        if let Some(sheet) = self.order.as_mut().filter(|_| count > 0) {
            let text = format!(
                "What {} of the list without a result will need.",
                counted(count as u64, "field", "fields")
            );
            sheet.not_known.insert(0, text);
        }
        self.comparison.findings.extend(told.into_iter().map(|(key, text)| FindingPart {
            key: key.to_owned(),
            place: String::new(),
            text,
        }));
        count
    }
}

#[cfg(test)]
mod tests {
    use crate::roster::made::{failed, fields, made};
    use crate::roster::{FieldsAsk, FieldsResult};
    use crate::units::UnitSystem;

    #[test]
    fn fields_without_a_result_and_results_without_a_field_are_told() {
        let set = fields(vec![made("a", 100.0, true), made("x", 50.0, true)]);
        let set = set.merge(failed("b")).unwrap();
        let mut result =
            FieldsResult::of(&set, &FieldsAsk { units: UnitSystem::Us, list: None }).unwrap();
        let before = result.comparison.findings.len();
        let mut listed: Vec<String> = ["a", "b", "x"].map(str::to_owned).into();
        assert_eq!(result.hold_against(&listed), 0);
        assert_eq!(result.comparison.findings.len(), before);
        listed.pop();
        listed.extend((0..12).map(|at| format!("m{at:02}")));
        assert_eq!(result.hold_against(&listed), 12);
        let [missing, others] = &result.comparison.findings[before..] else {
            panic!("{:?}", result.comparison.findings)
        };
        assert_eq!(missing.key, "fields_without_result");
        assert!(missing.text.contains("12 of 14 fields"), "{}", missing.text);
        assert!(missing.text.contains("m00, m01") && missing.text.contains("m09 and 2 more"));
        assert_eq!(others.key, "results_not_in_the_list");
        assert!(others.text.contains("1 result is here"), "{}", others.text);
        assert!(others.text.contains(": x."), "{}", others.text);
    }
}
