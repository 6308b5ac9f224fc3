//! What a choice is worth: several whole numbers, of which the first that differs decides.

use std::cmp::Ordering;

/// How many numbers a worth has.
pub(super) const RANKS: usize = 4;

/// What a choice is worth, the weightiest number first. Sums are taken number by number, so an order
/// of two worths holds whatever is added to both.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Worth(pub(super) [i64; RANKS]);

impl Worth {
    /// Nothing.
    pub(super) const NOTHING: Self = Self([0; RANKS]);

    /// Both together.
    #[must_use]
    pub(super) fn and(self, other: Self) -> Self {
        Self(std::array::from_fn(|rank| self.0[rank] + other.0[rank]))
    }

    /// The one less the other.
    #[must_use]
    pub(super) fn less(self, other: Self) -> Self {
        Self(std::array::from_fn(|rank| self.0[rank] - other.0[rank]))
    }

    /// So many times as much.
    #[must_use]
    pub(super) fn times(self, factor: usize) -> Self {
        let factor = i64::try_from(factor).unwrap_or(i64::MAX);
        Self(self.0.map(|number| number * factor))
    }
}

/// A gain for a weight: what it is worth by the unit of weight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Slope {
    /// What is gained.
    pub(super) worth: Worth,
    /// The weight that it takes; above 0.
    pub(super) weight: i64,
}

impl Slope {
    /// Which of two gains is more by the unit of weight.
    pub(super) fn compare(self, other: Self) -> Ordering {
        let ranks = 0..RANKS;
        ranks
            .map(|rank| {
                let own = i128::from(self.worth.0[rank]) * i128::from(other.weight);
                own.cmp(&(i128::from(other.worth.0[rank]) * i128::from(self.weight)))
            })
            .find(|order| order.is_ne())
            .unwrap_or(Ordering::Equal)
    }

    /// Whether `from`, with `room` more of weight at this slope (less where it is below 0), comes to
    /// more than `best`.
    pub(super) fn beats(self, from: Worth, room: i64, best: Worth) -> bool {
        let ranks = 0..RANKS;
        let order = ranks
            .map(|rank| {
                let reach = i128::from(from.0[rank] - best.0[rank]) * i128::from(self.weight)
                    + i128::from(self.worth.0[rank]) * i128::from(room);
                reach.cmp(&0)
            })
            .find(|order| order.is_ne());
        order == Some(Ordering::Greater)
    }

    /// What `from` comes to with `room` more of weight at this slope.
    pub(super) fn reach(self, from: Worth, room: i64) -> [f64; RANKS] {
        let share = room as f64 / self.weight as f64;
        std::array::from_fn(|rank| from.0[rank] as f64 + self.worth.0[rank] as f64 * share)
    }
}

/// Whether one bound is less than another, the first number that differs deciding.
pub(super) fn is_less(one: [f64; RANKS], other: [f64; RANKS]) -> bool {
    let order = one.iter().zip(&other).map(|(a, b)| a.total_cmp(b)).find(|order| order.is_ne());
    order == Some(Ordering::Less)
}

/// The greater of two bounds.
pub(super) fn greater(one: [f64; RANKS], other: [f64; RANKS]) -> [f64; RANKS] {
    if is_less(one, other) { other } else { one }
}
