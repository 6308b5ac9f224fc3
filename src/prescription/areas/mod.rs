//! From cells to few areas of one rate that a spreader can follow.
//!
//! First the rates: which of the machine's the map keeps. Then the patches of one rate within one
//! region: those smaller or narrower than asked merge. Ground whose rate someone ordered is left as
//! it is, and so are rounds along the boundary, of which each connected part in a region has one rate.

mod choose;
mod ground;
mod merge;
mod patch;
mod width;

use std::collections::BTreeMap;

use super::ledger::Imbalance;
use super::rates::{Prescription, with_area_rates, with_cells_held_back};
use crate::field::{
    AreaOutlines, Cells, OutlineFault, Partition, PieceRings, find_borders, outline_areas,
};
use crate::inputs::RateAreasPart;
use crate::machine::{Machine, MachineRate};
use crate::units::{Area, CarbonateMass, EffectiveFraction, LimeNeed, ProductMass};
use choose::choose_rates;
use ground::Ground;
use merge::{Merged, Merging};
use patch::find_patches;
use width::Widths;

/// An area of one rate.
#[derive(Clone, Debug)]
pub struct RateArea {
    /// The number of the region that it lies in.
    pub region: usize,
    /// Its rate.
    pub rate: MachineRate,
    /// The numbers of its cells, rising.
    pub cells: Vec<u32>,
    /// Its polygons, by the numbers of the cells' vertices.
    pub shape: Vec<PieceRings>,
    /// The true area of its cells.
    pub area: Area,
    /// The mean of what they need.
    pub need: LimeNeed,
    /// The product that it gets.
    pub product: ProductMass,
    /// The mean of what is left out.
    pub unmet: LimeNeed,
    /// Whether it is smaller or narrower than asked, because its region allows no more.
    pub is_small: bool,
}

/// The areas of a field.
#[derive(Clone, Debug)]
pub struct RateAreas {
    /// The areas, in the order of their first cells.
    pub list: Vec<RateArea>,
    /// For each cell the number of its area in the list.
    pub of_cell: Vec<u32>,
    /// How many polygons they have.
    pub polygons: usize,
    /// How many vertices these have; the first of a ring counts once.
    pub vertices: usize,
    /// How many patches merged into others.
    pub merged: usize,
    /// The area of the greatest patch that merged only for the sake of fewer polygons or vertices.
    pub raised_to: Option<Area>,
    /// Whether there are no more polygons and vertices than asked.
    pub within_caps: bool,
    /// The polygons and vertices that would be left with all merged that can, where that is still
    /// more than asked: then nothing merged for their sake.
    pub fewest: Option<[usize; 2]>,
}

