//! What a job says of its spreader beside the rates: flow, throw, rate change and top speed.

use super::check::Checker;
use super::spreader_file::SpreaderTable;
use super::written::{At, Written};
use crate::findings::Problem;
use crate::machine::{Abilities, WorkTimes};
use crate::units::{Bounded, Length, ProductFlow, Speed, TimeTaken, bound};

impl Checker<'_> {
    /// Values that cannot be read, or that cannot hold together, are among the problems.
    pub(super) fn abilities(
        &mut self,
        table: &SpreaderTable,
        pass_spacing: Option<Length>,
        speed: Option<Speed>,
    ) -> Abilities {
        let mut read = |written: &Option<At<Written>>, bounded: &Bounded| {
            written.as_ref().and_then(|written| self.quantity(written, bounded))
        };
        let abilities = Abilities {
            min_flow: read(&table.min_flow, &bound::FLOW_LIMIT).map(flow),
            max_flow: read(&table.max_flow, &bound::FLOW_LIMIT).map(flow),
            throw_width: read(&table.throw_width, &bound::THROW_WIDTH).map(Length::from_metres),
            outermost_line: read(&table.outermost_line, &bound::OUTERMOST_LINE)
                .map(Length::from_metres),
            rate_change: read(&table.rate_change_time, &bound::RATE_CHANGE)
                .map(TimeTaken::from_seconds),
            top_speed: read(&table.top_speed, &bound::SPEED_OF_TRAVEL)
                .map(Speed::from_metres_per_second),
        };
        if let (Some(least), Some(most)) = (abilities.min_flow, abilities.max_flow)
            && least >= most
        {
            self.at_odds(
                ("max_flow", &table.max_flow),
                "more than `spreader.min_flow`",
                "check which of the two is which, and the units",
            );
        }
        if let (Some(speed), Some(top)) = (speed, abilities.top_speed)
            && speed > top * (1.0 + 1e-9)
        {
            self.at_odds(
                ("top_speed", &table.top_speed),
                "`spreader.speed` or more",
                "check which of the two is which, and the units",
            );
        }
        if let (Some(throw), Some(pass_spacing)) = (abilities.throw_width, pass_spacing)
            && throw < pass_spacing * (1.0 - 1e-9)
        {
            self.at_odds(
                ("throw_width", &table.throw_width),
                "the pass spacing or more, since a narrower throw leaves strips without product",
                "state the whole width, both sides together, or drive closer passes",
            );
        }
        abilities
    }

    /// What its work takes beside driving; what cannot be read is among the problems.
    pub(super) fn work_times(&mut self, table: &SpreaderTable) -> WorkTimes {
        let mut read = |written: &Option<At<Written>>, bounded: &Bounded| {
            written.as_ref().and_then(|written| self.quantity(written, bounded))
        };
        WorkTimes {
            load: read(&table.load_time, &bound::SPREADER_LOAD_TIME).map(TimeTaken::from_seconds),
            turn: read(&table.turn_time, &bound::TURN_TIME).map(TimeTaken::from_seconds),
            running_speed: read(&table.running_speed, &bound::RUNNING_SPEED)
                .map(Speed::from_metres_per_second),
            run_factor: table
                .run_factor
                .as_ref()
                .and_then(|factor| self.ph(factor, &bound::ROAD_FACTOR)),
        }
    }

    /// A value that does not fit another one of the table.
    fn at_odds(&mut self, (key, written): (&str, &Option<At<Written>>), allowed: &str, hint: &str) {
        if let Some(At { value, span }) = written {
            let what = format!("`spreader.{key}` is `{}`", value.0);
            let place = self.text.place(span);
            self.problems.push(Problem::at(place, what).allowed(allowed).hint(hint));
        }
    }
}

fn flow(kilograms_per_second: f64) -> ProductFlow {
    ProductFlow::from_kilograms_per_minute(kilograms_per_second * 60.0)
}
