//! How far a spreader drives while its rate changes.

use super::Machine;
use crate::units::{Length, Speed, TimeTaken};

/// The publication of the published times, by its key in the bibliography.
pub const RATE_CHANGE_SOURCE: &str = "georgia_2024_variable_rate";

/// The published times in seconds: 3 to 5 s for spinner spreaders, by machine and how its
/// controller is set up. Source: Variable-rate fertilizer application considerations, University of
/// Georgia Extension, precision agriculture pages, February 2024.
const PUBLISHED_S: [f64; 2] = [3.0, 5.0];

/// How long a rate change takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RateChange {
    /// The least time.
    pub least: TimeTaken,
    /// The most; the same where the machine's own is known.
    pub most: TimeTaken,
    /// Whether it is the machine's own.
    pub is_own: bool,
}

impl RateChange {
    /// How far the spreader drives in the least and in the most time.
    pub fn distances(&self, speed: Speed) -> [Length; 2] {
        [speed * self.least, speed * self.most]
    }
}

impl Machine {
    /// How long its rate changes take: its own time where it is known, else the published range.
    pub fn rate_change(&self) -> RateChange {
        let own = self.abilities.rate_change;
        let [least, most] = PUBLISHED_S.map(TimeTaken::from_seconds);
        RateChange { least: own.unwrap_or(least), most: own.unwrap_or(most), is_own: own.is_some() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    use crate::machine::{Abilities, Setting, WrittenRate};

    fn machine(rate_change: Option<TimeTaken>) -> Machine {
        let rates = [WrittenRate { number: 2.0, unit: "t/ha" }];
        Machine {
            abilities: Abilities { rate_change, ..Abilities::default() },
            ..Machine::plain(Setting::list(&rates).unwrap())
        }
    }

    /// The published times over the distances that exact constants give: 1 mph is 5,280 / 3,600
    /// ft/s.
    #[test]
    fn the_published_times_are_driven_at_the_speed() {
        let published = machine(None).rate_change();
        assert!(!published.is_own);
        for (mph, least, most) in [(10.0, 44.0, 73.3), (15.0, 66.0, 110.0), (20.0, 88.0, 146.7)] {
            let [near, far] = published.distances(Speed::from_miles_per_hour(mph));
            assert!((near.to_feet() - least).abs() < 0.05, "{mph}: {}", near.to_feet());
            assert!((far.to_feet() - most).abs() < 0.05, "{mph}: {}", far.to_feet());
        }
    }

    #[test]
    fn the_machines_own_time_comes_first() {
        let own = machine(Some(TimeTaken::from_seconds(2.0))).rate_change();
        assert!(own.is_own);
        let [least, most] = own.distances(Speed::from_kilometres_per_hour(9.0));
        assert!((least.to_metres() - 5.0).abs() < 1e-9 && least == most);
    }
}
