//! The steps through an equation in the acid saturation.

use super::{Tracer, need_words, reading_words};
use crate::agronomy::{SaturationEquation, Step};
use crate::units::{LimeNeed, ph_words, plain};

impl Tracer<'_> {
    /// The need of a soil of pH `ph`, below the target, that reads `buffer_ph`.
    pub(super) fn saturation(
        &mut self,
        equation: &SaturationEquation,
        ph: f64,
        buffer_ph: f64,
    ) -> LimeNeed {
        let now = self.acid_saturation(equation, "the soil", ph);
        let then = self.acid_saturation(equation, "the target", self.printed.target.number());
        let share = if now > 0.0 { ((now - then) / now).clamp(0.0, 1.0) } else { 0.0 };
        let zero_at = equation.no_acidity_at;
        let need = equation.need_per_ph * (zero_at - buffer_ph).max(0.0) * share;
        let unit = self.unit();
        let words = format!(
            "Need: {} x ({} - buffer pH {}) x ({} - {}) / {} = {} {unit}{}",
            plain(equation.need_per_ph, 0, 6),
            ph_words(zero_at),
            reading_words(buffer_ph),
            plain(now, 0, 6),
            plain(then, 0, 6),
            plain(now, 0, 6),
            need_words(need),
            if buffer_ph > zero_at { " (the buffer shows no acidity)" } else { "" }
        );
        let source = self.source();
        self.steps.push(
            Step::new("need_of_acidity", words)
                .with("buffer_ph", buffer_ph, "")
                .with("share_of_acidity", share, "")
                .with("need", need, unit)
                .resting_on(source),
        );
        self.scale(need)
    }

    fn acid_saturation(&mut self, equation: &SaturationEquation, of: &str, ph: f64) -> f64 {
        let SaturationEquation { ph_at_none, linear, square, .. } = *equation;
        let under_root = linear * linear - 4.0 * square * (ph_at_none - ph);
        let solved = (linear - under_root.max(0.0).sqrt()) / (2.0 * square);
        let held = if under_root < 0.0 { 1.0 } else { solved.clamp(0.0, 1.0) };
        let beyond = if under_root < 0.0 || solved > 1.0 {
            " (the equation goes above 1 here; 1 is taken)"
        } else if solved < 0.0 {
            " (the equation goes below 0 here; 0 is taken)"
        } else {
            ""
        };
        let words = format!(
            "Acid saturation of {of} at pH {}: ({linear} - root({linear}^2 - 4 x {square} x \
             ({ph_at_none} - {}))) / (2 x {square}) = {}{beyond}",
            reading_words(ph),
            reading_words(ph),
            plain(held, 0, 6)
        );
        self.steps.push(Step::new("acid_saturation", words).with("ph", ph, "").with(
            "saturation",
            held,
            "",
        ));
        held
    }
}
