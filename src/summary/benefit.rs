//! What the lime does on a field, in its summary.

use std::collections::BTreeMap;

use super::build::Builder;
use super::{BenefitPart, GainAtPart, OneAreaPart, Quantity};
use crate::units::{Area, CarbonateMass, M2_PER_ACRE, M2_PER_HECTARE, ProductMass, UnitSystem};

/// What the lime does on some ground.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Benefit {
    /// What it does against risks; `None` where these are not told.
    pub risk: Option<RiskRelief>,
    /// Ground that gets lime and needs some, in square metres.
    pub acid_m2: f64,
    /// The pH that it gains, by the tenth of a pH that it lies in before; `None` where the method
    /// limes to no pH.
    pub gains: Option<BTreeMap<i32, Gain>>,
}

/// Ground with a risk that gets lime.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RiskRelief {
    /// Aluminium may harm roots, in square metres.
    pub aluminium_possible_m2: f64,
    /// Aluminium is likely to, in square metres.
    pub aluminium_likely_m2: f64,
    /// The product on both, in kilograms as spread.
    pub aluminium_kg: f64,
    /// Manganese may harm crops, in square metres.
    pub manganese_m2: f64,
}

/// What ground gains.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Gain {
    /// The ground, in square metres.
    pub area_m2: f64,
    /// The pH that it gains times its area.
    pub ph_m2: f64,
}

/// What the lime does on the field and on each of its areas of one rate.
#[derive(Clone, Debug, PartialEq)]
pub struct BenefitParts {
    /// On all of it.
    pub field: Benefit,
    /// On each area, with its need and what is supplied; empty where there are none.
    pub areas: Vec<AreaBenefit>,
}

/// What one area of one rate comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct AreaBenefit {
    /// What the lime does on it.
    pub benefit: Benefit,
    /// CaCO3 that it needs.
    pub need: CarbonateMass,
    /// CaCO3 that the product supplies.
    pub supplied: CarbonateMass,
    /// CaCO3 that is left out.
    pub unmet: CarbonateMass,
}

/// Why a method that limes to another thing than a pH tells no gain of it.
const NO_GAIN: &str =
    "the method limes to a saturation, and says nothing of the pH that comes of it";

/// A pH times an area, in the unit of the system: what the ground gains by a tenth of a pH on ten
/// acres is one `pH ac`.
pub fn ph_area(system: UnitSystem, ph_m2: f64) -> Quantity {
    match system {
        UnitSystem::Us => Quantity { value: ph_m2 / M2_PER_ACRE, unit: "pH ac".into() },
        UnitSystem::Metric => Quantity { value: ph_m2 / M2_PER_HECTARE, unit: "pH ha".into() },
    }
}

impl Builder<'_> {
    pub(super) fn benefit(&self) -> BenefitPart {
        self.benefit_part(&self.parts.benefit.field)
    }

    fn benefit_part(&self, benefit: &Benefit) -> BenefitPart {
        let area = |m2: f64| self.area(Area::from_square_metres(m2));
        let risk = benefit.risk.as_ref();
        let gains = benefit.gains.as_ref();
        let gain: Option<f64> = gains.map(|gains| gains.values().map(|gain| gain.ph_m2).sum());
        BenefitPart {
            aluminium_possible_area: risk.map(|risk| area(risk.aluminium_possible_m2)),
            aluminium_likely_area: risk.map(|risk| area(risk.aluminium_likely_m2)),
            aluminium_product: risk
                .map(|risk| self.product(ProductMass::from_kilograms(risk.aluminium_kg))),
            manganese_area: risk.map(|risk| area(risk.manganese_m2)),
            acid_area: area(benefit.acid_m2),
            ph_gain: gain.map(|gain| ph_area(self.system, gain)),
            mean_ph_gain: gain.filter(|_| benefit.acid_m2 > 0.0).map(|gain| gain / benefit.acid_m2),
            by_ph: gains
                .into_iter()
                .flatten()
                .map(|(&tenth, gain)| GainAtPart {
                    ph: f64::from(tenth) / 10.0,
                    area: area(gain.area_m2),
                    ph_gain: ph_area(self.system, gain.ph_m2),
                })
                .collect(),
            no_ph_gain: gains.is_none().then(|| NO_GAIN.to_owned()),
        }
    }

    /// Each area of one rate, numbered as the map numbers them.
    pub(super) fn each_area(&self) -> Vec<OneAreaPart> {
        let Some(areas) = self.parts.areas else { return Vec::new() };
        let setting = &self.parts.job.machine.setting;
        let each = areas.list.iter().zip(&self.parts.benefit.areas).zip(1..);
        each.map(|((area, does), number)| OneAreaPart {
            number,
            rate: super::rate_as_written(self.system, setting.written(area.rate)).into(),
            area: self.area(area.area),
            product: self.product(area.product),
            need: self.carbonate(does.need),
            supplied: self.carbonate(does.supplied),
            unmet: self.carbonate(does.unmet),
            benefit: self.benefit_part(&does.benefit),
        })
        .collect()
    }
}
