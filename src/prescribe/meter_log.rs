//! The log of a field meter, held against its limits: what it tells, with the samples that each
//! fault touches. No number is changed by it.

use crate::agronomy::{LogCheck, LogEntry, LogFault, LogLimits, Touched};
use crate::findings::{Finding, Place, Refusal, first_of};
use crate::inputs::{InputFile, Job, MeterLog, Moment, Samples, read_meter_log};
use crate::units::{counted, ph_words, plain};

/// Samples, and faults of one kind, named in one finding before the rest is only counted.
const NAMED: usize = 20;

/// Holds the log that the job names against its limits, with what that told and its file; nothing
/// where it names none.
pub(super) fn meter_log(
    job: &Job,
    samples: &Samples,
) -> Result<(Vec<Finding>, Option<InputFile>), Refusal> {
    let Some(part) = &job.samples.meter_log else { return Ok((Vec::new(), None)) };
    let log = read_meter_log(part, samples)?;
    let read_at = samples.measured_at.as_deref().unwrap_or_default();
    let check = LogCheck::of(&log.entries, read_at, &part.limits);
    let words = Words { log: &log, samples, limits: &part.limits };
    let mut findings = log.findings.clone();
    findings.extend(words.of_faults(&check).into_iter().chain(words.of_times(&check, read_at)));
    Ok((findings, Some(log.file)))
}

struct Words<'a> {
    log: &'a MeterLog,
    samples: &'a Samples,
    limits: &'a LogLimits,
}

impl Words<'_> {
    fn place(&self) -> Place {
        Place::in_file(&self.log.file.path)
    }

    /// One finding for each kind of fault that there is.
    fn of_faults(&self, check: &LogCheck) -> Vec<Finding> {
        type Is = fn(&LogFault) -> bool;
        let LogLimits { slope_percent: [least, most], buffer_within, drift_within, .. } =
            *self.limits;
        let celsius = plain(self.limits.temperature_within_c, 0, 2);
        let kinds: [(&'static str, Is, String); 4] = [
            (
                "meter_slope",
                |fault| matches!(fault, LogFault::Slope { .. }),
                format!(
                    "The slope of the meter lies outside {least} to {most} %; samples are those \
                     read from the slope before to the one after"
                ),
            ),
            (
                "meter_buffer_off",
                |fault| matches!(fault, LogFault::Buffer { .. }),
                format!(
                    "The meter reads a buffer more than {buffer_within} pH off; samples are those \
                     read from the buffer before, or from the calibration, to the one after"
                ),
            ),
            (
                "meter_drift",
                |fault| matches!(fault, LogFault::Drift { .. }),
                format!(
                    "What the meter reads of a buffer moves by more than {drift_within} pH between \
                     two checks; samples are those read between the two"
                ),
            ),
            (
                "meter_temperature",
                |fault| matches!(fault, LogFault::Temperature { .. }),
                format!(
                    "The temperature lies more than {celsius} C from that of the calibration; \
                     samples are those read from then to the next temperature"
                ),
            ),
        ];
        let mut findings = Vec::new();
        for (key, is_it, head) in kinds {
            let told: Vec<String> = check
                .faults
                .iter()
                .filter(|touched| is_it(&touched.fault))
                .map(|touched| self.touched(touched))
                .collect();
            if !told.is_empty() {
                let rest = told.len().saturating_sub(NAMED);
                let more = if rest == 0 { String::new() } else { format!("; and {rest} more") };
                let told = told[..told.len() - rest].join("; ");
                let text = format!("{head}: {told}{more}. No reading is changed.");
                findings.push(Finding::at(key, self.place(), text));
            }
        }
        findings
    }

    /// What was found, when, and the samples.
    fn touched(&self, Touched { fault, samples }: &Touched) -> String {
        let found = match *fault {
            LogFault::Slope { entry, percent } => {
                format!("{} % at {}", plain(percent, 0, 2), self.when(entry))
            }
            LogFault::Buffer { entry, check } => format!(
                "{} in pH {} ({}) at {}",
                ph_words(check.read),
                ph_words(check.nominal),
                signed(check.off()),
                self.when(entry)
            ),
            LogFault::Drift { from, to, nominal, moved } => format!(
                "{} in pH {} from {} to {}",
                signed(moved),
                ph_words(nominal),
                self.when(from),
                self.when(to)
            ),
            LogFault::Temperature { entry, calibration, warmer_c } => format!(
                "{} C at {}, held against the calibration at {}",
                signed(warmer_c),
                self.when(entry),
                self.when(calibration)
            ),
        };
        format!("{found}: {}", self.named(samples))
    }

    /// When an entry was made, and its line.
    fn when(&self, entry: usize) -> String {
        let LogEntry { at, .. } = &self.log.entries[entry];
        format!("{at} (line {})", self.log.lines[entry])
    }

    fn named(&self, samples: &[usize]) -> String {
        let mut ids: Vec<&str> = samples.iter().map(|&at| self.samples.ids[at].as_str()).collect();
        // The layers of a point have one name.
        ids.dedup();
        match ids.as_slice() {
            [] => "no sample".to_owned(),
            ids => first_of(ids, NAMED),
        }
    }

    /// Samples that no two buffers enclose, and those that have no moment.
    fn of_times(&self, check: &LogCheck, read_at: &[Option<Moment>]) -> Vec<Finding> {
        let mut findings = Vec::new();
        let mut open = Vec::new();
        let has_buffer = self.log.entries.iter().any(|entry| entry.buffer.is_some());
        for (samples, end) in
            [(&check.before, "before the first"), (&check.after, "after the last")]
        {
            if !samples.is_empty() {
                let count = counted(samples.len() as u64, "sample was", "samples were");
                open.push(format!("{count} read {end}: {}", self.named(samples)));
            }
        }
        if !has_buffer {
            let text = "The log holds no buffer that was read, so no sample stands between two \
                        checks of the meter.";
            findings.push(Finding::at("meter_log_open", self.place(), text));
        } else if !open.is_empty() {
            let text = format!(
                "The buffers of the log do not enclose all samples: {}. How the meter read then is \
                 not known.",
                open.join("; ")
            );
            findings.push(Finding::at("meter_log_open", self.place(), text));
        }
        let without: Vec<usize> = (0..read_at.len()).filter(|&at| read_at[at].is_none()).collect();
        if !without.is_empty() {
            let text = format!(
                "{} no time or running number, and cannot be held against the log: {}.",
                counted(without.len() as u64, "sample has", "samples have"),
                self.named(&without)
            );
            findings.push(Finding::at(
                "meter_log_without_time",
                Place::in_file(&self.samples.file),
                text,
            ));
        }
        findings
    }
}

/// With its sign.
fn signed(number: f64) -> String {
    let sign = if number < 0.0 { "-" } else { "+" };
    format!("{sign}{}", plain(number.abs(), 0, 2))
}
