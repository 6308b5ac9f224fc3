//! How sure the totals are: what the field would come to were its readings a little other.
//!
//! Each draw reads every sample anew: an error of the laboratory that is the sample's own, and an
//! error of the map that its natural-neighbour weights carry to the ground around it, so that
//! errors hang together over about one sample spacing. The whole field is then worked out as ever.

use rayon::prelude::*;

use super::doubt::{LayerInDoubt, mixed};
use super::needs::{CellReadings, soil_of_cells};
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
    let totals = (0..draws).into_par_iter().map(|draw| {
        let needs = needs_of_draw(&layers, &left, draw, cells.len())?;
        let (mut need, mut product) = (CarbonateMass::ZERO, ProductMass::ZERO);
        for ((cell, &drawn), &at) in cells.iter().zip(&needs).zip(&some) {
            let rate = orders.carried_out(machine, at, machine.fit(drawn / effective));
            need += (drawn - cell.need) * cell.area;
            // Ground that is held back gets nothing in any draw.
            if cell.held_from.is_some() {
                continue;
            }
            // What a draw changes is told by the cell's own rate, whatever area it lies in.
            let own = machine.setting.rate(cell.own.rate) * cell.area;
            product += machine.setting.rate(rate) * cell.area - own;
        }
        let need = field.ledger.need + need * stand_for;
        let product = field.product + product * stand_for;
        Ok((need.to_kilograms().max(0.0), product.to_kilograms().max(0.0)))
    });
    let (need, product): (Vec<f64>, Vec<f64>) =
        totals.collect::<Result<Vec<_>, Missing>>()?.into_iter().unzip();
    Ok(Intervals {
        draws,
        need: interval(need, CarbonateMass::from_kilograms),
        product: interval(product, ProductMass::from_kilograms),
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

/// The need of each cell in one draw: the sum over its layers.
fn needs_of_draw(
    layers: &[LayerInDoubt<'_>],
    left: &[Vec<f64>],
    draw: u64,
    cells: usize,
) -> Result<Vec<LimeNeed>, Missing> {
    let mut needs = vec![LimeNeed::ZERO; cells];
    for (number, (layer, left)) in layers.iter().zip(left).enumerate() {
        let pairs = layer.parts.iter().zip(left);
        let drawn: Vec<_> =
            pairs.map(|(part, &left)| part.drawn(draw, number as u64, left)).collect();
        let parts: Vec<_> = drawn
            .iter()
            .zip(&layer.parts)
            .map(|(sites, part)| (sites, part.weights.as_ref()))
            .collect();
        let readings = CellReadings::of(&parts).ok_or(Missing::Ph(layer.given.ph_medium))?;
        let soils = soil_of_cells(&readings, layer.given, layer.prepared)?;
        for (need, soil) in needs.iter_mut().zip(&soils) {
            *need += soil.need;
        }
    }
    Ok(needs)
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
