//! What is ordered of a plan: the fields that its first year limes as they are.

use super::shape::{ALL, NEEDS_NONE, PART, Plan};
use crate::roster::Fields;
use crate::units::counted;

/// The fields that are ordered now, and what becomes of the others.
pub(in crate::roster) struct Planned {
    /// Those whose whole map is spread in the first year.
    pub(in crate::roster) fields: Fields,
    years: usize,
    later: usize,
    /// Fields of which a part is spread, each with the line that makes its map that part.
    parts: Vec<(String, String)>,
}

impl Planned {
    pub(in crate::roster) fn of(fields: &Fields, plan: &Plan) -> Self {
        let first = || plan.fields.iter().filter(|field| field.year.is_none_or(|year| year == 1));
        let now: Vec<&str> = first()
            .filter(|field| matches!(field.decision.as_str(), ALL | NEEDS_NONE))
            .map(|field| field.id.as_str())
            .collect();
        let parts = first().filter(|field| field.decision == PART);
        Self {
            fields: fields.only(|id| now.contains(&id)),
            years: plan.years,
            later: plan
                .fields
                .iter()
                .filter(|field| field.year.is_some_and(|year| year > 1))
                .count(),
            parts: parts
                .map(|field| (field.id.clone(), field.set.clone().unwrap_or_default()))
                .collect(),
        }
    }

    /// What the order holds of the plan, in a sentence.
    pub(in crate::roster) fn said(&self) -> String {
        let what = match (self.years, self.later) {
            (0 | 1, _) => "the fields that the plan limes whole".to_owned(),
            (_, 0) => "the fields that the plan limes in its first year".to_owned(),
            (_, later) => format!(
                "the fields that the plan limes in its first year; {} later",
                counted(later as u64, "field follows", "fields follow")
            ),
        };
        format!("Ordered are {what}; what it holds back is not.")
    }

    /// The fields whose order is known only when they have been run again.
    pub(in crate::roster) fn in_parts(&self) -> impl Iterator<Item = String> + '_ {
        self.parts.iter().map(|(id, set)| {
            format!(
                "`{id}` is limed in part and is not in this order: set {set} in its job and run it \
                 again."
            )
        })
    }
}
