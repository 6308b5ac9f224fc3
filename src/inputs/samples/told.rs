//! What is to be told of the cells of a table of samples.

use std::collections::BTreeMap;

use super::policy::Censored;
use crate::findings::{Finding, Place, clean};
use crate::inputs::Table;

/// Samples named in one finding before the rest is only counted.
const NAMED: usize = 20;

/// Metres in a degree along a meridian, on a sphere of the Earth's mean radius, 6,371,008.8 m
/// (the mean of the WGS 84 axes; written from memory, used only to give an idea).
const M_PER_DEGREE: f64 = 6_371_008.8 * std::f64::consts::PI / 180.0;

/// What is to be told, gathered row by row.
#[derive(Debug, Default)]
pub(super) struct Told {
    /// By column and what is missing: samples with the mark in the cell.
    left_out: BTreeMap<(usize, &'static str), Vec<String>>,
    /// By column, reading and rule: samples with their limits.
    limits: BTreeMap<(usize, &'static str, &'static str), Vec<String>>,
    /// The most decimals of a coordinate in degrees; more than all where one is in minutes.
    decimals: Option<usize>,
    latitude: f64,
}

impl Told {
    pub(super) fn left_out(&mut self, at: usize, id: &str, words: &'static str, text: &str) {
        let list = self.left_out.entry((at, words)).or_default();
        list.push(format!("{} (`{}`)", clean(id), clean(text)));
    }

    pub(super) fn limit(
        &mut self,
        at: usize,
        id: &str,
        words: &'static str,
        text: &str,
        rule: Censored,
    ) {
        let rule = match rule {
            Censored::Limit => "the limit itself",
            Censored::Half => "half the limit",
        };
        let list = self.limits.entry((at, words, rule)).or_default();
        list.push(format!("{} (`{}`)", clean(id), clean(text)));
    }

    /// A coordinate with so many decimals; `None` for one that is not written so.
    pub(super) fn decimals(&mut self, decimals: Option<usize>) {
        let decimals = decimals.unwrap_or(usize::MAX);
        self.decimals = Some(self.decimals.map_or(decimals, |most| most.max(decimals)));
    }

    pub(super) fn latitude(&mut self, latitude_deg: f64) {
        self.latitude = latitude_deg;
    }

    pub(super) fn findings(&self, table: &Table) -> Vec<Finding> {
        let place = |at: usize| Place::in_file(table.file_of(at));
        let mut findings = Vec::new();
        for (&(at, words), samples) in &self.left_out {
            let text = format!(
                "{} samples without {words} were left out, as samples.missing says: {}.",
                samples.len(),
                named(samples)
            );
            findings.push(Finding::at("samples_left_out", place(at), text));
        }
        for (&(at, words, rule), samples) in &self.limits {
            let text = format!(
                "The {words} of {} samples is only known by a limit; {rule} was taken, as \
                 samples.censored says: {}.",
                samples.len(),
                named(samples)
            );
            findings.push(Finding::at("limits_taken", place(at), text));
        }
        if let Some(decimals @ 0..=3) = self.decimals {
            let step_m = M_PER_DEGREE * 0.1_f64.powi(i32::try_from(decimals).unwrap_or(3));
            let across_m = step_m * self.latitude.to_radians().cos();
            let text = format!(
                "The coordinates have at most {decimals} decimals: their steps are {step_m:.0} m \
                 from south to north and {across_m:.0} m from west to east, so a sample may lie \
                 half of that from where it is drawn."
            );
            findings.push(Finding::at("coarse_coordinates", Place::in_file(&table.file), text));
        }
        findings
    }
}

fn named(samples: &[String]) -> String {
    let shown = samples[..samples.len().min(NAMED)].join(", ");
    match samples.len().saturating_sub(NAMED) {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}
