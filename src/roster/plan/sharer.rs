//! Sharing out one limit, in one year or over several.

use std::collections::BTreeMap;

use super::candidate::Candidate;
use super::counted::{Counted, NoCost, cost_of};
use super::error::PlanError;
use super::flags::Flags;
use super::in_years::YearPool;
use super::options::{HowTaken, Taking};
use super::pool::{Fate, Pool, TooMuch};
use super::pool_part::pool_part;
use super::pools::Sharing;
use super::shape::PoolPart;
use super::why::{Say, shown};
use super::worth::{RANKS, Worth};
use crate::findings::{Problem, Refusal};
use crate::inputs::AllotmentPart;
use crate::prescription::Imbalance;
use crate::units::{ProductMass, UnitSystem};

/// What the plan makes of a field.
#[derive(Clone, Debug)]
pub(super) struct Planned {
    pub(super) taking: Taking,
    pub(super) fate: Fate,
    pub(super) year: Option<usize>,
    pub(super) order: ProductMass,
    /// What all of it orders, counted in the same way.
    pub(super) order_all: ProductMass,
    pub(super) cost: Option<f64>,
    pub(super) why: String,
}

impl Default for Planned {
    fn default() -> Self {
        Self {
            taking: Taking::Nothing,
            fate: Fate::NeedsNone,
            year: None,
            order: ProductMass::ZERO,
            order_all: ProductMass::ZERO,
            cost: None,
            why: String::new(),
        }
    }
}

/// What was made of one limit.
pub(super) struct Made {
    /// In the order of its fields.
    pub(super) planned: Vec<Planned>,
    pub(super) part: PoolPart,
    /// Ids of fields with more combinations of areas than are tried.
    pub(super) cut: Vec<String>,
}

/// Shares one limit out.
pub(super) struct Sharer<'a> {
    pub(super) all: &'a [Candidate<'a>],
    pub(super) sharing: &'a Sharing<'a>,
    pub(super) flags: &'a Flags,
    pub(super) asked: &'a AllotmentPart,
    pub(super) system: UnitSystem,
}

/// What a choice came to, in one year or several.
pub(super) struct Outcome {
    pub(super) takings: Vec<Taking>,
    pub(super) years: Vec<Option<usize>>,
    pub(super) fates: Vec<Fate>,
    pub(super) worth: Worth,
    pub(super) bound: Option<[f64; RANKS]>,
    pub(super) cut: Vec<usize>,
    pub(super) tried: u64,
}

