//! Small and narrow patches merge into their surroundings, the smallest first, until none is left
//! that can.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::ground::{Ground, kilograms_per_square_metre};
use super::patch::Patch;
use super::width::Widths;
use crate::machine::MachineRate;

/// Whether a patch is anywhere as wide as is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Width {
    /// Not looked at: its area decides first.
    Unknown,
    Narrow,
    Wide,
}

/// One patch that went into another.
#[derive(Clone, Copy, Debug)]
struct Union {
    /// The number that is given up.
    gone: u32,
    /// The number that stands for both.
    kept: u32,
    /// The rate of both.
    rate: MachineRate,
}

/// The patches while they merge.
pub(super) struct Merging<'a> {
    ground: &'a Ground<'a>,
    widths: &'a Widths<'a>,
    least_m2: f64,
    patches: Vec<Patch>,
    /// The rate that each patch had before anything merged.
    first_rates: Vec<MachineRate>,
    width: Vec<Width>,
    /// The number that each patch goes by now; its own where it is not gone.
    goes_by: Vec<u32>,
    patch_of: Vec<u32>,
    /// How often a patch has changed, so that what waits for an older state is passed over.
    turns: Vec<u32>,
    waiting: BinaryHeap<Reverse<(u64, u32, u32, u32)>>,
    unions: Vec<Union>,
    /// After how many unions each step was done, and the area of what merged in it.
    steps: Vec<(usize, f64)>,
}

/// The areas after so many steps.
#[derive(Clone, Debug)]
pub(super) struct Merged {
    /// For each cell its area, numbered in the order of their first cells.
    pub(super) of_cell: Vec<u32>,
    /// The rate of each area.
    pub(super) rates: Vec<MachineRate>,
}

impl<'a> Merging<'a> {
    pub(super) fn of(
        ground: &'a Ground<'a>,
        widths: &'a Widths<'a>,
        (patches, patch_of): (Vec<Patch>, Vec<u32>),
        least_m2: f64,
    ) -> Self {
        let count = patches.len();
        let mut merging = Self {
            ground,
            widths,
            least_m2,
            first_rates: patches.iter().map(|patch| patch.rate).collect(),
            patches,
            width: vec![Width::Unknown; count],
            goes_by: (0..count as u32).collect(),
            patch_of,
            turns: vec![0; count],
            waiting: BinaryHeap::new(),
            unions: Vec::new(),
            steps: Vec::new(),
        };
        for patch in 0..count as u32 {
            let of_patch = &merging.patches[patch as usize];
            if !of_patch.settled && of_patch.area_m2 >= least_m2 {
                let fits = widths.fits(&of_patch.cells);
                merging.width[patch as usize] = if fits { Width::Wide } else { Width::Narrow };
            }
            merging.wait(patch);
        }
        merging
    }

    /// Merges until no patch is smaller or narrower than is asked that has a neighbour in its
    /// region.
    pub(super) fn run(&mut self) {
        while let Some(Reverse((_, _, patch, turn))) = self.waiting.pop() {
            if self.turns[patch as usize] != turn || self.goes_by[patch as usize] != patch {
                continue;
            }
            let Some(receiver) = self.cheapest_neighbour(patch) else { continue };
            let Patch { area_m2, ref neighbours, .. } = self.patches[patch as usize];
            let rate = self.patches[receiver as usize].rate;
            // What borders on it and has its new rate is now one patch with it.
            let same: Vec<u32> = neighbours
                .keys()
                .copied()
                .filter(|&other| self.patches[other as usize].rate == rate)
                .collect();
            let whole = same.into_iter().fold(patch, |whole, other| self.unite(other, whole, rate));
            self.turns[whole as usize] += 1;
            self.wait(whole);
            self.steps.push((self.unions.len(), area_m2));
        }
    }

    /// Goes on as if the least area were without end, the smallest first.
    pub(super) fn run_to_the_end(&mut self) {
        self.least_m2 = f64::INFINITY;
        for patch in 0..self.patches.len() as u32 {
            if self.goes_by[patch as usize] == patch {
                self.turns[patch as usize] += 1;
                self.wait(patch);
            }
        }
        self.run();
    }

    /// How many steps were done.
    pub(super) fn steps(&self) -> usize {
        self.steps.len()
    }

    /// The greatest area in square metres of what merged in the steps from one on to another.
    pub(super) fn greatest_merged_m2(&self, steps: std::ops::Range<usize>) -> f64 {
        self.steps[steps].iter().map(|step| step.1).fold(0.0, f64::max)
    }

    /// Queues a patch that is too small or too narrow.
    fn wait(&mut self, patch: u32) {
        let Patch { area_m2, settled, first, .. } = self.patches[patch as usize];
        let fails = area_m2 < self.least_m2 || self.width[patch as usize] == Width::Narrow;
        if !settled && fails {
            // Areas are above 0, so their bits have their order.
            let turn = self.turns[patch as usize];
            self.waiting.push(Reverse((area_m2.to_bits(), first, patch, turn)));
        }
    }

