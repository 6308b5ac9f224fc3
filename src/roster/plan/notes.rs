//! What is told of a plan.

use super::candidate::Candidate;
use super::shape::PlannedField;
use crate::agronomy::RETEST_TOLD_FROM_MONTHS;
use crate::findings::first_of;
use crate::inputs::{AllotmentPart, Limits, PlanAmounts, Take, YearLimits};
use crate::roster::FieldRow;
use crate::units::{Day, counted};

/// Fields that are named in a note before the rest is counted.
const NAMED: usize = 6;

/// What is told of a plan.
pub(super) fn notes(
    candidates: &[Candidate<'_>],
    planned: &[PlannedField],
    asked: &AllotmentPart,
    (cut, failed): (&[String], &[&str]),
) -> Vec<String> {
    let mut notes = Vec::new();
    let some = |is: &dyn Fn(&Candidate<'_>) -> bool| -> Vec<&str> {
        let needing = candidates.iter().filter(|candidate| candidate.gets_lime());
        needing.filter(|candidate| is(candidate)).map(|one| one.row.id.as_str()).collect()
    };
    let mut note = |ids: &[&str], text: &str| {
        if !ids.is_empty() {
            let fields = counted(ids.len() as u64, "field", "fields");
            notes.push(format!("{fields} ({}): {text}", first_of(ids, NAMED)));
        }
    };
    note(failed, "could not be prescribed, so the plan does not count them.");
    note(
        &some(&|one| one.row.benefit.ph_gain.is_none()),
        "the method limes to no pH, so no gain of pH is told; among fields without aluminium risk they \
         come last.",
    );
    note(
        &some(&|one| one.row.benefit.aluminium_possible_area.is_none()),
        "the risks of the soil are not told, so no ground of theirs counts as at risk.",
    );
    if asked.take != Take::Fields {
        note(
            &some(&|one| one.areas.is_empty()),
            "no rate areas, or several applications, so they are taken whole or not at all.",
        );
        note(
            &some(&|one| !one.areas.is_empty()),
            "what a part orders is its share of the field's order, pile loss and overlap with it; what \
             it costs is its share of product and haul by order, and of spreading by ground, so a \
             minimum charge for a load may cost more.",
        );
    }
    if asked.take == Take::RateAreas {
        note(
            &some(&|one| !one.areas.is_empty() && one.fills_trucks),
            "their jobs order whole trucks, so a part of them is counted in whole trucks too.",
        );
    }
    if asked.take == Take::Trucks {
        note(
            &some(&|one| !one.areas.is_empty() && one.truck.is_none()),
            "no truck is known, so their orders are not in whole trucks.",
        );
    }
    let differ = differing(candidates, |row| Some(row.method.as_str()));
    if !differ.is_empty() {
        note(
            &some(&|_| true),
            &format!(
                "several methods ({}), each with a pH of its own medium; their gains are added as they \
                 are.",
                differ.join(", ")
            ),
        );
    }
    if is_money(asked) {
        let covered = |row: &FieldRow| row.haul.as_ref().map(|haul| haul.cost_covers.join(" and "));
        let covered = differing(candidates, covered);
        if !covered.is_empty() {
            note(
                &some(&|_| true),
                &format!(
                    "their costs do not all count the same ({}), so the money of the limit pays for more \
                     in some than in others.",
                    covered.join("; ")
                ),
            );
        }
    }
    let cut: Vec<&str> = cut.iter().map(String::as_str).collect();
    note(&cut, "more combinations of rate areas than are tried; another may do more by the rule.");
    let old = old_by_then(candidates, planned, asked.first_day);
    let old: Vec<&str> = old.iter().map(String::as_str).collect();
    note(
        &old,
        "the samples are three years old or more when the lime is spread: common practice is a new \
         test every 3 to 4 years, so sample again before that year's lime is bought.",
    );
    notes
}

/// What differs among the fields that get lime, each once, sorted; nothing where it is the same in all.
fn differing<'a, T: Ord>(
    candidates: &[Candidate<'a>],
    of: impl Fn(&'a FieldRow) -> Option<T>,
) -> Vec<T> {
    let needing = candidates.iter().filter(|candidate| candidate.gets_lime());
    let mut all: Vec<T> = needing.filter_map(|candidate| of(candidate.row)).collect();
    all.sort_unstable();
    all.dedup();
    if all.len() > 1 { all } else { Vec::new() }
}

fn is_money(asked: &AllotmentPart) -> bool {
    let is = |limits: &YearLimits| matches!(limits.amounts, PlanAmounts::Money(..));
    match &asked.limits {
        Limits::ForAll(limits) => is(limits),
        Limits::OfMaterials(each) => each.iter().any(|one| is(&one.limits)),
    }
}

/// The fields that are limed in a later year, when their samples will be old; `first_day` stands for
/// the day of those that state none.
fn old_by_then(
    candidates: &[Candidate<'_>],
    planned: &[PlannedField],
    first_day: Option<Day>,
) -> Vec<String> {
    let first_day = first_day.map(|day| day.to_string());
    let pairs = candidates.iter().zip(planned);
    pairs
        .filter_map(|(candidate, field)| {
            let later = field.year?.checked_sub(1).filter(|&years| years > 0)?;
            let dates = &candidate.row.dates;
            let spread = dates.spread.as_deref().or(first_day.as_deref())?;
            let age = months(spread)? - months(dates.sampled.as_deref()?)?;
            let old = i64::from(RETEST_TOLD_FROM_MONTHS);
            (age + i64::from(later) * 12 >= old).then(|| field.id.clone())
        })
        .collect()
}

/// The months of a day written `YYYY-MM-DD`, from the year 0.
fn months(day: &str) -> Option<i64> {
    let mut parts = day.split('-');
    let year: i64 = parts.next()?.parse().ok()?;
    let month: i64 = parts.next()?.parse().ok()?;
    Some(year * 12 + month)
}
