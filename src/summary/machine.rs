//! What is said of the spreader on the field, in the summary.

use super::build::Builder;
use super::{
    FewestPassesPart, HeadingPart, MachinePart, Quantity, RateChangePart, RateFlowPart, ThrowPart,
    rate_as_written,
};
use crate::field::{Along, LikelyHeading, Thrown};
use crate::machine::{FlowFit, MachineRate, RateChange};
use crate::prescription::rates_at_once;
use crate::units::{Area, Heading, Length, TimeTaken};

/// What was measured of the spreader on the field.
#[derive(Clone, Debug)]
pub struct MachineParts {
    /// What a change of the rate reaches, where the speed is known.
    pub change: Option<ChangeParts>,
    /// What the throw reaches, where its width is known.
    pub throw: Option<ThrowParts>,
    /// From the pile to the treated ground in a straight line, the mean over its area, for each
    /// application; `None` where there is no pile or nothing is spread.
    pub runs: Vec<Option<Length>>,
    /// Passes at the job's heading.
    pub passes: usize,
    /// The likely heading with the fewest passes, and these, where they are fewer.
    pub fewest: Option<(LikelyHeading, usize)>,
}

/// What a change of the rate reaches.
#[derive(Clone, Debug)]
pub struct ChangeParts {
    /// How long it takes.
    pub time: RateChange,
    /// Where the times come from, in words.
    pub source: String,
    /// How far the spreader drives in the least and in the most time.
    pub distances: [Length; 2],
    /// The shortest run of one rate with another rate beside it along the travel.
    pub shortest: Option<Length>,
    /// The ground in such runs shorter than each of the two distances.
    pub short: [Area; 2],
}

/// What the throw reaches.
#[derive(Clone, Debug)]
pub struct ThrowParts {
    /// The throw width.
    pub width: Length,
    /// How far product flies beyond the edge of what is spread.
    pub beyond: Length,
    /// The ground there.
    pub thrown: Thrown,
}

impl FlowFit {
    fn words(self) -> &'static str {
        match self {
            Self::Held => "held",
            Self::TooLittle => "too little",
            Self::TooMuch => "too much",
        }
    }
}

impl Along {
    /// What a heading follows, in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Side => "a straight side",
            Self::LongAxis => "the long axis",
        }
    }
}

impl Builder<'_> {
    pub(super) fn machine(&self) -> MachinePart {
        let (machine, told) = (&self.parts.job.machine, self.parts.machine);
        let can = &machine.abilities;
        let at_speed = machine.speed.map(|speed| machine.flow_rates(speed));
        let rates = rates_at_once(self.parts.applications).into_iter().map(|total| total.rate);
        MachinePart {
            pass_spacing: self.length(machine.pass_spacing),
            speed: machine.speed.map(|speed| self.system.speed(speed).into()),
            top_speed: can.top_speed.map(|speed| self.system.speed(speed).into()),
            min_flow: can.min_flow.map(|flow| self.system.flow(flow).into()),
            max_flow: can.max_flow.map(|flow| self.system.flow(flow).into()),
            least_rate: at_speed.and_then(|rates| Some(self.rate(rates.least?))),
            greatest_rate: at_speed.and_then(|rates| Some(self.rate(rates.greatest?))),
            rates: rates.filter(|rate| rate.spreads()).map(|rate| self.rate_flow(rate)).collect(),
            rate_change: told.change.as_ref().map(|change| self.rate_change(change)),
            throw: told.throw.as_ref().map(|throw| ThrowPart {
                width: self.length(throw.width),
                outermost_line: self.length(machine.outermost_line()),
                beyond_edge: self.length(throw.beyond),
                off_field_area: self.area(throw.thrown.off_field),
                kept_out_area: self.area(throw.thrown.kept_out),
            }),
            heading: HeadingPart {
                heading: degrees(self.parts.job.heading),
                passes: told.passes,
                turns: told.passes.saturating_sub(1),
                fewest: told.fewest.map(|(likely, passes)| FewestPassesPart {
                    heading: degrees(likely.heading),
                    along: likely.along.words().to_owned(),
                    length: self.length(likely.length),
                    passes,
                    turns: passes.saturating_sub(1),
                }),
            },
        }
    }

    fn rate_flow(&self, rate: MachineRate) -> RateFlowPart {
        let machine = &self.parts.job.machine;
        let single = machine.single();
        let si = single.rate(rate);
        let speeds = machine.rate_speeds(si);
        let limited = machine.abilities.min_flow.or(machine.abilities.max_flow).is_some();
        let speed = |speed| self.system.speed(speed).into();
        RateFlowPart {
            rate: rate_as_written(self.system, single.written(rate)).into(),
            flow: machine.speed.map(|speed| self.system.flow(machine.flow(si, speed)).into()),
            at_speed: machine
                .speed
                .filter(|_| limited)
                .map(|speed| machine.flow_fit(si, speed).words().to_owned()),
            slowest_speed: speeds.slowest.map(speed),
            fastest_speed: speeds.fastest.map(speed),
        }
    }

    fn rate_change(&self, change: &ChangeParts) -> RateChangePart {
        let [least, most] = change.distances;
        let [of_least, of_most] = change.short;
        RateChangePart {
            least_time: seconds(change.time.least),
            most_time: seconds(change.time.most),
            source: change.source.clone(),
            least_distance: self.length(least),
            most_distance: self.length(most),
            shortest_run: change.shortest.map(|shortest| self.length(shortest)),
            short_of_least_area: self.area(of_least),
            short_of_most_area: self.area(of_most),
        }
    }

    fn length(&self, length: Length) -> Quantity {
        self.system.length(length).into()
    }
}

fn seconds(time: TimeTaken) -> Quantity {
    Quantity { value: time.to_seconds(), unit: "s".into() }
}

fn degrees(heading: Heading) -> Quantity {
    Quantity { value: crate::units::tidy(heading.to_degrees()), unit: "deg".into() }
}
