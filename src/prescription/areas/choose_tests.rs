//! The choice of rates against every other choice.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;

use super::choose::choose_rates;
use super::tests::tons;
use crate::inputs::RateChoice;
use crate::machine::{MachineRate, Setting};
use crate::units::{Area, ProductRate};

/// The least cost of any set of so many of the machine's rates, by trying all of them.
fn least_cost(ground: &BTreeMap<MachineRate, Area>, setting: &Setting, count: usize) -> f64 {
    let mut ladder = Vec::new();
    let mut rate = Some(setting.least());
    while let Some(held) = rate {
        ladder.push(held);
        let next = setting.rate(held) * (1.0 + 1e-6);
        rate = setting.held_at_least(next);
    }
    (0_u32..1 << ladder.len())
        .filter(|set| set.count_ones() as usize == count)
        .map(|set| {
            let chosen = || ladder.iter().enumerate().filter(|(at, _)| set >> at & 1 == 1);
            ground
                .iter()
                .filter(|(rate, _)| rate.spreads())
                .map(|(&rate, &area)| {
                    let off = |to: MachineRate| (setting.rate(to) - setting.rate(rate)).abs();
                    let least = chosen().map(|(_, &to)| off(to)).reduce(ProductRate::min).unwrap();
                    least.to_kilograms_per_hectare().powi(2) * area.to_hectares()
                })
                .sum::<f64>()
        })
        .fold(f64::INFINITY, f64::min)
}

fn cost_of(
    ground: &BTreeMap<MachineRate, Area>,
    setting: &Setting,
    chosen: &BTreeMap<MachineRate, MachineRate>,
) -> f64 {
    let moved = chosen.iter().map(|(own, to)| {
        let off = (setting.rate(*to) - setting.rate(*own)).to_kilograms_per_hectare();
        off * off * ground[own].to_hectares()
    });
    moved.sum()
}

fn settings() -> impl Strategy<Value = Setting> {
    prop_oneof![
        (1_u32..4, 4_u32..11).prop_map(|(min, max)| {
            let rate = |steps: u32| tons(f64::from(steps) * 0.25).rate();
            Setting::steps(rate(min), rate(max), tons(0.25)).unwrap()
        }),
        prop::collection::btree_set(2_u32..40, 2..10).prop_map(|rates| {
            let rates: Vec<_> = rates.into_iter().map(|rate| tons(f64::from(rate) / 8.0)).collect();
            Setting::list(&rates).unwrap()
        }),
    ]
}

/// Ground that has some of the rates by itself.
fn ground_of(setting: &Setting, acres: &[f64]) -> BTreeMap<MachineRate, Area> {
    let wanted = acres.iter().enumerate().map(|(at, &acres)| {
        let rate = setting.nearest_above_nothing(tons(at as f64 * 0.4).rate());
        (if at == 0 { MachineRate::NOTHING } else { rate }, acres)
    });
    let mut ground = BTreeMap::new();
    for (rate, acres) in wanted.filter(|(_, acres)| *acres > 0.0) {
        *ground.entry(rate).or_insert(Area::ZERO) += Area::from_acres(acres);
    }
    ground
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn no_other_choice_of_as_many_rates_is_nearer(
        setting in settings(),
        acres in prop::collection::vec(0.0..9.0_f64, 2..14),
        most in 1_u32..5,
    ) {
        let ground = ground_of(&setting, &acres);
        let chosen = choose_rates(&ground, &setting, RateChoice::AtMost(most));
        let distinct: BTreeSet<MachineRate> = chosen.values().copied().collect();
        prop_assert!(distinct.len() <= most as usize);
        prop_assert!(distinct.iter().all(|rate| rate.spreads()));
        let needed = ground.keys().filter(|rate| rate.spreads()).count();
        if needed > 0 {
            let least = least_cost(&ground, &setting, (most as usize).min(needed));
            let cost = cost_of(&ground, &setting, &chosen);
            prop_assert!((cost - least).abs() <= 1e-9 * (1.0 + least), "{cost} {least}");
        }
    }

    #[test]
    fn no_fewer_rates_are_within_the_tolerance(
        setting in settings(),
        acres in prop::collection::vec(0.0..9.0_f64, 2..14),
        tolerance in 0.0..1.2_f64,
    ) {
        let ground = ground_of(&setting, &acres);
        let tolerance = tons(tolerance).rate();
        let chosen = choose_rates(&ground, &setting, RateChoice::Within(tolerance));
        for (own, to) in &chosen {
            let moved = (setting.rate(*own) - setting.rate(*to)).abs();
            prop_assert!(moved <= tolerance * (1.0 + 1e-9) + setting.rate(setting.least()) * 1e-8);
        }
        // One rate after the other, each as high as the lowest rate that is left lets it be, is
        // known to need the fewest.
        let mut left: Vec<MachineRate> = ground.keys().copied().filter(|r| r.spreads()).collect();
        let mut fewest = 0;
        while let Some(&lowest) = left.first() {
            let held = setting.held_at_most(setting.rate(lowest) + tolerance).unwrap();
            let top = setting.held_at_most(setting.rate(held) + tolerance).unwrap();
            left.retain(|rate| *rate > top);
            fewest += 1;
        }
        let distinct: BTreeSet<MachineRate> = chosen.values().copied().collect();
        prop_assert_eq!(distinct.len(), fewest);
    }
}
