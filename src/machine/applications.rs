//! Rates that are put on the ground in several applications: which sums the machine can make, and
//! what each application spreads of one.

use super::Machine;
use super::setting::{MachineRate, RateLadder, Setting, WrittenRate};
use crate::units::{ControllerUnit, ProductRate, tidy};

/// How a rate is shared among the applications.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Split {
    /// As evenly as the machine's rates allow, over as many applications as can hold their part.
    Equal,
    /// In as few applications as can hold it, each as full as leaves the next one a rate.
    Capped,
}

impl Split {
    /// Both of them.
    pub const ALL: [Self; 2] = [Self::Equal, Self::Capped];

    /// As job files and reports write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Equal => "equal",
            Self::Capped => "capped",
        }
    }
}

/// Over how many applications the rates of a map are spread.
#[derive(Clone, Debug, PartialEq)]
pub enum Applications {
    /// One: the machine's rates are those of the map.
    One,
    /// Several: the rates of the map are sums of the machine's.
    Several {
        /// What one application can spread.
        single: Setting,
        /// How a sum is shared.
        split: Split,
        /// How many there are.
        count: u32,
        /// The parts of each sum, in the order of the sums; empty where sums are counted in steps.
        parts: Vec<Vec<MachineRate>>,
    },
}

/// Sums of a list are tried one by one up to this many (ours).
const MOST_SUMS: u64 = 100_000;

impl Machine {
    /// The same machine going over the ground `count` times: its rates are then the sums that it
    /// can make. `None` where a list of rates has too many sums to try.
    pub fn going_over(self, count: u32, split: Split) -> Option<Self> {
        if count <= 1 {
            return Some(self);
        }
        let (setting, parts) = match self.setting.ladder() {
            &RateLadder::Steps { step, min_steps, max_steps } => {
                steps_summed(step, min_steps, max_steps, count, split)
            }
            RateLadder::List(rates) => sums_of(rates, count, split)?,
        };
        let applications = Applications::Several { single: self.setting, split, count, parts };
        Some(Self { setting, applications, ..self })
    }

    /// What one application can spread.
    pub fn single(&self) -> &Setting {
        match &self.applications {
            Applications::One => &self.setting,
            Applications::Several { single, .. } => single,
        }
    }

    /// How many applications there are.
    pub fn application_count(&self) -> u32 {
        match &self.applications {
            Applications::One => 1,
            Applications::Several { count, .. } => *count,
        }
    }

    /// What each application spreads of a rate of the map, in rates of [`Machine::single`].
    pub fn parts(&self, rate: MachineRate) -> Vec<MachineRate> {
        match &self.applications {
            Applications::One => vec![rate],
            &Applications::Several { ref single, split, count, ref parts } => {
                let mut shared = if !rate.spreads() {
                    Vec::new()
                } else if parts.is_empty() {
                    parts_of_steps(rate.0, single.least().0, single.greatest().0, count, split)
                } else {
                    parts[rate.0 as usize - 1].clone()
                };
                shared.resize(count as usize, MachineRate::NOTHING);
                shared
            }
        }
    }
}

/// The sums of steps: again steps where none is left out, else a list.
fn steps_summed(
    step: WrittenRate,
    min_steps: u32,
    max_steps: u32,
    count: u32,
    split: Split,
) -> (Setting, Vec<Vec<MachineRate>>) {
    let (least, most) = (min_steps.max(1), max_steps * count);
    let whole = |numbers: RateLadder| Setting::from_ladder(numbers);
    if (1..count).all(|m| (m + 1) * least <= m * max_steps + 1) {
        let ladder = RateLadder::Steps { step, min_steps, max_steps: most };
        return (whole(ladder), Vec::new());
    }
    let held = |&steps: &u32| (1..=count).any(|m| (m * least..=m * max_steps).contains(&steps));
    let sums: Vec<u32> = (least..=most).filter(held).collect();
    let rates = sums.iter().map(|&steps| WrittenRate {
        number: tidy(step.number * f64::from(steps)),
        unit: step.unit,
    });
    let parts = sums.iter().map(|&sum| parts_of_steps(sum, least, max_steps, count, split));
    (whole(RateLadder::List(rates.collect())), parts.collect())
}

