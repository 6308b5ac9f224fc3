//! The material in a summary: what it is worth, dry and as spread, and how that was found.

use super::build::Builder;
use super::{AnalysisPart, CompositionPart, MaterialPart, PassingPart, Quantity};
use crate::material::{Analysis, Composition, CompoundPart, Lot, Material, Stated, effective_dry};
use crate::units::{EffectiveFraction, ProductMass, Share, UnitSystem};

impl Builder<'_> {
    pub(super) fn material(&self) -> MaterialPart {
        material_part(self.system, &self.parts.job.material, &self.parts.job.lot)
    }
}

/// A material with what it is worth.
pub(super) fn material_part(system: UnitSystem, material: &Material, lot: &Lot) -> MaterialPart {
    let price = material.price.as_ref().map(|price| {
        let per = match system {
            UnitSystem::Us => ProductMass::from_short_tons(1.0),
            UnitSystem::Metric => ProductMass::from_tonnes(1.0),
        };
        let unit = format!("{}/{}", price.currency.words(), system.product(per).unit);
        Quantity { value: price.of(per).to_units(), unit: unit.into() }
    });
    let stated = material.analysis.is_none().then_some(material.stated);
    MaterialPart {
        name: material.name.clone(),
        lot: lot.lot.clone(),
        supplier: lot.supplier.clone(),
        analysed: lot.analysed.clone(),
        kind: material.kind.name.to_owned(),
        stated_effective: stated.map(|stated| stated.fraction.to_number()),
        stated_basis: stated.map(|stated| stated.basis.words().to_owned()),
        stated_as: stated.zip(material.rating).map(|(stated, rating)| {
            let of = stated.fraction;
            rating.conversion(of).unwrap_or_else(|| rating.shown(of))
        }),
        moisture: material.moisture.map(Share::to_number),
        effective_as_spread: material.effective.to_number(),
        effective_dry: effective_dry(material.stated, material.moisture)
            .map(EffectiveFraction::to_number),
        effective_mass: effective_mass(system, material.effective),
        figure_as_spread: material.figure_as_spread(),
        analysis: material.analysis.as_ref().map(|found| analysis(found, material.stated)),
        bulk_density: material.bulk_density.map(|density| system.density(density).into()),
        bulk_density_from: material.density_rule.clone(),
        price,
    }
}

fn effective_mass(system: UnitSystem, effective: EffectiveFraction) -> Quantity {
    match system {
        UnitSystem::Us => Quantity {
            value: (ProductMass::from_short_tons(1.0) * effective).to_pounds(),
            unit: "lb CaCO3/ton".into(),
        },
        UnitSystem::Metric => Quantity {
            value: (ProductMass::from_tonnes(1.0) * effective).to_kilograms(),
            unit: "kg CaCO3/t".into(),
        },
    }
}

fn analysis(analysis: &Analysis, worth: Stated) -> AnalysisPart {
    let fineness = &analysis.fineness;
    let sieves = fineness.scheme.sieves().zip(&fineness.passing);
    AnalysisPart {
        cce: analysis.cce.fraction.to_number(),
        basis: analysis.cce.basis.words().to_owned(),
        cce_from: analysis.cce_steps.iter().map(|step| step.words.clone()).collect(),
        composition: analysis.composition.as_ref().map(composition).unwrap_or_default(),
        fineness_scheme: fineness.scheme.id().to_owned(),
        fineness_source: fineness.scheme.source_words(),
        horizon: fineness.horizon.over.clone(),
        fineness_given_as: fineness.given_as.to_owned(),
        passing: sieves
            .map(|(sieve, passing)| PassingPart {
                sieve: sieve.to_owned(),
                passing: passing.to_number(),
            })
            .collect(),
        by_size_class: analysis.by_class.as_ref().map(|step| step.words.clone()),
        fineness: fineness.efficiency.to_number(),
        effective: worth.fraction.to_number(),
    }
}

fn composition(made_of: &Composition) -> Vec<CompositionPart> {
    let part = |part: &CompoundPart| CompositionPart {
        compound: part.formula.to_owned(),
        part: part.part.to_number(),
        neutralises: part.cce,
    };
    made_of.parts.iter().map(part).collect()
}