/// Why there are no areas: a fault of the program.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum AreasFault {
    /// The ledger does not balance.
    #[error(transparent)]
    Unbalanced(#[from] Imbalance),
    /// The outlines do not come out.
    #[error(transparent)]
    Outline(#[from] OutlineFault),
}

/// Makes areas of one rate of a prescribed field, and prescribes their rates in place of the cells'
/// own.
///
/// # Errors
/// Returns a fault of the program where the areas do not tile the cells or the ledger does not
/// balance.
pub fn rate_areas(
    cells: &Cells,
    partition: &Partition,
    before: &Prescription,
    (machine, effective): (&Machine, EffectiveFraction),
    asked: &RateAreasPart,
) -> Result<(Prescription, RateAreas), AreasFault> {
    let borders = find_borders(cells);
    let rates = before.cells.as_slice();
    let ground = Ground { cells, borders: &borders, partition, rates, machine, effective };
    let chosen = chosen_rates(&ground, asked);
    let widths = Widths::of(cells, &borders, asked.least_width);
    let least_m2 = asked.least_area.to_square_metres();
    let mut merging = Merging::of(&ground, &widths, find_patches(&ground, &chosen), least_m2);
    merging.run();
    let drawn = Drawn::within_caps(&ground, &mut merging, asked)?;
    let of_cell = &drawn.merged.of_cell;
    let rate_of = |&area: &u32| drawn.merged.rates[area as usize];
    let after = with_area_rates(before, of_cell.iter().map(rate_of), effective, &machine.setting)?;
    let list = list_areas(&ground, &after, &drawn, &widths, asked);
    let areas = RateAreas {
        list,
        polygons: drawn.outlines.polygons(),
        vertices: drawn.outlines.vertices(),
        merged: drawn.steps,
        raised_to: drawn.raised_to,
        within_caps: drawn.within_caps,
        fewest: drawn.fewest,
        of_cell: drawn.merged.of_cell,
    };
    Ok((after, areas))
}

/// The rate of each cell before anything merges.
fn chosen_rates(ground: &Ground<'_>, asked: &RateAreasPart) -> Vec<MachineRate> {
    let (round_of, rounds) = ground.rounds();
    let mut weights: BTreeMap<MachineRate, Area> = BTreeMap::new();
    let mut weigh = |rate, area| *weights.entry(rate).or_insert(Area::ZERO) += area;
    for (cell, rate) in ground.cells.list.iter().zip(ground.rates) {
        if !ground.is_settled(cell.region) {
            weigh(rate.own.rate, cell.area);
        }
    }
    for &(rate, area) in &rounds {
        weigh(rate, area);
    }
    let chosen = choose_rates(&weights, &ground.machine.setting, asked.choice);
    let of = |rate: MachineRate| chosen.get(&rate).copied().unwrap_or(rate);
    let cells = ground.cells.list.iter().zip(ground.rates).zip(&round_of);
    cells
        .map(|((cell, rate), round)| match round {
            Some(round) => of(rounds[*round as usize].0),
            None if ground.is_overridden(cell.region) => rate.own.rate,
            None => of(rate.own.rate),
        })
        .collect()
}

/// Areas with their outlines.
struct Drawn {
    merged: Merged,
    outlines: AreaOutlines,
    steps: usize,
    raised_to: Option<Area>,
    within_caps: bool,
    fewest: Option<[usize; 2]>,
}

impl Drawn {
    /// The areas as they are, or after the fewest further steps with which there are no more
    /// polygons and vertices than asked; as they are where that is never so.
    fn within_caps(
        ground: &Ground<'_>,
        merging: &mut Merging<'_>,
        asked: &RateAreasPart,
    ) -> Result<Self, OutlineFault> {
        let met = |outlines: &AreaOutlines| {
            asked.polygons_at_most.is_none_or(|most| outlines.polygons() <= most as usize)
                && asked.vertices_at_most.is_none_or(|most| outlines.vertices() <= most as usize)
        };
        let asked_for = merging.steps();
        let drawn = Self::after(ground, merging, asked_for)?;
        if met(&drawn.outlines) {
            return Ok(drawn);
        }
        merging.run_to_the_end();
        let last = merging.steps();
        let mut best = Self::after(ground, merging, last)?;
        best.within_caps = met(&best.outlines);
        if !best.within_caps {
            // A map merged to the end would be a poor one, and still miss what was asked.
            let fewest = Some([best.outlines.polygons(), best.outlines.vertices()]);
            return Ok(Self { within_caps: false, fewest, ..drawn });
        }
        // Each step takes borders away, so what is met after some steps is met after more.
        let (mut low, mut high) = (asked_for, last);
        while best.within_caps && high - low > 1 {
            let middle = usize::midpoint(low, high);
            let drawn = Self::after(ground, merging, middle)?;
            if met(&drawn.outlines) {
                (best, high) = (drawn, middle);
            } else {
                low = middle;
            }
        }
        let greatest_m2 = merging.greatest_merged_m2(asked_for..best.steps);
        best.raised_to = (best.steps > asked_for).then(|| Area::from_square_metres(greatest_m2));
        Ok(best)
    }

    fn after(
        ground: &Ground<'_>,
        merging: &Merging<'_>,
        steps: usize,
    ) -> Result<Self, OutlineFault> {
        let merged = merging.after(steps);
        let count = merged.rates.len();
        let outlines = outline_areas(ground.cells, ground.borders, &merged.of_cell, count)?;
        Ok(Self { merged, outlines, steps, raised_to: None, within_caps: true, fewest: None })
    }
}

fn list_areas(
    ground: &Ground<'_>,
    after: &Prescription,
    drawn: &Drawn,
    widths: &Widths<'_>,
    asked: &RateAreasPart,
) -> Vec<RateArea> {
    let mut cells: Vec<Vec<u32>> = vec![Vec::new(); drawn.merged.rates.len()];
    for (cell, &area) in (0_u32..).zip(&drawn.merged.of_cell) {
        cells[area as usize].push(cell);
    }
    let with_shapes = cells.into_iter().zip(&drawn.merged.rates).zip(&drawn.outlines.shapes);
    with_shapes
        .map(|((cells, &rate), shape)| {
            let region = ground.cells.list[cells[0] as usize].region;
            let Sums { area, need, product, unmet } = Sums::of(&cells, after);
            let is_small =
                area < asked.least_area || !ground.is_settled(region) && !widths.fits(&cells);
            let shape = shape.clone();
            RateArea { region, rate, cells, shape, area, need, product, unmet, is_small }
        })
        .collect()
}

/// What the cells of an area come to.
struct Sums {
    area: Area,
    need: LimeNeed,
    product: ProductMass,
    unmet: LimeNeed,
}

impl Sums {
    fn of(cells: &[u32], spread: &Prescription) -> Self {
        let (mut area, mut product) = (Area::ZERO, ProductMass::ZERO);
        let (mut need, mut unmet) = (CarbonateMass::ZERO, CarbonateMass::ZERO);
        for &cell in cells {
            let cell = &spread.cells[cell as usize];
            area += cell.area;
            product += cell.product;
            need += cell.need * cell.area;
            unmet += cell.unmet * cell.area;
        }
        Self { area, need: need / area, product, unmet: unmet / area }
    }
}

/// The same prescription with nothing on the areas that are not among `only` (numbers from 1, in
/// the order of the list), and the areas with what they then get.
///
/// # Errors
/// Returns the [`Imbalance`] where the ledger does not balance: a fault of the program.
pub fn hold_areas_back(
    before: &Prescription,
    areas: &RateAreas,
    only: &[u32],
    (machine, effective): (&Machine, EffectiveFraction),
) -> Result<(Prescription, RateAreas), Imbalance> {
    let keeps = areas.of_cell.iter().map(|area| only.contains(&(area + 1)));
    let after = with_cells_held_back(before, keeps, effective, &machine.setting)?;
    let areas = areas.in_application(&after);
    Ok((after, areas))
}

impl RateAreas {
    /// The same areas as one of several applications has them, whose cells get what `spread` says:
    /// with its rates and its part of need and product.
    #[must_use]
    pub fn in_application(&self, spread: &Prescription) -> Self {
        let of_area = |area: &RateArea| {
            let Sums { need, product, unmet, .. } = Sums::of(&area.cells, spread);
            let rate = spread.cells[area.cells[0] as usize].rate;
            RateArea { rate, need, product, unmet, ..area.clone() }
        };
        Self { list: self.list.iter().map(of_area).collect(), ..self.clone() }
    }
}

#[cfg(test)]
mod choose_tests;
#[cfg(test)]
mod tests;
