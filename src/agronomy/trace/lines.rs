//! The steps through a rule of a few straight lines.

use super::{SAME_READING, Tracer, need_words, reading_words};
use crate::agronomy::rule_words::{condition_in_words, formula};
use crate::agronomy::{Line, Step};
use crate::units::{LimeNeed, ph_words};

impl Tracer<'_> {
    /// The need at `reading`, from the lines of one target or of the two around the job's.
    pub(super) fn lines(&mut self, ph: f64, reading: f64) -> LimeNeed {
        let between = self.printed.between_targets();
        let target = self.printed.table.targets.get(self.printed.column).copied();
        let low = self.line(target.unwrap_or(self.printed.target.number()), ph, reading);
        let printed = match between {
            None => low,
            Some(targets) => {
                let high = self.line(targets.high, ph, reading);
                self.between(low, high, targets)
            }
        };
        self.scale(printed)
    }

    /// The need on the line of one target that holds for the soil, and on which side of a jump.
    fn line(&mut self, target: f64, ph: f64, reading: f64) -> f64 {
        let table = &self.printed.table;
        let (unit, reads) = (self.unit(), self.prepared.reads.lead());
        let lines: Vec<&Line> = table
            .lines
            .iter()
            .filter(|line| (line.target - target).abs() <= SAME_READING)
            .collect();
        let holds = lines.iter().position(|line| {
            line.above.is_none_or(|above| reading > above + SAME_READING)
                && line.ph_below.is_none_or(|below| ph < below - SAME_READING)
        });
        let head = format!(
            "To pH {}, {} {}{}{}",
            ph_words(target),
            reads.name(),
            reading_words(reading),
            if reads.unit().is_empty() { "" } else { " " },
            reads.unit()
        );
        let (words, need) = match holds {
            None => (format!("no printed line holds at pH {}: 0 {unit}", ph_words(ph)), 0.0),
            Some(at) => {
                let line = lines[at];
                let computed =
                    line.fixed + line.per_unit * reading + line.per_square * reading * reading;
                let too_little =
                    line.least_need > 0.0 && computed < line.least_need * (1.0 - 1e-12);
                let need = if too_little { 0.0 } else { computed.max(0.0) };
                let condition = condition_in_words(&lines, at, reads);
                let condition = if condition.is_empty() {
                    String::new()
                } else {
                    format!("the line for {condition} holds (pH {}): ", reading_words(ph))
                };
                let is_constant = line.per_unit == 0.0 && line.per_square == 0.0;
                let product = if is_constant {
                    String::new()
                } else {
                    format!(
                        "{} = ",
                        formula(
                            [line.fixed, line.per_unit, line.per_square],
                            &reading_words(reading)
                        )
                    )
                };
                let end = if too_little {
                    format!(
                        ", less than the least need that the source limes for, {} {unit}: no lime",
                        need_words(line.least_need)
                    )
                } else if computed < 0.0 {
                    ", and nothing is less than nothing (ours): 0".to_owned()
                } else {
                    String::new()
                };
                (format!("{condition}{product}{} {unit}{end}", need_words(computed)), need)
            }
        };
        let mut step = Step::new("printed_line", format!("{head}: {words}"))
            .with("target", target, "")
            .with("reading", reading, reads.unit());
        if let Some(at) = holds {
            step =
                step.with("fixed", lines[at].fixed, unit).with("per_unit", lines[at].per_unit, "");
            if lines[at].per_square != 0.0 {
                step = step.with("per_square", lines[at].per_square, "");
            }
            if lines[at].least_need > 0.0 {
                step = step.with("least_need", lines[at].least_need, unit);
            }
            // The limits of the line, and with them the side of a jump.
            if let Some(above) = lines[at].above {
                step = step.with("holds_above", above, reads.unit());
            }
            if let Some(below) = lines[at].ph_below {
                step = step.with("holds_below_ph", below, "");
            }
        }
        let source = self.source();
        self.steps.push(step.with("need", need, unit).resting_on(source));
        need
    }
}
