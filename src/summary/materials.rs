//! Putting a comparison of materials together from what the rooms worked out.

use super::build::{finding_part, input_part, loads, product};
use super::horizons::{Horizons, counted_over};
use super::worth::material_part;
use super::{
    COMPARISON_SHAPE, ComparedPart, FieldNames, HorizonPart, InputPart, LoadParts,
    MagnesiumAdvicePart, MagnesiumPart, MaterialComparison, MaterialCostsPart, NutrientPart,
    OrderedParts, Program, QualityPart, Quantity, RefusedPart,
};
use crate::findings::Finding;
use crate::haul::{AtEach, Costs, CostsAsked, costs_of};
use crate::inputs::{HaulPart, InputFile, Job};
use crate::material::{
    Candidate, Lot, Material, PriceAt, QualityChecked, Ranking, all_quality_limits,
    cost_per_effective, magnesium_advice, rank,
};
use crate::prescription::Prescription;
use crate::units::{
    Area, CarbonateMass, Currency, KG_PER_SHORT_TON, KG_PER_TONNE, Money, ProductMass, UnitSystem,
    tidy,
};

/// One material of the list over one horizon, and what it comes to on the field.
#[derive(Debug)]
pub struct OfferParts<'a> {
    /// The material, over that horizon.
    pub material: &'a Material,
    /// Where it comes from, and what it brings beside lime.
    pub lot: &'a Lot,
    /// How it comes to the field.
    pub haul: Option<&'a HaulPart>,
    /// What each cell gets.
    pub prescription: Prescription,
    /// Where anything is spread, counted once for each application.
    pub spread_over: Area,
    /// What is loaded, ordered and hauled.
    pub ordered: OrderedParts,
}

/// A material that does not lime.
#[derive(Clone, Copy, Debug)]
pub struct RefusedParts<'a> {
    /// What the list calls it.
    pub name: &'a str,
    /// Who sells it.
    pub supplier: Option<&'a str>,
    /// Its kind.
    pub kind: &'a str,
    /// Why it does not lime.
    pub why: &'a str,
}

/// Everything that a comparison is made from.
#[derive(Debug)]
pub struct ComparisonParts<'a> {
    /// The job.
    pub job: &'a Job,
    /// The list, as it was named.
    pub list: &'a str,
    /// What the field needs.
    pub need: CarbonateMass,
    /// The mapped area.
    pub area: Area,
    /// The materials, each over the horizon that the list states for it, and then over each other
    /// of its scheme.
    pub offers: &'a [Vec<OfferParts<'a>>],
    /// Those that do not lime.
    pub refused: &'a [RefusedParts<'a>],
    /// Exchangeable magnesium and calcium of the soil, mg/kg, each where it is known.
    pub soil_magnesium_ppm: Option<f64>,
    /// See there.
    pub soil_calcium_ppm: Option<f64>,
    /// What the data told.
    pub findings: &'a [Finding],
    /// What was read for the job.
    pub read: &'a [InputPart],
    /// The file of the list.
    pub list_file: &'a InputFile,
}

/// The comparison of all materials of a list on one field.
pub fn build_comparison(parts: &ComparisonParts<'_>) -> MaterialComparison {
    let system = parts.job.units;
    let builder = Comparison { parts, system };
    let asked = Horizons::of(&parts.job.material, parts.offers);
    let horizons = builder.horizons(&asked.names);
    let mut kinds: Vec<&crate::material::Kind> = Vec::new();
    for offer in parts.offers.iter().flatten() {
        if !kinds.iter().any(|kind| kind.name == offer.material.kind.name) {
            kinds.push(offer.material.kind);
        }
    }
    let mut cautions: Vec<String> = Vec::new();
    for line in kinds.into_iter().flat_map(super::cautions) {
        if !cautions.contains(&line) {
            cautions.push(line);
        }
    }
    MaterialComparison {
        schema: COMPARISON_SHAPE.to_owned(),
        program: Program::this(),
        field: FieldNames::of(parts.job),
        units: system.words().to_owned(),
        list: parts.list.to_owned(),
        area: system.area(parts.area).into(),
        need_total: system.carbonate(parts.need).into(),
        horizon_notes: asked.notes(&horizons),
        horizons,
        refused: parts.refused.iter().map(refused).collect(),
        soil_magnesium_ppm: parts.soil_magnesium_ppm,
        magnesium_advice: magnesium_advice(parts.soil_magnesium_ppm, parts.soil_calcium_ppm)
            .into_iter()
            .map(|advice| MagnesiumAdvicePart {
                region: advice.region,
                advice: advice.call.words().to_owned(),
                text: advice.words,
                source: advice.source,
            })
            .collect(),
        findings: parts.findings.iter().map(finding_part).collect(),
        cautions,
        inputs: inputs(parts),
    }
}

