//! Which of the machine's rates a map keeps: the exact optimum, by dynamic programming.
//!
//! Ground is taken by the rate that it has by itself, nothing apart. Rates side by side become one
//! rate of the machine, the one with the least sum of area times the square of how far it moves
//! them: the nearest to their mean over the ground, within the tolerance where there is one. That
//! sum over a run of rates fulfils the quadrangle inequality, with the tolerance as without, so the
//! best last run of a longer row never begins earlier, and each layer is halved over and over.

use std::collections::BTreeMap;

use crate::inputs::RateChoice;
use crate::machine::{MachineRate, Setting};
use crate::units::{Area, ProductRate};

/// For each rate above nothing that ground has by itself, the rate that it gets.
///
/// Of two splits that cost the same, the one whose last run is longest is taken, and so on.
pub(super) fn choose_rates(
    ground: &BTreeMap<MachineRate, Area>,
    setting: &Setting,
    choice: RateChoice,
) -> BTreeMap<MachineRate, MachineRate> {
    let row = Row::of(ground, setting);
    let count = row.rates.len();
    let runs = match choice {
        RateChoice::AsFitted => None,
        RateChoice::AtMost(most) if most as usize >= count => None,
        RateChoice::AtMost(most) => Some(row.split(&Layers::of_count(most as usize, count), None)),
        RateChoice::Within(tolerance) => Some(row.split(&row.fewest(tolerance), Some(tolerance))),
    };
    match runs {
        None => row.rates.iter().map(|&rate| (rate, rate)).collect(),
        Some(runs) => runs
            .into_iter()
            .flat_map(|(from, to, rate)| row.rates[from..to].iter().map(move |&own| (own, rate)))
            .collect(),
    }
}

/// The rates of the ground, rising, and sums over the first so many of them.
struct Row<'a> {
    setting: &'a Setting,
    rates: Vec<MachineRate>,
    /// Area, area times how far its rate is above the first in kg/m2, area times the square of that.
    sums: Vec<[f64; 3]>,
}

/// Which rows and columns each layer of the dynamic programme has: with `n` rates, the first `row`
/// rates can be split, and the last run may begin at `first[row]` or later.
struct Layers {
    rows: Vec<std::ops::Range<usize>>,
    first: Vec<usize>,
}

impl Layers {
    /// Exactly so many runs, each of any length.
    fn of_count(runs: usize, count: usize) -> Self {
        let rows = (0..=runs).map(|run| if run == 0 { 0..1 } else { run..count + 1 });
        Self { rows: rows.collect(), first: vec![0; count + 1] }
    }
}

impl<'a> Row<'a> {
    fn of(ground: &BTreeMap<MachineRate, Area>, setting: &'a Setting) -> Self {
        let spread: Vec<(MachineRate, f64)> = ground
            .iter()
            .filter(|(rate, _)| rate.spreads())
            .map(|(&rate, area)| (rate, area.to_square_metres()))
            .collect();
        let si = |rate| setting.rate(rate).to_kilograms_per_hectare() / 10_000.0;
        let origin = spread.first().map_or(0.0, |&(rate, _)| si(rate));
        let mut sums = vec![[0.0; 3]];
        let mut sum = [0.0; 3];
        for &(rate, area) in &spread {
            let x = si(rate) - origin;
            for (total, part) in sum.iter_mut().zip([1.0, x, x * x]) {
                *total += area * part;
            }
            sums.push(sum);
        }
        Self { setting, rates: spread.into_iter().map(|(rate, _)| rate).collect(), sums }
    }

