//! What a material is worth, step by step.

use super::{Basis, Fineness, Material};
use crate::agronomy::Step;
use crate::units::plain;

impl Material {
    /// How the effective part as spread comes about: calcium carbonate equivalent, fineness and
    /// moisture, or the figure that is stated.
    pub fn steps(&self) -> Vec<Step> {
        let mut steps = Vec::new();
        let (stated, basis) = (self.stated.fraction.to_number(), self.stated.basis);
        match &self.analysis {
            None => steps.push(self.stated_step(stated, basis)),
            Some(analysis) => {
                steps.extend(analysis.cce_steps.iter().cloned());
                let fineness = &analysis.fineness;
                let efficiency = fineness.efficiency.to_number();
                let step = analysis.by_class.clone();
                steps.push(step.unwrap_or_else(|| fineness_step(fineness)));
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

    fn stated_step(&self, stated: f64, basis: Basis) -> Step {
        let of = self.stated.fraction;
        let figure = match self.rating {
            None => format!("{} effective", percent(stated)),
            Some(rating) => rating.conversion(of).unwrap_or_else(|| rating.shown(of)),
        };
        let words = format!("Stated: {figure}, {}", basis.words());
        Step::new("stated_effective", words).with("effective", stated, "")
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

fn fineness_step(fineness: &Fineness) -> Step {
    let (scheme, efficiency) = (fineness.scheme, fineness.efficiency.to_number());
    if scheme.sieve_list().is_empty() {
        let words = format!("Fineness is not counted by the scheme {}", scheme.id());
        let step = Step::new("fineness", words).with("fineness", efficiency, "");
        return step.resting_on(scheme.source_words());
    }
    let terms = scheme.terms(fineness.horizon, &fineness.passing);
    let parts: Vec<String> = terms
        .iter()
        .map(|term| format!("{} x {} {}", plain(term.factor, 0, 6), percent(term.part), term.words))
        .collect();
    let over = fineness.horizon.over.as_ref();
    let over = over.map_or_else(String::new, |over| format!(", over {over}"));
    let words = format!(
        "Fineness by the scheme {}{over}, {}: {} = {}",
        scheme.id(),
        fineness.given_as,
        parts.join(" + "),
        percent(efficiency)
    );
    let mut step = Step::new("fineness", words);
    for term in terms {
        step = step.with("factor", term.factor, "").with("part", term.part, "");
    }
    step.with("fineness", efficiency, "").resting_on(scheme.source_words())
}

fn percent(share: f64) -> String {
    format!("{} %", plain(share * 100.0, 0, 4))
}
