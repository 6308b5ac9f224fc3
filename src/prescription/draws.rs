//! A layer of the soil of cells in several draws at once: they lie side by side in memory, and what
//! is the same in all of them is found once.

use super::doubt::{LayerInDoubt, PartInDoubt};
use super::needs::{SoilReadings, decide};
use super::{SiteReadings, ValueColumns};
use crate::agronomy::{Given, Missing, Prepared, SoilValues};
use crate::surfaces::Weights;
use crate::units::{LimeNeed, SoilValue, TextureClass};

/// How many draws are worked out at once; it changes nothing but speed. The sums of so many stay in
/// the registers of a processor.
pub(super) const AT_ONCE: usize = 10;

/// One number in each of the draws.
pub(super) type InEach = [f64; AT_ONCE];

/// One layer of the soil in [`AT_ONCE`] draws.
pub(super) struct LayerDraws<'a> {
    given: &'a Given,
    prepared: &'a Prepared,
    ph: Column<'a>,
    /// Buffer pH, and which places have one.
    buffer: Option<(Column<'a>, &'a [Option<f64>])>,
    values: Vec<(SoilValue, Column<'a>)>,
    textures: Option<(&'a Weights, &'a ValueColumns)>,
}

impl<'a> LayerDraws<'a> {
    /// The draws from number `first` on of the layer `number`; `left` is how much of the variance
    /// of each part's places its weights leave.
    ///
    /// # Errors
    /// Returns that a pH is missing where no place tells it.
    pub(super) fn of(
        layer: &'a LayerInDoubt<'a>,
        number: u64,
        left: &[f64],
        first: u64,
    ) -> Result<Self, Missing> {
        let of_part = |(part, &left): (&PartInDoubt<'_>, &f64)| -> Vec<SiteReadings> {
            let draws = first..first + AT_ONCE as u64;
            draws.map(|draw| part.drawn(draw, number, left)).collect()
        };
        let drawn: Vec<Vec<SiteReadings>> = layer.parts.iter().zip(left).map(of_part).collect();
        // Of an attribute that several parts have the first counts.
        let parts = || layer.parts.iter().zip(&drawn);
        let ph = parts().find_map(|(part, drawn)| {
            let count = part.sites.ph.as_ref()?.len();
            let number = |draw: usize, site: usize| drawn[draw].ph.as_ref().map(|all| all[site]);
            Some(Column::of(&part.weights, count, number))
        });
        let buffer = parts().find_map(|(part, drawn)| {
            let read = part.sites.buffer_ph.as_deref()?;
            let number = |draw: usize, site: usize| drawn[draw].buffer_ph.as_ref()?[site];
            Some((Column::of(&part.weights, read.len(), number), read))
        });
        let mut values: Vec<(SoilValue, Column<'a>)> = Vec::new();
        for (part, drawn) in parts() {
            for (at, (value, all)) in part.sites.values.numbers.iter().enumerate() {
                if values.iter().all(|(known, _)| known != value) {
                    let number =
                        |draw: usize, site: usize| Some(drawn[draw].values.numbers[at].1[site]);
                    values.push((*value, Column::of(&part.weights, all.len(), number)));
                }
            }
        }
        let textures = layer.parts.iter().find(|part| part.sites.values.textures.is_some());
        Ok(Self {
            given: layer.given,
            prepared: layer.prepared,
            ph: ph.ok_or(Missing::Ph(layer.given.ph_medium))?,
            buffer,
            values,
            textures: textures.map(|part| (part.weights.as_ref(), &part.sites.values)),
        })
    }

    /// Adds the need of a cell in each draw.
    ///
    /// # Errors
    /// Returns what is missing where the method cannot decide it.
    pub(super) fn add_needs(
        &self,
        cell: usize,
        needs: &mut [LimeNeed; AT_ONCE],
    ) -> Result<(), Missing> {
        let ph = self.ph.at(cell);
        let (buffer, tested) = match &self.buffer {
            Some((column, read)) => column.among(cell, read),
            None => (None, 0.0),
        };
        let values: Vec<(SoilValue, InEach)> =
            self.values.iter().map(|(value, column)| (*value, column.at(cell))).collect();
        let texture: Option<TextureClass> =
            self.textures.and_then(|(weights, columns)| columns.heaviest_at(weights, cell));
        let is_known = !values.is_empty() || texture.is_some();
        for (draw, need) in needs.iter_mut().enumerate() {
            let others = is_known.then(|| {
                let known = SoilValues::of_texture(texture);
                values.iter().fold(known, |all, (value, in_each)| all.with(*value, in_each[draw]))
            });
            let buffer_ph = buffer.map(|in_each| in_each[draw]);
            let others = others.as_ref();
            let readings = SoilReadings { ph: ph[draw], buffer_ph, tested, others };
            *need += decide(&readings, self.given, self.prepared)?.need;
        }
        Ok(())
    }
}

/// The numbers of places in each draw, with the weights of the places at each cell.
struct Column<'a> {
    weights: &'a Weights,
    of_site: Vec<InEach>,
}

impl<'a> Column<'a> {
    /// `number` tells the number of a draw and of a place; one that it does not tell is not used.
    fn of(
        weights: &'a Weights,
        sites: usize,
        number: impl Fn(usize, usize) -> Option<f64>,
    ) -> Self {
        let in_each = |site| std::array::from_fn(|draw| number(draw, site).unwrap_or_default());
        Self { weights, of_site: (0..sites).map(in_each).collect() }
    }

    /// The weighted mean at a cell, as [`Weights::value`] has it.
    fn at(&self, cell: usize) -> InEach {
        let (mut sum, mut least, mut greatest) =
            ([0.0; AT_ONCE], [f64::INFINITY; AT_ONCE], [f64::NEG_INFINITY; AT_ONCE]);
        for (site, weight) in self.weights.entries(cell) {
            let in_each = &self.of_site[site];
            for draw in 0..AT_ONCE {
                sum[draw] += weight * in_each[draw];
                least[draw] = least[draw].min(in_each[draw]);
                greatest[draw] = greatest[draw].max(in_each[draw]);
            }
        }
        std::array::from_fn(|draw| sum[draw].max(least[draw]).min(greatest[draw]))
    }

    /// The weighted mean at a cell among the places that were read, and their share of the weight;
    /// none where they have no weight.
    fn among(&self, cell: usize, read: &[Option<f64>]) -> (Option<InEach>, f64) {
        let (mut sum, mut tested, mut all) = ([0.0; AT_ONCE], 0.0, 0.0);
        for (site, weight) in self.weights.entries(cell) {
            all += weight;
            if read[site].is_some() {
                for (sum, number) in sum.iter_mut().zip(&self.of_site[site]) {
                    *sum += weight * number;
                }
                tested += weight;
            }
        }
        if tested > 0.0 { (Some(sum.map(|sum| sum / tested)), tested / all) } else { (None, 0.0) }
    }
}
