//! Areas of one rate, in the summary.

use super::build::Builder;
use super::{ChangePart, RateAreasPart};
use crate::prescription::AreaAndProduct;
use crate::units::Area;

impl Builder<'_> {
    pub(super) fn rate_areas(&self) -> Option<RateAreasPart> {
        let (areas, asked) = (self.parts.areas?, self.parts.job.rate_areas.as_ref()?);
        let prescription = self.parts.prescription;
        let (limits, ledger) = (&prescription.limits, &prescription.ledger);
        let small = || areas.list.iter().filter(|area| area.is_small);
        let small_area: Area = small().map(|area| area.area).sum();
        let capped = asked.polygons_at_most.is_some() || asked.vertices_at_most.is_some();
        Some(RateAreasPart {
            areas: areas.list.len(),
            rates: prescription.rates.iter().filter(|total| total.rate.spreads()).count(),
            polygons: areas.polygons,
            vertices: areas.vertices,
            least_area: self.area(asked.least_area),
            least_width: self.system.length(asked.least_width).into(),
            end_rows: Some(asked.end_rows).filter(|rounds| *rounds > 0),
            raised_to: areas.raised_to.map(|area| self.area(area)),
            within_caps: capped.then_some(areas.within_caps),
            small_areas: small().count(),
            small_area: self.area(small_area),
            product_before: self.product(ledger.own_product),
            only: asked.only.clone(),
            held_back: self.where_held_back(|| self.change(&limits.held_back)),
            product_after: self.product(prescription.product),
            each: self.each_area(),
            over: self.change(&limits.areas_up),
            under: self.change(&limits.areas_down),
        })
    }

    /// Something that only a job with areas of one rate has.
    pub(super) fn where_in_areas<T>(&self, part: impl FnOnce() -> T) -> Option<T> {
        self.parts.areas.map(|_| part())
    }

    /// Something that only a job has that leaves some of its areas out.
    pub(super) fn where_held_back<T>(&self, part: impl FnOnce() -> T) -> Option<T> {
        let asked = self.parts.job.rate_areas.as_ref()?;
        asked.only.as_ref().map(|_| part())
    }

    fn change(&self, total: &AreaAndProduct) -> ChangePart {
        ChangePart {
            area: self.area(total.area),
            product: self.product(total.product),
            carbonate: self.carbonate(total.product * self.parts.job.material.effective),
        }
    }
}
