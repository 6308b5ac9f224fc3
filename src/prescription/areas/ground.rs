//! The ground that is made into areas: cells, their borders, what each gets by itself.

use crate::field::{Borders, Cells, Partition};
use crate::machine::{Machine, MachineRate};
use crate::prescription::rates::CellRate;
use crate::units::{Area, EffectiveFraction, LimeNeed};

/// What areas are made from.
pub(super) struct Ground<'a> {
    pub(super) cells: &'a Cells,
    pub(super) borders: &'a Borders,
    pub(super) partition: &'a Partition,
    pub(super) rates: &'a [CellRate],
    pub(super) machine: &'a Machine,
    pub(super) effective: EffectiveFraction,
}

impl Ground<'_> {
    /// The rate that a cell has by itself, in kg/m2.
    pub(super) fn wanted(&self, cell: u32) -> f64 {
        kilograms_per_square_metre(self.machine, self.rates[cell as usize].own.rate)
    }

    /// Whether the rates of a region are someone's orders.
    pub(super) fn is_overridden(&self, region: usize) -> bool {
        !self.partition.regions[region].overrides.is_empty()
    }

    /// Whether a region is a round along the boundary whose rate is one of ours.
    pub(super) fn is_round(&self, region: usize) -> bool {
        self.partition.regions[region].round.is_some() && !self.is_overridden(region)
    }

    /// Whether ground of a region neither merges nor takes in.
    pub(super) fn is_settled(&self, region: usize) -> bool {
        self.is_overridden(region) || self.partition.regions[region].round.is_some()
    }

    /// For each region that is a round of ours the rate for its mean need, fitted to the machine.
    pub(super) fn rates_of_rounds(&self) -> Vec<Option<(MachineRate, Area)>> {
        let regions = self.partition.regions.len();
        let mut sums = vec![(crate::units::CarbonateMass::ZERO, Area::ZERO); regions];
        for (cell, rate) in self.cells.list.iter().zip(self.rates) {
            sums[cell.region].0 += rate.need * cell.area;
            sums[cell.region].1 += cell.area;
        }
        let fitted = |(region, (need, area)): (usize, (_, Area))| {
            if !self.is_round(region) || area <= Area::ZERO {
                return None;
            }
            let mean: LimeNeed = need / area;
            Some((self.machine.fit(mean / self.effective).rate, area))
        };
        sums.into_iter().enumerate().map(fitted).collect()
    }
}

/// A rate in kg/m2, the unit of the costs.
pub(super) fn kilograms_per_square_metre(machine: &Machine, rate: MachineRate) -> f64 {
    machine.setting.rate(rate).to_kilograms_per_hectare() / 10_000.0
}
