//! One choice out of each of several groups, worth the most within a limit: the knapsack of choices.
//!
//! First the choices are filled in by worth per weight, the last one in part: that solves the problem
//! in which parts of choices may be taken, and no choice of whole ones is worth more. The groups are
//! then gone through from those that this decides most narrowly to those that it decides most clearly,
//! and all sums that may still lead to more than the best found so far are kept (dynamic programming
//! over sums that no other beats, as Pisinger's core of a multiple-choice knapsack, European Journal
//! of Operational Research 83, 394-410, 1995). Where there are more sums than are kept, the most
//! promising are, and what the others might have come to is the gap that is told. Work is counted in
//! sums, never in time, so that every run comes to the same.

use super::worth::{RANKS, Slope, Worth, greater, is_less};

/// Sums that are kept at a time (ours): some hundred fields of like worth stay well below.
pub(super) const SUMS_KEPT: usize = 60_000;

/// One of the choices of a group.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Choice {
    /// What it takes of the limit; not below 0.
    pub(super) weight: i64,
    /// What it is worth.
    pub(super) worth: Worth,
}

/// What was chosen.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Chosen {
    /// For each group the number of its choice.
    pub(super) picks: Vec<usize>,
    /// What all weigh.
    pub(super) weight: i64,
    /// What they are worth.
    pub(super) worth: Worth,
    /// What no choice can be worth more than, where it is not proven that none is worth more than
    /// this one.
    pub(super) bound: Option<[f64; RANKS]>,
    /// How many sums were looked at.
    pub(super) sums: u64,
}

/// Takes one choice of each group so that they are worth the most within `limit`, keeping at most
/// `kept` sums at a time. `None` where even the lightest choices weigh more than the limit.
///
/// Of choices that are worth the same the first that is come upon is taken; that hangs on the order
/// of groups and choices alone.
pub(super) fn choose(groups: &[Vec<Choice>], limit: i64, kept: usize) -> Option<Chosen> {
    let hulls: Vec<Hull> = groups.iter().map(|group| Hull::of(group)).collect();
    let lightest = hulls.iter().zip(groups).map(|(hull, group)| group[hull.choices[0]].weight);
    let filled = Filled::of(&hulls, limit - lightest.sum::<i64>())?;
    let mut search = Search::of(groups, &hulls, &filled, limit);
    for at in 0..search.order.len() {
        search.take_in(at, kept);
    }
    Some(search.done(&hulls))
}

/// The choices of a group that are worth the most for some price of weight, from the lightest on,
/// each step upward worth less by weight than the one before.
struct Hull {
    /// Numbers of choices.
    choices: Vec<usize>,
    /// The step from each of them to the next.
    steps: Vec<Slope>,
}

impl Hull {
    fn of(group: &[Choice]) -> Self {
        let mut by_weight: Vec<usize> = (0..group.len()).collect();
        by_weight.sort_by(|&a, &b| {
            let (a, b) = (&group[a], &group[b]);
            a.weight.cmp(&b.weight).then(b.worth.cmp(&a.worth))
        });
        let mut hull = Self { choices: Vec::new(), steps: Vec::new() };
        for choice in by_weight {
            let Some(&last) = hull.choices.last() else {
                hull.choices.push(choice);
                continue;
            };
            if group[choice].worth <= group[last].worth {
                continue;
            }
            let mut step = step_between(&group[last], &group[choice]);
            while hull.steps.last().is_some_and(|before| before.compare(step).is_le()) {
                hull.steps.pop();
                hull.choices.pop();
                if let Some(&last) = hull.choices.last() {
                    step = step_between(&group[last], &group[choice]);
                }
            }
            hull.steps.push(step);
            hull.choices.push(choice);
        }
        hull
    }
}

fn step_between(from: &Choice, to: &Choice) -> Slope {
    Slope { worth: to.worth.less(from.worth), weight: to.weight - from.weight }
}

/// The steps that are taken when all groups are filled in by worth per weight.
struct Filled {
    /// For each group the place in its hull.
    places: Vec<usize>,
    /// The same for a choice of whole ones: later steps that still fit are taken, too.
    whole: Vec<usize>,
    /// What is worth the least by weight of what is taken in part, where something is.
    critical: Option<Slope>,
}

