//! What is to be told of the cells of a table of samples.

use std::collections::BTreeMap;

use super::degrees::Axis;
use super::policy::Censored;
use crate::findings::{Finding, Place, clean, first_of};
use crate::inputs::Table;

/// Samples named in one finding before the rest is only counted.
const NAMED: usize = 20;

/// Metres in a degree along a meridian, on a sphere of the Earth's mean radius, 6,371,008.8 m
/// (the mean of the WGS 84 axes; written from memory, used only to give an idea).
const M_PER_DEGREE: f64 = 6_371_008.8 * std::f64::consts::PI / 180.0;

/// Decimals of a degree at which, and below which, it is told what they mean.
const FEW_DECIMALS: i32 = 3;

/// What is to be told, gathered row by row.
#[derive(Debug, Default)]
pub(super) struct Told {
    /// By column and what is missing: samples with the mark in the cell.
    left_out: BTreeMap<(usize, &'static str), Vec<String>>,
    /// By column, reading and rule: samples with their limits.
    limits: BTreeMap<(usize, &'static str, &'static str), Vec<String>>,
    /// The most decimals of a longitude and of a latitude in degrees; more than all where one is
    /// in minutes.
    decimals: [Option<usize>; 2],
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
    pub(super) fn decimals(&mut self, axis: Axis, decimals: Option<usize>) {
        let decimals = decimals.unwrap_or(usize::MAX);
        let most = &mut self.decimals[usize::from(axis == Axis::Lat)];
        *most = Some(most.map_or(decimals, |most| most.max(decimals)));
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
                first_of(samples, NAMED)
            );
            findings.push(Finding::at("samples_left_out", place(at), text));
        }
        for (&(at, words, rule), samples) in &self.limits {
            let text = format!(
                "The {words} of {} samples is only known by a limit; {rule} was taken, as \
                 samples.censored says: {}.",
                samples.len(),
                first_of(samples, NAMED)
            );
            findings.push(Finding::at("limits_taken", place(at), text));
        }
        let [across, along] = self.decimals;
        let step_m = |decimals: usize| {
            M_PER_DEGREE * 0.1_f64.powi(i32::try_from(decimals).unwrap_or(FEW_DECIMALS))
        };
        let few = |decimals: Option<usize>| {
            decimals.filter(|n| i32::try_from(*n).is_ok_and(|n| n <= FEW_DECIMALS))
        };
        let axes = [
            few(along).map(|n| (n, "latitudes", step_m(n), "from south to north")),
            few(across).map(|n| {
                let step_m = step_m(n) * self.latitude.to_radians().cos();
                (n, "longitudes", step_m, "from west to east")
            }),
        ];
        let steps: Vec<String> = axes
            .into_iter()
            .flatten()
            .map(|(decimals, axis, step_m, way)| {
                format!("the {axis} have at most {decimals} decimals, steps of {step_m:.0} m {way}")
            })
            .collect();
        if !steps.is_empty() {
            let text = format!(
                "The coordinates are coarse: {}; a sample may lie half of that from where it is \
                 drawn.",
                steps.join(", and ")
            );
            findings.push(Finding::at("coarse_coordinates", Place::in_file(&table.file), text));
        }
        findings
    }
}
