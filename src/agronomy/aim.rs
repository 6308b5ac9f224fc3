//! What a method limes to, held against what a job wants; and the charges that it counts.

use super::by_volume::ByVolume;
use super::registry::{ids_serving, ids_taking};
use super::{Aim, Given, LimeMethod, TabledMethod, Target};
use crate::findings::{Finding, Place, Problem};
use crate::units::{SoilValue, plain};

impl TabledMethod {
    /// The job wants another thing of the lime than the method can tell.
    pub(super) fn other_aim(&self, target: Target) -> Problem {
        let card = self.card();
        let what = format!(
            "`{}` limes to {}, and the job's target is {}, {}",
            card.id,
            card.aim.words(),
            target.aim().words(),
            target.words()
        );
        let allowed = match card.aim {
            Aim::Ph => "a target pH, as target.ph or by a crop".to_owned(),
            aim => format!("{}, as {}: {}", aim.words(), aim.key(), card.targets_in_words()),
        };
        let others = match target {
            Target::Ph(_) => ids_serving(target),
            _ => ids_taking(target.aim()),
        };
        let others = if others.is_empty() {
            format!("no method at hand limes to {}", target.words())
        } else {
            format!("take a method that limes to {}: {}", target.aim().words(), others.join(", "))
        };
        let hint = format!("state {} as {}, or {others}", card.aim.words(), card.aim.key());
        Problem::at(Place::default(), what).allowed(allowed).hint(hint)
    }

    /// A target of the right kind that is not among those the method serves.
    pub(super) fn unserved_target(&self, target: Target) -> Problem {
        let card = self.card();
        let medium = match card.aim {
            Aim::Ph => format!(" ({})", card.ph_medium.words()),
            Aim::BaseSaturation | Aim::AluminiumSaturation => String::new(),
        };
        let what = format!(
            "`{}` does not serve the target {}{medium}, only {}",
            card.id,
            target.words(),
            card.targets_in_words()
        );
        let others = ids_serving(target);
        let hint = if others.is_empty() {
            "choose a target that the method serves; no method at hand serves this one".to_owned()
        } else {
            format!("choose another target, or a method that serves it: {}", others.join(", "))
        };
        Problem::at(Place::default(), what).allowed(card.targets_in_words()).hint(hint)
    }

    /// The charges that the method counts by volume of soil, with what is told of those that were
    /// reported by mass.
    pub(super) fn charges(
        &self,
        given: &Given,
        findings: &mut Vec<Finding>,
    ) -> Result<ByVolume, Problem> {
        let card = self.card();
        let counted = (card.aim != Aim::Ph).then(|| card.reads.values());
        let counted = counted.into_iter().flatten();
        let charges = ByVolume::of(counted, &given.units, given.bulk_density)
            .map_err(|by_mass| self.no_density(&by_mass, given))?;
        if let Some(density) = given.bulk_density.filter(|_| !charges.by_mass().is_empty()) {
            let text = format!(
                "`{}` counts charge by volume of soil; what was reported by mass is multiplied by \
                 the soil's bulk density, {} kg/dm3 (samples.bulk_density): {}.",
                card.id,
                plain(density, 0, 4),
                named(charges.by_mass(), given)
            );
            findings.push(Finding::new("charges_by_density", text));
        }
        Ok(charges)
    }

    fn no_density(&self, by_mass: &[SoilValue], given: &Given) -> Problem {
        let what = format!(
            "`{}` counts charge by volume of soil, and these were reported by mass: {}",
            self.card().id,
            named(by_mass, given)
        );
        Problem::at(Place::default(), what)
            .allowed("values by volume, such as cmol/dm3, or samples.bulk_density beside them")
            .hint(
                "state the soil's bulk density, such as samples.bulk_density = \"1.3 g/cm3\"; a \
                 fifth more of it is a fifth more lime",
            )
    }
}

/// Values with the units that they were reported in.
fn named(values: &[SoilValue], given: &Given) -> String {
    let words = |&value: &SoilValue| {
        let unit = given.units.get(value).unwrap_or_default();
        format!("{} ({unit})", value.words())
    };
    values.iter().map(words).collect::<Vec<_>>().join(", ")
}
