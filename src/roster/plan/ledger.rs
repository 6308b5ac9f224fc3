//! The ledger of a field under a plan, and of all fields together.

use super::candidate::{Candidate, read};
use super::error::PlanError;
use super::options::Taking;
use super::shape::PlanLedger;
use crate::findings::Refusal;
use crate::prescription::Imbalance;
use crate::roster::carbonate_of;
use crate::units::{CarbonateMass, UnitSystem};

/// How far two sides may differ, of the larger of them, and below what mass there is nothing to
/// balance: as in the ledger of a field.
const TOLERANCE: f64 = 1e-9;
const NOTHING_KG: f64 = 1e-3;

/// What a field or all of them need and get.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Masses {
    pub(super) need: CarbonateMass,
    pub(super) supplied: CarbonateMass,
    pub(super) excess: CarbonateMass,
    pub(super) unmet: CarbonateMass,
    pub(super) held_back: CarbonateMass,
    pub(super) not_this_year: CarbonateMass,
}

impl Masses {
    /// What a field comes to where so much of it is taken; `not_now`: the list wants none of it this
    /// year.
    ///
    /// What the machine's limits leave out stays their part, also of ground that is held back: that
    /// much would be lacking with lime, too. What the field's own job holds back is no limit of the
    /// machine: it is held back, as it was in the plan that the job follows.
    ///
    /// # Errors
    /// Returns the line that does not balance.
    pub(super) fn of(
        candidate: &Candidate<'_>,
        taking: &Taking,
        not_now: bool,
    ) -> Result<Self, PlanError> {
        let row = candidate.row;
        let refused = |problem| PlanError::Refused(Refusal::from(problem));
        let excess = read(&row.id, &row.excess_total, carbonate_of).map_err(refused)?;
        let whole = &candidate.whole;
        let all = Self {
            need: whole.need,
            supplied: whole.supplied,
            excess,
            unmet: whole.unmet - candidate.held_back,
            held_back: candidate.held_back,
            not_this_year: CarbonateMass::ZERO,
        };
        let masses = match taking {
            Taking::All => all,
            Taking::Nothing => {
                let left = all.need - all.unmet;
                let zero = CarbonateMass::ZERO;
                let (held_back, not_this_year) = if not_now { (zero, left) } else { (left, zero) };
                Self { supplied: zero, excess: zero, held_back, not_this_year, ..all }
            }
            Taking::Areas(places) => {
                let taken = places.iter().map(|&place| &candidate.areas[place]);
                let supplied: CarbonateMass = taken.clone().map(|area| area.supplied).sum();
                let excess = taken.map(|area| area.supplied + area.unmet - area.need).sum();
                let left = candidate.areas.iter().enumerate();
                let left = left.filter(|(place, _)| !places.contains(place));
                let left: CarbonateMass = left.map(|(_, area)| area.need - area.unmet).sum();
                // Areas that get nothing anyway lack what they need by the machine's limits, or
                // because the job holds them back.
                Self { supplied, excess, held_back: all.held_back + left, ..all }
            }
        };
        masses.balanced()?;
        Ok(masses)
    }

    /// Adds up fields, whose ledgers balance, to one that does.
    ///
    /// # Errors
    /// Returns the line that does not balance.
    pub(super) fn sum(all: &[Self]) -> Result<Self, Imbalance> {
        let total = |of: fn(&Self) -> CarbonateMass| all.iter().map(of).sum();
        let sum = Self {
            need: total(|one| one.need),
            supplied: total(|one| one.supplied),
            excess: total(|one| one.excess),
            unmet: total(|one| one.unmet),
            held_back: total(|one| one.held_back),
            not_this_year: total(|one| one.not_this_year),
        };
        sum.balanced()?;
        Ok(sum)
    }

    fn balanced(&self) -> Result<(), Imbalance> {
        let left = self.need.to_kilograms();
        let lacking = self.unmet + self.held_back + self.not_this_year;
        let right = (self.supplied + lacking - self.excess).to_kilograms();
        let size = left.abs().max(self.supplied.to_kilograms());
        if (left - right).abs() <= (TOLERANCE * size).max(NOTHING_KG) {
            return Ok(());
        }
        let line = "need = supplied + unmet + held back + not this year - excess, in the plan";
        Err(Imbalance { line, left, right, unit: "kg CaCO3" })
    }

    pub(super) fn part(&self, system: UnitSystem) -> PlanLedger {
        PlanLedger {
            need: system.carbonate(self.need).into(),
            supplied: system.carbonate(self.supplied).into(),
            excess: system.carbonate(self.excess).into(),
            unmet: system.carbonate(self.unmet).into(),
            held_back: system.carbonate(self.held_back).into(),
            not_this_year: (self.not_this_year > CarbonateMass::ZERO)
                .then(|| system.carbonate(self.not_this_year).into()),
        }
    }
}
