//! What is ordered of a plan: the fields that its first year limes as they are.

use super::shape::{ALL, NEEDS_NONE, PART, Plan};
use crate::findings::first_of;
use crate::roster::Fields;
use crate::units::{counted, plain};

/// Fields that are named in a sentence before the rest is counted.
const NAMED: usize = 6;

/// The fields that are ordered now, and what becomes of the others.
pub(in crate::roster) struct Planned {
    /// Those whose whole map is spread in the first year.
    pub(in crate::roster) fields: Fields,
    years: usize,
    later: usize,
    /// Fields of which a part is spread, each with the line that makes its map that part.
    parts: Vec<(String, String)>,
    /// What the plan orders for these parts, in words.
    of_parts: String,
}

impl Planned {
    pub(in crate::roster) fn of(fields: &Fields, plan: &Plan) -> Self {
        let first = || plan.fields.iter().filter(|field| field.year.is_none_or(|year| year == 1));
        let now: Vec<&str> = first()
            .filter(|field| matches!(field.decision.as_str(), ALL | NEEDS_NONE))
            .map(|field| field.id.as_str())
            .collect();
        let parts = || first().filter(|field| field.decision == PART);
        let order: f64 = parts().map(|field| field.order.value).sum();
        let unit = plan.fields.first().map_or("", |field| field.order.unit.as_ref());
        Self {
            fields: fields.only(|id| now.contains(&id)),
            years: plan.years,
            later: plan
                .fields
                .iter()
                .filter(|field| field.year.is_some_and(|year| year > 1))
                .count(),
            of_parts: format!("{} {unit}", plain(order, 2, 2)),
            parts: parts()
                .map(|field| (field.id.clone(), field.set.clone().unwrap_or_default()))
                .collect(),
        }
    }

    /// What the order holds of the plan, in sentences.
    pub(in crate::roster) fn said(&self) -> Vec<String> {
        let what = match (self.years, self.later) {
            (0 | 1, _) => "the fields that the plan limes whole".to_owned(),
            (_, 0) => "the fields that the plan limes in its first year".to_owned(),
            (_, later) => format!(
                "the fields that the plan limes in its first year; {} later",
                counted(later as u64, "field follows", "fields follow")
            ),
        };
        let mut told = vec![format!("Ordered are {what}; what it holds back is not.")];
        if !self.parts.is_empty() {
            let ids: Vec<&str> = self.parts.iter().map(|(id, _)| id.as_str()).collect();
            told.push(format!(
                "{} limed in part and not in this order ({}); the plan orders {} for {}. \
                 Set the lines of the plan in their jobs and run again for the whole order.",
                counted(ids.len() as u64, "field is", "fields are"),
                first_of(&ids, NAMED),
                self.of_parts,
                if ids.len() == 1 { "it" } else { "them" }
            ));
        }
        told
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
