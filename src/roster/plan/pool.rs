//! Sharing out what there is in one year among the fields that it is for.

use super::candidate::Candidate;
use super::choose::{Choice, Chosen, SUMS_KEPT, choose};
use super::options::{Group, HowTaken, Options, Part, Taking, together};
use super::worth::{RANKS, Worth};

/// Fields that are left out for which is worked out what they would have displaced (ours).
const EXPLAINED: usize = 200;

/// What a pool of one year is shared out among.
pub(super) struct Pool<'a> {
    pub(super) candidates: &'a [Candidate<'a>],
    pub(super) how: HowTaken<'a>,
    /// What there is; `None` without a limit.
    pub(super) limit: Option<i64>,
    /// The fields that must get lime.
    pub(super) must: &'a [usize],
    /// The fields that come before the others, in their order.
    pub(super) priority: &'a [usize],
    /// For each field whether it gets none this year.
    pub(super) not_now: &'a [bool],
}

/// What became of a field.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Fate {
    /// It needs no lime.
    NeedsNone,
    /// It gets none this year.
    NotNow,
    /// There is no limit, or all fit.
    Enough,
    /// It must get lime.
    Must,
    /// It comes before others.
    Priority,
    /// It comes before others, and does not fit all the same: what it takes and what is left.
    NoRoomForPriority { takes: i64, left: i64 },
    /// The rule gives it lime, all or in part.
    Chosen,
    /// It does not fit even if no other field is chosen by the rule.
    NoRoom { takes: i64, left: i64 },
    /// All of it would displace others: what is lost by that, and which fields get less.
    Displaces { loss: Worth, others: Vec<usize> },
    /// The rule gives it none, and what it would displace was not worked out.
    LeftOut,
}

/// How a pool is shared out.
pub(super) struct Shared {
    pub(super) takings: Vec<Taking>,
    pub(super) fates: Vec<Fate>,
    pub(super) worth: Worth,
    pub(super) bound: Option<[f64; RANKS]>,
    /// Fields with more combinations of areas than are tried.
    pub(super) cut: Vec<usize>,
    pub(super) tried: u64,
}

/// The fields that must get lime take more than there is.
#[derive(Debug)]
pub(super) struct TooMuch {
    pub(super) takes: i64,
}

impl Pool<'_> {
    /// Shares it out.
    ///
    /// # Errors
    /// Returns what the fields that must get lime take, where that is more than there is.
    pub(super) fn share_out(&self) -> Result<Shared, TooMuch> {
        let options: Vec<Options> =
            self.candidates.iter().map(|candidate| self.how.options(candidate)).collect();
        let mut made = Making::of(self, &options);
        let open = |at: usize| self.candidates[at].gets_lime() && !self.not_now[at];
        for (at, fate) in made.fates.iter_mut().enumerate() {
            if !self.candidates[at].gets_lime() {
                *fate = Fate::NeedsNone;
            } else if self.not_now[at] {
                *fate = Fate::NotNow;
            }
        }
        let all: i64 = (0..options.len()).filter(|&at| open(at)).map(|at| made.most(at)).sum();
        let enough = self.limit.is_none_or(|limit| all <= limit);
        let must: i64 = self.must.iter().filter(|&&at| open(at)).map(|&at| made.most(at)).sum();
        if self.limit.is_some_and(|limit| must > limit) {
            return Err(TooMuch { takes: must });
        }
        for &at in self.must.iter().filter(|&&at| open(at)) {
            made.take_all(at, Fate::Must);
        }
        if enough {
            for at in (0..options.len()).filter(|&at| open(at)) {
                if made.is_open(at) {
                    made.take_all(at, Fate::Enough);
                }
            }
            return Ok(made.done());
        }
        for &at in self.priority.iter().filter(|&&at| open(at)) {
            made.take_first(at);
        }
        made.take_by_rule();
        Ok(made.done())
    }
}

/// A pool while it is shared out.
struct Making<'a> {
    pool: &'a Pool<'a>,
    options: &'a [Options],
    /// For each field the place of what is taken in each of its groups.
    picks: Vec<Vec<usize>>,
    fates: Vec<Fate>,
    used: i64,
    worth: Worth,
    bound: Option<[f64; RANKS]>,
    tried: u64,
}

impl<'a> Making<'a> {
    fn of(pool: &'a Pool<'a>, options: &'a [Options]) -> Self {
        let picks = options.iter().map(|options| vec![0; options.groups.len()]).collect();
        Self {
            pool,
            options,
            picks,
            fates: vec![Fate::LeftOut; options.len()],
            used: 0,
            worth: Worth::NOTHING,
            bound: None,
            tried: 0,
        }
    }

    fn is_open(&self, at: usize) -> bool {
        self.fates[at] == Fate::LeftOut
    }

    /// What all of a field weighs.
    fn most(&self, at: usize) -> i64 {
        self.options[at].groups.iter().map(|group| last(group).choice.weight).sum()
    }

    fn left(&self) -> i64 {
        self.pool.limit.map_or(i64::MAX / 4, |limit| limit - self.used)
    }

    fn take_all(&mut self, at: usize, fate: Fate) {
        let picks = self.options[at].groups.iter().map(|group| group.parts.len() - 1).collect();
        self.take(at, picks, fate);
    }

