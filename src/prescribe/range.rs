//! Where the samples read against the rows of the method.

use super::by_zone::Together;
use super::layers::Stratum;
use crate::agronomy::{Prepared, Reads};
use crate::findings::{Place, Problem, Refusal};

/// How many samples read beyond the rows of a method, where its end value is taken.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Beyond {
    /// Below the lowest row.
    pub(super) below: usize,
    /// Above the highest row.
    pub(super) above: usize,
    /// All samples, those included that need nothing whatever they read.
    pub(super) samples: usize,
}

/// Counts the samples beyond the rows of a method.
///
/// Beyond its rows a method takes an end value and says so; where all samples lie beyond them, and
/// none is high enough to need nothing, there is nothing to go by.
///
/// # Errors
/// Refuses samples of which none reads within the rows.
pub(super) fn hold_against_rows(
    read: &Together<'_>,
    prepared: &Prepared,
    method: &str,
    stratum: Option<&Stratum>,
) -> Result<Beyond, Refusal> {
    let (least, most) = prepared.range();
    let asked = asked_readings(read, prepared);
    let samples = read.samples.ids.len();
    let count = |is: &dyn Fn(f64) -> bool| asked.iter().filter(|reading| is(**reading)).count();
    let beyond = Beyond {
        below: count(&|reading| reading < least),
        above: count(&|reading| reading > most),
        samples,
    };
    let some_are_decided = asked.len() < samples;
    if some_are_decided || beyond.below + beyond.above < samples {
        return Ok(beyond);
    }
    let lowest = asked.iter().copied().fold(f64::INFINITY, f64::min);
    let highest = asked.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let layer = stratum.map_or_else(String::new, |layer| format!(" of the layer {}", layer.words));
    let what = format!(
        "no sample{layer} reads within the rows of `{method}`: they read {lowest} to {highest}"
    );
    Err(Problem::at(Place::in_file(&read.samples.file), what)
        .allowed(format!("readings from {least} to {most}"))
        .hint("check the units and the column, or choose a method made for such soils")
        .into())
}

/// The readings that decide a need, of the samples whose pH does not already say that there is
/// none.
fn asked_readings(read: &Together<'_>, prepared: &Prepared) -> Vec<f64> {
    let below_trigger = |sample: usize| {
        let ph = read.ph(sample).map(|ph| prepared.to_method_medium(ph));
        ph.filter(|ph| prepared.trigger().is_none_or(|trigger| *ph < trigger))
    };
    let units = read.units();
    let reading = |sample: usize| match prepared.reads().lead() {
        Reads::Value(value) => value.canonical(read.value(value, sample)?, units.get(value)?),
        Reads::BufferPh => read.buffer_ph(sample),
        Reads::Ph | Reads::Texture => below_trigger(sample),
    };
    let samples = 0..read.samples.ids.len();
    samples.filter_map(|sample| below_trigger(sample).and_then(|_| reading(sample))).collect()
}
