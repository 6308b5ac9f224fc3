//! The steps from the soil of one place to its need, and the readings that were never made.

use super::reading::{PlacedSamples, ReadLayer};
use crate::agronomy::{Aim, Prepared, SoilValues, Step, Why};
use crate::error::Error;
use crate::inputs::Job;
use crate::prescription::{BlankRule, CellSoil};
use crate::units::{LimeNeed, SoilValue, plain};

/// How far the map, the place worked out anew and the steps to it may differ, of the need: nothing
/// but rounding.
pub(super) const SAME_NEED: f64 = 1e-9;

/// The steps from the soil of a place to its need, and in a few words how it came about.
///
/// A fault of the program where the steps come to another need than the map's.
pub(super) fn need_steps(
    ReadLayer { given, prepared, .. }: &ReadLayer,
    job: &Job,
    soil: &CellSoil,
    values: &SoilValues,
) -> Result<(Vec<Step>, &'static str), Error> {
    let values = given.units.canonical(values);
    let layer = given.layer(Some(soil.ph), soil.buffer_ph).with_values(values);
    let blank_only = prepared.reads_buffer() && soil.tested == 0.0;
    let mut trace = match prepared.trace(&layer, job.units) {
        Ok(trace) => trace,
        Err(_) if blank_only => {
            let words = "No sample with a buffer reading counts here: nothing is needed";
            return Ok((vec![Step::new("only_blanks", words)], "the samples need nothing"));
        }
        Err(missing) => return Err(Error::Fault(format!("the place has {missing}"))),
    };
    if prepared.reads_buffer() {
        trace.need = trace.need * soil.tested;
        if soil.tested < 1.0 && soil.need > LimeNeed::ZERO {
            let words = format!(
                "x {}, the share of the samples that have a buffer reading; the others need nothing",
                plain(soil.tested, 0, 6)
            );
            trace.steps.push(Step::new("tested_share", words).with("share", soil.tested, ""));
        }
    }
    if (trace.need - soil.need).abs() > soil.need * SAME_NEED {
        let what = format!("the steps come to {:?} and the need is {:?}", trace.need, soil.need);
        return Err(Error::Fault(what));
    }
    let why = why_in_words(soil, prepared, &trace.steps);
    Ok((trace.steps, why))
}

fn why_in_words(soil: &CellSoil, prepared: &Prepared, steps: &[Step]) -> &'static str {
    match soil.why {
        Why::AtTrigger => "at or above the pH below which is limed: nothing is needed",
        Why::Table | Why::AboveTable
            if soil.need == LimeNeed::ZERO && prepared.target().aim() != Aim::Ph =>
        {
            "the target is reached: nothing is needed"
        }
        Why::Table if soil.need == LimeNeed::ZERO => "the method needs nothing at this reading",
        Why::Table if prepared.reads_value(SoilValue::LabRecommendation) => {
            "from what the laboratory recommends"
        }
        Why::Table if prepared.credit().is_some() => {
            "from the method's printed numbers, less the credit for earlier lime"
        }
        Why::Table => "from the method's printed numbers",
        Why::Derived => "on the line that carries the printed rows on to the target",
        Why::BelowLeast if credit_decides(steps) => {
            "earlier lime is still worth so much that less than the least amount is left: nothing \
             is needed"
        }
        Why::BelowLeast => "below the least amount that the source spreads: nothing is needed",
        Why::BelowTable => "below the lowest row of the method: the need of that row",
        Why::AboveTable => "above the highest row of the method: the need of that row",
    }
}

/// Whether the need would have been spread but for the credit.
fn credit_decides(steps: &[Step]) -> bool {
    let number = |key: &str, name: &str| {
        steps.iter().find(|step| step.key == key).and_then(|step| step.number(name))
    };
    number("need_after_credit", "before")
        .zip(number("least_need", "least"))
        .is_some_and(|(before, least)| before >= least * (1.0 - SAME_NEED))
}

/// What is told of the samples `group` of one place where a buffer reading was never made, and
/// whether all of them lack it.
pub(super) fn blank_note(
    job: &Job,
    samples: &PlacedSamples,
    group: &[usize],
) -> Option<(String, bool)> {
    let buffer = samples.buffer.as_ref()?;
    let rule = buffer.rule?;
    let blanks = group.iter().filter(|&&sample| buffer.blank[sample]).count();
    if blanks == 0 {
        return None;
    }
    let all = blanks == group.len();
    let taken = match rule {
        BlankRule::AtZeroNeedReading(zero) => format!("taken as {}", plain(zero.reading(), 2, 6)),
        BlankRule::AsZeroNeed => "which counts as needing nothing".to_owned(),
    };
    let many = if all { String::new() } else { format!(" in {blanks} of {}", group.len()) };
    let above = job.samples.buffer_blank_above;
    let lab = above.map_or_else(String::new, |cut| {
        format!(": the laboratory ran none above pH {}", plain(cut, 1, 6))
    });
    Some((format!("buffer pH blank{many}, {taken}{lab}"), all))
}