impl Filled {
    /// Fills in beyond the lightest choices, which leave so much `room`.
    fn of(hulls: &[Hull], mut room: i64) -> Option<Self> {
        let mut steps: Vec<(usize, usize)> = hulls
            .iter()
            .enumerate()
            .flat_map(|(group, hull)| (0..hull.steps.len()).map(move |step| (group, step)))
            .collect();
        let slope = |&(group, step): &(usize, usize)| hulls[group].steps[step];
        steps.sort_by(|a, b| slope(b).compare(slope(a)));
        let mut places = vec![0; hulls.len()];
        let mut whole: Option<Vec<usize>> = None;
        let mut critical = None;
        for at in &steps {
            let (group, step) = *at;
            let fits = slope(at).weight <= room;
            if whole.is_none() && !fits {
                critical = Some(slope(at));
                whole = Some(places.clone());
            }
            let places = whole.as_mut().unwrap_or(&mut places);
            if fits && places[group] == step {
                places[group] = step + 1;
                room -= slope(at).weight;
            }
        }
        (room >= 0).then(|| Self {
            whole: whole.unwrap_or_else(|| places.clone()),
            places,
            critical,
        })
    }
}

/// A sum of choices: those of the groups gone through, and of the others as they are filled in.
#[derive(Clone, Copy)]
struct Sum {
    weight: i64,
    worth: Worth,
    /// The sum that it was made from, among those of the group before, and the choice it took.
    from: u32,
    choice: u32,
}

struct Search<'a> {
    groups: &'a [Vec<Choice>],
    limit: i64,
    /// The groups from the most narrowly decided to the most clearly.
    order: Vec<usize>,
    /// What each group has where nothing else is known.
    filled: Vec<usize>,
    /// The steepest step upward of the groups from each place of the order on.
    up: Vec<Option<Slope>>,
    /// The flattest step that may be taken back of them.
    down: Vec<Option<Slope>>,
    sums: Vec<Sum>,
    /// How each sum of each group was come by.
    trail: Vec<Vec<(u32, u32)>>,
    best: Best,
    bound: Option<[f64; RANKS]>,
    count: u64,
}

/// The best choice of whole ones.
struct Best {
    worth: Worth,
    weight: i64,
    /// The group and the sum of it where it was found; `None` for the first filling.
    found: Option<(usize, usize)>,
    first: Vec<usize>,
}

impl<'a> Search<'a> {
    fn of(groups: &'a [Vec<Choice>], hulls: &[Hull], filled: &Filled, limit: i64) -> Self {
        let sum_of = |places: &[usize]| {
            let choices = places.iter().zip(hulls).zip(groups);
            choices.fold((0, Worth::NOTHING), |(weight, worth), ((&place, hull), group)| {
                let choice = &group[hull.choices[place]];
                (weight + choice.weight, worth.and(choice.worth))
            })
        };
        let picks = |places: &[usize]| -> Vec<usize> {
            places.iter().zip(hulls).map(|(&place, hull)| hull.choices[place]).collect()
        };
        let order = by_narrowness(hulls, filled);
        let next = |&group: &usize| hulls[group].steps.get(filled.places[group]).copied();
        let last = |&group: &usize| {
            filled.places[group].checked_sub(1).map(|step| hulls[group].steps[step])
        };
        let mut up = vec![None; order.len() + 1];
        let mut down = vec![None; order.len() + 1];
        for at in (0..order.len()).rev() {
            up[at] = pick(up[at + 1], next(&order[at]), std::cmp::Ordering::Greater);
            down[at] = pick(down[at + 1], last(&order[at]), std::cmp::Ordering::Less);
        }
        let (weight, worth) = sum_of(&filled.places);
        let (best_weight, best_worth) = sum_of(&filled.whole);
        Self {
            groups,
            limit,
            order,
            filled: picks(&filled.places),
            up,
            down,
            sums: vec![Sum { weight, worth, from: 0, choice: 0 }],
            trail: Vec::new(),
            best: Best {
                worth: best_worth,
                weight: best_weight,
                found: None,
                first: picks(&filled.whole),
            },
            bound: None,
            count: 0,
        }
    }

