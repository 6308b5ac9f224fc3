//! What becomes of one field, in the plan.

use super::candidate::Candidate;
use super::ledger::Masses;
use super::options::Taking;
use super::pool::Fate;
use super::response;
use super::shape::{ALL, NEEDS_NONE, PART, PlannedField};
use super::sharer::Planned;
use crate::inputs::AllotmentPart;
use crate::summary::{Quantity, ph_area};
use crate::units::{Area, ProductMass, UnitSystem};

/// What becomes of a field.
pub(super) fn field_part(
    candidate: &Candidate<'_>,
    planned: &Planned,
    masses: &Masses,
    asked: &AllotmentPart,
    system: UnitSystem,
) -> PlannedField {
    let row = candidate.row;
    let decision = match (&planned.taking, &planned.fate) {
        (Taking::All, _) => ALL,
        (Taking::Areas(_), _) => PART,
        (Taking::Nothing, Fate::NeedsNone) => NEEDS_NONE,
        (Taking::Nothing, Fate::NotNow) => "not this year",
        (Taking::Nothing, _) => "held back",
    };
    let only: Vec<u32> = match &planned.taking {
        Taking::Areas(places) => {
            places.iter().filter_map(|&place| candidate.areas[place].number).collect()
        }
        _ => Vec::new(),
    };
    let product = match &planned.taking {
        Taking::All => candidate.whole.product,
        Taking::Nothing => ProductMass::ZERO,
        Taking::Areas(places) => places.iter().map(|&place| candidate.areas[place].product).sum(),
    };
    let (aluminium, gain) = does(candidate, &planned.taking);
    let worth = asked.response.as_ref().map(|figures| {
        let units = match &planned.taking {
            Taking::All => response::worth_of(std::iter::once(&candidate.whole), figures),
            Taking::Nothing => 0.0,
            Taking::Areas(places) => {
                response::worth_of(places.iter().map(|&place| &candidate.areas[place]), figures)
            }
        };
        response::money(figures, units)
    });
    let currency = row.haul.as_ref().and_then(|haul| haul.cost_total.as_ref());
    PlannedField {
        id: row.id.clone(),
        name: row.field.name.clone(),
        material: row.material.name.clone(),
        decision: decision.to_owned(),
        year: planned.year.map(|year| year as u32 + 1),
        set: (!only.is_empty()).then(|| {
            let numbers: Vec<String> = only.iter().map(u32::to_string).collect();
            format!("rate_areas.only = [{}]", numbers.join(", "))
        }),
        only,
        order: system.product(planned.order).into(),
        order_all: system.product(planned.order_all).into(),
        product: system.product(product).into(),
        cost: planned
            .cost
            .zip(currency)
            .map(|(value, total)| Quantity { value, unit: total.unit.clone() }),
        aluminium_area: system.area(aluminium).into(),
        aluminium_area_all: system.area(candidate.whole.aluminium).into(),
        ph_gain: ph_area(system, gain),
        ph_gain_all: ph_area(system, candidate.whole.ph_m2),
        worth,
        why: planned.why.clone(),
        ledger: masses.part(system),
    }
}

/// Ground with aluminium risk that a taking limes, and its gain of pH times area.
pub(super) fn does(candidate: &Candidate<'_>, taking: &Taking) -> (Area, f64) {
    match taking {
        Taking::Nothing => (Area::ZERO, 0.0),
        Taking::All => (candidate.whole.aluminium, candidate.whole.ph_m2),
        Taking::Areas(places) => places
            .iter()
            .map(|&place| &candidate.areas[place])
            .fold((Area::ZERO, 0.0), |(area, gain), ground| {
                (area + ground.aluminium, gain + ground.ph_m2)
            }),
    }
}
