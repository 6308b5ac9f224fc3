//! The soil of each cell from the samples around it, and its lime need.

use rayon::prelude::*;

use super::ValueColumns;
use crate::agronomy::{Given, Missing, Need, Prepared, SoilValues, Why};
use crate::surfaces::Weights;
use crate::units::{LimeNeed, SoilValue};

/// How many cells one thread takes at a time; it changes nothing but speed.
const CELLS_AT_A_TIME: usize = 4_096;

/// The readings at the places that were sampled, one entry for each place.
#[derive(Clone, Debug, PartialEq)]
pub struct SiteReadings {
    /// Soil pH, in the medium that it was measured in.
    pub ph: Vec<f64>,
    /// Buffer pH, where the table has it; a place without one counts as needing nothing.
    pub buffer_ph: Option<Vec<Option<f64>>>,
    /// What else was read, as reported.
    pub values: ValueColumns,
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

/// The soil and the need of every cell.
///
/// `weights` are those of the places of `readings` at each cell's value point, and `values` what
/// else is known of each cell. Where the buffer was not run everywhere and its readings come from
/// other places, `buffer_weights` are theirs.
///
/// # Errors
/// Returns what is missing where the method cannot decide a cell.
pub fn soil_of_cells(
    weights: &Weights,
    readings: &SiteReadings,
    values: &ValueColumns,
    buffer_weights: Option<(&Weights, &[f64])>,
    given: &Given,
    prepared: &Prepared,
) -> Result<Vec<CellSoil>, Missing> {
    (0..weights.len())
        .into_par_iter()
        .with_min_len(CELLS_AT_A_TIME)
        .map(|cell| {
            let ph = weights.value(cell, &readings.ph);
            let (buffer_ph, tested) = match (buffer_weights, &readings.buffer_ph) {
                (Some((weights, values)), _) => (Some(weights.value(cell, values)), 1.0),
                (None, None) => (None, 0.0),
                (None, Some(values)) => among_tested(weights.entries(cell), values),
            };
            decide(&Values { ph, buffer_ph, tested, others: values.at(cell) }, given, prepared)
        })
        .collect()
}

/// The soil and the need that one composite sample of the whole field would have shown: the mean
/// of the samples' readings.
///
/// # Errors
/// Returns what is missing where the method cannot decide it.
pub fn soil_of_composite(
    readings: &SiteReadings,
    given: &Given,
    prepared: &Prepared,
) -> Result<CellSoil, Missing> {
    let each = 1.0 / readings.ph.len() as f64;
    let ph = readings.ph.iter().sum::<f64>() * each;
    let (buffer_ph, tested) = match &readings.buffer_ph {
        None => (None, 0.0),
        Some(values) => among_tested((0..values.len()).map(|site| (site, each)), values),
    };
    decide(&Values { ph, buffer_ph, tested, others: readings.values.mean() }, given, prepared)
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
    others: SoilValues,
    shift: &Shift,
    given: &Given,
    prepared: &Prepared,
) -> Result<LimeNeed, Missing> {
    let values = Values {
        ph: soil.ph + shift.ph,
        buffer_ph: soil.buffer_ph.map(|reading| reading + shift.buffer_ph),
        tested: soil.tested,
        others: shift.value.map_or(others, |(value, by)| others.shifted(value, by)),
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

/// The values of one soil.
struct Values {
    ph: f64,
    buffer_ph: Option<f64>,
    /// The share of the weight that places with a buffer pH have.
    tested: f64,
    others: SoilValues,
}

fn decide(values: &Values, given: &Given, prepared: &Prepared) -> Result<CellSoil, Missing> {
    let &Values { ph, buffer_ph, tested, ref others } = values;
    if prepared.reads_buffer() && buffer_ph.is_none() && tested == 0.0 && given.buffer.is_some() {
        // Only blanks around: the job says that they need nothing.
        let need = LimeNeed::ZERO;
        return Ok(CellSoil { ph, buffer_ph, tested, need, why: Why::AtTrigger });
    }
    let layer = given.layer(Some(ph), buffer_ph).with_values(given.units.canonical(others));
    let Need { need, why } = prepared.need(&layer)?;
    let need = if prepared.reads_buffer() { need * tested } else { need };
    Ok(CellSoil { ph, buffer_ph, tested, need, why })
}
