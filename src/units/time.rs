//! Time that work takes.

use super::quantity::quantity;
use super::{Length, Speed};

/// Seconds in one hour, exact.
const S_PER_HOUR: f64 = 3_600.0;

quantity! {
    /// Time that something takes, held in seconds.
    TimeTaken {
        /// So many seconds.
        from_seconds,
        /// In seconds.
        to_seconds = 1.0;
        /// So many hours.
        from_hours,
        /// In hours.
        to_hours = S_PER_HOUR;
    }
}

impl Length {
    /// The time that this distance takes at `speed`, which must be above 0.
    ///
    /// # Panics
    /// If `speed` is 0.
    pub fn time_at(self, speed: Speed) -> TimeTaken {
        TimeTaken::from_seconds(self.to_metres() / speed.to_metres_per_second())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ninety_miles_at_forty_five_miles_an_hour_take_two_hours() {
        let time = Length::from_miles(90.0).time_at(Speed::from_miles_per_hour(45.0));
        assert!((time.to_hours() - 2.0).abs() < 1e-12);
        assert!((time.to_seconds() - 7_200.0).abs() < 1e-9);
    }
}
