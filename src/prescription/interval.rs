//! How sure the totals are: what the field would come to were its readings a little other.
//!
//! Each draw reads every sample anew: an error of the laboratory that is the sample's own, and an
//! error of the map that its natural-neighbour weights carry to the ground around it, so that
//! errors hang together over about one sample spacing. The whole field is then worked out as ever.

use rayon::prelude::*;

use super::doubt::{LayerInDoubt, mixed};
use super::draws::{AT_ONCE, LayerDraws};
use super::rates::{CellRate, Orders, Prescription};
use crate::agronomy::Missing;
use crate::machine::Machine;
use crate::units::{Area, CarbonateMass, EffectiveFraction, LimeNeed, ProductMass};

/// How often a field is drawn.
pub const DRAWS: u64 = 100;

/// The share of the draws below the low end of an interval, and above its high end.
pub const TAIL: f64 = 0.1;

/// Cells that are drawn for each sampled place, so that each place's part of the field is met as
/// it is in the map.
const CELLS_A_PLACE: usize = 3;

/// Cells that are drawn whatever the number of places, where the field has as many.
const FEWEST_CELLS: usize = 200;

/// What a total comes to over all draws.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval<T> {
    /// A tenth of the draws lie below it.
    pub low: T,
    /// Half of them do.
    pub middle: T,
    /// A tenth of them lie above it.
    pub high: T,
}

/// How sure the totals of a field are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Intervals {
    /// How often it was drawn.
    pub draws: u64,
    /// The need of the whole field.
    pub need: Interval<CarbonateMass>,
    /// The product that the machine would spread for it.
    pub product: Interval<ProductMass>,
}

/// Draws the field over and over; what is ordered for a cell is ordered in every draw. The same
/// whatever the number of threads.
///
/// A large field is drawn at some of its cells: what a draw changes there stands for the rest.
///
/// # Errors
/// Returns what is missing where the method cannot decide a cell.
pub fn intervals(
    layers: &[LayerInDoubt<'_>],
    field: &Prescription,
    orders: &Orders<'_>,
    effective: EffectiveFraction,
    machine: &Machine,
    draws: u64,
) -> Result<Intervals, Missing> {
    let places = layers.iter().flat_map(|layer| &layer.parts).map(|part| part.keys.len());
    let wanted = places.max().unwrap_or_default().saturating_mul(CELLS_A_PLACE).max(FEWEST_CELLS);
    let some = spread_out(field.cells.len(), wanted);
    let cells: Vec<CellRate> = some.iter().map(|&at| field.cells[at]).collect();
    let areas: Vec<Area> = cells.iter().map(|cell| cell.area).collect();
    let layers: Vec<LayerInDoubt<'_>> = layers.iter().map(|layer| layer.picked(&some)).collect();
    let left: Vec<Vec<f64>> = layers
        .iter()
        .map(|layer| layer.parts.iter().map(|part| part.left_between(&areas)).collect())
        .collect();
    let stand_for = field.area / areas.iter().copied().sum::<Area>();
    let drawn = Drawn { layers: &layers, left: &left, cells: &cells, numbers: &some };
    let blocks = draws.div_ceil(AT_ONCE as u64);
    let totals: Vec<Totals> = (0..blocks)
        .into_par_iter()
        .map(|block| drawn.totals(block * AT_ONCE as u64, orders, effective, machine))
        .collect::<Result<_, Missing>>()?;
    let wanted = usize::try_from(draws).unwrap_or(usize::MAX);
    let need = totals.iter().flat_map(|totals| totals.need).take(wanted);
    let need = need.map(|need| (field.ledger.need + need * stand_for).to_kilograms().max(0.0));
    let product = totals.iter().flat_map(|totals| totals.product).take(wanted);
    let product = product.map(|part| (field.product + part * stand_for).to_kilograms().max(0.0));
    Ok(Intervals {
        draws,
        need: interval(need.collect(), CarbonateMass::from_kilograms),
        product: interval(product.collect(), ProductMass::from_kilograms),
    })
}

/// At most `wanted` of so many cells, one by chance from each of as many runs of equal length: at
/// even steps they could all lie in the same columns of the map.
fn spread_out(cells: usize, wanted: usize) -> Vec<usize> {
    if cells <= wanted {
        return (0..cells).collect();
    }
    let start = |run: usize| run * cells / wanted;
    let from_run = |run: usize| {
        let length = start(run + 1) - start(run);
        start(run) + (mixed(run as u64) % length as u64) as usize
    };
    (0..wanted).map(from_run).collect()
}

/// The cells that are drawn.
struct Drawn<'a> {
    layers: &'a [LayerInDoubt<'a>],
    /// How much of the variance of the places of each part is left in the cells between them.
    left: &'a [Vec<f64>],
    cells: &'a [CellRate],
    /// The numbers of these in the field.
    numbers: &'a [usize],
}

/// What draws change in the totals of the cells.
struct Totals {
    need: [CarbonateMass; AT_ONCE],
    product: [ProductMass; AT_ONCE],
}

impl Drawn<'_> {
    /// The draws from number `first` on.
    fn totals(
        &self,
        first: u64,
        orders: &Orders<'_>,
        effective: EffectiveFraction,
        machine: &Machine,
    ) -> Result<Totals, Missing> {
        let layers: Vec<LayerDraws<'_>> = (0_u64..)
            .zip(self.layers)
            .zip(self.left)
            .map(|((number, layer), left)| LayerDraws::of(layer, number, left, first))
            .collect::<Result<_, Missing>>()?;
        let mut totals =
            Totals { need: [CarbonateMass::ZERO; AT_ONCE], product: [ProductMass::ZERO; AT_ONCE] };
        for (at, (cell, &number)) in self.cells.iter().zip(self.numbers).enumerate() {
            let mut needs = [LimeNeed::ZERO; AT_ONCE];
            for layer in &layers {
                layer.add_needs(at, &mut needs)?;
            }
            for (total, need) in totals.need.iter_mut().zip(needs) {
                *total += (need - cell.need) * cell.area;
            }
            // Ground that is held back gets nothing in any draw.
            if cell.held_from.is_some() {
                continue;
            }
            // What a draw changes is told by the cell's own rate, whatever area it lies in.
            let own = machine.setting.rate(cell.own.rate) * cell.area;
            for (total, need) in totals.product.iter_mut().zip(needs) {
                let rate = orders.carried_out(machine, number, machine.fit(need / effective));
                *total += machine.setting.rate(rate) * cell.area - own;
            }
        }
        Ok(totals)
    }
}

fn interval<T>(mut draws: Vec<f64>, of: impl Fn(f64) -> T) -> Interval<T> {
    draws.sort_by(f64::total_cmp);
    let at = |share| of(quantile(&draws, share));
    Interval { low: at(TAIL), middle: at(0.5), high: at(1.0 - TAIL) }
}

/// The value below which a share of ascending values lies, linear between two of them.
fn quantile(ascending: &[f64], share: f64) -> f64 {
    let at = share * ascending.len().saturating_sub(1) as f64;
    let below = at.floor() as usize;
    let Some(&low) = ascending.get(below) else { return 0.0 };
    let high = ascending.get(below + 1).copied().unwrap_or(low);
    low + (high - low) * (at - below as f64)
}
