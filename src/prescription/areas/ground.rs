//! The ground that is made into areas: cells, their borders, what each gets by itself.

use crate::field::{Borders, Cells, Partition};
use crate::machine::{Machine, MachineRate};
use crate::prescription::rates::CellRate;
use crate::units::{Area, CarbonateMass, EffectiveFraction, LimeNeed};

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

    /// The rounds of ours, each connected part of one by itself: for each cell the number of its
    /// own, and for each of them the rate for its mean need, fitted to the machine, and its area.
    pub(super) fn rounds(&self) -> (Vec<Option<u32>>, Vec<(MachineRate, Area)>) {
        let cells = &self.cells.list;
        let mut round_of: Vec<Option<u32>> = vec![None; cells.len()];
        let mut rounds = Vec::new();
        for start in 0..cells.len() {
            let region = cells[start].region;
            if round_of[start].is_some() || !self.is_round(region) {
                continue;
            }
            let number = Some(rounds.len() as u32);
            round_of[start] = number;
            let mut waiting = vec![start];
            let (mut need, mut area) = (CarbonateMass::ZERO, Area::ZERO);
            while let Some(cell) = waiting.pop() {
                need += self.rates[cell].need * cells[cell].area;
                area += cells[cell].area;
                for &(other, _) in self.borders.around(cell as u32) {
                    let other = other as usize;
                    if round_of[other].is_none() && cells[other].region == region {
                        round_of[other] = number;
                        waiting.push(other);
                    }
                }
            }
            let mean: LimeNeed = need / area;
            rounds.push((self.machine.fit(mean / self.effective).rate, area));
        }
        (round_of, rounds)
    }
}

/// A rate in kg/m2, the unit of the costs.
pub(super) fn kilograms_per_square_metre(machine: &Machine, rate: MachineRate) -> f64 {
    machine.setting.rate(rate).to_kilograms_per_hectare() / 10_000.0
}