impl Sharer<'_> {
    /// Shares it out.
    ///
    /// # Errors
    /// As [`allot`](super::allot()) does.
    pub(super) fn share_out(&self) -> Result<Made, PlanError> {
        let fields = &self.sharing.fields;
        let candidates: Vec<Candidate<'_>> =
            fields.iter().map(|&at| self.all[at].clone()).collect();
        let counted = self.sharing.counted();
        self.costs_known(&candidates, &counted)?;
        let own = |list: &[usize]| -> Vec<usize> {
            let places = list.iter().filter_map(|at| fields.iter().position(|own| own == at));
            places.collect()
        };
        let (must, priority) = (own(&self.flags.must), own(&self.flags.priority));
        let not_now: Vec<bool> = fields.iter().map(|&at| self.flags.not_now[at]).collect();
        let how = HowTaken {
            take: self.asked.take,
            least: self.asked.least_per_field,
            counted: &counted,
        };
        let rounded = candidates.iter().map(|candidate| candidate.areas.len().max(1)).sum();
        let limits = self.sharing.limits.map(|limits| Counted::limits(&limits.amounts, rounded));
        let too_much = |TooMuch { takes }: TooMuch| self.too_much(&counted, takes);
        let outcome = match &limits {
            Some(limits) if limits.len() > 1 => {
                let pool = YearPool {
                    candidates: &candidates,
                    counted: &counted,
                    limits,
                    must: &must,
                    priority: &priority,
                    not_now: &not_now,
                };
                let shared = pool.share_out().map_err(too_much)?;
                let taken = |year: &Option<usize>| year.map_or(Taking::Nothing, |_| Taking::All);
                Outcome {
                    takings: shared.years.iter().map(taken).collect(),
                    years: shared.years,
                    fates: shared.fates,
                    worth: shared.worth,
                    bound: shared.bound,
                    cut: Vec::new(),
                    tried: shared.tried,
                }
            }
            limits => {
                let pool = Pool {
                    candidates: &candidates,
                    how,
                    limit: limits.as_ref().map(|limits| limits[0]),
                    must: &must,
                    priority: &priority,
                    not_now: &not_now,
                };
                let shared = pool.share_out().map_err(too_much)?;
                let year = |taking: &Taking| (*taking != Taking::Nothing).then_some(0);
                Outcome {
                    years: shared.takings.iter().map(year).collect(),
                    takings: shared.takings,
                    fates: shared.fates,
                    worth: shared.worth,
                    bound: shared.bound,
                    cut: shared.cut,
                    tried: shared.tried,
                }
            }
        };
        let several = limits.as_ref().is_some_and(|limits| limits.len() > 1);
        let say = Say { system: self.system, counted: &counted, candidates: &candidates };
        let planned: Vec<Planned> = candidates
            .iter()
            .enumerate()
            .map(|(at, candidate)| {
                let (taking, fate, year) =
                    (&outcome.takings[at], &outcome.fates[at], outcome.years[at]);
                let (order, ground) = how.order_of(candidate, taking);
                Planned {
                    why: if several {
                        say.why_in_years(at, fate, year)
                    } else {
                        say.why(at, fate, taking)
                    },
                    taking: taking.clone(),
                    fate: fate.clone(),
                    year,
                    order,
                    order_all: how.order_of(candidate, &Taking::All).0,
                    cost: cost_of(candidate, order, ground),
                }
            })
            .collect();
        let part = pool_part(self, &candidates, (&how, rounded), &planned, &outcome);
        within_limits(&part)?;
        let cut = outcome.cut.iter().map(|&at| candidates[at].row.id.clone()).collect();
        Ok(Made { planned, part, cut })
    }

    fn costs_known(&self, candidates: &[Candidate<'_>], counted: &Counted) -> Result<(), Refusal> {
        let Some(limits) = self.sharing.limits else { return Ok(()) };
        let needing = candidates.iter().filter(|candidate| candidate.gets_lime());
        let mut wrong: BTreeMap<NoCost<'_>, Vec<&str>> = BTreeMap::new();
        for candidate in needing {
            if let Some(why) = counted.not_known_of(candidate.row) {
                wrong.entry(why).or_default().push(&candidate.row.id);
            }
        }
        let problems = wrong.iter().map(|(&why, ids)| counted.not_known(ids, why, &limits.place));
        Refusal::unless_clean(problems.collect(), ())
    }

    fn too_much(&self, counted: &Counted, takes: i64) -> PlanError {
        let limits = self.sharing.limits;
        let limit = limits.and_then(|limits| limits.written.first()).cloned().unwrap_or_default();
        let what = format!(
            "the fields that must get lime take {}, and the limit is {limit}",
            shown(&counted.quantity(self.system, takes), 2)
        );
        let place = self.flags.must_at.clone().unwrap_or_default();
        let problem = Problem::at(place, what)
            .allowed("fields in `must` that fit the limit together")
            .hint("raise the limit, or make some of them `priority`, which takes what fits");
        PlanError::Refused(problem.into())
    }
}

/// What is used stays within what there is: the last of the checks that a plan passes.
fn within_limits(part: &PoolPart) -> Result<(), Imbalance> {
    for year in &part.years {
        let Some(limit) = &year.limit else { continue };
        if year.used.value > limit.value * (1.0 + 1e-9) + 1e-6 {
            let line = "what a plan uses = the limit or less";
            let (left, right) = (year.used.value, limit.value);
            return Err(Imbalance { line, left, right, unit: "of the limit's unit" });
        }
    }
    Ok(())
}