    /// The neighbour whose rate is nearest to the mean of the rates that the ground has by itself:
    /// that adds least to the sum of area times the square of the difference. Of those as near the
    /// one with the longest border, then the first.
    fn cheapest_neighbour(&self, patch: u32) -> Option<u32> {
        let own = &self.patches[patch as usize];
        let (machine, mean) = (self.ground.machine, own.mean_wanted());
        // What differs by rounding alone is the same.
        let one_rate = kilograms_per_square_metre(machine, machine.setting.least());
        let same = |value: f64, of: f64| (value / of).round() as u64;
        let cost = |(&neighbour, &border_m): (&u32, &f64)| {
            let Patch { rate, first, .. } = self.patches[neighbour as usize];
            let off = (kilograms_per_square_metre(machine, rate) - mean).abs();
            (same(off, one_rate * 1e-9), Reverse(same(border_m, 1e-6)), first, neighbour)
        };
        own.neighbours.iter().map(cost).min().map(|(.., neighbour)| neighbour)
    }

    /// Makes one patch of two, under the number of the one with more neighbours.
    fn unite(&mut self, one: u32, other: u32, rate: MachineRate) -> u32 {
        let count = |patch: u32| self.patches[patch as usize].neighbours.len();
        let (kept, gone) = if count(one) > count(other) { (one, other) } else { (other, one) };
        let width = self.united_width(kept, gone);
        let taken = std::mem::take(&mut self.patches[gone as usize].neighbours);
        let mut cells = std::mem::take(&mut self.patches[gone as usize].cells);
        let Patch { area_m2, wanted_kg, first, .. } = self.patches[gone as usize];
        for (&neighbour, &border_m) in &taken {
            let beyond = &mut self.patches[neighbour as usize].neighbours;
            beyond.remove(&gone);
            if neighbour != kept {
                *beyond.entry(kept).or_default() += border_m;
            }
        }
        let whole = &mut self.patches[kept as usize];
        for (neighbour, border_m) in taken {
            if neighbour != kept {
                *whole.neighbours.entry(neighbour).or_default() += border_m;
            }
        }
        if cells.len() > whole.cells.len() {
            std::mem::swap(&mut cells, &mut whole.cells);
        }
        whole.cells.extend(cells);
        whole.area_m2 += area_m2;
        whole.wanted_kg += wanted_kg;
        whole.first = whole.first.min(first);
        whole.rate = rate;
        self.goes_by[gone as usize] = kept;
        self.width[kept as usize] = width;
        self.unions.push(Union { gone, kept, rate });
        kept
    }

    /// The width of two patches together.
    fn united_width(&self, one: u32, other: u32) -> Width {
        let [a, b] = [one, other].map(|patch| &self.patches[patch as usize]);
        let widths = [one, other].map(|patch| self.width[patch as usize]);
        if widths.contains(&Width::Wide) {
            return Width::Wide;
        }
        if a.area_m2 + b.area_m2 < self.least_m2 {
            return Width::Unknown;
        }
        let (small, large, of_large) =
            if a.cells.len() < b.cells.len() { (a, b, widths[1]) } else { (b, a, widths[0]) };
        let ground = if of_large == Width::Narrow {
            // A circle that fits now reaches into the smaller one.
            let numbers = [one, other];
            let is_ground = |cell: u32| numbers.contains(&self.head(self.patch_of[cell as usize]));
            self.widths.around(&small.cells, is_ground)
        } else {
            let mut both: Vec<u32> = small.cells.iter().chain(&large.cells).copied().collect();
            both.sort_unstable();
            both
        };
        if self.widths.fits(&ground) { Width::Wide } else { Width::Narrow }
    }

    fn head(&self, mut patch: u32) -> u32 {
        while self.goes_by[patch as usize] != patch {
            patch = self.goes_by[patch as usize];
        }
        patch
    }

    /// The areas as they stood after so many steps.
    pub(super) fn after(&self, steps: usize) -> Merged {
        let unions = steps.checked_sub(1).map_or(0, |last| self.steps[last].0);
        let mut heads: Vec<u32> = (0..self.patches.len() as u32).collect();
        let mut rates: Vec<Option<MachineRate>> = vec![None; heads.len()];
        for union in &self.unions[..unions] {
            heads[union.gone as usize] = union.kept;
            rates[union.kept as usize] = Some(union.rate);
        }
        // A later number may stand for an earlier one and the other way round, so heads are looked
        // up, with every way made short.
        for patch in 0..heads.len() {
            let mut head = patch;
            while heads[head] as usize != head {
                head = heads[head] as usize;
            }
            let mut at = patch;
            while heads[at] as usize != head {
                at = std::mem::replace(&mut heads[at], head as u32) as usize;
            }
        }
        let mut numbers: Vec<Option<u32>> = vec![None; heads.len()];
        let mut merged = Merged { of_cell: Vec::with_capacity(self.patch_of.len()), rates: vec![] };
        for &patch in &self.patch_of {
            let head = heads[patch as usize] as usize;
            let number = *numbers[head].get_or_insert_with(|| {
                let rate = rates[head].unwrap_or(self.first_rates[head]);
                merged.rates.push(rate);
                merged.rates.len() as u32 - 1
            });
            merged.of_cell.push(number);
        }
        merged
    }
}
