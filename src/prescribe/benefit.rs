//! What the lime of a prescription does, cell by cell.
//!
//! The pH that a cell gains is what its pH lacks to the target, times the part of its need that is
//! supplied. That is linear, and the method's own reading of need: the whole need lifts the soil to
//! the target, nothing of it leaves it where it is. More than the need gains no more.

use std::collections::BTreeMap;

use super::reading::ReadLayer;
use super::risk::Risks;
use super::soils::Soils;
use crate::agronomy::{AluminiumRisk, SoilRisk};
use crate::inputs::Job;
use crate::prescription::{Prescription, RateAreas};
use crate::summary::{AreaBenefit, Benefit, BenefitParts, Gain, RiskRelief};
use crate::units::{CarbonateMass, LimeNeed};

/// What the lime does on the field and its areas.
pub(super) fn benefit_of(
    job: &Job,
    soils: &Soils,
    layers: &[ReadLayer],
    risks: Option<&Risks>,
    (prescription, areas): (&Prescription, Option<&RateAreas>),
) -> BenefitParts {
    let aim = job.target.aim.ph();
    let lacks = |cell: usize| Some(lacking(soils, layers, cell, aim?));
    let effective = job.material.effective;
    let of = |cells: &mut dyn Iterator<Item = usize>| -> AreaBenefit {
        let mut all = Summed::new(risks.is_some(), aim.is_some());
        for at in cells {
            let cell = &prescription.cells[at];
            let supplied = cell.product * effective;
            all.need += cell.need * cell.area;
            all.supplied += supplied;
            all.unmet += cell.unmet * cell.area;
            if !cell.rate.spreads() {
                continue;
            }
            let area_m2 = cell.area.to_square_metres();
            if let Some(risks) = risks {
                all.relieve(risks.cells[at], area_m2, cell.product.to_kilograms());
            }
            if cell.need > LimeNeed::ZERO {
                all.acid_m2 += area_m2;
                if let Some(Lacking { ph, gap }) = lacks(at) {
                    let met = (supplied / (cell.need * cell.area)).min(1.0);
                    all.gain(ph, area_m2, gap * met);
                }
            }
        }
        all.done()
    };
    let field = of(&mut (0..prescription.cells.len())).benefit;
    let list = areas.map_or(&[][..], |areas| &areas.list);
    let each = list.iter().map(|area| of(&mut area.cells.iter().map(|&cell| cell as usize)));
    BenefitParts { field, areas: each.collect() }
}

/// What the pH of a cell lacks.
struct Lacking {
    /// Its pH, in the method's own medium.
    ph: f64,
    /// What that lacks to the target.
    gap: f64,
}

/// The mean over the layers, each by the part of the limed depth that it stands for: a layer at or
/// above the target lacks nothing.
fn lacking(soils: &Soils, layers: &[ReadLayer], cell: usize, aim: f64) -> Lacking {
    let (mut weights, mut ph, mut gap) = (0.0, 0.0, 0.0);
    for (soil, layer) in soils.layers.iter().zip(layers) {
        let thickness = layer
            .stratum
            .as_ref()
            .map_or(1.0, |stratum| (stratum.part.bottom() - stratum.part.top()).to_metres());
        let of_layer = layer.prepared.to_method_medium(soil.cells[cell].ph);
        weights += thickness;
        ph += thickness * of_layer;
        gap += thickness * (aim - of_layer).max(0.0);
    }
    Lacking { ph: ph / weights, gap: gap / weights }
}

/// Sums over cells.
struct Summed {
    risk: Option<RiskRelief>,
    acid_m2: f64,
    gains: Option<BTreeMap<i32, Gain>>,
    need: CarbonateMass,
    supplied: CarbonateMass,
    unmet: CarbonateMass,
}

impl Summed {
    fn new(has_risks: bool, has_gains: bool) -> Self {
        Self {
            risk: has_risks.then(RiskRelief::default),
            acid_m2: 0.0,
            gains: has_gains.then(BTreeMap::new),
            need: CarbonateMass::ZERO,
            supplied: CarbonateMass::ZERO,
            unmet: CarbonateMass::ZERO,
        }
    }

    fn relieve(&mut self, risk: SoilRisk, area_m2: f64, product_kg: f64) {
        let Some(sum) = &mut self.risk else { return };
        match risk.aluminium {
            AluminiumRisk::None => {}
            AluminiumRisk::Possible => sum.aluminium_possible_m2 += area_m2,
            AluminiumRisk::Likely => sum.aluminium_likely_m2 += area_m2,
        }
        if risk.aluminium != AluminiumRisk::None {
            sum.aluminium_kg += product_kg;
        }
        if risk.manganese {
            sum.manganese_m2 += area_m2;
        }
    }

    fn gain(&mut self, ph: f64, area_m2: f64, gained: f64) {
        let Some(gains) = &mut self.gains else { return };
        let gain = gains.entry(tenth_of(ph)).or_default();
        gain.area_m2 += area_m2;
        gain.ph_m2 += area_m2 * gained;
    }

    fn done(self) -> AreaBenefit {
        let Self { risk, acid_m2, gains, need, supplied, unmet } = self;
        AreaBenefit { benefit: Benefit { risk, acid_m2, gains }, need, supplied, unmet }
    }
}

/// The tenth of a pH that a pH lies in; one that a rounding error keeps below a tenth lies in it.
fn tenth_of(ph: f64) -> i32 {
    (ph * 10.0 + 1e-9).floor() as i32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ph_lies_in_the_tenth_that_it_reaches() {
        let tenths = [5.0, 5.04, 5.1, 5.3, 4.999_999].map(tenth_of);
        assert_eq!(tenths, [50, 50, 51, 53, 49]);
    }
}
