//! A field meter held against a laboratory, and its readings corrected where the job says so.

use crate::agronomy::{Correction, FAR_OFFSET, LINE_PAIRS, LINE_SPAN, MeterCheck, OFFSET_PAIRS};
use crate::findings::{Finding, Place, Problem, Refusal, first_of};
use crate::inputs::{InputFile, Job, Samples, read_lab_pairs};
use crate::units::{bound, counted, tidy};

/// Samples named in one finding before the rest is only counted.
const NAMED: usize = 20;

/// Corrects the pH of the samples by the pairs that the job names, with what that told and the file
/// of the pairs; nothing where it names none.
pub(super) fn correct_meter(
    job: &Job,
    samples: &mut Samples,
) -> Result<(Vec<Finding>, Option<InputFile>), Refusal> {
    let Some(part) = &job.samples.lab_check else { return Ok((Vec::new(), None)) };
    let read = read_lab_pairs(part, samples, job.samples.ph_medium)?;
    let place = Place::in_file(&part.file.given);
    let Some(check) = MeterCheck::of(&read.pairs) else {
        return Err(Problem::at(place, "the file holds no pair")
            .allowed("a header and one row for each pair")
            .into());
    };
    let mut findings = read.findings;
    findings.push(Finding::at("meter_against_lab", place.clone(), in_words(&check, part.apply)));
    findings.extend(far_apart(&check, &place));
    if let Some(correction) = part.apply {
        if let Some(why) = check.refuses(correction) {
            let problem = Problem::at(
                place,
                format!("no {} is applied to the meter's readings: {why}", correction.words()),
            );
            return Err(problem
                .allowed(format!(
                    "at least {OFFSET_PAIRS} pairs for an offset; at least {LINE_PAIRS} that span \
                     {LINE_SPAN:.1} pH for a line (limits of this program)"
                ))
                .hint(
                    "have more samples read by the laboratory, over the range of the field; or \
                     leave samples.lab_check.apply out",
                )
                .into());
        }
        findings.extend(corrected(&check, correction, samples)?);
    }
    Ok((findings, Some(read.file)))
}

/// A meter so far from the laboratory that something else than the meter is likely.
fn far_apart(check: &MeterCheck, place: &Place) -> Option<Finding> {
    let text = format!(
        "Meter and laboratory lie {:+.2} pH apart on average, more than {FAR_OFFSET:.1} (a limit of \
         this program): so far apart they were hardly read in one medium, or the meter was not \
         calibrated, or the names do not belong together.",
        check.offset
    );
    (check.offset.abs() > FAR_OFFSET)
        .then(|| Finding::at("meter_far_from_lab", place.clone(), text))
}

/// Corrects all readings, and tells of those beyond what the pairs cover.
fn corrected(
    check: &MeterCheck,
    correction: Correction,
    samples: &mut Samples,
) -> Result<Vec<Finding>, Refusal> {
    let places: Vec<Place> = (0..samples.ids.len()).map(|sample| samples.place(sample)).collect();
    let place = Place::in_file(&samples.file);
    let Some(ph) = &mut samples.ph else {
        return Err(Problem::at(place, "samples.lab_check corrects a pH that zones give")
            .allowed("pH read of the samples themselves")
            .hint("leave samples.lab_check.apply out")
            .into());
    };
    samples.ph_as_read = Some(ph.clone());
    let [low, high] = check.meter_range;
    let (mut problems, mut beyond) = (Vec::new(), Vec::new());
    for ((reading, id), place) in ph.iter_mut().zip(&samples.ids).zip(places) {
        let read = *reading;
        if !(low..=high).contains(&read) {
            beyond.push(format!("{id} ({read})"));
        }
        *reading = tidy(check.correct(correction, read));
        let found = format!("{reading:.2}, corrected from {read},");
        if let Err(misread) = bound::SOIL_PH.check(*reading, &found) {
            problems.push(Problem::misread(place, bound::SOIL_PH.words, misread));
        }
    }
    let mut findings = Vec::new();
    if !beyond.is_empty() {
        let text = format!(
            "{} outside the pairs, which span pH {low} to {high} of the meter, and the correction \
             is carried on: {}.",
            counted(beyond.len() as u64, "sample reads", "samples read"),
            first_of(&beyond, NAMED)
        );
        findings.push(Finding::at("meter_beyond_pairs", place, text));
    }
    Refusal::unless_clean(problems, findings)
}

/// The comparison, and what is made of it.
fn in_words(check: &MeterCheck, apply: Option<Correction>) -> String {
    let [low, high] = check.meter_range;
    let errors = check.offset_errors.map_or_else(String::new, |[deviation, error]| {
        format!(" (standard error {error:.3}, standard deviation of one pair {deviation:.3})")
    });
    let line = check.line.map_or_else(String::new, |line| {
        let sign = if line.intercept < 0.0 { '-' } else { '+' };
        format!(
            " The line is laboratory = {:.3} x meter {sign} {:.3} (standard errors {:.3} and \
             {:.3}, residual standard error {:.3}).",
            line.slope,
            line.intercept.abs(),
            line.slope_error,
            line.intercept_error,
            line.residual_error
        )
    });
    let done = match apply {
        None => "Nothing is applied, as samples.lab_check.apply says nothing.".to_owned(),
        Some(Correction::Offset) => format!(
            "{:+.3} is added to every reading, as samples.lab_check.apply says; the map and the \
             summary hold the corrected pH.",
            check.offset
        ),
        Some(Correction::Line) => "Every reading is corrected by that line, as \
                                   samples.lab_check.apply says; the map and the summary hold the \
                                   corrected pH."
            .to_owned(),
    };
    format!(
        "{} of meter and laboratory, the meter from pH {low} to {high}: laboratory less meter is \
         {:+.3} on average{errors}.{line} {done}",
        counted(check.pairs as u64, "pair", "pairs"),
        check.offset
    )
}