/// So many steps in parts that each hold from `least` to `greatest`; there is a way.
fn parts_of_steps(
    steps: u32,
    least: u32,
    greatest: u32,
    count: u32,
    split: Split,
) -> Vec<MachineRate> {
    let mut ways = (1..=count).filter(|m| (m * least..=m * greatest).contains(&steps));
    let number = match split {
        Split::Equal => ways.next_back(),
        Split::Capped => ways.next(),
    };
    let number = number.unwrap_or(1);
    let mut left = steps;
    (0..number)
        .rev()
        .map(|after| {
            let part = match split {
                Split::Equal => left.div_ceil(after + 1),
                Split::Capped => greatest.min(left - after * least),
            };
            left -= part;
            MachineRate(part)
        })
        .collect()
}

/// All sums of at most `count` rates of a list, each with its parts.
fn sums_of(
    rates: &[WrittenRate],
    count: u32,
    split: Split,
) -> Option<(Setting, Vec<Vec<MachineRate>>)> {
    let mut ways: Vec<Vec<usize>> = Vec::new();
    let mut longest: Vec<Vec<usize>> = vec![Vec::new()];
    for _ in 0..count {
        // From the greatest down, so that every set of parts comes up once.
        let longer = longest.iter().flat_map(|parts| {
            let most = parts.last().map_or(rates.len(), |last| last + 1);
            (0..most).map(|next| parts.iter().copied().chain([next]).collect())
        });
        longest = longer.collect();
        ways.extend(longest.iter().cloned());
        if ways.len() as u64 > MOST_SUMS {
            return None;
        }
    }
    let sum = |parts: &Vec<usize>| -> ProductRate {
        parts.iter().map(|&part| rates[part].rate()).fold(ProductRate::ZERO, |sum, rate| sum + rate)
    };
    let mut summed: Vec<(ProductRate, Vec<usize>)> =
        ways.into_iter().map(|parts| (sum(&parts), parts)).collect();
    summed.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut best: Vec<(ProductRate, Vec<usize>)> = Vec::new();
    for (sum, parts) in summed {
        match best.last_mut() {
            Some((same, held)) if sum <= *same * (1.0 + super::setting::STEP_SNAP) => {
                if goes_before(&parts, held, rates, split) {
                    *held = parts;
                }
            }
            _ => best.push((sum, parts)),
        }
    }
    let written = |parts: &Vec<usize>| {
        let unit = rates[0].unit;
        let in_unit = |part: &usize| match rates[*part] {
            WrittenRate { number, unit: written } if written == unit => number,
            other => ControllerUnit::of_words(unit).number(other.rate()),
        };
        WrittenRate { number: tidy(parts.iter().map(in_unit).sum()), unit }
    };
    let ladder = RateLadder::List(best.iter().map(|(_, parts)| written(parts)).collect());
    let numbered =
        |parts: &Vec<usize>| parts.iter().map(|&at| MachineRate(at as u32 + 1)).collect();
    let parts = best.iter().map(|(_, parts)| numbered(parts)).collect();
    Some((Setting::from_ladder(ladder), parts))
}

