//! What a spreader can do beside its rates, and what follows from it for them.

use super::Machine;
use super::flow::{flow_at, rate_at, speed_at};
use crate::units::{Length, ProductFlow, ProductRate, Speed, TimeTaken};

/// What a spreader can do beside its rates; what is not known is `None`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Abilities {
    /// The least that flows out of it evenly.
    pub min_flow: Option<ProductFlow>,
    /// The most that flows out of it.
    pub max_flow: Option<ProductFlow>,
    /// How wide it throws, both sides together.
    pub throw_width: Option<Length>,
    /// How far inside the edge of what is spread its outermost driving line lies, where that is not
    /// half the pass spacing.
    pub outermost_line: Option<Length>,
    /// The time that it takes from one rate to another.
    pub rate_change: Option<TimeTaken>,
    /// Its greatest speed while spreading.
    pub top_speed: Option<Speed>,
}

/// The rates that a machine's flow allows at one speed; a limit that is not known is `None`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlowRates {
    /// The least.
    pub least: Option<ProductRate>,
    /// The greatest.
    pub greatest: Option<ProductRate>,
}

/// The speeds at which a machine holds one rate; a limit that is not known is `None`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RateSpeeds {
    /// The slowest, by the least flow.
    pub slowest: Option<Speed>,
    /// The fastest, by the most flow and the top speed.
    pub fastest: Option<Speed>,
}

impl RateSpeeds {
    /// Whether there is a speed at which the rate is held, as far as the limits are known.
    pub fn is_held(&self) -> bool {
        match (self.slowest, self.fastest) {
            (Some(slowest), Some(fastest)) => slowest <= fastest * (1.0 + SNAP),
            _ => true,
        }
    }
}

/// How near to a limit counts as on it, as a share.
const SNAP: f64 = 1e-9;

/// What the flow of a machine says of a rate at a speed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FlowFit {
    /// It flows as the rate asks, as far as the limits are known.
    Held,
    /// The rate asks for less than the least flow.
    TooLittle,
    /// It asks for more than the most.
    TooMuch,
}

impl Machine {
    /// What leaves the spreader at a rate and a speed.
    pub fn flow(&self, rate: ProductRate, speed: Speed) -> ProductFlow {
        flow_at(rate, speed, self.pass_spacing)
    }

    /// The rates that its flow allows at a speed above 0.
    pub fn flow_rates(&self, speed: Speed) -> FlowRates {
        let of =
            |flow: Option<ProductFlow>| flow.map(|flow| rate_at(flow, speed, self.pass_spacing));
        FlowRates { least: of(self.abilities.min_flow), greatest: of(self.abilities.max_flow) }
    }

    /// Whether its flow holds a rate above 0 at a speed.
    pub fn flow_fit(&self, rate: ProductRate, speed: Speed) -> FlowFit {
        let FlowRates { least, greatest } = self.flow_rates(speed);
        if greatest.is_some_and(|greatest| rate > greatest * (1.0 + SNAP)) {
            FlowFit::TooMuch
        } else if least.is_some_and(|least| rate < least * (1.0 - SNAP)) {
            FlowFit::TooLittle
        } else {
            FlowFit::Held
        }
    }

    /// The speeds at which it holds a rate above 0.
    pub fn rate_speeds(&self, rate: ProductRate) -> RateSpeeds {
        let at = |flow: ProductFlow| speed_at(flow, rate, self.pass_spacing);
        let by_flow = self.abilities.max_flow.map(at);
        let fastest = match (by_flow, self.abilities.top_speed) {
            (Some(by_flow), Some(top)) => Some(by_flow.min(top)),
            (one, other) => one.or(other),
        };
        RateSpeeds { slowest: self.abilities.min_flow.map(at), fastest }
    }

    /// How far inside the edge of what is spread the outermost driving line lies: half the pass
    /// spacing unless it is stated (common practice, no source).
    pub fn outermost_line(&self) -> Length {
        self.abilities.outermost_line.unwrap_or(self.pass_spacing / 2.0)
    }

    /// How far product flies beyond the edge of the ground that it is spread on; `None` where the
    /// throw is not known, or ends inside that edge.
    pub fn throw_beyond_edge(&self) -> Option<Length> {
        let beyond = self.abilities.throw_width? / 2.0 - self.outermost_line();
        (beyond > Length::from_metres(LEAST_THROW_M)).then_some(beyond)
    }
}