    fn take(&mut self, at: usize, picks: Vec<usize>, fate: Fate) {
        for (group, &pick) in self.options[at].groups.iter().zip(&picks) {
            let choice = group.parts[pick].choice;
            self.used += choice.weight;
            self.worth = self.worth.and(choice.worth);
        }
        self.picks[at] = picks;
        self.fates[at] = fate;
    }

    /// As much of a field that has priority as there is room for.
    fn take_first(&mut self, at: usize) {
        let left = self.left();
        if self.most(at) <= left {
            self.take_all(at, Fate::Priority);
            return;
        }
        let chosen = self.choose(&choices_of(&self.options[at]), left);
        let picks = chosen.map(|chosen| chosen.picks).unwrap_or_default();
        if picks.iter().any(|&pick| pick > 0) {
            self.take(at, picks, Fate::Priority);
        } else {
            self.fates[at] = Fate::NoRoomForPriority { takes: self.most(at), left };
        }
    }

    fn choose(&mut self, groups: &[Vec<Choice>], left: i64) -> Option<Chosen> {
        let chosen = choose(groups, left, SUMS_KEPT)?;
        self.tried += chosen.sums;
        if let Some(bound) = chosen.bound {
            let so_far = self.worth.0.map(|number| number as f64);
            self.bound = Some(std::array::from_fn(|rank| so_far[rank] + bound[rank]));
        }
        Some(chosen)
    }

    /// What is left goes by the rule.
    fn take_by_rule(&mut self) {
        let open: Vec<usize> = (0..self.options.len()).filter(|&at| self.is_open(at)).collect();
        let left = self.left();
        let groups: Vec<Vec<Choice>> =
            open.iter().flat_map(|&at| choices_of(&self.options[at])).collect();
        let Some(chosen) = self.choose(&groups, left) else { return };
        let mut from = chosen.picks.iter().copied();
        let picks: Vec<Vec<usize>> = open
            .iter()
            .map(|&at| from.by_ref().take(self.options[at].groups.len()).collect())
            .collect();
        let is_all = |at: usize, picks: &[usize]| {
            let groups = self.options[at].groups.iter().zip(picks);
            groups.clone().all(|(group, &pick)| pick == group.parts.len() - 1)
        };
        let waiting: Vec<usize> =
            (0..open.len()).filter(|&place| !is_all(open[place], &picks[place])).collect();
        let told: Vec<Fate> = waiting
            .iter()
            .enumerate()
            .map(|(count, &place)| {
                if count < EXPLAINED {
                    self.displaced(&open, place, &picks, (&chosen, left))
                } else {
                    Fate::LeftOut
                }
            })
            .collect();
        for (place, &at) in open.iter().enumerate() {
            self.take(at, picks[place].clone(), Fate::Chosen);
        }
        for (&place, fate) in waiting.iter().zip(told) {
            self.fates[open[place]] = fate;
        }
    }

    /// What all of a field would displace.
    fn displaced(
        &self,
        open: &[usize],
        place: usize,
        picks: &[Vec<usize>],
        (chosen, left): (&Chosen, i64),
    ) -> Fate {
        let takes = self.most(open[place]);
        if takes > left {
            return Fate::NoRoom { takes, left };
        }
        let groups: Vec<Vec<Choice>> = open
            .iter()
            .flat_map(|&at| {
                if at == open[place] {
                    let groups = self.options[at].groups.iter();
                    groups.map(|group| vec![last(group).choice]).collect()
                } else {
                    choices_of(&self.options[at])
                }
            })
            .collect();
        let Some(with) = choose(&groups, left, SUMS_KEPT / 10) else {
            return Fate::NoRoom { takes, left };
        };
        let mut from = with.picks.iter();
        let mut others = Vec::new();
        for (other, &at) in open.iter().enumerate() {
            let own: Vec<usize> =
                from.by_ref().take(self.options[at].groups.len()).copied().collect();
            let weigh = |picks: &[usize]| -> i64 {
                let groups = self.options[at].groups.iter().zip(picks);
                groups.map(|(group, &pick)| group.parts[pick].choice.weight).sum()
            };
            if other != place && weigh(&own) < weigh(&picks[other]) {
                others.push(at);
            }
        }
        Fate::Displaces { loss: chosen.worth.less(with.worth), others }
    }

    fn done(self) -> Shared {
        let takings = self.picks.iter().enumerate().map(|(at, picks)| {
            let parts: Vec<&Part> = self.options[at]
                .groups
                .iter()
                .zip(picks)
                .map(|(group, &pick)| &group.parts[pick])
                .collect();
            together(&self.pool.candidates[at], &parts)
        });
        Shared {
            takings: takings.collect(),
            cut: (0..self.options.len()).filter(|&at| self.options[at].is_cut).collect(),
            fates: self.fates,
            worth: self.worth,
            bound: self.bound,
            tried: self.tried,
        }
    }
}

fn choices_of(options: &Options) -> Vec<Vec<Choice>> {
    let of = |group: &Group| group.parts.iter().map(|part| part.choice).collect();
    options.groups.iter().map(of).collect()
}

/// The most of a group.
fn last(group: &Group) -> &Part {
    &group.parts[group.parts.len() - 1]
}
