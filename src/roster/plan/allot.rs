//! The plan: what each field gets where there is not enough.

use super::candidate::Candidate;
use super::error::PlanError;
use super::field_part::field_part;
use super::flags::Flags;
use super::ledger::Masses;
use super::pool::Fate;
use super::pools::sharings;
use super::shape::{Plan, PlanResponse};
use super::sharer::{Planned, Sharer};
use super::{notes, response, rule};
use crate::findings::Refusal;
use crate::inputs::{AllotmentPart, Take, YearLimits};
use crate::roster::{FieldRow, Fields};
use crate::units::UnitSystem;

/// Shares out what there is among the fields, in one year or over several.
///
/// # Errors
/// Refuses names that no field has, fields that must get lime and take more than there is, one limit
/// of tons for several materials, and costs that are not known; returns a ledger that does not
/// balance as a fault of the program.
pub fn allot(
    fields: &Fields,
    asked: &AllotmentPart,
    system: UnitSystem,
) -> Result<Plan, PlanError> {
    let rows: Vec<&FieldRow> = fields.rows().collect();
    let candidates = candidates_of(&rows, asked.take)?;
    let failed: Vec<&str> = fields.failures().map(|failed| failed.id.as_str()).collect();
    let flags = Flags::of(&rows, &failed, asked)?;
    let mut pools = Vec::new();
    let mut fates: Vec<Option<Planned>> = vec![None; rows.len()];
    let mut cut = Vec::new();
    let sharings = sharings(&candidates, asked)?;
    for sharing in &sharings {
        let made =
            Sharer { all: &candidates, sharing, flags: &flags, asked, system }.share_out()?;
        for (&at, planned) in sharing.fields.iter().zip(made.planned) {
            fates[at] = Some(planned);
        }
        cut.extend(made.cut);
        pools.push(made.part);
    }
    let years = sharings.iter().filter_map(|one| one.limits).map(YearLimits::years).max();
    let years = years.unwrap_or(1);
    let mut planned = Vec::new();
    let mut masses = Vec::new();
    for (candidate, fate) in candidates.iter().zip(fates) {
        let fate = fate.unwrap_or_default();
        // Over several years only the first is closed to it.
        let not_now = years == 1 && fate.fate == Fate::NotNow;
        let of_field = Masses::of(candidate, &fate.taking, not_now)?;
        planned.push(field_part(candidate, &fate, &of_field, asked, system));
        masses.push(of_field);
    }
    let ledger = Masses::sum(&masses)?;
    let response = asked.response.as_ref().map(|figures| PlanResponse {
        source: figures.source.clone(),
        worth: response::money(
            figures,
            planned.iter().filter_map(|field| field.worth.as_ref()).map(|worth| worth.value).sum(),
        ),
    });
    Ok(Plan {
        take: asked.take.words().to_owned(),
        years,
        rule: rule::rule(years),
        notes: notes::notes(&candidates, &planned, asked, (&cut, &failed)),
        pools,
        fields: planned,
        ledger: ledger.part(system),
        response,
        cautions: rule::cautions(years),
    })
}

fn candidates_of<'a>(rows: &[&'a FieldRow], take: Take) -> Result<Vec<Candidate<'a>>, Refusal> {
    let mut problems = Vec::new();
    let mut candidates = Vec::new();
    for row in rows {
        match Candidate::of(row, take != Take::Fields) {
            Ok(candidate) => candidates.push(candidate),
            Err(problem) => problems.push(problem),
        }
    }
    Refusal::unless_clean(problems, candidates)
}
