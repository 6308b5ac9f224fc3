//! Which field in which year, within a limit for each: branch and bound.
//!
//! What a field is worth counts once for each year of the plan from the one in which it is limed, so
//! that earlier is more. That is the same as counting, for each year, all that has been limed by
//! then; and what has been limed by a year fits into the limits of all years up to it together. If
//! parts of fields could be limed, those with the most worth by weight would come first in every such
//! count: that gives the bound. Work is counted in nodes, never in time.

use super::choose::{Choice, SUMS_KEPT, choose};
use super::worth::{RANKS, Slope, Worth};

/// Nodes that are looked at before the search stops (ours).
pub(super) const NODES: u64 = 20_000_000;

/// Which field is limed when.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Scheduled {
    /// For each field the number of its year, from 0; `None`: in none of them.
    pub(super) years: Vec<Option<usize>>,
    /// What the plan is worth.
    pub(super) worth: Worth,
    /// What no plan can be worth more than, where it is not proven that none is worth more.
    pub(super) bound: Option<[f64; RANKS]>,
    /// How many nodes were looked at.
    pub(super) nodes: u64,
}

/// A field: what it takes and is worth, and the first year in which it may be limed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Waiting {
    /// What it takes of the limit of its year.
    pub(super) choice: Choice,
    /// The first year in which it may be limed, from 0.
    pub(super) from: usize,
}

/// Spreads fields over the years so that they are worth the most, looking at `most` nodes at most.
pub(super) fn schedule(fields: &[Waiting], limits: &[i64], most: u64) -> Scheduled {
    let mut order: Vec<usize> =
        (0..fields.len()).filter(|&at| fields[at].choice.worth > Worth::NOTHING).collect();
    order.sort_by(|&a, &b| {
        let [a, b] = [a, b].map(|at| fields[at].choice);
        let slope = |choice: Choice| Slope { worth: choice.worth, weight: choice.weight };
        match (a.weight, b.weight) {
            // What takes nothing comes first.
            (0, _) | (_, 0) => a.weight.cmp(&b.weight),
            _ => slope(b).compare(slope(a)),
        }
    });
    let sorted: Vec<Waiting> = order.iter().map(|&at| fields[at]).collect();
    let mut search = Search::of(&sorted, limits, most);
    for first in [one_year_after_the_other(&sorted, limits), first_fit(&sorted, limits)] {
        search.try_plan(&first);
    }
    let root = search.bound(0);
    search.place(0, Worth::NOTHING);
    let mut years = vec![None; fields.len()];
    for (&at, &year) in order.iter().zip(&search.best_years) {
        years[at] = year;
    }
    let proven = search.nodes < most;
    let bound = (!proven && root > search.best).then(|| root.0.map(|number| number as f64));
    Scheduled { years, worth: search.best, bound, nodes: search.nodes }
}

/// What fields are worth together.
pub(super) fn worth_of(fields: &[Waiting], years: &[Option<usize>], count: usize) -> Worth {
    let pairs = fields.iter().zip(years);
    pairs.fold(Worth::NOTHING, |sum, (field, year)| match year {
        Some(year) => sum.and(field.choice.worth.times(count - year)),
        None => sum,
    })
}

struct Search<'a> {
    fields: &'a [Waiting],
    /// What is left of each year.
    room: Vec<i64>,
    /// Sums over the fields before each place.
    weights: Vec<i64>,
    worths: Vec<Worth>,
    years: Vec<Option<usize>>,
    best: Worth,
    best_years: Vec<Option<usize>>,
    nodes: u64,
    most: u64,
}

impl<'a> Search<'a> {
    fn of(fields: &'a [Waiting], limits: &[i64], most: u64) -> Self {
        let (mut weights, mut worths) = (vec![0], vec![Worth::NOTHING]);
        for (at, field) in fields.iter().enumerate() {
            weights.push(weights[at] + field.choice.weight);
            worths.push(worths[at].and(field.choice.worth));
        }
        let years = vec![None; fields.len()];
        Self {
            fields,
            room: limits.to_vec(),
            weights,
            worths,
            best_years: years.clone(),
            years,
            best: Worth::NOTHING,
            nodes: 0,
            most,
        }
    }

    fn try_plan(&mut self, years: &[Option<usize>]) {
        let worth = worth_of(self.fields, years, self.room.len());
        if worth > self.best {
            self.best = worth;
            self.best_years = years.to_vec();
        }
    }

    /// More than all fields from place `at` on can be worth in the room that is left, or as much.
    ///
    /// The first number is rounded down to a whole one, which a plan's is; where that takes anything
    /// off, nothing is known of the next but what all fields come to.
    fn bound(&self, at: usize) -> Worth {
        let (weight, worth) = (self.weights[at], self.worths[at]);
        let all = self.worths[self.fields.len()].less(worth).times(self.room.len());
        let mut sum = Worth::NOTHING;
        let mut parts = [0.0; RANKS];
        let mut room = 0;
        for &year in &self.room {
            room += year;
            let reached = self.weights.partition_point(|&all| all <= weight + room) - 1;
            let reached = reached.max(at);
            sum = sum.and(self.worths[reached].less(worth));
            if let Some(next) = self.fields.get(reached) {
                let left = weight + room - self.weights[reached];
                let share = left as f64 / next.choice.weight as f64;
                for (part, &number) in parts.iter_mut().zip(&next.choice.worth.0) {
                    *part += share * number as f64;
                }
            }
        }
        let mut bound = all.0;
        for rank in 0..RANKS {
            // A little more than the sum, lest its rounding errors cut anything off.
            let part = parts[rank] + parts[rank].abs() * 1e-9 + 1e-9;
            bound[rank] = (sum.0[rank] + part.floor() as i64).min(all.0[rank].max(0));
            if part >= 1e-6 {
                bound[rank + 1..].copy_from_slice(&all.0[rank + 1..]);
                break;
            }
        }
        Worth(bound)
    }

