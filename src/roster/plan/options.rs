//! What may be taken of a field: nothing, all, or some of its areas.

use super::candidate::{Candidate, milligrams};
use super::choose::Choice;
use super::counted::Counted;
use super::worth::Worth;
use crate::inputs::Take;
use crate::units::ProductMass;

/// Combinations of the areas of one field that are kept (ours): those of fifteen areas are fewer.
const KEPT: usize = 20_000;

/// What is taken of a field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Taking {
    /// Nothing.
    Nothing,
    /// All that gets product.
    All,
    /// These of its areas, by their places among those that get product; rising.
    Areas(Vec<usize>),
}

/// One thing that may be taken.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub(super) taking: Taking,
    pub(super) choice: Choice,
}

/// Things of which one is taken. The last is the most.
#[derive(Clone, Debug)]
pub(super) struct Group {
    pub(super) parts: Vec<Part>,
}

/// What may be taken of a field.
#[derive(Clone, Debug)]
pub(super) struct Options {
    /// One group, or one for each area where these may be taken each by itself.
    pub(super) groups: Vec<Group>,
    /// Whether there are more combinations of its areas than are tried.
    pub(super) is_cut: bool,
}

/// How parts of fields are taken.
#[derive(Clone, Copy, Debug)]
pub(super) struct HowTaken<'a> {
    pub(super) take: Take,
    /// The least that a field gets where it does not get all.
    pub(super) least: Option<ProductMass>,
    pub(super) counted: &'a Counted,
}

impl HowTaken<'_> {
    /// The truck that parts of a field are ordered in whole ones of: where fields are taken so, or
    /// where its job orders so.
    fn truck_of(&self, candidate: &Candidate<'_>) -> Option<ProductMass> {
        candidate.truck.filter(|_| match self.take {
            Take::Trucks => true,
            Take::RateAreas | Take::Fields => candidate.fills_trucks,
        })
    }

    /// What is ordered for an amount: in whole trucks where the field orders so.
    pub(super) fn ordered(&self, candidate: &Candidate<'_>, order: ProductMass) -> ProductMass {
        match self.truck_of(candidate).filter(|_| !candidate.areas.is_empty()) {
            // A rounding error calls no further truck.
            Some(truck) => truck * (order / truck - 1e-9).ceil().max(0.0),
            None => order,
        }
    }

    /// What a taking of a field orders, and the part of its treated ground that gets it.
    pub(super) fn order_of(
        &self,
        candidate: &Candidate<'_>,
        taking: &Taking,
    ) -> (ProductMass, f64) {
        match taking {
            Taking::Nothing => (ProductMass::ZERO, 0.0),
            Taking::All if candidate.areas.is_empty() => (candidate.whole.order, 1.0),
            Taking::All => {
                let all: ProductMass = candidate.areas.iter().map(|area| area.order).sum();
                (self.ordered(candidate, all), 1.0)
            }
            Taking::Areas(places) => {
                let areas = places.iter().map(|&place| &candidate.areas[place]);
                let order: ProductMass = areas.clone().map(|area| area.order).sum();
                let ground = areas.map(|area| area.treated_share).sum();
                (self.ordered(candidate, order), ground)
            }
        }
    }

    fn part(&self, candidate: &Candidate<'_>, taking: Taking) -> Part {
        let (order, ground) = self.order_of(candidate, &taking);
        let worth = match &taking {
            Taking::Nothing => Worth::NOTHING,
            Taking::All if candidate.areas.is_empty() => candidate.whole.worth(),
            Taking::All => sum_of(candidate, 0..candidate.areas.len()),
            Taking::Areas(places) => sum_of(candidate, places.iter().copied()),
        };
        // What is ordered counts, with what fills the last truck.
        let ordered = milligrams(order);
        let worth = Worth([worth.0[0], worth.0[1], worth.0[2], -ordered]);
        let weight = self.counted.weight(candidate, order, ground);
        Part { taking, choice: Choice { weight, worth } }
    }

    /// What may be taken of a field.
    pub(super) fn options(&self, candidate: &Candidate<'_>) -> Options {
        let nothing = || self.part(candidate, Taking::Nothing);
        let count = candidate.areas.len();
        let by_trucks = self.truck_of(candidate).is_some();
        if count == 0 {
            let parts = vec![nothing(), self.part(candidate, Taking::All)];
            return Options { groups: vec![Group { parts }], is_cut: false };
        }
        if self.least.is_none() && !by_trucks {
            let alone = |place| {
                let parts = vec![nothing(), self.part(candidate, Taking::Areas(vec![place]))];
                Group { parts }
            };
            return Options { groups: (0..count).map(alone).collect(), is_cut: false };
        }
        let (combinations, is_cut) = self.combinations(candidate);
        let mut parts = vec![nothing()];
        parts.extend(
            combinations.into_iter().map(|areas| self.part(candidate, Taking::Areas(areas))),
        );
        parts.push(self.part(candidate, Taking::All));
        Options { groups: vec![Group { parts: without_beaten(parts) }], is_cut }
    }

    /// Combinations of areas, but for none and all: those that no lighter one beats, and below the
    /// least all that differ in weight, since what a field gets at least may have to be made up of
    /// them.
    fn combinations(&self, candidate: &Candidate<'_>) -> (Vec<Vec<usize>>, bool) {
        let least = self.least.map_or(0, milligrams);
        let mut sums: Vec<Combined> =
            vec![Combined { weight: 0, worth: Worth::NOTHING, areas: Vec::new() }];
        let mut is_cut = false;
        for (place, area) in candidate.areas.iter().enumerate() {
            let (weight, worth) = (milligrams(area.order), area.worth());
            let with: Vec<Combined> =
                sums.iter().map(|sum| sum.with(place, weight, worth)).collect();
            sums.extend(with);
            sums.sort_by(|a, b| a.weight.cmp(&b.weight).then(b.worth.cmp(&a.worth)));
            let mut best: Option<Worth> = None;
            let mut last = None;
            sums.retain(|sum| {
                let beaten = if sum.weight < least {
                    last == Some(sum.weight)
                } else {
                    best.is_some_and(|best| sum.worth <= best)
                };
                last = Some(sum.weight);
                if !beaten && sum.weight >= least {
                    best = Some(sum.worth);
                }
                !beaten
            });
            if sums.len() > KEPT {
                is_cut = true;
                thin_out(&mut sums);
            }
        }
        let all = candidate.areas.len();
        sums.retain(|sum| sum.weight >= least && !sum.areas.is_empty() && sum.areas.len() < all);
        (sums.into_iter().map(|sum| sum.areas).collect(), is_cut)
    }
}

