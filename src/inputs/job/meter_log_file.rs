//! `[samples.meter_log]` of a job: what a field meter read of buffers while it read the samples.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::NamedFile;
use super::check::Checker;
use super::check_lab::style_of;
use super::file::{SamplesTable, job_table};
use super::written::{At, Written};
use crate::agronomy::LogLimits;
use crate::findings::Problem;
use crate::inputs::TableStyle;
use crate::inputs::samples::promise_of_log;
use crate::units::{bound, tidy};

job_table! {
    /// `[samples.meter_log]`
    MeterLogTable {
        /// The file with the log: a row for each time that the meter was set or looked at.
        file: At<String>,
        /// Its column with when that was: local dates and times, or running numbers.
        measured_at: At<String>,
        /// Its column with what an entry is: `calibration` or `check`; a blank is a check.
        kind: At<String>,
        /// Its column with the pH of the buffer that was read.
        nominal_ph: At<String>,
        /// Its column with what the meter read of that buffer.
        meter_ph: At<String>,
        /// Its column with the slope of the electrode, in percent.
        slope: At<String>,
        /// Its column with the temperature, which holds until the next.
        temperature: At<String>,
        /// The unit of the temperatures, where their header does not name it: `C` or `F`.
        temperature_unit: At<String>,
        /// The least slope that is not told; 95 % unless stated.
        slope_least: At<Written>,
        /// The greatest slope that is not told; 105 % unless stated.
        slope_most: At<Written>,
        /// How far a reading of a buffer may lie from its pH and not be told; 0.05 unless stated.
        buffer_within: At<f64>,
        /// How far readings of one buffer may move between two checks and not be told; 0.1 unless
        /// stated.
        drift_within: At<f64>,
        /// How far the temperature may lie from that of the calibration and not be told; 2 C unless
        /// stated.
        temperature_within: At<Written>,
    }
}

/// A column of a log.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum MeterLogColumn {
    /// When the entry was made.
    MeasuredAt,
    /// What it is.
    Kind,
    /// The pH of a buffer.
    NominalPh,
    /// What the meter read of it.
    MeterPh,
    /// The slope.
    Slope,
    /// The temperature.
    Temperature,
}

impl MeterLogColumn {
    /// All of them.
    pub(in crate::inputs) const ALL: [Self; 6] = [
        Self::MeasuredAt,
        Self::Kind,
        Self::NominalPh,
        Self::MeterPh,
        Self::Slope,
        Self::Temperature,
    ];

    /// The key by which `[samples.meter_log]` names it.
    pub(in crate::inputs) fn key(self) -> &'static str {
        match self {
            Self::MeasuredAt => "measured_at",
            Self::Kind => "kind",
            Self::NominalPh => "nominal_ph",
            Self::MeterPh => "meter_ph",
            Self::Slope => "slope",
            Self::Temperature => "temperature",
        }
    }
}

/// A unit of temperatures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TemperatureUnit {
    /// Degrees Celsius.
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
}

impl TemperatureUnit {
    /// Both.
    pub(super) const ALL: [Self; 2] = [Self::Celsius, Self::Fahrenheit];

    /// As job files write it.
    pub(super) fn words(self) -> &'static str {
        match self {
            Self::Celsius => "C",
            Self::Fahrenheit => "F",
        }
    }
}

/// The log of a field meter.
#[derive(Clone, Debug)]
pub struct MeterLogPart {
    /// Its file.
    pub file: NamedFile,
    /// The columns that the job names.
    pub columns: BTreeMap<MeterLogColumn, String>,
    /// The unit of its temperatures, where the job states it.
    pub temperature_unit: Option<TemperatureUnit>,
    /// What is told.
    pub limits: LogLimits,
    /// How the table is to be read.
    pub style: TableStyle,
}