    /// Tries all years for the fields from place `at` on.
    fn place(&mut self, at: usize, worth: Worth) {
        if worth > self.best {
            self.best = worth;
            self.best_years.clone_from(&self.years);
        }
        if at == self.fields.len() || self.nodes >= self.most {
            return;
        }
        self.nodes += 1;
        if worth.and(self.bound(at)) <= self.best {
            return;
        }
        let Waiting { choice, from } = self.fields[at];
        let count = self.room.len();
        for year in from..count {
            if choice.weight <= self.room[year] {
                self.room[year] -= choice.weight;
                self.years[at] = Some(year);
                self.place(at + 1, worth.and(choice.worth.times(count - year)));
                self.years[at] = None;
                self.room[year] += choice.weight;
            }
        }
        self.place(at + 1, worth);
    }
}

/// Each field in the first year that has room for it, the most worth by weight first.
fn first_fit(fields: &[Waiting], limits: &[i64]) -> Vec<Option<usize>> {
    let mut room = limits.to_vec();
    fields
        .iter()
        .map(|field| {
            let fits = |&year: &usize| field.choice.weight <= room[year];
            let year = (field.from..limits.len()).find(fits)?;
            room[year] -= field.choice.weight;
            Some(year)
        })
        .collect()
}

/// The best for the first year, then the best of the rest for the second, and so on.
fn one_year_after_the_other(fields: &[Waiting], limits: &[i64]) -> Vec<Option<usize>> {
    let mut years = vec![None; fields.len()];
    for (year, &limit) in limits.iter().enumerate() {
        let open: Vec<usize> = (0..fields.len())
            .filter(|&at| years[at].is_none() && fields[at].from <= year)
            .collect();
        let nothing = Choice { weight: 0, worth: Worth::NOTHING };
        let groups: Vec<Vec<Choice>> =
            open.iter().map(|&at| vec![nothing, fields[at].choice]).collect();
        let chosen = choose(&groups, limit, SUMS_KEPT / 10);
        let picks = chosen.map(|chosen| chosen.picks).unwrap_or_default();
        for (&at, &pick) in open.iter().zip(&picks) {
            if pick == 1 {
                years[at] = Some(year);
            }
        }
    }
    years
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn waiting(weight: i64, first: i64, second: i64, from: usize) -> Waiting {
        Waiting { choice: Choice { weight, worth: Worth([first, second, 0, 0]) }, from }
    }

    fn brute(fields: &[Waiting], room: &mut [i64], at: usize) -> Worth {
        let Some(field) = fields.get(at) else { return Worth::NOTHING };
        let mut best = brute(fields, room, at + 1);
        for year in field.from..room.len() {
            if field.choice.weight <= room[year] {
                room[year] -= field.choice.weight;
                let own = field.choice.worth.times(room.len() - year);
                best = best.max(own.and(brute(fields, room, at + 1)));
                room[year] += field.choice.weight;
            }
        }
        best
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

        #[test]
        fn years_are_chosen_as_by_trying_all(
            fields in prop::collection::vec((0_i64..40, 0_i64..9, 0_i64..60, 0_usize..2), 0..8),
            limits in prop::collection::vec(0_i64..90, 1..4),
        ) {
            let last = limits.len() - 1;
            let fields: Vec<_> =
                fields.iter().map(|&(w, a, b, from)| waiting(w, a, b, from.min(last))).collect();
            let found = schedule(&fields, &limits, NODES);
            prop_assert_eq!(found.bound, None);
            prop_assert_eq!(found.worth, brute(&fields, &mut limits.clone(), 0));
            prop_assert_eq!(found.worth, worth_of(&fields, &found.years, limits.len()));
            for (year, &limit) in limits.iter().enumerate() {
                let in_year = fields.iter().zip(&found.years).filter(|(_, at)| **at == Some(year));
                prop_assert!(in_year.map(|(field, _)| field.choice.weight).sum::<i64>() <= limit);
            }
            for (field, year) in fields.iter().zip(&found.years) {
                prop_assert!(year.is_none_or(|year| year >= field.from));
            }
        }

        #[test]
        fn a_search_that_stops_early_tells_a_gap_that_holds(
            fields in prop::collection::vec((1_i64..40, 0_i64..9, 0_i64..60), 2..8),
            limits in prop::collection::vec(0_i64..90, 1..4),
        ) {
            let fields: Vec<_> = fields.iter().map(|&(w, a, b)| waiting(w, a, b, 0)).collect();
            let found = schedule(&fields, &limits, 3);
            let best = brute(&fields, &mut limits.clone(), 0);
            match found.bound {
                None => prop_assert_eq!(found.worth, best),
                Some(bound) => {
                    prop_assert!(found.worth <= best);
                    prop_assert!(best.0.map(|number| number as f64) <= bound);
                }
            }
        }
    }

    #[test]
    fn room_in_later_years_counts_when_the_first_is_filled() {
        // The best first year alone would take the two light fields and leave the heavy one out.
        let fields = [waiting(10, 10, 0, 0), waiting(5, 6, 0, 0), waiting(5, 5, 0, 0)];
        let found = schedule(&fields, &[10, 5], NODES);
        assert_eq!(found.years, [Some(0), Some(1), None]);
        assert_eq!(found.worth.0[0], 26);
    }
}
