//! The machine's own rates near to any rate.

use super::setting::{MachineRate, RateLadder, STEP_SNAP, Setting};
use crate::units::ProductRate;

impl Setting {
    /// The greatest rate above nothing that is not above `most`, but for the snap; `None` where
    /// the least is above it.
    pub fn held_at_most(&self, most: ProductRate) -> Option<MachineRate> {
        let (least, greatest) = (self.least(), self.greatest());
        let place = match self.ladder() {
            RateLadder::Steps { step, .. } => {
                let steps = (most / step.rate() + STEP_SNAP).floor();
                steps.clamp(0.0, f64::from(greatest.0)) as u32
            }
            RateLadder::List(rates) => {
                let most = most + self.rate(least) * STEP_SNAP;
                rates.partition_point(|written| written.rate() <= most) as u32
            }
        };
        (place >= least.0).then_some(MachineRate(place))
    }

    /// The least rate above nothing that is not below `least`, but for the snap; `None` where the
    /// greatest is below it.
    pub fn held_at_least(&self, least: ProductRate) -> Option<MachineRate> {
        let place = match self.ladder() {
            RateLadder::Steps { step, .. } => {
                let steps = (least / step.rate() - STEP_SNAP).ceil();
                steps.clamp(0.0, f64::from(u32::MAX)) as u32
            }
            RateLadder::List(rates) => {
                let least = least - self.rate(self.least()) * STEP_SNAP;
                rates.partition_point(|written| written.rate() < least) as u32 + 1
            }
        };
        let place = place.max(self.least().0);
        (place <= self.greatest().0).then_some(MachineRate(place))
    }

    /// The rate above nothing that is nearest to `rate`; of two as near the greater, as in the fit.
    pub fn nearest_above_nothing(&self, rate: ProductRate) -> MachineRate {
        match (self.held_at_most(rate), self.held_at_least(rate)) {
            (Some(below), Some(above)) => {
                let (down, up) = (rate - self.rate(below), self.rate(above) - rate);
                let snap = self.rate(self.least()) * STEP_SNAP;
                if up <= down + snap { above } else { below }
            }
            (Some(below), None) => below,
            (None, _) => self.least(),
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::machine::{MachineRate, Setting, WrittenRate};

    fn tons(number: f64) -> WrittenRate {
        WrittenRate { number, unit: "ton/ac" }
    }

    #[test]
    fn the_rates_around_a_rate_are_those_of_the_ladder() {
        let steps = Setting::steps(tons(1.0).rate(), tons(4.0).rate(), tons(0.25)).unwrap();
        let list = Setting::list(&[tons(1.0), tons(2.0), tons(3.5)]).unwrap();
        let number = |setting: &Setting, rate: Option<MachineRate>| {
            rate.map(|rate| setting.written(rate).number)
        };
        for (setting, wanted, below, above, nearest) in [
            (&steps, 0.4, None, Some(1.0), 1.0),
            (&steps, 1.0, Some(1.0), Some(1.0), 1.0),
            (&steps, 1.1, Some(1.0), Some(1.25), 1.0),
            (&steps, 1.125, Some(1.0), Some(1.25), 1.25),
            (&steps, 2.0 - 1e-12, Some(2.0), Some(2.0), 2.0),
            (&steps, 9.0, Some(4.0), None, 4.0),
            (&list, 0.4, None, Some(1.0), 1.0),
            (&list, 2.0 + 1e-12, Some(2.0), Some(2.0), 2.0),
            (&list, 2.74, Some(2.0), Some(3.5), 2.0),
            (&list, 2.75, Some(2.0), Some(3.5), 3.5),
            (&list, 5.0, Some(3.5), None, 3.5),
        ] {
            let rate = tons(wanted).rate();
            assert_eq!(number(setting, setting.held_at_most(rate)), below, "{wanted}");
            assert_eq!(number(setting, setting.held_at_least(rate)), above, "{wanted}");
            let found = setting.nearest_above_nothing(rate);
            assert_eq!(setting.written(found).number, nearest, "{wanted}");
        }
    }
}
