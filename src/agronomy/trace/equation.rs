//! The steps through an equation in a buffer's acidity, with the credit for earlier lime.

use super::{SAME_READING, Tracer, need_words, reading_words};
use crate::agronomy::{BufferEquation, Citation, CreditedLime, LimeCredit, Step};
use crate::units::{LimeNeed, counted, ph_words, plain};

impl Tracer<'_> {
    /// The need of a soil of pH `ph` that reads `buffer_ph`.
    pub(super) fn equation(
        &mut self,
        equation: &BufferEquation,
        ph: f64,
        buffer_ph: f64,
    ) -> LimeNeed {
        let acidity = self.acidity(equation, buffer_ph);
        let before = self.before_credit(equation, ph, acidity);
        let before = self.scale(before);
        let after = self.after_credit(before);
        self.least(equation, before, after)
    }

    fn acidity(&mut self, equation: &BufferEquation, buffer_ph: f64) -> f64 {
        let (zero_at, per_unit) = (equation.no_acidity_at, equation.acidity_per_unit);
        let acidity = (zero_at - buffer_ph).max(0.0) * per_unit;
        let words = if buffer_ph > zero_at {
            format!("Acidity: none, buffer pH {} is above {zero_at}", reading_words(buffer_ph))
        } else {
            format!(
                "Acidity: ({zero_at} - buffer pH {}) x {} = {} meq/100 cm3",
                reading_words(buffer_ph),
                plain(per_unit, 0, 6),
                plain(acidity, 0, 6)
            )
        };
        let source = self.source();
        self.steps.push(
            Step::new("acidity", words)
                .with("buffer_ph", buffer_ph, "")
                .with("acidity", acidity, "meq/100 cm3")
                .resting_on(source),
        );
        acidity
    }

    fn before_credit(&mut self, equation: &BufferEquation, ph: f64, acidity: f64) -> f64 {
        let (target, end, unit) =
            (self.printed.target.number(), equation.ph_without_acidity, self.unit());
        let to_neutralise = end - ph;
        let share = if to_neutralise > SAME_READING {
            ((target - ph) / to_neutralise).clamp(0.0, 1.0)
        } else {
            1.0
        };
        let need = equation.need_per_acidity * acidity * share;
        let words = format!(
            "Need before credit: {} x {} x ({} - {ph}) / ({} - {ph}) = {} {unit}",
            plain(equation.need_per_acidity, 0, 6),
            plain(acidity, 0, 6),
            ph_words(target),
            ph_words(end),
            need_words(need),
            ph = reading_words(ph)
        );
        let source = self.source();
        self.steps.push(
            Step::new("need_before_credit", words)
                .with("share_of_acidity", share, "")
                .with("need", need, unit)
                .resting_on(source),
        );
        need
    }

    fn after_credit(&mut self, before: LimeNeed) -> LimeNeed {
        let Some(credit) = &self.printed.credit else {
            if self.printed.table.equation.as_ref().is_some_and(|table| table.credit.is_some()) {
                let words = "Credit: none, the job lists no earlier lime ([[history]])";
                self.steps.push(Step::new("credit", words));
            }
            return before;
        };
        for lime in &credit.each {
            let step = self.credited(lime, credit);
            self.steps.push(step);
        }
        let after = (before - credit.total).max(LimeNeed::ZERO);
        let amount = |need: LimeNeed| self.system.need(need);
        let end = if credit.total >= before {
            "nothing: the credit covers the need".to_owned()
        } else {
            format!("{} {}", need_words(amount(after).value), amount(after).unit)
        };
        let words = format!(
            "Need after credit: {} - {} = {end}",
            need_words(amount(before).value),
            need_words(amount(credit.total).value)
        );
        let step = Step::new("need_after_credit", words)
            .with("before", amount(before).value, amount(before).unit)
            .with("credit", amount(credit.total).value, amount(before).unit)
            .with("need", amount(after).value, amount(after).unit);
        self.steps.push(step);
        after
    }

    fn credited(&self, CreditedLime { lime, left, worth }: &CreditedLime, of: &LimeCredit) -> Step {
        let (rate, worth) = (self.system.need(lime.rate), self.system.need(*worth));
        let loss = 100.0 * of.monthly_loss;
        let words = format!(
            "Credit for the lime of {}, {} {} as effective lime: {} to the day of sampling, each \
             takes off {} % on {} soil: 1 - {} x {} = {} left{}, {} {}",
            lime.applied,
            need_words(rate.value),
            rate.unit,
            counted(lime.months.into(), "whole month", "whole months"),
            plain(loss, 0, 4),
            of.soil_class.words(),
            lime.months,
            plain(of.monthly_loss, 0, 6),
            plain(*left, 0, 6),
            // The line would go below nothing; that it does not is ours.
            if *left > 0.0 { "" } else { " (never less than nothing)" },
            need_words(worth.value),
            worth.unit
        );
        Step::new("credit", words)
            .with("rate", rate.value, rate.unit)
            .with("months", f64::from(lime.months), "")
            .with("monthly_loss", of.monthly_loss, "")
            .with("left", *left, "")
            .with("credit", worth.value, worth.unit)
            .resting_on(of.source.words())
    }

    fn least(&mut self, equation: &BufferEquation, before: LimeNeed, after: LimeNeed) -> LimeNeed {
        let card = &self.printed.card;
        let share = card.basis.carbonate_share() * self.prepared.depth_factor;
        let least = card.need_unit.need(equation.least_need) * share;
        // A rounding error is not less than the least.
        let least_met = |need: LimeNeed| need >= least * (1.0 - 1e-12);
        let shown = self.system.need(least);
        let (outcome, need) = if least_met(after) {
            ("not below it", after)
        } else if least_met(before) {
            (
                "the need before the credit is not below it, the need after the credit is: no lime",
                LimeNeed::ZERO,
            )
        } else {
            ("the need is below it: no lime", LimeNeed::ZERO)
        };
        let words = format!(
            "Least need that the source limes for, {} {}: {outcome}",
            need_words(shown.value),
            shown.unit
        );
        let source = equation.least_need_source.as_ref().map_or_else(
            || self.source(),
            |key| Citation { key: key.clone(), locator: String::new() }.words(),
        );
        let step = Step::new("least_need", words).with("least", shown.value, shown.unit);
        let step = step.with("need", self.system.need(need).value, shown.unit);
        self.steps.push(step.resting_on(source));
        need
    }
}
