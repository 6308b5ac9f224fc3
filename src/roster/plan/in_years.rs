//! Sharing out what there is in each of several years.

use super::candidate::Candidate;
use super::choose::Choice;
use super::counted::Counted;
use super::pool::{Fate, TooMuch};
use super::worth::{RANKS, Worth};
use super::years::{NODES, Waiting, schedule, worth_of};

/// What a pool of several years is shared out among.
pub(super) struct YearPool<'a> {
    pub(super) candidates: &'a [Candidate<'a>],
    pub(super) counted: &'a Counted,
    pub(super) limits: &'a [i64],
    pub(super) must: &'a [usize],
    pub(super) priority: &'a [usize],
    pub(super) not_now: &'a [bool],
}

/// Which field is limed when.
pub(super) struct SharedInYears {
    pub(super) years: Vec<Option<usize>>,
    pub(super) fates: Vec<Fate>,
    pub(super) worth: Worth,
    pub(super) bound: Option<[f64; RANKS]>,
    pub(super) tried: u64,
}

impl YearPool<'_> {
    /// Shares it out: the fields that must get lime in the first year, those with priority each in
    /// the first that has room for it, the others by the rule.
    ///
    /// # Errors
    /// Returns what the fields that must get lime take, where that is more than there is in the
    /// first year.
    pub(super) fn share_out(&self) -> Result<SharedInYears, TooMuch> {
        let fields: Vec<Waiting> = self
            .candidates
            .iter()
            .zip(self.not_now)
            .map(|(candidate, &not_now)| {
                let whole = &candidate.whole;
                let Worth([aluminium, ph, met, _]) = whole.worth();
                Waiting {
                    choice: Choice {
                        weight: self.counted.weight(candidate, whole.order, 1.0),
                        // Over several years the tons are those of the limits.
                        worth: Worth([aluminium, ph, met, 0]),
                    },
                    from: usize::from(not_now),
                }
            })
            .collect();
        let gets_lime = |at: usize| self.candidates[at].gets_lime();
        let mut room = self.limits.to_vec();
        let mut years: Vec<Option<usize>> = vec![None; fields.len()];
        let mut fates: Vec<Fate> = (0..fields.len())
            .map(|at| match (gets_lime(at), self.not_now[at]) {
                (false, _) => Fate::NeedsNone,
                (true, true) => Fate::NotNow,
                (true, false) => Fate::LeftOut,
            })
            .collect();
        let must = || self.must.iter().copied().filter(|&at| gets_lime(at));
        let takes: i64 = must().map(|at| fields[at].choice.weight).sum();
        if takes > room[0] {
            return Err(TooMuch { takes });
        }
        room[0] -= takes;
        for at in must() {
            (years[at], fates[at]) = (Some(0), Fate::Must);
        }
        for &at in self.priority.iter().filter(|&&at| gets_lime(at)) {
            let takes = fields[at].choice.weight;
            let first = (fields[at].from..room.len()).find(|&year| takes <= room[year]);
            if let Some(year) = first {
                room[year] -= takes;
                (years[at], fates[at]) = (Some(year), Fate::Priority);
            } else {
                let left = room.iter().copied().max().unwrap_or_default();
                fates[at] = Fate::NoRoomForPriority { takes, left };
            }
        }
        let open: Vec<usize> = (0..fields.len())
            .filter(|&at| matches!(fates[at], Fate::LeftOut | Fate::NotNow))
            .collect();
        let waiting: Vec<Waiting> = open.iter().map(|&at| fields[at]).collect();
        let settled = worth_of(&fields, &years, room.len());
        let found = schedule(&waiting, &room, NODES);
        for (&at, &year) in open.iter().zip(&found.years) {
            years[at] = year;
            if year.is_some() && fates[at] == Fate::LeftOut {
                fates[at] = Fate::Chosen;
            }
        }
        let bound = found
            .bound
            .map(|bound| std::array::from_fn(|rank| bound[rank] + settled.0[rank] as f64));
        let worth = settled.and(found.worth);
        Ok(SharedInYears { years, fates, worth, bound, tried: found.nodes })
    }
}
