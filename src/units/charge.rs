//! What a haulier and an applicator charge for.

use super::{Area, Length, Money, ProductMass, TimeTaken};

/// Money for hauling, by what is counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HaulCharge {
    /// For a mass, whatever the distance.
    ByMass {
        /// The money.
        amount: Money,
        /// The mass that it hauls.
        per: ProductMass,
    },
    /// For a mass over a distance, one way.
    ByMassAndDistance {
        /// The money.
        amount: Money,
        /// The mass that it hauls.
        per: ProductMass,
        /// The distance, one way.
        over: Length,
    },
    /// For each load and distance driven with it, one way, full or not.
    ByLoadedDistance {
        /// The money.
        amount: Money,
        /// The distance, one way.
        over: Length,
    },
    /// For a truck's time, there and back, loading and unloading.
    ByTime {
        /// The money.
        amount: Money,
        /// The time that it pays for.
        per: TimeTaken,
    },
}

impl HaulCharge {
    /// Whether the distance has to be known to know the cost.
    pub fn counts_distance(self) -> bool {
        matches!(self, Self::ByLoadedDistance { .. } | Self::ByMassAndDistance { .. })
    }

    /// Whether the loads have to be counted to know the cost.
    pub fn counts_loads(self) -> bool {
        matches!(self, Self::ByLoadedDistance { .. } | Self::ByTime { .. })
    }
}

/// Money for spreading, by what is counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SpreadingCharge {
    /// For an area that gets any.
    ByArea {
        /// The money.
        amount: Money,
        /// The area that it pays for.
        per: Area,
    },
    /// For a mass that is spread.
    ByMass {
        /// The money.
        amount: Money,
        /// The mass that it pays for.
        per: ProductMass,
    },
}

impl SpreadingCharge {
    /// What spreading `mass` over `area` costs.
    pub fn of(self, mass: ProductMass, area: Area) -> Money {
        match self {
            Self::ByArea { amount, per } => amount * (area / per),
            Self::ByMass { amount, per } => amount * (mass / per),
        }
    }
}
