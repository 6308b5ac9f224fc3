//! A material whose size classes each have a calcium carbonate equivalent of their own.

use super::{Analysis, Basis, Fineness, Stated};
use crate::agronomy::Step;
use crate::units::{EffectiveFraction, Share, plain};

/// The analysis of a material of which each class of `fineness`, from the coarsest, neutralises by
/// its own `cce`, on `basis`. The whole has the mean of these, weighted by the parts, and a fineness
/// weighted by what each class neutralises.
///
/// `None` where a class with material in it has no figure, or where nothing counts.
pub fn analysis_by_size_class(
    fineness: Fineness,
    cce: &[Option<EffectiveFraction>],
    basis: Basis,
) -> Option<Analysis> {
    let factors = fineness.scheme.class_factors(fineness.horizon);
    let (mut whole, mut effective, mut told) = (0.0, 0.0, Vec::new());
    let mut step = Step::new("by_size_class", "");
    for (((name, part), factor), cce) in
        fineness.scheme.classes().iter().zip(fineness.class_parts()).zip(factors).zip(cce)
    {
        if part <= 0.0 {
            continue;
        }
        let cce = (*cce)?.to_number();
        whole += part * cce;
        effective += part * cce * factor;
        told.push(format!(
            "{} {name} x CCE {} x {}",
            percent(part),
            percent(cce),
            plain(factor, 0, 6)
        ));
        step = step.with("part", part, "").with("cce", cce, "").with("factor", factor, "");
    }
    step.words = format!(
        "By size class and the scheme {} ({}): {} = {}; CCE of the whole {}",
        fineness.scheme.id(),
        basis.words(),
        told.join(" + "),
        percent(effective),
        percent(whole)
    );
    let step = step.with("effective", effective, "").with("cce_of_the_whole", whole, "");
    let step = step.resting_on(fineness.scheme.source_words());
    let efficiency = Share::from_number((effective / whole).min(1.0))?;
    Some(Analysis {
        cce: Stated { fraction: EffectiveFraction::from_number(whole)?, basis },
        cce_steps: Vec::new(),
        composition: None,
        fineness: Fineness { efficiency, ..fineness },
        by_class: Some(step),
    })
}

fn percent(share: f64) -> String {
    format!("{} %", plain(share * 100.0, 0, 2))
}
