//! The steps through a need from the lime buffer capacity.

use super::{Soil, Tracer, need_words, reading_words};
use crate::agronomy::{CapacityReading, CapacityRule, Missing, Step};
use crate::units::{LimeNeed, SoilValue, ph_words, plain};

impl Tracer<'_> {
    /// The need of a soil below the target, over the depth of the table and then the limed depth.
    pub(super) fn capacity(
        &mut self,
        rule: &CapacityRule,
        soil: &Soil<'_>,
    ) -> Result<LimeNeed, Missing> {
        let read = soil.value(SoilValue::BufferCapacity)?;
        let unit = self.unit();
        let capacity = if self.printed.capacity_read == Some(CapacityReading::ThirtyMinutes) {
            let ratio = rule.ratio_fixed + rule.ratio_per_unit * read;
            let at_rest = read * ratio;
            let words = format!(
                "The capacity was read after 30 minutes, {}; at equilibrium it is {} x ({} + {} x \
                 {}) = {} mg/kg per pH",
                plain(read, 0, 6),
                plain(read, 0, 6),
                rule.ratio_fixed,
                rule.ratio_per_unit,
                plain(read, 0, 6),
                plain(at_rest, 0, 6)
            );
            let source = self.source();
            self.steps.push(
                Step::new("capacity", words)
                    .with("read", read, "mg/kg per pH")
                    .with("ratio", ratio, "")
                    .with("capacity", at_rest, "mg/kg per pH")
                    .resting_on(source),
            );
            at_rest
        } else {
            read
        };
        let card = &self.printed.card;
        let (mass, words) = match self.printed.bulk_density.zip(card.depth) {
            None => (
                rule.soil_mass,
                format!(
                    "Soil over {}: {} {unit} (the convention; the job states no density of the \
                     soil)",
                    card.depth_words,
                    plain(rule.soil_mass, 0, 2)
                ),
            ),
            Some((density, depth)) => {
                let mass = card.need_unit.of_soil(density, depth);
                (
                    mass,
                    format!(
                        "Soil over {}: {} kg/dm3 x the depth = {} {unit}",
                        card.depth_words,
                        plain(density, 0, 3),
                        plain(mass, 0, 2)
                    ),
                )
            }
        };
        self.steps.push(Step::new("soil_mass", words).with("soil", mass, unit));
        let to_rise = (self.printed.target.number() - soil.ph).max(0.0);
        let need = capacity * to_rise * mass * 1e-6;
        let words = format!(
            "Need: {} mg/kg per pH x ({} - {}) x {} {unit} of soil / 1,000,000 = {} {unit}",
            plain(capacity, 0, 6),
            ph_words(self.printed.target.number()),
            reading_words(soil.ph),
            plain(mass, 0, 2),
            need_words(need)
        );
        let source = self.source();
        self.steps.push(
            Step::new("need_of_capacity", words)
                .with("to_rise", to_rise, "")
                .with("need", need, unit)
                .resting_on(source),
        );
        Ok(self.scale(need))
    }
}
