//! From the rate that the soil asks for to the rate that the machine can hold.

use super::setting::{MachineRate, RateLadder, STEP_SNAP, Setting};
use super::{BelowMin, Machine};
use crate::units::ProductRate;

/// What a limit of the machine did to a rate, or what set another in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Limit {
    /// Nothing beyond rounding to a rate that the machine holds.
    None,
    /// It lay below the machine's least and was raised to it.
    Raised,
    /// It lay below the machine's least and was dropped to nothing.
    Dropped,
    /// It lay above the machine's greatest and was held to it.
    Capped,
    /// Someone ordered another rate.
    Overridden,
    /// The rate area that it lies in has another rate.
    RateArea,
    /// It gets nothing this time, because there is not enough.
    HeldBack,
}

impl Limit {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::None,
        Self::Raised,
        Self::Dropped,
        Self::Capped,
        Self::Overridden,
        Self::RateArea,
        Self::HeldBack,
    ];

    /// As the rate map writes it.
    pub fn words(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Raised => "raised",
            Self::Dropped => "dropped",
            Self::Capped => "capped",
            Self::Overridden => "override",
            Self::RateArea => "rate area",
            Self::HeldBack => "held back",
        }
    }
}

/// A rate fitted to the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fitted {
    /// The rate that the machine holds.
    pub rate: MachineRate,
    /// What a limit did to it.
    pub limit: Limit,
}

impl Machine {
    /// Fits the rate that the soil asks for to what the machine can hold.
    ///
    /// In this order: nothing stays nothing; above the greatest it is held to the greatest; above
    /// nothing and below the least, before any rounding, [`BelowMin`] decides; else the nearest
    /// rate, ties upward, after snapping to 1e-9 of a step.
    pub fn fit(&self, wanted: ProductRate) -> Fitted {
        let setting = &self.setting;
        if wanted <= ProductRate::ZERO {
            return Fitted { rate: MachineRate::NOTHING, limit: Limit::None };
        }
        let greatest = setting.greatest();
        if exceeds(wanted, setting.rate(greatest), setting) {
            return Fitted { rate: greatest, limit: Limit::Capped };
        }
        let least = setting.least();
        if self.has_least() && exceeds(setting.rate(least), wanted, setting) {
            return self.fit_below_least(wanted, least);
        }
        Fitted { rate: nearest(setting, wanted), limit: Limit::None }
    }

    /// Whether there is a rate above 0 that is too small to hold: not so where the least is stated
    /// as 0, when small rates are rounded like all others.
    fn has_least(&self) -> bool {
        !matches!(self.setting.ladder(), RateLadder::Steps { min_steps: 0, .. })
    }

    fn fit_below_least(&self, wanted: ProductRate, least: MachineRate) -> Fitted {
        let half = self.setting.rate(least) / 2.0;
        let raise = match self.below_min {
            BelowMin::Raise => true,
            BelowMin::Drop => false,
            BelowMin::Nearest => !exceeds(half, wanted, &self.setting),
        };
        if raise {
            Fitted { rate: least, limit: Limit::Raised }
        } else {
            Fitted { rate: MachineRate::NOTHING, limit: Limit::Dropped }
        }
    }
}

/// Whether `a` exceeds `b` by more than the snap.
fn exceeds(a: ProductRate, b: ProductRate, setting: &Setting) -> bool {
    a > b + setting.unit_rate() * STEP_SNAP
}

