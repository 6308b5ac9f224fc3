//! How a need comes about, step by step, so that a specialist can redo it by hand.
//!
//! The steps are worked out from the printed numbers, beside what a map is made with, and the two
//! are held against each other: in tests over all methods, and wherever a place is explained.

mod aluminium;
mod bases;
mod capacity;
mod charges;
mod classes;
mod equation;
mod lines;
mod rise;
mod rows;
mod saturation;
mod scale;
#[cfg(test)]
mod tests;

use super::history::LimeCredit;
use super::need::SAME_READING;
use super::soil::Soil;
use super::{
    Basis, CapacityReading, Layer, MethodCard, MethodTable, Missing, Prepared, Shape, Step, Target,
    ValueUnits,
};
use crate::units::{DepthInterval, Length, LimeNeed, UnitSystem, ph_words, plain};

/// The steps from the readings of one soil to its need.
#[derive(Clone, Debug, PartialEq)]
pub struct Trace {
    /// The steps, in order.
    pub steps: Vec<Step>,
    /// The need that they come to, over the limed depth.
    pub need: LimeNeed,
}

/// The two printed targets that a job's target lies between.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BetweenTargets {
    /// The one below.
    pub low: f64,
    /// The one above.
    pub high: f64,
    /// The share of the one above in the need; the other has the rest.
    pub high_share: f64,
}

/// What a need does not take and a trace of it tells.
#[derive(Clone, Debug)]
pub(super) struct Printed {
    pub(super) card: MethodCard,
    /// As it was written, its rows by rising reading.
    pub(super) table: MethodTable,
    pub(super) target: Target,
    /// The printed target at or below the job's.
    pub(super) column: usize,
    /// The share of the next one in the need.
    pub(super) high_share: f64,
    pub(super) limed_depth: Length,
    /// The part of it that the soil stands for, where that is one of several layers.
    pub(super) part: Option<DepthInterval>,
    /// How a pH comes into the method's medium, as it is told in findings.
    pub(super) door_words: Vec<String>,
    /// What earlier lime is still worth, where some is credited.
    pub(super) credit: Option<LimeCredit>,
    /// After what time a lime buffer capacity was read.
    pub(super) capacity_read: Option<CapacityReading>,
    /// The bulk density of the soil, kg/dm3, where the job states it.
    pub(super) bulk_density: Option<f64>,
    /// The units of what the laboratory reported.
    pub(super) units: ValueUnits,
}

impl Printed {
    pub(super) fn between_targets(&self) -> Option<BetweenTargets> {
        let (low, high) = (self.table.targets.get(self.column)?, self.column + 1);
        let high = self.table.targets.get(high).filter(|_| self.high_share > 0.0)?;
        Some(BetweenTargets { low: *low, high: *high, high_share: self.high_share })
    }
}

impl Prepared {
    /// How [`need`](Self::need) comes about for this layer, step by step, with needs in the units
    /// that the source prints and at the end in those of `system`.
    ///
    /// # Errors
    /// Returns what is [`Missing`], as [`need`](Self::need) does.
    pub fn trace(&self, layer: &Layer, system: UnitSystem) -> Result<Trace, Missing> {
        let measured = self.measured_ph(layer)?;
        let ph = self.to_method_medium(measured);
        let mut tracer = Tracer { prepared: self, printed: &self.printed, system, steps: vec![] };
        tracer.conversion(measured, ph);
        tracer.trigger(ph);
        if self.is_at_trigger(ph) {
            return Ok(Trace { steps: tracer.steps, need: LimeNeed::ZERO });
        }
        let soil = self.soil(layer, ph)?;
        let need = tracer.need(&soil)?;
        Ok(Trace { steps: tracer.steps, need })
    }
}

/// Puts the steps together.
struct Tracer<'a> {
    prepared: &'a Prepared,
    printed: &'a Printed,
    system: UnitSystem,
    steps: Vec<Step>,
}