/// The files of the job, and the list where the job does not name it.
fn inputs(parts: &ComparisonParts<'_>) -> Vec<InputPart> {
    let list = input_part(parts.list_file);
    let mut inputs = parts.read.to_vec();
    if !inputs.contains(&list) {
        inputs.push(list);
    }
    inputs
}

fn refused(refused: &RefusedParts<'_>) -> RefusedPart {
    RefusedPart {
        name: refused.name.to_owned(),
        supplier: refused.supplier.map(str::to_owned),
        kind: refused.kind.to_owned(),
        reason: refused.why.to_owned(),
    }
}

struct Comparison<'a> {
    parts: &'a ComparisonParts<'a>,
    system: UnitSystem,
}

impl Comparison<'_> {
    fn horizons(&self, named: &[&str]) -> Vec<HorizonPart> {
        if named.is_empty() {
            return vec![self.horizon(None)];
        }
        named.iter().map(|horizon| self.horizon(Some(horizon))).collect()
    }

    /// A material whose scheme has not that horizon is counted as the list states it.
    fn horizon(&self, horizon: Option<&str>) -> HorizonPart {
        let over_it = |over_each: &'_ Vec<OfferParts<'_>>| {
            let is_it = |offer: &OfferParts<'_>| counted_over(offer.material) == horizon;
            over_each.iter().position(is_it).unwrap_or(0)
        };
        let offers: Vec<&OfferParts<'_>> =
            self.parts.offers.iter().filter_map(|each| each.get(over_it(each))).collect();
        let costs: Vec<Costs> = offers.iter().map(|offer| costs(offer)).collect();
        let candidates: Vec<Candidate<'_>> =
            offers.iter().zip(&costs).map(|(offer, costs)| candidate(offer, costs)).collect();
        let currency = offers.iter().find_map(|offer| currency(offer));
        let written = |money: Money| {
            let per_effective = self.per_effective(money, currency);
            per_effective
                .map_or_else(String::new, |cost| format!("{:.2} {}", cost.value, cost.unit))
        };
        let Ranking { by, ranks } = rank(&candidates, written);
        let mut materials: Vec<ComparedPart> = offers
            .iter()
            .zip(&costs)
            .zip(&candidates)
            .zip(ranks)
            .map(|(((offer, costs), candidate), rank)| ComparedPart {
                rank: rank.place,
                reason: rank.reason,
                ..self.compared(offer, costs, candidate)
            })
            .collect();
        // Those without a rank come last, in the order of the list.
        materials.sort_by_key(|material| material.rank.unwrap_or(usize::MAX));
        HorizonPart {
            horizon: horizon.map(str::to_owned),
            compared_by: by.map(|by| by.words().to_owned()),
            materials,
        }
    }

    fn compared(
        &self,
        offer: &OfferParts<'_>,
        costs: &Costs,
        candidate: &Candidate<'_>,
    ) -> ComparedPart {
        let system = self.system;
        let OfferParts { material, lot, prescription, ordered, .. } = offer;
        let totals = &ordered.totals;
        let unmet = prescription.ledger.unmet();
        let limits = self
            .parts
            .job
            .quality
            .map_or_else(|| all_quality_limits().iter().collect(), |limit| vec![limit]);
        ComparedPart {
            rank: None,
            reason: String::new(),
            material: material_part(system, material, lot),
            supply_limit: lot.supply_limit.map(|limit| self.product(limit)),
            supply_suffices: candidate.supply_suffices,
            product_total: self.product(totals.prescribed),
            to_load: self.product(totals.to_load),
            to_order: self.product(totals.to_order),
            treated_area: system.area(prescription.treated_area).into(),
            mean_rate: system.rate(prescription.product / prescription.area).into(),
            unmet_total: system.carbonate(unmet).into(),
            unmet_share: if self.parts.need > CarbonateMass::ZERO {
                unmet / self.parts.need
            } else {
                0.0
            },
            loads: LoadParts {
                spreader: loads(system, &ordered.spreader_loads),
                truck: ordered.truck_loads.as_ref().map(|count| loads(system, count)),
            },
            costs: self.costs(offer, costs, candidate),
            magnesium: self.magnesium(offer),
            nutrients: self.nutrients(offer),
            quality: limits.into_iter().map(|limit| quality(&limit.check(material))).collect(),
        }
    }

    fn costs(
        &self,
        offer: &OfferParts<'_>,
        costs: &Costs,
        candidate: &Candidate<'_>,
    ) -> MaterialCostsPart {
        let currency = currency(offer);
        let money = |money: Option<Money>| -> Option<Quantity> {
            let unit = currency?.words().to_owned().into();
            Some(Quantity { value: tidy(money?.to_units()), unit })
        };
        let total = money(costs.total());
        let area = Quantity::from(self.system.area(self.parts.area));
        let [plant, delivered, spread] = candidate.costs;
        let per_effective = |cost: Option<Money>| self.per_effective(cost?, currency);
        MaterialCostsPart {
            product: money(costs.product),
            haul: money(costs.haul),
            spreading: money(costs.spreading),
            per_area: total.as_ref().map(|total| Quantity {
                value: total.value / area.value,
                unit: format!("{}/{}", total.unit, area.unit).into(),
            }),
            total,
            covers: costs.known().iter().map(|(name, _)| (*name).to_owned()).collect(),
            per_effective_plant: per_effective(plant),
            per_effective_delivered: per_effective(delivered),
            per_effective_spread: per_effective(spread),
        }
    }

    /// Money for a kilogram of effective CaCO3, by the ton.
    fn per_effective(&self, money: Money, currency: Option<&Currency>) -> Option<Quantity> {
        let (kilograms, unit) = match self.system {
            UnitSystem::Us => (KG_PER_SHORT_TON, "ton"),
            UnitSystem::Metric => (KG_PER_TONNE, "t"),
        };
        Some(Quantity {
            value: tidy((money * kilograms).to_units()),
            unit: format!("{}/{unit} CaCO3", currency?.words()).into(),
        })
    }

    fn magnesium(&self, offer: &OfferParts<'_>) -> Option<MagnesiumPart> {
        let content = offer.lot.magnesium?.to_number();
        let total = offer.prescription.product * content;
        Some(MagnesiumPart {
            content,
            per_treated_area: self.per_area(total, offer.prescription.treated_area),
            total: self.small_mass(total),
        })
    }

    fn nutrients(&self, offer: &OfferParts<'_>) -> Vec<NutrientPart> {
        let product = offer.prescription.product;
        let part = |content: &crate::material::NutrientContent| {
            let total = content.in_product(product);
            let credit = content.credit(product).zip(content.worth.as_ref());
            NutrientPart {
                nutrient: content.nutrient.words().to_owned(),
                content: content.content.to_number(),
                per_treated_area: self.per_area(total, offer.prescription.treated_area),
                total: self.small_mass(total),
                credit: credit.map(|(credit, worth)| Quantity {
                    value: tidy(credit.to_units()),
                    unit: worth.currency.words().to_owned().into(),
                }),
            }
        };
        offer.lot.nutrients.iter().map(part).collect()
    }

    fn small_mass(&self, mass: ProductMass) -> Quantity {
        match self.system {
            UnitSystem::Us => Quantity { value: mass.to_pounds(), unit: "lb".into() },
            UnitSystem::Metric => Quantity { value: mass.to_kilograms(), unit: "kg".into() },
        }
    }

    /// A small mass over ground; nothing over no ground.
    fn per_area(&self, mass: ProductMass, area: Area) -> Quantity {
        let (mass, over) = (self.small_mass(mass), self.system.area(area));
        let value = if over.value > 0.0 { mass.value / over.value } else { 0.0 };
        Quantity { value, unit: format!("{}/{}", mass.unit, over.unit).into() }
    }

    fn product(&self, mass: ProductMass) -> Quantity {
        product(self.system, mass)
    }
}

