//! The lime-need method in a summary, as it was used.

use super::build::Builder;
use super::{ColumnsPart, CreditPart, CreditedPart, MethodPart, Parts, Quantity};
use crate::agronomy::LimeCredit;
use crate::units::tidy;

impl Builder<'_> {
    pub(super) fn method(&self) -> MethodPart {
        let Parts { job, card, .. } = self.parts;
        let prepared = self.top().prepared;
        let depth = job.samples.sampled_depth;
        let (top, bottom) = (self.system.depth(depth.top()), self.system.depth(depth.bottom()));
        MethodPart {
            id: card.id.clone(),
            title: card.title.clone(),
            source: card.source.words(),
            target_ph: job.target_ph,
            treat_below: prepared.trigger(),
            ph_medium: card.ph_medium.words().to_owned(),
            sampled_depth: format!("{}-{} {}", tidy(top.value), tidy(bottom.value), top.unit),
            table_depth: card.depth_words.clone(),
            limed_depth: Quantity {
                value: tidy(self.system.depth(job.limed_depth).value),
                unit: self.system.depth(job.limed_depth).unit.into(),
            },
            depth_factor: prepared.depth_factor(),
            basis: card.basis.words(),
            assumptions: card.assumptions().into_iter().map(str::to_owned).collect(),
            columns: prepared.between_targets().map(|between| ColumnsPart {
                low: between.low,
                high: between.high,
                high_share: between.high_share,
            }),
            soil_class: job.soil_class.map(|class| class.words().to_owned()),
            credit: prepared.credit().map(|credit| self.credit(credit)),
            placement: job.placement.words().to_owned(),
        }
    }

    fn credit(&self, credit: &LimeCredit) -> CreditPart {
        CreditPart {
            total: self.system.need(credit.total).into(),
            soil_class: credit.soil_class.words().to_owned(),
            monthly_loss: credit.monthly_loss,
            each: credit
                .each
                .iter()
                .map(|credited| CreditedPart {
                    applied: credited.lime.applied.clone(),
                    rate: self.system.need(credited.lime.rate).into(),
                    months: credited.lime.months,
                    left: credited.left,
                    credit: self.system.need(credited.worth).into(),
                })
                .collect(),
            source: credit.source.words(),
        }
    }
}