/// Whether `a` shares out a sum better than `b`; both have the greatest part first.
fn goes_before(a: &[usize], b: &[usize], rates: &[WrittenRate], split: Split) -> bool {
    if a.len() != b.len() {
        return (a.len() > b.len()) == (split == Split::Equal);
    }
    match split {
        Split::Equal => {
            let spread = |parts: &[usize]| match parts {
                [first, .., last] => rates[*first].rate() - rates[*last].rate(),
                _ => ProductRate::ZERO,
            };
            spread(a) < spread(b)
        }
        Split::Capped => a > b,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tons(number: f64) -> WrittenRate {
        WrittenRate { number, unit: "ton/ac" }
    }

    fn going_over(setting: Setting, count: u32, split: Split) -> Machine {
        let machine = Machine::plain(setting);
        machine.going_over(count, split).expect("few sums")
    }

    fn steps(least: f64, most: f64, step: f64) -> Setting {
        Setting::steps(tons(least).rate(), tons(most).rate(), tons(step)).expect("on the steps")
    }

    fn list(numbers: &[f64]) -> Setting {
        let rates: Vec<WrittenRate> = numbers.iter().copied().map(tons).collect();
        Setting::list(&rates).expect("rises")
    }

    /// What the applications spread where the soil asks for `wanted`.
    fn shared(machine: &Machine, wanted: f64) -> Vec<f64> {
        let total = machine.fit(tons(wanted).rate()).rate;
        let parts = machine.parts(total);
        let sum =
            parts.iter().fold(ProductRate::ZERO, |sum, &part| sum + machine.single().rate(part));
        assert!((sum - machine.setting.rate(total)).abs() <= machine.setting.rate(total) * 1e-9);
        parts.iter().map(|&part| machine.single().written(part).number).collect()
    }

    #[test]
    fn six_tons_under_a_limit_of_four_are_three_and_three_or_four_and_two() {
        let setting = || steps(1.0, 4.0, 0.25);
        let equal = going_over(setting(), 2, Split::Equal);
        let capped = going_over(setting(), 2, Split::Capped);
        assert_eq!(shared(&equal, 6.0), [3.0, 3.0]);
        assert_eq!(shared(&capped, 6.0), [4.0, 2.0]);
        // An odd number of steps; and a rest too small to spread takes from the first.
        assert_eq!(shared(&equal, 6.25), [3.25, 3.0]);
        assert_eq!(shared(&capped, 4.25), [3.25, 1.0]);
        // Too little for two applications is spread in one.
        assert_eq!(shared(&equal, 1.75), [1.75, 0.0]);
        assert_eq!(shared(&equal, 2.0), [1.0, 1.0]);
        assert_eq!(shared(&capped, 2.0), [2.0, 0.0]);
        assert_eq!(shared(&equal, 0.4), [0.0, 0.0]);
        // More than both can hold is capped.
        let most = equal.fit(tons(9.0).rate());
        assert_eq!(most.limit, super::super::Limit::Capped);
        assert_eq!(shared(&equal, 9.0), [4.0, 4.0]);
    }

    #[test]
    fn sums_that_no_two_rates_make_are_not_offered() {
        // Of 3 to 4 in halves: 3, 3.5, 4, then 6 and more; nothing at 4.5 to 5.5.
        let machine = going_over(steps(3.0, 4.0, 0.5), 2, Split::Equal);
        assert_eq!(shared(&machine, 4.9), [4.0, 0.0]);
        assert_eq!(shared(&machine, 5.1), [3.0, 3.0]);
        assert_eq!(shared(&machine, 7.0), [3.5, 3.5]);
        let capped = going_over(steps(3.0, 4.0, 0.5), 2, Split::Capped);
        assert_eq!(shared(&capped, 7.0), [4.0, 3.0]);
    }

    #[test]
    fn rates_of_a_list_are_summed_and_shared_as_evenly_or_as_full_as_asked() {
        let equal = going_over(list(&[2.0, 3.0, 4.0]), 2, Split::Equal);
        let capped = going_over(list(&[2.0, 3.0, 4.0]), 2, Split::Capped);
        assert_eq!(shared(&equal, 6.0), [3.0, 3.0]);
        assert_eq!(shared(&capped, 6.0), [4.0, 2.0]);
        assert_eq!(shared(&equal, 4.0), [2.0, 2.0]);
        assert_eq!(shared(&capped, 4.0), [4.0, 0.0]);
        assert_eq!(shared(&equal, 7.0), [4.0, 3.0]);
        assert_eq!(shared(&equal, 20.0), [4.0, 4.0]);
        let mixed = [tons(2.0), WrittenRate { number: 6_000.0, unit: "lb/ac" }];
        let mixed = going_over(Setting::list(&mixed).expect("rises"), 2, Split::Equal);
        let five = mixed.fit(tons(5.0).rate()).rate;
        assert_eq!(mixed.setting.written(five), tons(5.0));
    }

    #[test]
    fn a_list_with_too_many_sums_is_not_taken() {
        let many: Vec<f64> = (1..=60).map(|number| 1.0 + f64::from(number) * 0.031).collect();
        let one = going_over(list(&many), 1, Split::Equal);
        assert_eq!(one.applications, Applications::One);
        assert!(one.going_over(4, Split::Equal).is_none());
    }

    proptest::proptest! {
        #[test]
        fn the_parts_are_rates_of_the_machine_and_add_up(
            wanted in 0.0_f64..20.0,
            least in 0_u32..6,
            wide in 0_u32..8,
            count in 1_u32..5,
        ) {
            let most = f64::from((least + wide).max(1));
            for split in Split::ALL {
                let machine = going_over(steps(f64::from(least), most, 1.0), count, split);
                let parts = shared(&machine, wanted);
                proptest::prop_assert_eq!(parts.len(), count as usize);
                let held = |&part: &f64| part == 0.0 || (f64::from(least)..=most).contains(&part);
                proptest::prop_assert!(parts.iter().all(held), "{parts:?}");
                proptest::prop_assert!(parts.is_sorted_by(|a, b| a >= b), "{parts:?}");
            }
        }
    }
}
