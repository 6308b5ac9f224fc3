//! What someone who knows the ground may order in place of the fitted rate.

use super::fit::{Fitted, Limit};
use super::{Machine, MachineRate, WrittenRate};

/// An order that changes the rate on some ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Override {
    /// This rate, which the machine holds.
    Rate(WrittenRate),
    /// At most this rate, which the machine holds.
    Cap(WrittenRate),
    /// The fitted rate times this factor, fitted to the machine again.
    Factor(f64),
    /// Nothing at all.
    NoProduct,
}

impl Machine {
    /// A fitted rate under an order: again one that the machine holds. Where the order changes
    /// nothing, what a limit did to the rate still stands.
    pub fn overridden(&self, fitted: Fitted, order: Override) -> Fitted {
        let rate = match order {
            Override::Rate(rate) => self.setting.at_or_below(rate.rate()),
            Override::Cap(most) => fitted.rate.min(self.setting.at_or_below(most.rate())),
            Override::Factor(factor) => self.fit(self.setting.rate(fitted.rate) * factor).rate,
            Override::NoProduct => MachineRate::NOTHING,
        };
        if rate == fitted.rate { fitted } else { Fitted { rate, limit: Limit::Overridden } }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::machine::{Setting, WrittenRate};
    use crate::units::ProductRate;

    fn tons(number: f64) -> WrittenRate {
        WrittenRate { number, unit: "ton/ac" }
    }

    fn machine() -> Machine {
        Machine::plain(Setting::steps(tons(1.0).rate(), tons(4.0).rate(), tons(0.25)).unwrap())
    }

    #[test]
    fn an_order_leads_to_a_rate_of_the_machine_and_says_so() {
        let machine = machine();
        let three = machine.fit(tons(3.0).rate());
        for (order, expected) in [
            (Override::Rate(tons(1.5)), 1.5),
            (Override::Cap(tons(2.0)), 2.0),
            (Override::Factor(0.5), 1.5),
            (Override::Factor(0.3), 1.0),
            (Override::Factor(0.1), 0.0),
            (Override::Factor(2.0), 4.0),
            (Override::NoProduct, 0.0),
        ] {
            let ordered = machine.overridden(three, order);
            let number = machine.setting.written(ordered.rate).number;
            assert!((number - expected).abs() < 1e-12, "{order:?}: {number}");
            assert_eq!(ordered.limit, Limit::Overridden);
        }
    }

    #[test]
    fn an_order_that_changes_nothing_leaves_what_the_limit_did() {
        let machine = machine();
        let capped = machine.fit(tons(7.0).rate());
        let cap = Override::Cap(tons(4.0));
        assert_eq!(machine.overridden(capped, cap), capped);
    }

    #[test]
    fn a_rate_that_the_machine_does_not_hold_is_told_the_nearest() {
        let steps = machine().setting;
        let near = |setting: &Setting, number: f64| -> Vec<f64> {
            let found = setting.held(tons(number).rate());
            found.expect_err("not held").iter().map(|rate| rate.number).collect()
        };
        assert_eq!(near(&steps, 2.1), [2.0, 2.25]);
        assert_eq!(near(&steps, 0.5), [0.0, 1.0]);
        assert_eq!(near(&steps, 5.0), [4.0]);
        assert_eq!(steps.held(ProductRate::ZERO), Ok(MachineRate::NOTHING));
        let list = Setting::list(&[tons(2.0), tons(3.0)]).unwrap();
        assert_eq!(near(&list, 2.5), [2.0, 3.0]);
        assert_eq!(near(&list, 1.0), [0.0, 2.0]);
        assert_eq!(near(&list, 3.5), [3.0]);
        assert!(list.held(tons(3.0).rate()).is_ok_and(|rate| rate == list.greatest()));
    }
}
