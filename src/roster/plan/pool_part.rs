//! What one limit comes to, in the plan.

use super::candidate::Candidate;
use super::counted::Counted;
use super::field_part::does;
use super::options::{HowTaken, Taking};
use super::shape::{PlanGap, PoolPart, PoolYear};
use super::sharer::{Outcome, Planned, Sharer};
use super::worth::{RANKS, Worth};
use crate::summary::ph_area;
use crate::units::{Area, ProductMass, UnitSystem};

/// What one limit comes to: what is used in each year, and whether more could be done.
pub(super) fn pool_part(
    sharer: &Sharer<'_>,
    candidates: &[Candidate<'_>],
    (how, rounded): (&HowTaken<'_>, usize),
    planned: &[Planned],
    outcome: &Outcome,
) -> PoolPart {
    let counted = how.counted;
    let weigh = |candidate: &Candidate<'_>, taking: &Taking| {
        let (order, ground) = how.order_of(candidate, taking);
        counted.weight(candidate, order, ground)
    };
    let asked: i64 = candidates.iter().map(|candidate| weigh(candidate, &Taking::All)).sum();
    let limits = sharer.sharing.limits.map(|limits| Counted::limits(&limits.amounts, 0));
    let years = limits.as_ref().map_or(1, Vec::len);
    let of_year = |year: usize| {
        let mut used = 0;
        let mut part = PoolYear {
            year: year as u32 + 1,
            limit: limits.as_ref().map(|limits| counted.quantity(sharer.system, limits[year])),
            used: counted.quantity(sharer.system, 0),
            fields: 0,
            order: sharer.system.product(ProductMass::ZERO).into(),
            aluminium_area: sharer.system.area(Area::ZERO).into(),
            ph_gain: ph_area(sharer.system, 0.0),
        };
        let (mut order, mut aluminium, mut gain) = (ProductMass::ZERO, Area::ZERO, 0.0);
        for (candidate, planned) in candidates.iter().zip(planned) {
            if planned.year == Some(year) {
                part.fields += 1;
                used += weigh(candidate, &planned.taking);
                order += planned.order;
                let (area, ph_m2) = does(candidate, &planned.taking);
                aluminium += area;
                gain += ph_m2;
            }
        }
        // What is let through for rounding is not told as used.
        let most = limits.as_ref().map_or(used, |limits| limits[year]);
        let over = used - most;
        let slack = i64::try_from(rounded).unwrap_or(i64::MAX);
        used = if (1..=slack).contains(&over) { most } else { used };
        part.used = counted.quantity(sharer.system, used);
        part.order = sharer.system.product(order).into();
        part.aluminium_area = sharer.system.area(aluminium).into();
        part.ph_gain = ph_area(sharer.system, gain);
        part
    };
    PoolPart {
        material: sharer.sharing.material.map(str::to_owned),
        asked: counted.quantity(sharer.system, asked),
        years: (0..years).map(of_year).collect(),
        covers: covers(candidates, counted),
        proven: outcome.bound.is_none() && outcome.cut.is_empty(),
        gap: outcome.bound.map(|bound| gap(sharer.system, bound, &outcome.worth)),
        tried: outcome.tried,
    }
}

fn gap(system: UnitSystem, bound: [f64; RANKS], worth: &Worth) -> PlanGap {
    let area = |m2: f64| system.area(Area::from_square_metres(m2)).into();
    let here = worth.0[0] as f64;
    PlanGap {
        aluminium_area: area(bound[0]),
        aluminium_area_here: area(here),
        ph_gain: (bound[0] <= here).then(|| ph_area(system, bound[1])),
        ph_gain_here: ph_area(system, worth.0[1] as f64),
    }
}

/// What the costs of all fields count.
fn covers(candidates: &[Candidate<'_>], counted: &Counted) -> Vec<String> {
    let Counted::Money(_) = counted else { return Vec::new() };
    let mut all: Vec<String> = candidates
        .iter()
        .filter(|candidate| candidate.gets_lime())
        .filter_map(|candidate| candidate.row.haul.as_ref())
        .flat_map(|haul| haul.cost_covers.iter().cloned())
        .collect();
    all.sort_unstable();
    all.dedup();
    all
}
