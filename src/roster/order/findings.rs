//! What a list's calendar says that its fields do not bear out.

use std::collections::BTreeSet;

use crate::findings::{Place, Problem, Refusal, clean, first_of, nearest_of};
use crate::inputs::CalendarPart;
use crate::roster::fields::Fields;
use crate::summary::FindingPart;

/// Ids in one sentence before the rest is counted.
const MOST_NAMES: usize = 8;

/// Refuses names under `key` of a list that are of no field of it; `ids` are all of its fields.
///
/// # Errors
/// Returns each such name with the nearest id.
pub fn check_named<'a>(
    key: &str,
    named: impl Iterator<Item = (&'a str, Place)>,
    ids: &[&str],
) -> Result<(), Refusal> {
    let unknown = named.filter(|(id, _)| !ids.contains(id));
    let problems = unknown.map(|(id, place)| {
        let what = format!("`{key}` names `{}`, and no field is called so", clean(id));
        Problem::at(place, what)
            .allowed(format!("the folders of the fields: {}", first_of(ids, MOST_NAMES)))
            .hint(nearest_in_words(id, ids))
    });
    Refusal::unless_clean(problems.collect(), ())
}

fn nearest_in_words(id: &str, ids: &[&str]) -> String {
    nearest_of(id, ids).map_or_else(
        || "the names of the folders of the fields are taken".to_owned(),
        |near| format!("did you mean `{near}`?"),
    )
}

/// Names of the sequence that no field has, and later applications that the calendar lays although
/// nobody states a day for them.
pub(in crate::roster) fn calendar_findings(
    fields: &Fields,
    calendar: &CalendarPart,
) -> Vec<FindingPart> {
    let done = fields.rows().map(|row| row.id.as_str());
    let ids: Vec<&str> = done.chain(fields.failures().map(|field| field.id.as_str())).collect();
    let unknown = calendar.sequence.iter().filter(|id| !ids.contains(&id.as_str()));
    let mut found: Vec<FindingPart> = unknown
        .map(|id| {
            let hint = nearest_in_words(id, &ids);
            let text =
                format!("`calendar.sequence` names `{id}`, and no field is called so: {hint}");
            told("sequence_names_no_field", text)
        })
        .collect();
    let undated = fields.rows().filter(|row| {
        let mut later = row.applications.iter().filter(|one| one.number > 1);
        later.any(|one| one.date.is_none() && one.to_order.value > 0.0)
    });
    let undated: BTreeSet<&str> = undated.map(|row| row.id.as_str()).collect();
    let is_laid = calendar.first_day.is_some() && calendar.hours_a_day.is_some();
    if is_laid && !undated.is_empty() {
        let names: Vec<&str> = undated.into_iter().collect();
        let text = format!(
            "No day is stated for a later application of {}: the calendar lays it as soon as it \
             can behind the one before it, on the same day if need be. State `dates.spread` and \
             `dates.further_spread`.",
            first_of(&names, MOST_NAMES)
        );
        found.push(told("application_without_day", text));
    }
    found
}

fn told(key: &str, text: String) -> FindingPart {
    FindingPart { key: key.to_owned(), place: String::new(), text }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::roster::made::{fields, made, twice};
    use crate::units::{Day, TimeTaken};

    fn stated(names: &[&str]) -> CalendarPart {
        CalendarPart {
            sequence: names.iter().map(|&name| name.to_owned()).collect(),
            ..CalendarPart::default()
        }
    }

    #[test]
    fn a_slip_in_the_sequence_is_refused_with_the_nearest() {
        let ids = ["heron", "linden"];
        let check = |names: [&'static str; 2]| {
            let named = names.into_iter().map(|name| (name, Place::default()));
            check_named("calendar.sequence", named, &ids)
        };
        assert!(check(ids).is_ok());
        let refused = check(["herron", "linden"]).unwrap_err().to_string();
        assert!(refused.contains("`calendar.sequence` names `herron`"), "{refused}");
        assert!(refused.contains("did you mean `heron`?"), "{refused}");
        let set = fields(vec![made("heron", 30.0, true)]);
        let found = calendar_findings(&set, &stated(&["herron"]));
        assert_eq!(found[0].key, "sequence_names_no_field");
        assert!(found[0].text.contains("did you mean `heron`?"), "{}", found[0].text);
    }

    #[test]
    fn a_later_application_without_a_day_is_a_finding_where_days_are_laid() {
        let set = fields(vec![twice(made("heron", 30.0, true)), made("linden", 30.0, true)]);
        let mut calendar = CalendarPart::default();
        assert!(calendar_findings(&set, &calendar).is_empty());
        calendar.first_day = Day::from_words("2026-10-20");
        calendar.hours_a_day = Some(TimeTaken::from_hours(10.0));
        let found = calendar_findings(&set, &calendar);
        assert_eq!((found.len(), found[0].key.as_str()), (1, "application_without_day"));
        assert!(found[0].text.contains("application of heron:"), "{}", found[0].text);
    }
}