/// Throws beyond an edge that are shorter count as none, in metres.
const LEAST_THROW_M: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::super::{Setting, WrittenRate};
    use super::*;

    fn machine(abilities: Abilities) -> Machine {
        let tons = |number| WrittenRate { number, unit: "ton/ac" };
        Machine {
            pass_spacing: Length::from_feet(50.0),
            abilities,
            ..Machine::plain(
                Setting::steps(tons(1.0).rate(), tons(4.0).rate(), tons(0.25)).unwrap(),
            )
        }
    }

    fn tons(per_acre: f64) -> ProductRate {
        ProductRate::from_short_tons_per_acre(per_acre)
    }

    #[test]
    fn least_and_most_flow_bound_the_rates_at_a_speed_and_the_speeds_of_a_rate() {
        // 4,040.4 lb/min are 4,000 lb/ac at 10 mph and 50 ft.
        let flow = 4_000.0 * 10.0 * 50.0 / 495.0;
        let abilities = Abilities {
            min_flow: Some(ProductFlow::from_pounds_per_minute(flow / 2.0)),
            max_flow: Some(ProductFlow::from_pounds_per_minute(flow)),
            top_speed: Some(Speed::from_miles_per_hour(12.0)),
            ..Abilities::default()
        };
        let machine = machine(abilities);
        let ten = Speed::from_miles_per_hour(10.0);
        let rates = machine.flow_rates(ten);
        assert!((rates.least.unwrap() / tons(1.0) - 1.0).abs() < 1e-12);
        assert!((rates.greatest.unwrap() / tons(2.0) - 1.0).abs() < 1e-12);
        // The limits themselves are held, though they come out of a division.
        for (rate, fit) in [
            (0.99, FlowFit::TooLittle),
            (1.0, FlowFit::Held),
            (2.0, FlowFit::Held),
            (2.01, FlowFit::TooMuch),
        ] {
            assert_eq!(machine.flow_fit(tons(rate), ten), fit, "{rate}");
        }
        let mph = |speed: Option<Speed>| speed.unwrap().to_miles_per_hour();
        let four = machine.rate_speeds(tons(4.0));
        assert!((mph(four.fastest) - 5.0).abs() < 1e-9 && (mph(four.slowest) - 2.5).abs() < 1e-9);
        // 1 ton/ac would flow at 20 mph, which it does not drive.
        let one = machine.rate_speeds(tons(1.0));
        assert!((mph(one.fastest) - 12.0).abs() < 1e-9 && (mph(one.slowest) - 10.0).abs() < 1e-9);
        assert!(one.is_held() && four.is_held());
        // A quarter ton/ac would ask for 40 mph.
        assert!(!machine.rate_speeds(tons(0.25)).is_held());
    }

    #[test]
    fn what_is_not_known_bounds_nothing() {
        let machine = machine(Abilities::default());
        let speeds = machine.rate_speeds(tons(4.0));
        assert_eq!(speeds, RateSpeeds { slowest: None, fastest: None });
        assert!(speeds.is_held());
        let ten = Speed::from_miles_per_hour(10.0);
        assert_eq!(machine.flow_fit(tons(40.0), ten), FlowFit::Held);
        assert_eq!(machine.throw_beyond_edge(), None);
    }

    #[test]
    fn a_throw_wider_than_the_spacing_flies_half_the_difference_beyond_the_edge() {
        let throw =
            |feet| Abilities { throw_width: Some(Length::from_feet(feet)), ..Abilities::default() };
        let beyond = machine(throw(80.0)).throw_beyond_edge().unwrap();
        assert!((beyond.to_feet() - 15.0).abs() < 1e-9);
        assert_eq!(machine(throw(50.0)).throw_beyond_edge(), None);
        // 30 ft inside the edge, what is thrown 40 ft flies 10 ft beyond it; 40 ft inside, nothing.
        for (inside, expected) in [(30.0, Some(10.0)), (40.0, None), (60.0, None)] {
            let outermost_line = Some(Length::from_feet(inside));
            let beyond = machine(Abilities { outermost_line, ..throw(80.0) }).throw_beyond_edge();
            assert_eq!(beyond.map(|beyond| beyond.to_feet().round()), expected, "{inside}");
        }
    }
}
