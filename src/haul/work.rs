//! How long a spreader works on a field.

use crate::units::{Area, Length, Speed, TimeTaken};

/// What is known of the work of one application.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WorkAsked {
    /// The ground that it is spread on.
    pub spread_over: Area,
    /// Between driving lines.
    pub pass_spacing: Length,
    /// The speed while spreading.
    pub speed: Option<Speed>,
    /// Turns between passes.
    pub turns: usize,
    /// The time of one.
    pub turn: Option<TimeTaken>,
    /// Loads of the spreader.
    pub loads: u64,
    /// The time to load it once.
    pub load: Option<TimeTaken>,
    /// From the pile to the ground, one way, as it is driven.
    pub run: Option<Length>,
    /// The speed on that way.
    pub running_speed: Option<Speed>,
}

/// The time that each part of the work takes, where it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Work {
    /// Driving while spreading.
    pub driving: Option<TimeTaken>,
    /// Turning from pass to pass.
    pub turning: Option<TimeTaken>,
    /// Loading the spreader.
    pub loading: Option<TimeTaken>,
    /// Running from the pile to the ground and back.
    pub running: Option<TimeTaken>,
}

impl Work {
    /// All parts with their names.
    pub fn parts(&self) -> [(&'static str, Option<TimeTaken>); 4] {
        [
            ("driving", self.driving),
            ("turning", self.turning),
            ("loading", self.loading),
            ("running", self.running),
        ]
    }

    /// All that is known together; `None` where nothing is.
    pub fn total(&self) -> Option<TimeTaken> {
        let known: Vec<TimeTaken> = self.parts().iter().filter_map(|(_, time)| *time).collect();
        (!known.is_empty()).then(|| known.into_iter().sum())
    }
}

/// Works out the time of one application.
///
/// Driving is the ground over pass spacing times speed: it counts no overlap and nothing that is
/// driven without spreading. The spreader runs to the ground and back for each load.
pub fn work_of(asked: &WorkAsked) -> Work {
    let nothing = asked.loads == 0;
    let turns = if nothing { 0 } else { asked.turns };
    let driving = asked.speed.map(|speed| {
        let metres = asked.spread_over.to_square_metres() / asked.pass_spacing.to_metres();
        Length::from_metres(metres).time_at(speed)
    });
    let there_and_back = asked.run.map(|run| run * 2.0);
    Work {
        driving,
        turning: asked.turn.map(|turn| turn * turns as f64),
        loading: asked.load.map(|load| load * asked.loads as f64),
        running: there_and_back
            .zip(asked.running_speed)
            .map(|(way, speed)| way.time_at(speed) * asked.loads as f64),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 80 acres at 40 ft and 10 mph, 12 loads, 32 turns.
    fn asked() -> WorkAsked {
        WorkAsked {
            spread_over: Area::from_acres(80.0),
            pass_spacing: Length::from_feet(40.0),
            speed: Some(Speed::from_miles_per_hour(10.0)),
            turns: 32,
            turn: Some(TimeTaken::from_seconds(15.0)),
            loads: 12,
            load: Some(TimeTaken::from_seconds(300.0)),
            run: Some(Length::from_miles(0.25)),
            running_speed: Some(Speed::from_miles_per_hour(15.0)),
        }
    }

    #[test]
    fn each_part_is_what_it_says() {
        let work = work_of(&asked());
        let hours = |time: Option<TimeTaken>| time.expect("known").to_hours();
        // Acres an hour are mph x ft / 8.25: 48.48 of them.
        assert!((hours(work.driving) - 80.0 / (10.0 * 40.0 / 8.25)).abs() < 1e-9);
        assert!((hours(work.turning) - 32.0 * 15.0 / 3_600.0).abs() < 1e-9);
        assert!((hours(work.loading) - 1.0).abs() < 1e-9);
        assert!((hours(work.running) - 12.0 * 0.5 / 15.0).abs() < 1e-9);
        let sum: f64 = work.parts().iter().map(|(_, time)| hours(*time)).sum();
        assert!((hours(work.total()) - sum).abs() < 1e-9);
    }

    #[test]
    fn what_is_not_given_is_left_out_and_is_no_zero() {
        let work = work_of(&WorkAsked { speed: None, running_speed: None, ..asked() });
        assert_eq!((work.driving, work.running), (None, None));
        assert!(work.total().is_some());
        let none = WorkAsked { speed: None, turn: None, load: None, run: None, ..asked() };
        assert_eq!(work_of(&none).total(), None);
    }

    #[test]
    fn where_nothing_is_spread_nobody_turns() {
        let work = work_of(&WorkAsked { spread_over: Area::ZERO, loads: 0, ..asked() });
        assert_eq!(work.total(), Some(TimeTaken::ZERO));
    }
}
