//! What a field, and each of its areas, takes and does, in the whole numbers that are counted in.

use super::worth::Worth;
use crate::findings::{Place, Problem};
use crate::roster::{FieldRow, area_of, carbonate_of, ph_m2_of, product_of};
use crate::summary::{BenefitPart, GainAtPart, OneAreaPart, Quantity};
use crate::units::{Area, CarbonateMass, ProductMass};

/// Milligrams in a kilogram: masses are counted in whole ones, so that tons and pounds come out
/// whole.
pub(super) const MG_PER_KG: f64 = 1e6;
/// Hundredths of a hundredth of a currency: money is counted in whole ones.
pub(super) const PER_MONEY: f64 = 1e4;

/// Ground that is taken or left out: a field, or one of its areas.
#[derive(Clone, Debug)]
pub(super) struct Ground<'a> {
    /// The number of the area; `None` for the field.
    pub(super) number: Option<u32>,
    /// The product on it.
    pub(super) product: ProductMass,
    /// What is ordered for it: for an area without filling the last truck.
    pub(super) order: ProductMass,
    /// The part of the treated ground that it is.
    pub(super) treated_share: f64,
    /// Ground with aluminium risk that it limes.
    pub(super) aluminium: Area,
    /// The pH that it gains times its area, in square metres.
    pub(super) ph_m2: f64,
    /// The same by tenths of a pH.
    pub(super) by_ph: &'a [GainAtPart],
    pub(super) need: CarbonateMass,
    pub(super) supplied: CarbonateMass,
    pub(super) unmet: CarbonateMass,
}

impl Ground<'_> {
    /// What liming it is worth: whole square metres with aluminium risk, whole square metres times
    /// pH, whole kilograms of need that are met, and as little as may be ordered.
    pub(super) fn worth(&self) -> Worth {
        let whole = |number: f64| number.round() as i64;
        let aluminium = whole(self.aluminium.to_square_metres());
        let met = whole((self.need - self.unmet).to_kilograms());
        Worth([aluminium, whole(self.ph_m2), met, -milligrams(self.order)])
    }
}

/// One field.
#[derive(Clone, Debug)]
pub(super) struct Candidate<'a> {
    pub(super) row: &'a FieldRow,
    /// All of it.
    pub(super) whole: Ground<'a>,
    /// What its own job holds back already; part of what is unmet.
    pub(super) held_back: CarbonateMass,
    /// Its areas that get product; none where it is taken whole.
    pub(super) areas: Vec<Ground<'a>>,
    /// A full truck, where one is known.
    pub(super) truck: Option<ProductMass>,
    /// Whether its job orders whole trucks.
    pub(super) fills_trucks: bool,
}

impl<'a> Candidate<'a> {
    /// The field of a row, in areas where `in_areas`.
    ///
    /// # Errors
    /// Returns a quantity that is in no unit that there is.
    pub(super) fn of(row: &'a FieldRow, in_areas: bool) -> Result<Self, Problem> {
        let id = &row.id;
        let order = read(id, &row.to_order, product_of)?;
        let product = read(id, &row.product_total, product_of)?;
        let (aluminium, ph_m2) = does(id, &row.benefit)?;
        let whole = Ground {
            number: None,
            product,
            order,
            treated_share: 1.0,
            aluminium,
            ph_m2,
            by_ph: &row.benefit.by_ph,
            need: read(id, &row.need_total, carbonate_of)?,
            supplied: read(id, &row.supplied_total, carbonate_of)?,
            unmet: read(id, &row.unmet_total, carbonate_of)?,
        };
        let held_back = match &row.held_back_total {
            Some(held) => read(id, held, carbonate_of)?,
            None => CarbonateMass::ZERO,
        };
        let truck = match &row.truck_loads {
            Some(loads) => Some(read(id, &loads.full, product_of)?),
            None => None,
        };
        let fills_trucks = truck.is_some_and(|truck| fills_trucks(row, truck, order));
        let mut areas = Vec::new();
        if in_areas && row.applications.is_empty() && product > ProductMass::ZERO {
            let fill = read(id, &row.truck_fill, product_of)?;
            // What is added for overlap and for what stays in the pile falls on all of it alike.
            let ordered_for_spread = (order - fill) / product;
            let treated = read(id, &row.treated_area, area_of)?;
            for area in row.rate_areas.iter().filter(|area| area.product.value > 0.0) {
                areas.push(of_area(id, area, ordered_for_spread, treated)?);
            }
        }
        Ok(Self { row, whole, held_back, areas, truck, fills_trucks })
    }

    /// Whether there is anything to decide.
    pub(super) fn gets_lime(&self) -> bool {
        self.whole.order > ProductMass::ZERO
    }
}

/// Whether the job of a field orders whole trucks: it fills the last one, or by chance both its order
/// and that for one rate are whole trucks as they are.
fn fills_trucks(row: &FieldRow, truck: ProductMass, order: ProductMass) -> bool {
    let is_whole = |order: ProductMass| {
        let trucks = order / truck;
        trucks > 0.5 && (trucks - trucks.round()).abs() < 1e-9 * trucks
    };
    let by_chance = || is_whole(order) && product_of(&row.composite.to_order).is_some_and(is_whole);
    row.truck_fill.value > 0.0 || by_chance()
}

fn of_area<'a>(
    id: &str,
    area: &'a OneAreaPart,
    ordered_for_spread: f64,
    treated: Area,
) -> Result<Ground<'a>, Problem> {
    let product = read(id, &area.product, product_of)?;
    let (aluminium, ph_m2) = does(id, &area.benefit)?;
    Ok(Ground {
        number: Some(area.number),
        product,
        order: product * ordered_for_spread,
        treated_share: read(id, &area.area, area_of)? / treated,
        aluminium,
        ph_m2,
        by_ph: &area.benefit.by_ph,
        need: read(id, &area.need, carbonate_of)?,
        supplied: read(id, &area.supplied, carbonate_of)?,
        unmet: read(id, &area.unmet, carbonate_of)?,
    })
}

/// The ground with aluminium risk that is limed, and the pH gained times area; nothing of what is not
/// told.
fn does(id: &str, benefit: &BenefitPart) -> Result<(Area, f64), Problem> {
    let mut aluminium = Area::ZERO;
    let parts = [&benefit.aluminium_possible_area, &benefit.aluminium_likely_area];
    for part in parts.into_iter().flatten() {
        aluminium += read(id, part, area_of)?;
    }
    let gain = benefit.ph_gain.as_ref().map(|gain| read(id, gain, ph_m2_of)).transpose()?;
    Ok((aluminium, gain.unwrap_or_default()))
}

pub(super) fn read<T>(
    id: &str,
    quantity: &Quantity,
    of: fn(&Quantity) -> Option<T>,
) -> Result<T, Problem> {
    of(quantity).ok_or_else(|| {
        let what = format!(
            "the field `{id}` has a quantity of {} `{}`, in no unit that is known there",
            quantity.value, quantity.unit
        );
        Problem::at(Place::default(), what)
            .allowed("results that this program wrote")
            .hint("run the field again")
    })
}

/// A mass in whole milligrams.
pub(super) fn milligrams(mass: ProductMass) -> i64 {
    (mass.to_kilograms() * MG_PER_KG).round() as i64
}