fn nearest(setting: &Setting, wanted: ProductRate) -> MachineRate {
    match setting.ladder() {
        RateLadder::Steps { .. } => {
            MachineRate((wanted / setting.unit_rate() + 0.5 + STEP_SNAP).floor() as u32)
        }
        RateLadder::List(rates) => {
            let above = (1..=rates.len() as u32)
                .map(MachineRate)
                .find(|&rate| !exceeds(wanted, setting.rate(rate), setting))
                .unwrap_or(setting.greatest());
            let below = MachineRate(above.0 - 1);
            let middle = (setting.rate(above) + setting.rate(below)) / 2.0;
            // Between nothing and the least of a list the limits have decided already.
            if below.spreads() && exceeds(middle, wanted, setting) { below } else { above }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::WrittenRate;
    use super::*;

    fn tons(number: f64) -> WrittenRate {
        WrittenRate { number, unit: "ton/ac" }
    }

    fn machine(setting: Setting, below_min: BelowMin) -> Machine {
        Machine { below_min, ..Machine::plain(setting) }
    }

    fn stepped(below_min: BelowMin) -> Machine {
        let setting = Setting::steps(tons(1.0).rate(), tons(4.0).rate(), tons(0.25));
        machine(setting.expect("on the steps"), below_min)
    }

    fn fitted(machine: &Machine, wanted: f64) -> (f64, Limit) {
        let fitted = machine.fit(ProductRate::from_short_tons_per_acre(wanted));
        (machine.setting.written(fitted.rate).number, fitted.limit)
    }

    #[test]
    fn the_order_of_the_rules_is_kept() {
        let nearest = stepped(BelowMin::Nearest);
        assert_eq!(fitted(&nearest, 0.0), (0.0, Limit::None));
        assert_eq!(fitted(&nearest, 0.49), (0.0, Limit::Dropped));
        assert_eq!(fitted(&nearest, 0.5), (1.0, Limit::Raised));
        // 0.9 would round to 1.0, but the least is looked at before any rounding.
        assert_eq!(fitted(&nearest, 0.9), (1.0, Limit::Raised));
        assert_eq!(fitted(&nearest, 1.0), (1.0, Limit::None));
        assert_eq!(fitted(&nearest, 1.124), (1.0, Limit::None));
        assert_eq!(fitted(&nearest, 1.125), (1.25, Limit::None));
        assert_eq!(fitted(&nearest, 4.0), (4.0, Limit::None));
        assert_eq!(fitted(&nearest, 4.001), (4.0, Limit::Capped));
        assert_eq!(fitted(&nearest, 1.124_9), (1.0, Limit::None));
        assert_eq!(fitted(&nearest, 0.499_9), (0.0, Limit::Dropped));
        assert_eq!(fitted(&stepped(BelowMin::Raise), 0.01), (1.0, Limit::Raised));
        assert_eq!(fitted(&stepped(BelowMin::Drop), 0.99), (0.0, Limit::Dropped));
    }

    #[test]
    fn a_rounding_error_below_a_tie_or_a_limit_changes_nothing() {
        let nearest = stepped(BelowMin::Nearest);
        assert_eq!(fitted(&nearest, 1.125 - 1e-12), (1.25, Limit::None));
        assert_eq!(fitted(&nearest, 4.0 + 1e-12), (4.0, Limit::None));
        assert_eq!(fitted(&nearest, 1.0 - 1e-12), (1.0, Limit::None));
        assert_eq!(fitted(&nearest, 0.5 - 1e-12), (1.0, Limit::Raised));
        let rates = [tons(2.0), tons(3.0), tons(4.5)];
        let list = machine(Setting::list(&rates).expect("rises"), BelowMin::Nearest);
        assert_eq!(fitted(&list, 1.0 - 1e-12), (2.0, Limit::Raised));
        assert_eq!(fitted(&list, 2.0 - 1e-12), (2.0, Limit::None));
        assert_eq!(fitted(&list, 2.5 - 1e-12), (3.0, Limit::None));
        assert_eq!(fitted(&list, 3.0 + 1e-12), (3.0, Limit::None));
        assert_eq!(fitted(&list, 4.5 + 1e-12), (4.5, Limit::None));
    }

    #[test]
    fn a_list_takes_its_own_ends_as_limits() {
        let rates = [tons(0.0), tons(2.0), tons(3.0), tons(4.5)];
        let list = machine(Setting::list(&rates).expect("rises"), BelowMin::Nearest);
        assert_eq!(fitted(&list, 0.99), (0.0, Limit::Dropped));
        assert_eq!(fitted(&list, 1.0), (2.0, Limit::Raised));
        assert_eq!(fitted(&list, 2.49), (2.0, Limit::None));
        assert_eq!(fitted(&list, 2.5), (3.0, Limit::None));
        assert_eq!(fitted(&list, 3.74), (3.0, Limit::None));
        assert_eq!(fitted(&list, 3.75), (4.5, Limit::None));
        assert_eq!(fitted(&list, 9.0), (4.5, Limit::Capped));
    }

    #[test]
    fn a_least_of_nothing_means_that_small_rates_are_rounded() {
        let setting = Setting::steps(ProductRate::ZERO, tons(4.0).rate(), tons(0.25));
        let open = machine(setting.expect("on the steps"), BelowMin::Nearest);
        assert_eq!(fitted(&open, 0.124), (0.0, Limit::None));
        assert_eq!(fitted(&open, 0.125), (0.25, Limit::None));
    }

    #[test]
    fn a_limit_off_the_steps_is_refused_with_the_two_nearest() {
        use super::super::SettingFault::OffTheSteps;
        let fault = Setting::steps(tons(1.1).rate(), tons(4.0).rate(), tons(0.25));
        assert_eq!(fault, Err(("min_rate", OffTheSteps { below: 1.0, above: 1.25 })));
        let steps = |least: f64, most: f64| {
            Setting::steps(tons(least).rate(), tons(most).rate(), tons(0.25))
        };
        // Just above and just below a whole number of steps.
        for off in [1.01, 0.99] {
            assert!(steps(off, 4.0).is_err(), "{off}");
        }
        let refused = steps(0.5, 3.99).expect_err("0.01 is missing");
        assert_eq!(refused, ("max_rate", OffTheSteps { below: 3.75, above: 4.0 }));
        let upside_down = Err(("max_rate", super::super::SettingFault::UpsideDown));
        assert_eq!(steps(2.0, 1.0), upside_down);
        assert_eq!(steps(0.0, 0.0), upside_down);
        assert!(steps(1.0, 1.0).is_ok());
        let open = steps(0.0, 1.0).expect("on the steps");
        assert_eq!(open.written(open.least()), tons(0.25));
        // In another unit than the step's: 2,000 lb/ac is 4 quarter tons.
        let pounds = WrittenRate { number: 2_000.0, unit: "lb/ac" };
        assert!(Setting::steps(pounds.rate(), tons(4.0).rate(), tons(0.25)).is_ok());
        assert!(Setting::list(&[tons(0.0)]).is_err());
        assert!(Setting::list(&[tons(2.0), tons(2.0)]).is_err());
    }

    #[test]
    fn a_setting_is_held_to_the_greatest_of_its_rates_up_to_a_most() {
        let most = ProductRate::from_short_tons_per_acre;
        let steps = stepped(BelowMin::Nearest).setting;
        let greatest = |setting: &Setting| setting.written(setting.greatest()).number;
        for (held, expected) in [(2.0, 2.0), (2.2, 2.0), (2.0 - 1e-12, 2.0), (9.0, 4.0), (1.0, 1.0)]
        {
            let setting = steps.at_most(most(held)).expect("something is left");
            assert_eq!(greatest(&setting), expected, "{held}");
        }
        assert_eq!(steps.at_most(most(0.99)), None);
        let list = Setting::list(&[tons(2.0), tons(3.0), tons(4.5)]).expect("rises");
        assert_eq!(greatest(&list.at_most(most(3.0 - 1e-12)).expect("two")), 3.0);
        assert_eq!(greatest(&list.at_most(most(4.4)).expect("two")), 3.0);
        assert_eq!(list.at_most(most(1.9)), None);
        let open = Setting::steps(ProductRate::ZERO, tons(4.0).rate(), tons(0.25)).expect("steps");
        assert_eq!(open.at_most(most(0.2)), None, "a shut spreader spreads nothing");
    }

    #[test]
    fn a_written_rate_is_the_rate_in_its_unit() {
        for (unit, kilograms_per_hectare) in [("t/ha", 1_000.0), ("kg/ha", 1.0)] {
            let rate = WrittenRate { number: 1.0, unit }.rate().to_kilograms_per_hectare();
            assert!((rate / kilograms_per_hectare - 1.0).abs() < 1e-14, "{unit}: {rate}");
        }
    }

    proptest::proptest! {
        #[test]
        fn no_rate_is_over_the_greatest_or_under_the_least_but_nothing(wanted in 0.0_f64..12.0) {
            for below_min in BelowMin::ALL {
                let (rate, _) = fitted(&stepped(below_min), wanted);
                proptest::prop_assert!(rate == 0.0 || (1.0..=4.0).contains(&rate));
            }
        }
    }
}
