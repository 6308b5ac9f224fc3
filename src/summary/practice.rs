//! What is said of unmet need and of single applications, in the summary.

use super::build::Builder;
use super::{ApplicationLimitPart, ApplicationPart, Quantity, UnmetPart, rate_as_written};
use crate::agronomy::ApplicationLimit;
use crate::machine::MachineRate;
use crate::units::EffectiveFraction;

/// More of the need left unmet than the job lets pass.
#[derive(Clone, Debug, PartialEq)]
pub struct UnmetParts {
    /// The part of the need.
    pub share: f64,
    /// In how many applications the need would be met where rates are held to the greatest; `None`
    /// where none is.
    pub applications: Option<u32>,
    /// How effective a material would meet it there in one, where there is one so strong.
    pub effective_at_least: Option<EffectiveFraction>,
    /// All of it in words.
    pub text: String,
}

/// The greatest rate of one application, and the published limits for its placement, each with
/// whether it is exceeded and in how many applications the greatest rate of the map keeps to it.
#[derive(Clone, Debug)]
pub struct ApplicationParts {
    /// The greatest rate, one that the machine spreads at once.
    pub greatest: MachineRate,
    /// The limits.
    pub limits: Vec<(&'static ApplicationLimit, bool, u32)>,
}

impl Builder<'_> {
    pub(super) fn unmet(&self) -> Option<UnmetPart> {
        let unmet = self.parts.unmet?;
        Some(UnmetPart {
            share: unmet.share,
            told_from: self.parts.job.unmet_told_from.to_number(),
            applications: unmet.applications,
            effective_at_least: unmet.effective_at_least.map(EffectiveFraction::to_number),
            text: unmet.text.clone(),
        })
    }

    pub(super) fn single_application(&self) -> ApplicationPart {
        let (job, applied) = (self.parts.job, self.parts.application);
        let single = job.machine.single();
        let rate = single.rate(applied.greatest);
        ApplicationPart {
            placement: job.placement.words().to_owned(),
            greatest_rate: rate_as_written(self.system, single.written(applied.greatest)).into(),
            greatest_effective_rate: self.system.need(rate * job.material.effective).into(),
            held_to: job
                .single_rate
                .map(|most| Quantity::from(self.system.rate(most.of(job.material.effective)))),
            published: applied
                .limits
                .iter()
                .map(|(limit, exceeded, applications)| ApplicationLimitPart {
                    region: limit.region.clone(),
                    most: self.system.rate(limit.most()).into(),
                    basis: limit.basis.words().to_owned(),
                    exceeded: *exceeded,
                    applications: *applications,
                    rest: limit.rest.clone(),
                    source: limit.source_words(),
                })
                .collect(),
        }
    }
}