    /// Adds the choices of the next group to all sums.
    fn take_in(&mut self, at: usize, kept: usize) {
        let group = self.order[at];
        let choices = &self.groups[group];
        let own = choices[self.filled[group]];
        let mut made: Vec<Sum> = Vec::with_capacity(self.sums.len() * choices.len());
        for (number, choice) in (0_u32..).zip(choices) {
            let (weight, worth) = (choice.weight - own.weight, choice.worth.less(own.worth));
            made.extend((0_u32..).zip(&self.sums).map(|(from, sum)| Sum {
                weight: sum.weight + weight,
                worth: sum.worth.and(worth),
                from,
                choice: number,
            }));
        }
        self.count += made.len() as u64;
        // Each choice adds the same to all sums, so this merges runs that are in order already.
        made.sort_by(|a, b| a.weight.cmp(&b.weight).then(b.worth.cmp(&a.worth)));
        let mut worth = None;
        made.retain(|sum| {
            let is_more = worth.is_none_or(|worth| sum.worth > worth);
            if is_more {
                worth = Some(sum.worth);
            }
            is_more
        });
        let within = made.partition_point(|sum| sum.weight <= self.limit);
        // Of those within the limit the last is worth the most.
        let found = within.checked_sub(1).filter(|&last| made[last].worth > self.best.worth);
        if let Some(last) = found {
            self.best.worth = made[last].worth;
            self.best.weight = made[last].weight;
        }
        let last = found.map(|last| (made[last].from, made[last].choice));
        made.retain(|sum| self.may_beat(sum, at + 1));
        if made.len() > kept {
            self.keep_some(&mut made, at + 1, kept);
        }
        self.trail.push(made.iter().map(|sum| (sum.from, sum.choice)).collect());
        if let Some(last) = last {
            // It is kept for its trail, whether or not it leads further.
            let trail = &mut self.trail[at];
            self.best.found = Some((at, trail.len()));
            trail.push(last);
        }
        self.sums = made;
    }

    /// Whether a sum may come to more than the best with the groups from place `at` on.
    fn may_beat(&self, sum: &Sum, at: usize) -> bool {
        let room = self.limit - sum.weight;
        let slope = if room >= 0 { self.up[at] } else { self.down[at] };
        match slope {
            Some(slope) => slope.beats(sum.worth, room, self.best.worth),
            None => room >= 0 && sum.worth > self.best.worth,
        }
    }

    fn reach(&self, sum: &Sum, at: usize) -> [f64; RANKS] {
        let room = self.limit - sum.weight;
        let slope = if room >= 0 { self.up[at] } else { self.down[at] };
        slope.map_or(sum.worth.0.map(|number| number as f64), |slope| slope.reach(sum.worth, room))
    }

    /// Keeps the sums that may come to the most, in their order, and notes what the others might.
    fn keep_some(&mut self, sums: &mut Vec<Sum>, at: usize, kept: usize) {
        let reach: Vec<[f64; RANKS]> = sums.iter().map(|sum| self.reach(sum, at)).collect();
        let mut by_reach: Vec<usize> = (0..sums.len()).collect();
        by_reach.sort_by(|&a, &b| {
            let pairs = reach[a].iter().zip(&reach[b]);
            let order = pairs.map(|(a, b)| b.total_cmp(a)).find(|order| order.is_ne());
            order.unwrap_or(std::cmp::Ordering::Equal).then(a.cmp(&b))
        });
        let dropped = reach[by_reach[kept]];
        self.bound = Some(self.bound.map_or(dropped, |bound| greater(bound, dropped)));
        by_reach.truncate(kept);
        by_reach.sort_unstable();
        *sums = by_reach.into_iter().map(|at| sums[at]).collect();
    }

    fn done(self, hulls: &[Hull]) -> Chosen {
        debug_assert_eq!(hulls.len(), self.groups.len());
        let mut picks = self.best.first;
        if let Some((at, mut sum)) = self.best.found {
            picks = self.filled;
            for at in (0..=at).rev() {
                let (from, choice) = self.trail[at][sum];
                picks[self.order[at]] = choice as usize;
                sum = from as usize;
            }
        }
        let Best { worth, weight, .. } = self.best;
        let best = worth.0.map(|number| number as f64);
        let bound = self.bound.filter(|&bound| is_less(best, bound));
        Chosen { picks, weight, worth, bound, sums: self.count }
    }
}

fn pick(one: Option<Slope>, other: Option<Slope>, wanted: std::cmp::Ordering) -> Option<Slope> {
    match (one, other) {
        (Some(one), Some(other)) if other.compare(one) == wanted => Some(other),
        (None, other) => other,
        (one, _) => one,
    }
}

