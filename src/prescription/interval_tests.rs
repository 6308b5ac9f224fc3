//! The spread of the totals against what the weights and the errors say it must be.

use std::borrow::Cow;

use super::doubt::{Doubt, LayerInDoubt, PartInDoubt, key_of};
use super::interval::{Intervals, intervals};
use super::tests::{half, job, machine};
use super::{CellReadings, Orders, SiteReadings, ValueColumns, prescribe_rates, soil_of_cells};
use crate::agronomy::{Given, Prepared};
use crate::field::Point;
use crate::surfaces::{Interpolator, Weights, merge_coincident};
use crate::units::{Area, LimeNeed, PhMedium, SoilAttribute};

const DRAWS: u64 = 4_000;
/// A standard normal lies below it in nine draws of ten.
const NINE_TENTHS: f64 = 1.281_55;

/// Samples on a grid of 60 m, 5 x 4, with cells of 15 m between them.
struct Ground {
    job: (Prepared, Given),
    sites: SiteReadings,
    weights: Weights,
    cells: usize,
}

impl Ground {
    fn new() -> Self {
        let point = |x_m, y_m| Point { x_m, y_m };
        let places: Vec<Point> = (0..20_i32)
            .map(|at| point(f64::from(at % 5) * 60.0, f64::from(at / 5) * 60.0))
            .collect();
        let cells: Vec<Point> = (0..192_i32)
            .map(|at| point(f64::from(at % 16) * 15.0 + 7.0, f64::from(at / 16) * 15.0 + 8.0))
            .collect();
        let weights = Interpolator::new(&merge_coincident(&places)).unwrap().weigh(&cells);
        let ph = (0..20_u32).map(|at| 5.9 + f64::from(at * 7 % 20) / 100.0).collect();
        let sites = SiteReadings { ph: Some(ph), buffer_ph: None, values: ValueColumns::default() };
        // Linear between its rows, far from the target and the ends on all this ground.
        let job = job("ph-uk-arable", 6.7, PhMedium::Water1To2Point5);
        Self { job, sites, weights, cells: cells.len() }
    }

    /// The need of all cells, in short tons.
    fn needs(&self) -> Vec<(Area, LimeNeed)> {
        let readings = CellReadings::of(&[(&self.sites, &self.weights)]).unwrap();
        let soils = soil_of_cells(&readings, &self.job.1, &self.job.0).unwrap();
        soils.iter().map(|soil| (Area::from_acres(1.0), soil.need)).collect()
    }

    fn intervals(&self, laboratory: f64, between: f64, draws: u64) -> Intervals {
        let doubt = Doubt { attribute: SoilAttribute::Ph, laboratory, between, read: vec![1; 20] };
        let part = PartInDoubt {
            sites: &self.sites,
            weights: Cow::Borrowed(&self.weights),
            keys: (0..20).map(|at| key_of(&format!("P{at}"))).collect(),
            doubts: vec![doubt],
        };
        let (prepared, given) = &self.job;
        let layer = LayerInDoubt { parts: vec![part], given, prepared };
        let area = Area::from_acres(self.cells as f64);
        let field = prescribe_rates(&self.needs(), half(), &machine(), area).unwrap();
        intervals(&[layer], &field, &Orders::default(), half(), &machine(), draws).unwrap()
    }

    fn need(&self) -> f64 {
        self.needs().iter().map(|&(area, need)| (need * area).to_short_tons()).sum()
    }

    /// How much the need falls with one unit of pH, in short tons.
    fn slope(&self) -> f64 {
        let mut raised = Self { sites: self.sites.clone(), ..Self::new() };
        raised.sites.ph.iter_mut().flatten().for_each(|ph| *ph += 0.01);
        (self.need() - raised.need()) / 0.01
    }

    /// The sum of the squares of the places' mean weights, and the mean over the cells of the sum
    /// of the squares of their weights.
    fn squares(&self) -> (f64, f64) {
        let (mut mean, mut in_cells) = (vec![0.0; 20], 0.0);
        for cell in 0..self.cells {
            for (place, weight) in self.weights.entries(cell) {
                mean[place] += weight / self.cells as f64;
                in_cells += weight * weight / self.cells as f64;
            }
        }
        (mean.iter().map(|weight| weight * weight).sum(), in_cells)
    }
}

fn width(intervals: &Intervals) -> f64 {
    (intervals.need.high - intervals.need.low).to_short_tons()
}

#[test]
fn without_errors_the_interval_is_the_total() {
    let ground = Ground::new();
    let sure = ground.intervals(0.0, 0.0, 50);
    for end in [sure.need.low, sure.need.middle, sure.need.high] {
        assert!((end.to_short_tons() - ground.need()).abs() < 1e-9, "{sure:?}");
    }
    assert!((sure.product.high - sure.product.low).to_short_tons().abs() < 1e-9, "{sure:?}");
}

#[test]
fn where_the_need_is_a_line_the_spread_is_what_the_weights_say() {
    let ground = Ground::new();
    let (of_places, in_cells) = ground.squares();
    for (laboratory, between) in [(0.1, 0.0), (0.0, 0.05), (0.05, 0.04)] {
        let found = ground.intervals(laboratory, between, DRAWS);
        let variance: f64 =
            of_places * (f64::powi(laboratory, 2) + f64::powi(between, 2) / in_cells);
        let expected = 2.0 * NINE_TENTHS * ground.slope() * variance.sqrt();
        assert!((width(&found) / expected - 1.0).abs() < 0.05, "{} {expected}", width(&found));
        let middle = found.need.middle.to_short_tons();
        assert!((middle - ground.need()).abs() < 0.05 * expected, "{middle}");
    }
}

#[test]
fn the_interval_widens_with_each_error() {
    let ground = Ground::new();
    let widths = [(0.0, 0.0), (0.05, 0.0), (0.05, 0.1), (0.05, 0.2), (0.2, 0.2)]
        .map(|(laboratory, between)| width(&ground.intervals(laboratory, between, 400)));
    assert!(widths.windows(2).all(|pair| pair[0] < pair[1]), "{widths:?}");
}

#[test]
fn errors_of_cells_that_hang_together_do_not_cancel_as_independent_ones_would() {
    let ground = Ground::new();
    let found = ground.intervals(0.0, 0.05, DRAWS);
    let alone = 2.0 * NINE_TENTHS * ground.slope() * 0.05 / (ground.cells as f64).sqrt();
    assert!(width(&found) > 2.5 * alone, "{} {alone}", width(&found));
}

#[test]
fn the_same_field_has_the_same_interval_whatever_the_threads() {
    let ground = Ground::new();
    let one = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
    let alone = one.install(|| ground.intervals(0.1, 0.1, 100));
    assert_eq!(alone, ground.intervals(0.1, 0.1, 100));
}
