//! The steps through a need to a base saturation.

use super::{Soil, Tracer, need_words, reading_words};
use crate::agronomy::by_volume::CHARGE_BY_VOLUME;
use crate::agronomy::rule_words::formula;
use crate::agronomy::saturation_words::symbols;
use crate::agronomy::{AcidityByBuffer, BaseSaturationRule, Citation, Missing, Step};
use crate::units::{LimeNeed, SoilValue, plain};

impl Tracer<'_> {
    /// The need of a soil to the target's share of bases.
    pub(super) fn base_saturation(
        &mut self,
        rule: &BaseSaturationRule,
        soil: &Soil<'_>,
    ) -> Result<LimeNeed, Missing> {
        let (bases, summed) = self.charges(soil, &rule.bases)?;
        let acidity = match &rule.acidity {
            Some(curve) => self.acidity_by_buffer(curve, soil.reading),
            None => self.charge(soil, SoilValue::PotentialAcidity)?,
        };
        let capacity = bases + acidity;
        // A soil without any charge lacks none.
        let now = if capacity > 0.0 { 100.0 * bases / capacity } else { 100.0 };
        let words = format!(
            "Capacity T = {} + (H + Al) = {summed} + {} = {} {CHARGE_BY_VOLUME}; base saturation \
             V = 100 x {} / {} = {} %",
            symbols(&rule.bases),
            plain(acidity, 0, 6),
            plain(capacity, 0, 6),
            plain(bases, 0, 6),
            plain(capacity, 0, 6),
            plain(now, 0, 6)
        );
        let source = self.source();
        self.steps.push(
            Step::new("base_saturation", words)
                .with("bases", bases, CHARGE_BY_VOLUME)
                .with("potential_acidity", acidity, CHARGE_BY_VOLUME)
                .with("capacity", capacity, CHARGE_BY_VOLUME)
                .with("base_saturation", now, "%")
                .resting_on(source.clone()),
        );
        let wanted = self.printed.target.number() * 100.0;
        let unit = self.unit();
        let need = rule.need_per_charge * ((wanted - now) * capacity / 100.0).max(0.0);
        let words = if now >= wanted {
            format!("The target of {} % is reached: nothing is needed", plain(wanted, 0, 4))
        } else {
            format!(
                "Need: ({} - {}) x {} / 100 x {} = {} {unit}",
                plain(wanted, 0, 4),
                plain(now, 0, 6),
                plain(capacity, 0, 6),
                plain(rule.need_per_charge, 0, 6),
                need_words(need)
            )
        };
        self.steps.push(
            Step::new("need_of_bases", words)
                .with("target", wanted, "%")
                .with("need_per_charge", rule.need_per_charge, unit)
                .with("need", need, unit)
                .resting_on(source),
        );
        Ok(self.scale(need))
    }

    /// The potential acidity by the buffer, held where the curve turns and at nothing.
    fn acidity_by_buffer(&mut self, curve: &AcidityByBuffer, buffer_ph: f64) -> f64 {
        let AcidityByBuffer { fixed, per_unit, per_square, source, locator } = curve;
        let turn = (*per_square > 0.0).then(|| -per_unit / (2.0 * per_square));
        let held_at = turn.filter(|turn| buffer_ph > *turn);
        let reading = held_at.unwrap_or(buffer_ph);
        let computed = fixed + per_unit * reading + per_square * reading * reading;
        let acidity = computed.max(0.0);
        let beyond = held_at.map_or_else(String::new, |turn| {
            format!(
                " (the curve turns at {}; a buffer pH of {} lies beyond it)",
                plain(turn, 0, 6),
                reading_words(buffer_ph)
            )
        });
        let nothing =
            if computed < 0.0 { ", and there is none less than nothing (ours): 0" } else { "" };
        let words = format!(
            "Potential acidity H + Al = {} = {} {CHARGE_BY_VOLUME}{beyond}{nothing}",
            formula([*fixed, *per_unit, *per_square], &reading_words(reading)),
            plain(computed, 0, 6)
        );
        let source = Citation { key: source.clone(), locator: locator.clone() };
        self.steps.push(
            Step::new("acidity_by_buffer", words)
                .with("buffer_ph", buffer_ph, "")
                .with("potential_acidity", acidity, CHARGE_BY_VOLUME)
                .resting_on(source.words()),
        );
        acidity
    }
}