    /// The rate for the run from the first to before the last, with what it costs; `None` where no
    /// rate is within the tolerance of all of them.
    fn run(
        &self,
        from: usize,
        to: usize,
        within: Option<ProductRate>,
    ) -> Option<(MachineRate, f64)> {
        let [area, first, second] =
            [0, 1, 2].map(|part| self.sums[to][part] - self.sums[from][part]);
        let (least, greatest) = (self.rates[from], self.rates[to - 1]);
        let kilograms = |x: f64| ProductRate::from_kilograms_per_hectare(x * 10_000.0);
        let mean = self.setting.rate(self.rates[0]) + kilograms(first / area);
        let mut rate = self.setting.nearest_above_nothing(mean);
        if let Some(tolerance) = within {
            let low = self.setting.held_at_least(self.setting.rate(greatest) - tolerance)?;
            let high = self.setting.held_at_most(self.setting.rate(least) + tolerance)?;
            if low > high {
                return None;
            }
            rate = rate.clamp(low, high);
        }
        let moved = self.setting.rate(rate) - self.setting.rate(self.rates[0]);
        let x = moved.to_kilograms_per_hectare() / 10_000.0;
        Some((rate, (second - 2.0 * x * first + x * x * area).max(0.0)))
    }

    /// The fewest runs of rates that one rate each is within the tolerance of.
    fn fewest(&self, tolerance: ProductRate) -> Layers {
        let count = self.rates.len();
        let (mut first, mut runs) = (vec![0; count + 1], vec![0_usize; count + 1]);
        for to in 1..=count {
            first[to] = first[to - 1];
            // A rate is within any tolerance of itself.
            while first[to] + 1 < to && self.run(first[to], to, Some(tolerance)).is_none() {
                first[to] += 1;
            }
            runs[to] = runs[first[to]] + 1;
        }
        let layers = runs.last().copied().unwrap_or_default();
        let start = |layer: usize| runs.partition_point(|&of| of < layer);
        let rows = (0..=layers).map(|layer| start(layer)..start(layer + 1)).collect();
        Layers { rows, first }
    }

    /// The cheapest split of all rates into as many runs as there are layers above the first: for
    /// each run where it begins and ends, and its rate.
    fn split(
        &self,
        layers: &Layers,
        within: Option<ProductRate>,
    ) -> Vec<(usize, usize, MachineRate)> {
        let count = self.rates.len();
        let mut cost = vec![0.0; count + 1];
        // For each layer the beginning of the last run of each row.
        let mut begins: Vec<Vec<usize>> = Vec::new();
        for pair in layers.rows.windows(2) {
            let (columns, rows) = (&pair[0], &pair[1]);
            let mut layer = Layer {
                row: self,
                within,
                before: &cost,
                first: &layers.first,
                cost: vec![0.0; count + 1],
                begins: vec![0; count + 1],
            };
            layer.solve(rows.clone(), columns.clone());
            let Layer { cost: after, begins: of_layer, .. } = layer;
            cost = after;
            begins.push(of_layer);
        }
        let mut runs = Vec::with_capacity(begins.len());
        let mut to = count;
        for of_layer in begins.iter().rev() {
            let from = of_layer[to];
            if let Some((rate, _)) = self.run(from, to, within) {
                runs.push((from, to, rate));
            }
            to = from;
        }
        runs.reverse();
        runs
    }
}

/// One more run behind the rows of the layer before.
struct Layer<'a> {
    row: &'a Row<'a>,
    within: Option<ProductRate>,
    before: &'a [f64],
    first: &'a [usize],
    cost: Vec<f64>,
    begins: Vec<usize>,
}

impl Layer<'_> {
    /// Finds for each of the rows the best of the columns at which its last run begins.
    fn solve(&mut self, rows: std::ops::Range<usize>, columns: std::ops::Range<usize>) {
        if rows.is_empty() {
            return;
        }
        let middle = usize::midpoint(rows.start, rows.end);
        let from = columns.start.max(self.first[middle]);
        let mut best: Option<(f64, usize)> = None;
        for begin in from..columns.end.min(middle) {
            let Some((_, cost)) = self.row.run(begin, middle, self.within) else { continue };
            let cost = self.before[begin] + cost;
            if best.is_none_or(|(least, _)| cost < least) {
                best = Some((cost, begin));
            }
        }
        let Some((cost, begin)) = best else { return };
        self.cost[middle] = cost;
        self.begins[middle] = begin;
        self.solve(rows.start..middle, columns.start..begin + 1);
        self.solve(middle + 1..rows.end, begin..columns.end);
    }
}
