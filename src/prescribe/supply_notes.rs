//! What a job's material tells beside its worth: its supply, and the minimum quality that it is
//! held against.

use super::notes::shown;
use crate::findings::{Finding, clean};
use crate::inputs::Job;
use crate::material::Verdict;
use crate::units::ProductMass;

/// What the lot of the material tells about an order of so much.
pub(super) fn of_supply(job: &Job, to_order: ProductMass) -> Vec<Finding> {
    let mut findings = Vec::new();
    if let Some(limit) = job.lot.supply_limit.filter(|_| !job.lot.suffices_for(to_order)) {
        findings.push(Finding::new(
            "supply_falls_short",
            format!(
                "{} are to be ordered of {}, and there are {}: order the rest of another material, \
                 and mind that its rates differ.",
                shown(job.units.product(to_order), 2),
                clean(&job.material.name),
                shown(job.units.product(limit), 2)
            ),
        ));
    }
    if let Some(limit) = job.quality {
        let checked = limit.check(&job.material);
        let parts: Vec<&str> = checked.parts.iter().map(|(words, _)| words.as_str()).collect();
        let said = match checked.verdict {
            Verdict::Met => None,
            Verdict::NotMet => Some(("quality_not_met", "does not meet")),
            Verdict::NotKnown => Some(("quality_not_known", "cannot be held in full against")),
        };
        if let Some((key, said)) = said {
            findings.push(Finding::new(
                key,
                format!(
                    "{} {said} the minimum quality of {}: {} ({}).",
                    clean(&job.material.name),
                    limit.title,
                    parts.join("; "),
                    limit.source_words()
                ),
            ));
        }
    }
    findings
}
