//! What a material is worth, step by step.

use super::{Basis, Material};
use crate::agronomy::Step;
use crate::units::plain;

impl Material {
    /// How the effective part as spread comes about: fineness, calcium carbonate equivalent and
    /// moisture, or the figure that is stated.
    pub fn steps(&self) -> Vec<Step> {
        let mut steps = Vec::new();
        let (stated, basis) = (self.stated.fraction.to_number(), self.stated.basis);
        match &self.analysis {
            None => steps.push(
                Step::new(
                    "stated_effective",
                    format!("Stated: {} effective, {}", percent(stated), basis.words()),
                )
                .with("effective", stated, ""),
            ),
            Some(analysis) => {
                let fineness = &analysis.fineness;
                let efficiency = fineness.efficiency.to_number();
                let parts: Vec<String> = fineness
                    .scheme
                    .factors()
                    .zip(&fineness.passing)
                    .map(|((mesh, factor), passing)| {
                        format!(
                            "{} x {} through {mesh} mesh",
                            plain(factor, 0, 6),
                            percent(passing.to_number())
                        )
                    })
                    .collect();
                let words = format!(
                    "Fineness by the scheme {}, cumulative passing: {} = {}",
                    fineness.scheme.id(),
                    parts.join(" + "),
                    percent(efficiency)
                );
                let mut step = Step::new("fineness", words);
                for ((_, factor), passing) in fineness.scheme.factors().zip(&fineness.passing) {
                    step = step.with("factor", factor, "").with("passing", passing.to_number(), "");
                }
                let step = step.with("fineness", efficiency, "");
                steps.push(step.resting_on(fineness.scheme.source_words()));
                let cce = analysis.cce.fraction.to_number();
                let words = format!(
                    "CCE {} ({}) x fineness {} = {} effective, {}",
                    percent(cce),
                    basis.words(),
                    percent(efficiency),
                    percent(stated),
                    basis.words()
                );
                let step = Step::new("effective", words).with("cce", cce, "");
                steps.push(step.with("fineness", efficiency, "").with("effective", stated, ""));
            }
        }
        steps.push(self.moisture_step(stated, basis));
        steps
    }

    fn moisture_step(&self, stated: f64, basis: Basis) -> Step {
        let wet = self.effective.to_number();
        match (basis, self.moisture) {
            (Basis::Dry, Some(water)) => {
                let words = format!(
                    "{} x (1 - {} moisture) = {} effective as spread (wet)",
                    percent(stated),
                    percent(water.to_number()),
                    percent(wet)
                );
                let step = Step::new("moisture", words).with("moisture", water.to_number(), "");
                step.with("effective_as_spread", wet, "")
            }
            // A dry figure without a moisture is refused before this.
            (Basis::Dry, None) | (Basis::AsReceived, _) => Step::new(
                "moisture",
                format!(
                    "As received is as spread (wet), water taken off: {} effective",
                    percent(wet)
                ),
            )
            .with("effective_as_spread", wet, ""),
        }
    }
}

fn percent(share: f64) -> String {
    format!("{} %", plain(share * 100.0, 0, 4))
}
