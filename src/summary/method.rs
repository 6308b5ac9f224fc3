//! The lime-need method in a summary, as it was used.

use super::build::Builder;
use super::{ColumnsPart, CreditPart, CreditedPart, CropsPart, MethodPart, Parts, Quantity};
use crate::agronomy::LimeCredit;
use crate::units::{Length, tidy};

impl Builder<'_> {
    pub(super) fn method(&self) -> MethodPart {
        let Parts { job, card, .. } = self.parts;
        let prepared = self.top().prepared;
        let layers = job.samples.layers.as_ref();
        MethodPart {
            id: card.id.clone(),
            title: card.title.clone(),
            own_table: card.own_table.clone(),
            caveat: card.caveat(),
            source: card.source.words(),
            target: job.target.aim.words(),
            target_ph: job.target.aim.ph(),
            crops: job.target.by_crop.as_ref().map(|by_crop| CropsPart {
                named: by_crop.crops.clone(),
                deciding: by_crop.deciding.crop.clone(),
                guide: by_crop.guide.id.clone(),
                source: by_crop.guide.citation().words(),
            }),
            treat_below: prepared.trigger(),
            ph_medium: card.ph_medium.words_in_job(job.samples.ph_medium).to_owned(),
            sampled_depth: self.sampled_depth(),
            table_depth: card.depth_words.clone(),
            limed_depth: self.depth(job.limed_depth),
            counted_depth: layers.map(|layers| self.depth(layers.counted_to)),
            depth_factor: self.parts.layers.iter().map(|l| l.prepared.depth_factor()).sum(),
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

    fn depth(&self, depth: Length) -> Quantity {
        let shown = self.system.depth(depth);
        Quantity { value: tidy(shown.value), unit: shown.unit.into() }
    }

    fn sampled_depth(&self) -> String {
        let counted = self.parts.layers.iter().filter_map(|layer| layer.depths);
        let words: Vec<String> = counted.map(|(depth, _)| self.system.depths(depth)).collect();
        if words.is_empty() {
            self.system.depths(self.parts.job.samples.sampled_depth)
        } else {
            words.join(", ")
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
