//! Why a field gets lime or does not, in a line.

use super::candidate::{Candidate, Ground};
use super::counted::Counted;
use super::options::Taking;
use super::pool::Fate;
use super::worth::Worth;
use crate::summary::{Quantity, ph_area};
use crate::units::{Area, Currency, ProductMass, UnitSystem, plain};

/// Says things in the units of the plan.
pub(super) struct Say<'a> {
    pub(super) system: UnitSystem,
    pub(super) counted: &'a Counted,
    pub(super) candidates: &'a [Candidate<'a>],
}

/// Fields that are named in a line before the rest is counted.
const NAMED: usize = 4;

impl Say<'_> {
    fn limit(&self, weight: i64) -> String {
        shown(&self.counted.quantity(self.system, weight), 2)
    }

    fn area(&self, area: Area) -> String {
        shown(&self.system.area(area).into(), 2)
    }

    fn gain(&self, ph_m2: f64) -> String {
        shown(&ph_area(self.system, ph_m2), 2)
    }

    /// What lime does on ground, and for how much.
    fn does(&self, ground: &Ground<'_>) -> String {
        let mut parts = Vec::new();
        if ground.aluminium > Area::ZERO {
            parts.push(format!("{} with aluminium risk", self.area(ground.aluminium)));
        }
        if ground.ph_m2 > 0.0 && ground.order > ProductMass::ZERO {
            let order = self.system.product(ground.order);
            let per = ph_area(self.system, ground.ph_m2).value / order.value;
            parts.push(format!(
                "a gain of {}, {} a {}",
                self.gain(ground.ph_m2),
                plain(per, 0, 4),
                order.unit
            ));
        }
        if parts.is_empty() { "no risk and no gain of pH".to_owned() } else { parts.join(", ") }
    }

    /// Why a field fares as it does.
    pub(super) fn why(&self, at: usize, fate: &Fate, taking: &Taking) -> String {
        let candidate = &self.candidates[at];
        let all = self.does(&candidate.whole);
        let left_out = match taking {
            Taking::Areas(_) => "The rest",
            _ => "It",
        };
        match fate {
            Fate::NeedsNone => "It needs no lime.".to_owned(),
            Fate::NotNow => format!("Not this year (allotment.not_this_year); it has {all}."),
            Fate::Enough => format!("There is enough: {all}."),
            Fate::Must => format!("It must get lime (allotment.must): {all}."),
            Fate::Priority => format!("It comes before others (allotment.priority): {all}."),
            Fate::NoRoomForPriority { takes, left } => format!(
                "It has priority, but takes {}, and {} are left after what comes before it.",
                self.limit(*takes),
                self.limit(*left)
            ),
            Fate::Chosen => format!("By the rule: {all}."),
            Fate::NoRoom { takes, left } => format!(
                "{left_out} does not fit: all of it takes {}, and {} are left for what the rule \
                 chooses; it has {all}.",
                self.limit(*takes),
                self.limit(*left)
            ),
            Fate::Displaces { loss, others } => self.displaces(loss, others, left_out, &all),
            Fate::LeftOut => format!("{left_out} comes after the others by the rule: {all}."),
        }
    }

    fn displaces(&self, loss: &Worth, others: &[usize], left_out: &str, all: &str) -> String {
        let ids: Vec<&str> =
            others.iter().take(NAMED).map(|&at| self.candidates[at].row.id.as_str()).collect();
        let mut names = ids.join(", ");
        if others.len() > NAMED {
            names = format!("{names} and {} more", others.len() - NAMED);
        }
        let cost = if loss.0[0] > 0 {
            format!("{} less of ground with aluminium risk would be limed", self.metres(loss.0[0]))
        } else if loss.0[1] > 0 {
            format!("the gain would be {} less", self.gain(loss.0[1] as f64))
        } else if loss.0[2] > 0 {
            "less of the need would be met".to_owned()
        } else if loss.0[3] > 0 {
            "the same would take more tons".to_owned()
        } else {
            "nothing would be gained".to_owned()
        };
        if others.is_empty() {
            return format!("{left_out} is left out: with it {cost}; it has {all}.");
        }
        format!("{left_out} would take from {names}, and {cost}; it has {all}.")
    }

    fn metres(&self, m2: i64) -> String {
        self.area(Area::from_square_metres(m2 as f64))
    }

    /// Why a field is limed in a year of several, or in none.
    pub(super) fn why_in_years(&self, at: usize, fate: &Fate, year: Option<usize>) -> String {
        let all = self.does(&self.candidates[at].whole);
        match (fate, year) {
            (Fate::Chosen, Some(year)) => format!("Year {} by the rule: {all}.", year + 1),
            (Fate::NotNow, Some(year)) => {
                format!("Year {}, as not in the first (allotment.not_this_year): {all}.", year + 1)
            }
            (Fate::Priority, Some(year)) => format!(
                "The first year that has room for it is {} (allotment.priority): {all}.",
                year + 1
            ),
            (Fate::LeftOut | Fate::NotNow, None) => {
                format!("No year has room for it before what comes first by the rule: {all}.")
            }
            (fate, _) => self.why(at, fate, &Taking::Nothing),
        }
    }
}

/// An amount with as many decimals as it has, at most so many; money with two.
pub(super) fn shown(quantity: &Quantity, places: usize) -> String {
    if let Some(currency) = Currency::from_words(&quantity.unit) {
        return currency.amount(quantity.value);
    }
    format!("{} {}", plain(quantity.value, 0, places), quantity.unit)
}