fn costs(offer: &OfferParts<'_>) -> Costs {
    let spreading = offer.haul.and_then(|haul| haul.spreading.as_ref());
    costs_of(&CostsAsked {
        to_order: offer.ordered.totals.to_order,
        to_load: offer.ordered.totals.to_load,
        spread_over: offer.spread_over,
        price: offer.material.price.as_ref(),
        haul: offer.ordered.haul.as_ref(),
        spreading: spreading.map(|cost| cost.charge),
    })
}

fn candidate<'a>(offer: &OfferParts<'a>, costs: &Costs) -> Candidate<'a> {
    let effective = offer.material.effective;
    let each = offer.material.price.as_ref().map(|price| costs.at(price.at));
    let none = AtEach { plant: None, delivered: None, spread: None };
    let at = |place| {
        let money = each.unwrap_or(none).at(place)?;
        cost_per_effective(money, offer.ordered.totals.to_order, effective)
    };
    Candidate {
        name: &offer.material.name,
        effective,
        costs: PriceAt::ALL.map(at),
        supply_suffices: offer.lot.suffices_for(offer.ordered.totals.to_order),
    }
}

fn currency<'a>(offer: &OfferParts<'a>) -> Option<&'a Currency> {
    let price = offer.material.price.as_ref().map(|price| &price.currency);
    let cost = || offer.haul.and_then(|haul| haul.cost.as_ref()).map(|cost| &cost.currency);
    let spreading =
        || offer.haul.and_then(|haul| haul.spreading.as_ref()).map(|cost| &cost.currency);
    price.or_else(cost).or_else(spreading)
}

fn quality(checked: &QualityChecked) -> QualityPart {
    QualityPart {
        id: checked.limit.id.clone(),
        title: checked.limit.title.clone(),
        verdict: checked.verdict.words().to_owned(),
        parts: checked.parts.iter().map(|(words, _)| words.clone()).collect(),
        source: checked.limit.source_words(),
        note: checked.limit.note.clone(),
    }
}
