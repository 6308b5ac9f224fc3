//! Patches: connected ground of one rate within one region.

use std::collections::BTreeMap;

use super::ground::Ground;
use crate::machine::MachineRate;

/// A patch, and what it has come to hold.
#[derive(Clone, Debug)]
pub(super) struct Patch {
    /// Its rate.
    pub(super) rate: MachineRate,
    /// Its area in square metres.
    pub(super) area_m2: f64,
    /// The sum over its cells of area times the rate that each has by itself, in kg.
    pub(super) wanted_kg: f64,
    /// The lowest number among its cells.
    pub(super) first: u32,
    /// Its cells, in no order.
    pub(super) cells: Vec<u32>,
    /// Whether it may neither change nor take anything in.
    pub(super) settled: bool,
    /// The patches of its region that share a border with it, and how long that is in metres.
    pub(super) neighbours: BTreeMap<u32, f64>,
}

impl Patch {
    /// The mean of the rates that its cells have by themselves, in kg/m2.
    pub(super) fn mean_wanted(&self) -> f64 {
        self.wanted_kg / self.area_m2
    }
}

/// Finds the patches, in the order of their first cells; with the patch of each cell.
pub(super) fn find_patches(ground: &Ground<'_>, rates: &[MachineRate]) -> (Vec<Patch>, Vec<u32>) {
    let cells = &ground.cells.list;
    let region = |cell: u32| cells[cell as usize].region;
    let mut patch_of: Vec<Option<u32>> = vec![None; cells.len()];
    let mut patches: Vec<Patch> = Vec::new();
    for start in 0..cells.len() as u32 {
        if patch_of[start as usize].is_some() {
            continue;
        }
        let number = patches.len() as u32;
        let rate = rates[start as usize];
        let mut found = vec![start];
        patch_of[start as usize] = Some(number);
        let mut next = 0;
        while let Some(&cell) = found.get(next) {
            next += 1;
            for &(other, _) in ground.borders.around(cell) {
                if patch_of[other as usize].is_none()
                    && region(other) == region(start)
                    && rates[other as usize] == rate
                {
                    patch_of[other as usize] = Some(number);
                    found.push(other);
                }
            }
        }
        let (mut area_m2, mut wanted_kg) = (0.0, 0.0);
        found.sort_unstable();
        for &cell in &found {
            let own_m2 = cells[cell as usize].area.to_square_metres();
            area_m2 += own_m2;
            wanted_kg += own_m2 * ground.wanted(cell);
        }
        patches.push(Patch {
            rate,
            area_m2,
            wanted_kg,
            first: start,
            cells: found,
            settled: ground.is_settled(region(start)),
            neighbours: BTreeMap::new(),
        });
    }
    let patch_of: Vec<u32> = patch_of.into_iter().map(Option::unwrap_or_default).collect();
    for (number, patch) in (0_u32..).zip(&mut patches) {
        for &cell in &patch.cells {
            for &(other, length_m) in ground.borders.around(cell) {
                let beyond = patch_of[other as usize];
                if beyond != number && region(other) == region(cell) {
                    *patch.neighbours.entry(beyond).or_default() += length_m;
                }
            }
        }
    }
    (patches, patch_of)
}