impl Tracer<'_> {
    /// The need of a soil below the trigger.
    fn need(&mut self, soil: &Soil<'_>) -> Result<LimeNeed, Missing> {
        let printed = self.printed;
        let (table, &Soil { ph, reading, .. }) = (&printed.table, soil);
        if let Some(equation) = &table.equation {
            return Ok(self.equation(equation, ph, reading));
        }
        if let Some(equation) = &table.saturation {
            return Ok(self.saturation(equation, ph, reading));
        }
        if let Some(classes) = &table.classes {
            return self.classes(classes, soil);
        }
        if let Some(rule) = &table.weakly {
            return self.weakly(rule, soil);
        }
        if let Some(rule) = &table.capacity {
            return self.capacity(rule, soil);
        }
        if let Some(rule) = &table.base_saturation {
            return self.base_saturation(rule, soil);
        }
        if let Some(rule) = &table.aluminium_saturation {
            return self.aluminium_saturation(rule, soil);
        }
        match table.shape {
            Shape::Lines => Ok(self.lines(ph, reading)),
            Shape::PhRise => self.rises(soil),
            Shape::TextureTable => self.texture_rows(soil),
            _ => Ok(self.rows(reading)),
        }
    }

    fn conversion(&mut self, measured: f64, ph: f64) {
        let told = &self.printed.door_words;
        if told.is_empty() {
            return;
        }
        let line = self.prepared.door.line();
        let medium = self.printed.card.ph_medium.words();
        let (read, from) = (reading_words(measured), self.prepared.ph_medium.words());
        let words = match line {
            _ if (measured - ph).abs() <= SAME_READING => format!("pH {read} is taken as it is"),
            Some((intercept, slope)) => {
                let sign = if intercept < 0.0 { '-' } else { '+' };
                format!(
                    "pH {read} ({from}) x {} {sign} {} = pH {} ({medium})",
                    plain(slope, 0, 6),
                    plain(intercept.abs(), 0, 6),
                    reading_words(ph)
                )
            }
            None => format!("pH {read} ({from}) becomes pH {} ({medium})", reading_words(ph)),
        };
        let step = Step::new("ph_conversion", format!("{words}. {}", told.join(" ")))
            .with("measured", measured, "");
        let step = match line {
            Some((intercept, slope)) => {
                step.with("slope", slope, "").with("intercept", intercept, "")
            }
            None => step,
        };
        self.steps.push(step.with("converted", ph, ""));
    }

    fn trigger(&mut self, ph: f64) {
        let Some(trigger) = self.prepared.trigger else { return };
        let target = self.printed.target;
        let outcome = if self.prepared.is_at_trigger(ph) {
            "at or above it: nothing is needed"
        } else {
            "below it"
        };
        let words = format!(
            "Limed where the pH ({}) is below {}, to {}: pH {} is {outcome}",
            self.printed.card.ph_medium.words_in_job(self.prepared.ph_medium),
            ph_words(trigger),
            target.words(),
            reading_words(ph)
        );
        let step = Step::new("trigger", words).with("ph", ph, "");
        self.steps.push(step.with("treat_below", trigger, "").with("target", target.number(), ""));
    }

    /// The need on the straight line between two printed targets: `low` and `high` are theirs.
    fn between(&mut self, low: f64, high: f64, targets: BetweenTargets) -> f64 {
        let share = targets.high_share;
        let unit = self.unit();
        let mixed = low * (1.0 - share) + high * share;
        let words = format!(
            "The target {} lies between the printed targets {} and {}, ({} - {}) / ({} - {}) = {} \
             of the way: {} x {} + {} x {} = {} {unit}",
            ph_words(self.printed.target.number()),
            ph_words(targets.low),
            ph_words(targets.high),
            ph_words(self.printed.target.number()),
            ph_words(targets.low),
            ph_words(targets.high),
            ph_words(targets.low),
            plain(share, 0, 6),
            plain(1.0 - share, 0, 6),
            need_words(low),
            plain(share, 0, 6),
            need_words(high),
            need_words(mixed)
        );
        self.steps.push(
            Step::new("between_targets", words)
                .with("low_target", targets.low, "")
                .with("high_target", targets.high, "")
                .with("high_share", share, "")
                .with("need", mixed, unit),
        );
        mixed
    }

    /// The unit that the source prints needs in.
    fn unit(&self) -> &'static str {
        self.printed.card.need_unit.words()
    }

    fn source(&self) -> String {
        self.printed.card.source.words()
    }
}

/// A reading with the decimals that a hand needs to come to the same need.
fn reading_words(reading: f64) -> String {
    plain(reading, 1, 6)
}

/// A need with the decimals that are worth printing.
fn need_words(need: f64) -> String {
    plain(need, 0, 4)
}