/// A combination of areas.
#[derive(Clone)]
struct Combined {
    weight: i64,
    worth: Worth,
    areas: Vec<usize>,
}

impl Combined {
    fn with(&self, place: usize, weight: i64, worth: Worth) -> Self {
        let mut areas = self.areas.clone();
        areas.push(place);
        Self { weight: self.weight + weight, worth: self.worth.and(worth), areas }
    }
}

/// Leaves out every other one, but for the first and the last.
fn thin_out(sums: &mut Vec<Combined>) {
    let last = sums.len() - 1;
    let mut at = 0;
    sums.retain(|_| {
        let keeps = at % 2 == 0 || at == last;
        at += 1;
        keeps
    });
}

/// Parts of which none weighs as much as another or more and is worth less; the most stays last.
fn without_beaten(mut parts: Vec<Part>) -> Vec<Part> {
    let all = parts.pop();
    let nothing = parts.drain(..1).next();
    parts.sort_by(|a, b| {
        let (a, b) = (&a.choice, &b.choice);
        a.weight.cmp(&b.weight).then(b.worth.cmp(&a.worth))
    });
    let mut best: Option<Worth> = None;
    parts.retain(|part| {
        let is_more = best.is_none_or(|best| part.choice.worth > best);
        if is_more {
            best = Some(part.choice.worth);
        }
        is_more
    });
    nothing.into_iter().chain(parts).chain(all).collect()
}

fn sum_of(candidate: &Candidate<'_>, places: impl Iterator<Item = usize>) -> Worth {
    places.fold(Worth::NOTHING, |sum, place| sum.and(candidate.areas[place].worth()))
}

/// What is taken of a field by what is taken of each of its groups.
pub(super) fn together(candidate: &Candidate<'_>, parts: &[&Part]) -> Taking {
    let mut places: Vec<usize> = Vec::new();
    for part in parts {
        match &part.taking {
            Taking::Nothing => {}
            Taking::All => return Taking::All,
            Taking::Areas(some) => places.extend(some),
        }
    }
    places.sort_unstable();
    if places.is_empty() {
        Taking::Nothing
    } else if places.len() == candidate.areas.len() {
        Taking::All
    } else {
        Taking::Areas(places)
    }
}
