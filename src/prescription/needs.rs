//! The soil of each cell from the samples around it, and its lime need.

use rayon::prelude::*;

use super::{CellRate, ValueColumns};
use crate::agronomy::{Given, Missing, Need, Prepared, SoilValues, Why};
use crate::surfaces::Weights;
use crate::units::{Area, LimeNeed, SoilValue};

/// How many cells one thread takes at a time; it changes nothing but speed.
const CELLS_AT_A_TIME: usize = 4_096;

/// The readings at the places that were sampled, one entry for each place.
#[derive(Clone, Debug, PartialEq)]
pub struct SiteReadings {
    /// Soil pH, in the medium that it was measured in, where it was read there.
    pub ph: Option<Vec<f64>>,
    /// Buffer pH, where the table has it; a place without one counts as needing nothing.
    pub buffer_ph: Option<Vec<Option<f64>>>,
    /// What else was read, as reported.
    pub values: ValueColumns,
}

/// What is read of cells, each attribute from the places that tell it.
#[derive(Clone, Debug, PartialEq)]
pub struct CellReadings {
    /// Soil pH, in the medium that it was measured in.
    pub ph: Vec<f64>,
    /// Buffer pH among the places that have one, with their share of the weight; `None` where no
    /// place has it.
    pub buffer: Option<Vec<(Option<f64>, f64)>>,
    /// What else is known, as reported.
    pub values: ValueColumns,
}

impl CellReadings {
    /// Reads the cells from places of several kinds, each with its weights at every cell; of an
    /// attribute that several kinds have the first counts.
    ///
    /// `None` where no place tells the pH.
    pub fn of(parts: &[(&SiteReadings, &Weights)]) -> Option<Self> {
        let (ph, weights) = parts.iter().find_map(|(part, w)| Some((part.ph.as_ref()?, w)))?;
        let buffer = parts.iter().find_map(|(part, w)| Some((part.buffer_ph.as_ref()?, w)));
        let values = parts.iter().map(|(part, weights)| part.values.weighed(weights));
        Some(Self {
            ph: of_each(weights.len(), |cell| weights.value(cell, ph)),
            buffer: buffer.map(|(all, weights)| {
                of_each(weights.len(), |cell| among_tested(weights.entries(cell), all))
            }),
            values: values.fold(ValueColumns::default(), ValueColumns::beside),
        })
    }

    /// The same with the buffer pH of other places, all of which were tested.
    #[must_use]
    pub fn with_buffer_of(self, weights: &Weights, readings: &[f64]) -> Self {
        let buffer = (0..weights.len()).map(|cell| (Some(weights.value(cell, readings)), 1.0));
        Self { buffer: Some(buffer.collect()), ..self }
    }
}

/// One layer of the soil of one cell and what it needs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CellSoil {
    /// Soil pH, in the medium that it was measured in.
    pub ph: f64,
    /// Buffer pH among the samples that have one.
    pub buffer_ph: Option<f64>,
    /// The share of the weight that places with a buffer pH have.
    pub tested: f64,
    /// The need over the part of the limed depth that the layer stands for.
    pub need: LimeNeed,
    /// What decided it.
    pub why: Why,
}

/// One layer of the soil of every cell, with what was measured in it and the method fitted to it.
#[derive(Clone, Copy, Debug)]
pub struct SoilLayer<'a> {
    /// The layer in each cell.
    pub cells: &'a [CellSoil],
    /// What else was read, in each cell, as reported.
    pub values: &'a ValueColumns,
    /// What the laboratory measured.
    pub given: &'a Given,
    /// The method.
    pub prepared: &'a Prepared,
}

