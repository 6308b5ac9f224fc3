//! The steps through a need to an aluminium saturation.

use super::{Soil, Tracer, need_words};
use crate::agronomy::by_volume::CHARGE_BY_VOLUME;
use crate::agronomy::saturation_words::symbols;
use crate::agronomy::{AluminiumSaturationRule, Missing, Step};
use crate::units::{LimeNeed, SoilValue, plain};

impl Tracer<'_> {
    /// The need of a soil to the target's share of aluminium.
    pub(super) fn aluminium_saturation(
        &mut self,
        rule: &AluminiumSaturationRule,
        soil: &Soil<'_>,
    ) -> Result<LimeNeed, Missing> {
        let aluminium = self.charge(soil, SoilValue::Aluminium)?;
        let (bases, summed) = self.charges(soil, &rule.bases)?;
        let capacity = aluminium + bases;
        let wanted = self.printed.target.number() * 100.0;
        let computed = aluminium - wanted * capacity / 100.0;
        let excess = computed.max(0.0);
        let now = if capacity > 0.0 { 100.0 * aluminium / capacity } else { 0.0 };
        let outcome = if computed > 0.0 { "" } else { ": the target is reached" };
        let words = format!(
            "Al + {} = {} + {summed} = {} {CHARGE_BY_VOLUME}, of which aluminium holds {} %; beyond \
             {} % it is {} - {} x {} / 100 = {} {CHARGE_BY_VOLUME}{outcome}",
            symbols(&rule.bases),
            plain(aluminium, 0, 6),
            plain(capacity, 0, 6),
            plain(now, 0, 6),
            plain(wanted, 0, 4),
            plain(aluminium, 0, 6),
            plain(wanted, 0, 4),
            plain(capacity, 0, 6),
            plain(computed, 0, 6)
        );
        let source = self.source();
        self.steps.push(
            Step::new("aluminium_beyond_target", words)
                .with("aluminium", aluminium, CHARGE_BY_VOLUME)
                .with("capacity", capacity, CHARGE_BY_VOLUME)
                .with("aluminium_saturation", now, "%")
                .with("target", wanted, "%")
                .with("excess", excess, CHARGE_BY_VOLUME)
                .resting_on(source.clone()),
        );
        let (by_factor, unit) = (rule.factor * excess, self.unit());
        let beyond = rule.factor_beyond_aluminium.filter(|_| by_factor > aluminium * (1.0 + 1e-12));
        let factor = beyond.unwrap_or(rule.factor);
        let need = rule.need_per_charge * factor * excess;
        let step = match beyond {
            Some(beyond) => format!(
                "{} x {} = {} is more than the aluminium, {}, so {beyond} stands in for {}: ",
                rule.factor,
                plain(excess, 0, 6),
                plain(by_factor, 0, 6),
                plain(aluminium, 0, 6),
                rule.factor
            ),
            None => String::new(),
        };
        let words = format!(
            "Need: {step}{factor} x {} x {} = {} {unit}",
            plain(excess, 0, 6),
            plain(rule.need_per_charge, 0, 6),
            need_words(need)
        );
        self.steps.push(
            Step::new("need_of_aluminium", words)
                .with("factor", factor, "")
                .with("need_per_charge", rule.need_per_charge, unit)
                .with("need", need, unit)
                .resting_on(source),
        );
        Ok(self.scale(need))
    }
}
