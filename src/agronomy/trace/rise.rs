//! The steps through a need from how far lime raises the pH.

use super::{Soil, Tracer, need_words, reading_words};
use crate::agronomy::rise::rise_of;
use crate::agronomy::{Missing, Step, WeaklyBuffered};
use crate::units::{LimeNeed, SoilValue, TextureClass, ph_words, plain};

impl Tracer<'_> {
    /// The need of a soil below the target, by its texture class or as that of all soils.
    pub(super) fn rises(&mut self, soil: &Soil<'_>) -> Result<LimeNeed, Missing> {
        let (table, unit) = (&self.printed.table, self.unit());
        let rise = rise_of(&table.rises, soil)?;
        let to_rise = self.to_rise(soil);
        let need = to_rise / rise.rise * rise.by;
        let class = rise.texture.map_or("all soils", TextureClass::words);
        let words = format!(
            "On {class} {} {unit} raise the pH by {}: ({} - {}) / {} x {} = {} {unit}",
            plain(rise.by, 0, 6),
            plain(rise.rise, 0, 6),
            ph_words(self.printed.target.number()),
            reading_words(soil.ph),
            plain(rise.rise, 0, 6),
            plain(rise.by, 0, 6),
            need_words(need)
        );
        let source = self.source();
        self.steps.push(
            Step::new("ph_rise", words)
                .with("to_rise", to_rise, "")
                .with("rise", rise.rise, "")
                .with("by", rise.by, unit)
                .with("need", need, unit)
                .resting_on(source),
        );
        let Some(addition) = &table.addition else { return Ok(self.scale(need)) };
        let value = soil.value(addition.value)?;
        let shown = value / addition.value.canonical(1.0, &addition.unit).unwrap_or(1.0);
        let more = if value > addition.limit() { addition.need } else { 0.0 };
        let outcome = if more > 0.0 {
            format!("+ {} = {} {unit}", plain(more, 0, 6), need_words(need + more))
        } else {
            "nothing more".to_owned()
        };
        let words = format!(
            "Above {} {} of {} the source adds {} {unit}; the soil has {}: {outcome}",
            plain(addition.above, 0, 6),
            addition.unit,
            addition.value.words(),
            plain(addition.need, 0, 6),
            plain(shown, 0, 6)
        );
        let source = self.source();
        self.steps.push(
            Step::new("addition", words)
                .with("value", shown, "")
                .with("above", addition.above, "")
                .with("need", need + more, unit)
                .resting_on(source),
        );
        Ok(self.scale(need + more))
    }

    /// The need of a weakly buffered soil below the target.
    pub(super) fn weakly(
        &mut self,
        rule: &WeaklyBuffered,
        soil: &Soil<'_>,
    ) -> Result<LimeNeed, Missing> {
        let (unit, cec) = (self.unit(), soil.value(SoilValue::Cec)?);
        let to_rise = self.to_rise(soil);
        let need = to_rise / rule.taken_rise * rule.by;
        let by_rise = |rise: f64| need_words(to_rise / rise * rule.by);
        let words = format!(
            "Cation exchange capacity {} meq/100 g, below {}: {} {unit} raise the pH by {} to {}, \
             which asks for {} to {} {unit}; taken at {} (ours): ({} - {}) / {} x {} = {} {unit}",
            plain(cec, 0, 6),
            plain(rule.cec_below, 0, 6),
            plain(rule.by, 0, 6),
            plain(rule.least_rise, 0, 6),
            plain(rule.greatest_rise, 0, 6),
            by_rise(rule.greatest_rise),
            by_rise(rule.least_rise),
            plain(rule.taken_rise, 0, 6),
            ph_words(self.printed.target.number()),
            reading_words(soil.ph),
            plain(rule.taken_rise, 0, 6),
            plain(rule.by, 0, 6),
            need_words(need)
        );
        let source = self.source();
        self.steps.push(
            Step::new("ph_rise", words)
                .with("cec", cec, "meq/100 g")
                .with("to_rise", to_rise, "")
                .with("rise", rule.taken_rise, "")
                .with("need", need, unit)
                .resting_on(source.clone()),
        );
        let held = need.min(rule.most);
        let outcome = if need > rule.most { "held to it" } else { "not more" };
        let words =
            format!("The most that the source limes, {} {unit}: {outcome}", need_words(rule.most));
        self.steps.push(
            Step::new("most", words)
                .with("most", rule.most, unit)
                .with("need", held, unit)
                .resting_on(source),
        );
        Ok(self.scale(held))
    }

    /// How far the pH is to rise.
    fn to_rise(&self, soil: &Soil<'_>) -> f64 {
        (self.printed.target.number() - soil.ph).max(0.0)
    }
}