impl Checker<'_> {
    /// `Some(None)` where the job has no such table.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    pub(super) fn meter_log(
        &mut self,
        table: &SamplesTable,
        style: &TableStyle,
    ) -> Option<Option<MeterLogPart>> {
        let Some(At { value: log, .. }) = &table.meter_log else {
            self.no_moments_without_a_log(table);
            return Some(None);
        };
        let file = self
            .required("samples.meter_log.file", "the file with the log", log.file.as_ref())
            .map(|file| self.named_file(file));
        let temperature_unit = self.word(
            "samples.meter_log.temperature_unit",
            log.temperature_unit.as_ref(),
            |words| TemperatureUnit::ALL.into_iter().find(|unit| unit.words() == words),
            &TemperatureUnit::ALL.map(TemperatureUnit::words),
        );
        let limits = self.log_limits(log);
        let columns: BTreeMap<MeterLogColumn, String> = MeterLogColumn::ALL
            .into_iter()
            .filter_map(|column| {
                let written = match column {
                    MeterLogColumn::MeasuredAt => &log.measured_at,
                    MeterLogColumn::Kind => &log.kind,
                    MeterLogColumn::NominalPh => &log.nominal_ph,
                    MeterLogColumn::MeterPh => &log.meter_ph,
                    MeterLogColumn::Slope => &log.slope,
                    MeterLogColumn::Temperature => &log.temperature,
                };
                Some((column, written.as_ref()?.value.clone()))
            })
            .collect();
        let style = TableStyle {
            repeats: None,
            names: Vec::new(),
            others: columns.values().cloned().collect(),
            promise: promise_of_log,
            ..style_of(table, style)
        };
        let (temperature_unit, limits) = (temperature_unit?, limits?);
        Some(Some(MeterLogPart { file: file?, columns, temperature_unit, limits, style }))
    }

    fn log_limits(&mut self, log: &MeterLogTable) -> Option<LogLimits> {
        let usual = LogLimits::USUAL;
        let before = self.problems.len();
        let slope = |checker: &mut Self, written: &Option<At<Written>>, usual: f64| {
            let written = written.as_ref()?;
            let share = checker.quantity(written, &bound::METER_SLOPE);
            Some(share.map_or(usual, |share| tidy(100.0 * share)))
        };
        let least = slope(self, &log.slope_least, usual.slope_percent[0]);
        let most = slope(self, &log.slope_most, usual.slope_percent[1]);
        let slope_percent =
            [least.unwrap_or(usual.slope_percent[0]), most.unwrap_or(usual.slope_percent[1])];
        let written = log.slope_least.as_ref().or(log.slope_most.as_ref());
        if let Some(written) = written.filter(|_| slope_percent[0] >= slope_percent[1]) {
            let [least, most] = slope_percent;
            let what = format!("the least slope is {least} % and the greatest {most} %");
            let problem = Problem::at(self.text.place(&written.span), what)
                .allowed("a least slope below the greatest")
                .hint("correct samples.meter_log.slope_least or slope_most");
            self.problems.push(problem);
        }
        let within = |checker: &mut Self, written: &Option<At<f64>>, usual: f64| {
            let stated = written.as_ref().map(|it| checker.ph(it, &bound::METER_WITHIN));
            stated.flatten().unwrap_or(usual)
        };
        let buffer_within = within(self, &log.buffer_within, usual.buffer_within);
        let drift_within = within(self, &log.drift_within, usual.drift_within);
        let temperature = log.temperature_within.as_ref();
        let temperature = temperature.and_then(|it| self.quantity(it, &bound::TEMPERATURE_WITHIN));
        let temperature_within_c = temperature.unwrap_or(usual.temperature_within_c);
        (self.problems.len() == before).then_some(LogLimits {
            slope_percent,
            buffer_within,
            drift_within,
            temperature_within_c,
        })
    }

    fn no_moments_without_a_log(&mut self, table: &SamplesTable) {
        let columns = table.columns.as_ref();
        let Some(at) = columns.and_then(|columns| columns.value.measured_at.as_ref()) else {
            return;
        };
        let problem = Problem::at(self.text.place(&at.span), "there is no `samples.meter_log`")
            .allowed("`samples.columns.measured_at` beside the log of the meter")
            .hint("name the log as samples.meter_log.file, or leave the column out");
        self.problems.push(problem);
    }
}