/// The groups by how near their next step up or their last step lies to the critical one, by worth
/// per weight; those in which there is nothing to choose come last.
fn by_narrowness(hulls: &[Hull], filled: &Filled) -> Vec<usize> {
    let mut order: Vec<usize> = (0..hulls.len()).collect();
    let Some(critical) = filled.critical else { return order };
    let off = |slope: Slope| -> [f64; RANKS] {
        std::array::from_fn(|rank| {
            let own = slope.worth.0[rank] as f64 / slope.weight as f64;
            let other = critical.worth.0[rank] as f64 / critical.weight as f64;
            (own - other).abs()
        })
    };
    let narrowness: Vec<[f64; RANKS]> = hulls
        .iter()
        .zip(&filled.places)
        .map(|(hull, &place)| {
            let next = hull.steps.get(place).map(|&slope| off(slope));
            let last = place.checked_sub(1).map(|step| off(hull.steps[step]));
            let far = [f64::INFINITY; RANKS];
            let [next, last] = [next, last].map(|distance| distance.unwrap_or(far));
            if is_less(next, last) { next } else { last }
        })
        .collect();
    order.sort_by(|&a, &b| {
        let pairs = narrowness[a].iter().zip(&narrowness[b]);
        pairs.map(|(a, b)| a.total_cmp(b)).find(|order| order.is_ne()).unwrap_or(a.cmp(&b))
    });
    order
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn brute(groups: &[Vec<Choice>], limit: i64) -> Option<Worth> {
        let mut sums = vec![(0_i64, Worth::NOTHING)];
        for group in groups {
            let mut more = Vec::new();
            for &(weight, worth) in &sums {
                for choice in group {
                    more.push((weight + choice.weight, worth.and(choice.worth)));
                }
            }
            sums = more;
        }
        sums.into_iter().filter(|sum| sum.0 <= limit).map(|sum| sum.1).max()
    }

    fn assert_is_right(
        groups: &[Vec<Choice>],
        limit: i64,
        kept: usize,
    ) -> Result<(), TestCaseError> {
        let expected = brute(groups, limit);
        let found = choose(groups, limit, kept);
        prop_assert_eq!(found.is_some(), expected.is_some());
        let (Some(found), Some(expected)) = (found, expected) else { return Ok(()) };
        let picked = || groups.iter().zip(&found.picks).map(|(group, &pick)| group[pick]);
        prop_assert_eq!(picked().map(|choice| choice.weight).sum::<i64>(), found.weight);
        let worth = picked().fold(Worth::NOTHING, |worth, choice| worth.and(choice.worth));
        prop_assert_eq!(worth, found.worth);
        prop_assert!(found.weight <= limit);
        match found.bound {
            None => prop_assert_eq!(found.worth, expected),
            Some(bound) => {
                prop_assert!(found.worth <= expected);
                let expected = expected.0.map(|number| number as f64);
                let slack = bound.map(|number| number + 1e-6);
                prop_assert_eq!(greater(slack, expected), slack);
            }
        }
        Ok(())
    }

    fn one_or_nothing(weight: i64, first: i64, second: i64) -> Vec<Choice> {
        let nothing = Choice { weight: 0, worth: Worth::NOTHING };
        vec![nothing, Choice { weight, worth: Worth([first, second, 0, -weight]) }]
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

        #[test]
        fn fields_are_chosen_as_by_trying_all(
            fields in prop::collection::vec((0_i64..40, 0_i64..9, 0_i64..60), 0..12),
            limit in 0_i64..200,
        ) {
            let groups: Vec<_> =
                fields.iter().map(|&(w, first, second)| one_or_nothing(w, first, second)).collect();
            assert_is_right(&groups, limit, SUMS_KEPT)?;
        }

        #[test]
        fn parts_of_fields_are_chosen_as_by_trying_all(
            groups in prop::collection::vec(
                prop::collection::vec((0_i64..40, 0_i64..4, -3_i64..60), 1..5),
                1..7,
            ),
            limit in 0_i64..200,
        ) {
            let group = |group: &Vec<(i64, i64, i64)>| -> Vec<Choice> {
                let choice = |&(weight, first, second): &(i64, i64, i64)| Choice {
                    weight,
                    worth: Worth([first, second, 0, -weight]),
                };
                group.iter().map(choice).collect()
            };
            let groups: Vec<_> = groups.iter().map(group).collect();
            assert_is_right(&groups, limit, SUMS_KEPT)?;
        }

        #[test]
        fn with_few_sums_kept_the_gap_that_is_told_holds(
            fields in prop::collection::vec((1_i64..400, 0_i64..90, 0_i64..60), 6..12),
            limit in 0_i64..2_000,
        ) {
            let groups: Vec<_> =
                fields.iter().map(|&(w, first, second)| one_or_nothing(w, first, second)).collect();
            assert_is_right(&groups, limit, 2)?;
        }
    }

    #[test]
    fn where_the_lightest_choices_weigh_too_much_there_is_none() {
        let must = vec![Choice { weight: 5, worth: Worth([1, 0, 0, 0]) }];
        assert_eq!(choose(&[must.clone(), must], 9, SUMS_KEPT), None);
        let none = choose(&[], 3, SUMS_KEPT).unwrap();
        assert_eq!((none.weight, none.picks.len()), (0, 0));
    }
}
