//! A blank buffer is usually an answer: the lab ran none because the soil's pH was high enough.

use crate::agronomy::Prepared;
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::units::BufferPh;

/// How a sample without a buffer reading enters the surface, once the job has said that a blank
/// means that nothing is needed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BlankRule {
    /// As a reading: the one at which the method's own table comes down to nothing.
    ///
    /// The surface then runs from the tested reading down to that one, so half way to a blank the
    /// table is asked at the reading half way.
    AtZeroNeedReading(BufferPh),
    /// As a need of nothing, where the table never comes down to nothing at this target: the
    /// reading is interpolated among the tested samples alone, and its need is multiplied by
    /// their share of the weight.
    AsZeroNeed,
}

/// The buffer readings of a job's samples, with its blanks settled.
#[derive(Clone, Debug, PartialEq)]
pub struct BufferReadings {
    /// One for each sample; what is still blank is a need of nothing.
    pub readings: Vec<Option<f64>>,
    /// The samples that were blank in the file.
    pub blank: Vec<bool>,
    /// How the blanks enter; `None` where there are none.
    pub rule: Option<BlankRule>,
}

impl BufferReadings {
    /// What was measured, without the readings that blanks were taken as.
    pub fn measured(&self) -> Vec<f64> {
        let pairs = self.readings.iter().zip(&self.blank);
        pairs.filter_map(|(reading, &blank)| reading.filter(|_| !blank)).collect()
    }
}

/// Settles the blanks among the buffer readings of a method that reads a buffer.
///
/// The pH are the samples' own, as it counts and as it was read before any correction, by which the
/// laboratory decided whether to run the buffer; `None` where the pH of their ground is told by
/// other samples, so that the map must be held against the stated pH.
///
/// # Errors
/// Refuses blanks that the job does not explain: where it states no `buffer_blank_above`, and
/// below the pH that it states; each blank sample is listed.
pub fn settle_blanks(
    prepared: &Prepared,
    [ph, as_read]: [Option<&[f64]>; 2],
    readings: &[Option<f64>],
    blank_above: Option<f64>,
    place_of: impl Fn(usize) -> Place,
) -> Result<(BufferReadings, Vec<Finding>), Refusal> {
    let blank: Vec<bool> = readings.iter().map(Option::is_none).collect();
    let blanks: Vec<usize> = (0..readings.len()).filter(|&sample| blank[sample]).collect();
    if blanks.is_empty() {
        let settled = BufferReadings { readings: readings.to_vec(), blank, rule: None };
        return Ok((settled, Vec::new()));
    }
    let problems: Vec<Problem> = blanks
        .iter()
        .filter_map(|&sample| {
            let reading = as_read.map(|all| all[sample]);
            let problem = Problem::at(place_of(sample), "the buffer pH is blank");
            match blank_above {
                None => Some(
                    problem
                        .allowed(
                            "a buffer pH in every row, unless samples.buffer_blank_above is stated",
                        )
                        .hint(
                            "if the lab runs the buffer only up to some pH, state that pH as \
                             samples.buffer_blank_above; if the reading is lost, leave the row out",
                        ),
                ),
                Some(cut) => reading.filter(|&reading| reading < cut).map(|reading| {
                    problem
                        .allowed(format!(
                            "a blank only at the stated pH of {cut} and above; this sample reads {reading}"
                        ))
                        .hint("ask the lab for the reading, or leave the row out")
                }),
            }
        })
        .collect();
    Refusal::unless_clean(problems, ())?;
    let rule = prepared.zero_need_reading().map_or(BlankRule::AsZeroNeed, |reading| {
        BlankRule::AtZeroNeedReading(BufferPh::new(reading))
    });
    let settled = match rule {
        BlankRule::AtZeroNeedReading(zero) => {
            readings.iter().map(|reading| reading.or(Some(zero.reading()))).collect()
        }
        BlankRule::AsZeroNeed => readings.to_vec(),
    };
    let mut findings = Vec::new();
    let trigger = prepared.trigger().unwrap_or(f64::INFINITY);
    let is_below = |at: usize| ph.is_some_and(|all| prepared.to_method_medium(all[at]) < trigger);
    let below = blanks.iter().filter(|&&at| is_below(at)).count();
    if below > 0 && trigger.is_finite() {
        findings.push(Finding::new(
            "blank_buffer_below_trigger",
            format!(
                "Of the samples without a buffer reading, {below} read below pH {trigger}, where liming \
                 begins; they count as needing nothing because the job says that the lab ran no \
                 buffer above its cut-off.",
            ),
        ));
    }
    Ok((BufferReadings { readings: settled, blank, rule: Some(rule) }, findings))
}