/// The need of each cell: the sum over its layers.
pub fn whole_needs(layers: &[SoilLayer<'_>]) -> Vec<LimeNeed> {
    let cells = layers.first().map_or(0, |layer| layer.cells.len());
    (0..cells).map(|cell| layers.iter().map(|layer| layer.cells[cell].need).sum()).collect()
}

/// The area of the cells of which any layer has a need that was come to so.
pub fn area_by_why(cells: &[CellRate], layers: &[&[CellSoil]], is: impl Fn(Why) -> bool) -> Area {
    let has = |at: usize| layers.iter().any(|layer| is(layer[at].why));
    cells.iter().enumerate().filter(|(at, _)| has(*at)).map(|(_, cell)| cell.area).sum()
}

/// The soil and the need of every cell.
///
/// # Errors
/// Returns what is missing where the method cannot decide a cell.
pub fn soil_of_cells(
    readings: &CellReadings,
    given: &Given,
    prepared: &Prepared,
) -> Result<Vec<CellSoil>, Missing> {
    let of_cell = |cell: usize| {
        let (buffer_ph, tested) =
            readings.buffer.as_ref().map_or((None, 0.0), |buffer| buffer[cell]);
        let others = readings.values.known_at(cell);
        let others = others.as_ref();
        decide(&SoilReadings { ph: readings.ph[cell], buffer_ph, tested, others }, given, prepared)
    };
    let count = readings.ph.len();
    if is_for_one_thread(count) {
        // What may fail is collected without room for all of it.
        let mut soils = Vec::with_capacity(count);
        for cell in 0..count {
            soils.push(of_cell(cell)?);
        }
        return Ok(soils);
    }
    (0..count).into_par_iter().with_min_len(CELLS_AT_A_TIME).map(of_cell).collect()
}

/// What `of` says of each cell.
fn of_each<T: Send>(count: usize, of: impl Fn(usize) -> T + Send + Sync) -> Vec<T> {
    if is_for_one_thread(count) {
        return (0..count).map(of).collect();
    }
    (0..count).into_par_iter().with_min_len(CELLS_AT_A_TIME).map(of).collect()
}

/// Whether so many cells are gone through one after the other: handing them out would take longer.
fn is_for_one_thread(count: usize) -> bool {
    count <= CELLS_AT_A_TIME || rayon::current_num_threads() == 1
}

/// The soil and the need that one composite sample of the whole field would have shown: the mean
/// of the samples' readings, and of the zones' where they give an attribute.
///
/// # Errors
/// Returns what is missing where the method cannot decide it.
pub fn soil_of_composite(
    parts: &[&SiteReadings],
    given: &Given,
    prepared: &Prepared,
) -> Result<CellSoil, Missing> {
    let each = |count: usize| 1.0 / count as f64;
    let ph = parts.iter().find_map(|part| part.ph.as_ref());
    let ph = ph.map(|all| all.iter().sum::<f64>() * each(all.len()));
    let ph = ph.ok_or(Missing::Ph(given.ph_medium))?;
    let buffer = parts.iter().find_map(|part| part.buffer_ph.as_ref());
    let (buffer_ph, tested) = buffer.map_or((None, 0.0), |values| {
        let each = each(values.len());
        among_tested((0..values.len()).map(|site| (site, each)), values)
    });
    let others = parts.iter().map(|part| part.values.clone());
    let others = others.fold(ValueColumns::default(), ValueColumns::beside).mean();
    decide(&SoilReadings { ph, buffer_ph, tested, others: Some(&others) }, given, prepared)
}

/// What is added to the readings of a soil.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::prescription) struct Shift {
    pub(in crate::prescription) ph: f64,
    pub(in crate::prescription) buffer_ph: f64,
    pub(in crate::prescription) value: Option<(SoilValue, f64)>,
}

impl Shift {
    pub(in crate::prescription) const NONE: Self = Self { ph: 0.0, buffer_ph: 0.0, value: None };
}

/// The need of a soil with its readings shifted; `others` are its values beside pH and buffer pH.
pub(in crate::prescription) fn soil_shifted(
    soil: &CellSoil,
    others: Option<&SoilValues>,
    shift: &Shift,
    given: &Given,
    prepared: &Prepared,
) -> Result<LimeNeed, Missing> {
    let shifted = shift.value.and_then(|(value, by)| Some(others?.shifted(value, by)));
    let values = SoilReadings {
        ph: soil.ph + shift.ph,
        buffer_ph: soil.buffer_ph.map(|reading| reading + shift.buffer_ph),
        tested: soil.tested,
        others: shifted.as_ref().or(others),
    };
    decide(&values, given, prepared).map(|soil| soil.need)
}

/// The weighted reading among the places that have one, and their share of the weight.
fn among_tested(
    entries: impl Iterator<Item = (usize, f64)>,
    values: &[Option<f64>],
) -> (Option<f64>, f64) {
    let (mut sum, mut tested, mut all) = (0.0, 0.0, 0.0);
    for (site, weight) in entries {
        all += weight;
        if let Some(value) = values[site] {
            sum += weight * value;
            tested += weight;
        }
    }
    // A place of no weight at all gives no reading.
    if tested > 0.0 { (Some(sum / tested), tested / all) } else { (None, 0.0) }
}

/// What is read of one soil.
pub(super) struct SoilReadings<'a> {
    pub(super) ph: f64,
    pub(super) buffer_ph: Option<f64>,
    /// The share of the weight that places with a buffer pH have.
    pub(super) tested: f64,
    /// What is known of it beside pH and buffer pH, as reported.
    pub(super) others: Option<&'a SoilValues>,
}

/// The need of one soil.
///
/// # Errors
/// Returns what is missing where the method cannot decide it.
pub(super) fn decide(
    readings: &SoilReadings<'_>,
    given: &Given,
    prepared: &Prepared,
) -> Result<CellSoil, Missing> {
    let &SoilReadings { ph, buffer_ph, tested, others } = readings;
    if prepared.reads_buffer() && buffer_ph.is_none() && tested == 0.0 && given.buffer.is_some() {
        // Only blanks around: the job says that they need nothing.
        let need = LimeNeed::ZERO;
        return Ok(CellSoil { ph, buffer_ph, tested, need, why: Why::AtTrigger });
    }
    let mut layer = given.layer(Some(ph), buffer_ph);
    if let Some(others) = others {
        layer = layer.with_values(given.units.canonical(others));
    }
    let Need { need, why } = prepared.need(&layer)?;
    let need = if prepared.reads_buffer() { need * tested } else { need };
    Ok(CellSoil { ph, buffer_ph, tested, need, why })
}
