//! One field's numbers in SI units, exact, as they are added up.

use crate::roster::amounts::{
    area_of, carbonate_of, kilogram_metres_of, money_of, product_of, rate_of, road_of,
};
use crate::roster::names::{Spellings, one_blank};
use crate::roster::row::{FieldRow, RowMaterial};
use crate::summary::Quantity;
use crate::units::{
    Area, CarbonateMass, Currency, Length, Money, ProductMass, ProductRate, UnitSystem, plain,
};

/// The numbers of a row.
pub(super) struct Exact<'a> {
    pub(super) row: &'a FieldRow,
    pub(super) units: UnitSystem,
    pub(super) material: String,
    pub(super) supplier: Option<String>,
    pub(super) customer: Option<String>,
    pub(super) area: Area,
    pub(super) mapped: Area,
    pub(super) treated: Area,
    pub(super) need: CarbonateMass,
    pub(super) supplied: CarbonateMass,
    pub(super) excess: CarbonateMass,
    pub(super) unmet: CarbonateMass,
    pub(super) order: Ordered,
    pub(super) mean_rate: ProductRate,
    pub(super) least_rate: Option<ProductRate>,
    pub(super) greatest_rate: Option<ProductRate>,
    pub(super) composite_product: ProductMass,
    pub(super) composite_to_order: ProductMass,
    pub(super) composite_cost: Option<(Money, Currency)>,
    pub(super) cost: Option<(Money, Currency)>,
    pub(super) haul_cost: Option<(Money, Currency)>,
    pub(super) distance: Option<Length>,
    pub(super) kilogram_metres: Option<f64>,
    pub(super) risk: Option<Area>,
    /// One entry for each application.
    pub(super) applications: Vec<Ordered>,
}

/// Product by its three totals.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ordered {
    pub(super) prescribed: ProductMass,
    pub(super) to_load: ProductMass,
    pub(super) to_order: ProductMass,
}

impl Ordered {
    pub(super) const NOTHING: Self = Self {
        prescribed: ProductMass::ZERO,
        to_load: ProductMass::ZERO,
        to_order: ProductMass::ZERO,
    };

    pub(super) fn and(self, other: Self) -> Self {
        Self {
            prescribed: self.prescribed + other.prescribed,
            to_load: self.to_load + other.to_load,
            to_order: self.to_order + other.to_order,
        }
    }
}

/// A quantity of a row that cannot be counted with.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("its `{key}` is `{value} {unit}`, which no result of this program holds")]
pub struct NoAmount {
    key: &'static str,
    value: f64,
    unit: String,
}

impl FieldRow {
    /// Whether every quantity that a comparison counts with is in a unit that it may have, and within
    /// reason.
    ///
    /// # Errors
    /// Returns the first that is not.
    pub fn check(&self) -> Result<(), NoAmount> {
        Exact::of(self).map(|_| ())
    }
}

/// The least mapped ground of a field, in square metres: less is no field, and nothing can be told
/// for an area of it.
const LEAST_GROUND_M2: f64 = 1e-3;

impl<'a> Exact<'a> {
    pub(super) fn of(row: &'a FieldRow) -> Result<Self, NoAmount> {
        let area = known("area", &row.area, area_of)?;
        let kept_out = known("keep_out_area", &row.keep_out_area, area_of)?;
        if (area - kept_out).to_square_metres() < LEAST_GROUND_M2 {
            return Err(no_amount("keep_out_area", &row.keep_out_area));
        }
        if let Some(ph) = row.ph.as_ref().filter(|ph| !(0.0..=14.0).contains(&ph.mean)) {
            return Err(NoAmount { key: "ph.mean", value: ph.mean, unit: String::new() });
        }
        let haul = row.haul.as_ref();
        Ok(Self {
            row,
            units: units_of_row(row)?,
            material: material_in_words(&row.material),
            supplier: row.material.supplier.as_deref().and_then(one_blank),
            customer: row.field.customer.as_deref().and_then(one_blank),
            area,
            mapped: area - kept_out,
            treated: known("treated_area", &row.treated_area, area_of)?,
            need: known("need_total", &row.need_total, carbonate_of)?,
            supplied: known("supplied_total", &row.supplied_total, carbonate_of)?,
            excess: known("excess_total", &row.excess_total, carbonate_of)?,
            unmet: known("unmet_total", &row.unmet_total, carbonate_of)?,
            order: Ordered {
                prescribed: known("product_total", &row.product_total, product_of)?,
                to_load: known("to_load", &row.to_load, product_of)?,
                to_order: known("to_order", &row.to_order, product_of)?,
            },
            mean_rate: known("mean_rate", &row.mean_rate, rate_of)?,
            least_rate: maybe("least_rate", row.least_rate.as_ref(), rate_of)?,
            greatest_rate: maybe("greatest_rate", row.greatest_rate.as_ref(), rate_of)?,
            composite_product: known("composite.product", &row.composite.product, product_of)?,
            composite_to_order: known("composite.to_order", &row.composite.to_order, product_of)?,
            composite_cost: maybe("composite.cost", row.composite.cost.as_ref(), money_of)?,
            cost: maybe(
                "haul.cost_total",
                haul.and_then(|haul| haul.cost_total.as_ref()),
                money_of,
            )?,
            haul_cost: maybe(
                "haul.haul_cost",
                haul.and_then(|haul| haul.haul_cost.as_ref()),
                money_of,
            )?,
            distance: maybe(
                "haul.one_way_distance",
                haul.and_then(|haul| haul.one_way_distance.as_ref()),
                road_of,
            )?,
            kilogram_metres: maybe(
                "haul.ton_miles",
                haul.and_then(|haul| haul.ton_miles.as_ref()),
                kilogram_metres_of,
            )?,
            risk: maybe("aluminium_risk_area", row.aluminium_risk_area.as_ref(), area_of)?,
            applications: applications(row)?,
        })
    }
}

fn units_of_row(row: &FieldRow) -> Result<UnitSystem, NoAmount> {
    // The unit of its area is that of its system.
    match row.area.unit.as_ref() {
        "ac" => Ok(UnitSystem::Us),
        _ => known("area", &row.area, area_of).map(|_| UnitSystem::Metric),
    }
}

/// One entry for each application; a field without a list has one.
fn applications(row: &FieldRow) -> Result<Vec<Ordered>, NoAmount> {
    let each = row.applications.iter().map(|part| {
        Ok(Ordered {
            prescribed: known("applications.product_total", &part.product_total, product_of)?,
            to_load: known("applications.to_load", &part.to_load, product_of)?,
            to_order: known("applications.to_order", &part.to_order, product_of)?,
        })
    });
    each.collect()
}

/// The material as totals tell it apart from others: its name, its kind and what of it is effective.
pub fn material_in_words(material: &RowMaterial) -> String {
    let effective = plain(material.effective_as_spread * 100.0, 1, 6);
    let name = one_blank(&material.name).unwrap_or_default();
    format!("{name} ({}, {effective} % effective as spread)", material.kind)
}

/// A name of a field, where it has it.
type NameOf = for<'e, 'r> fn(&'e mut Exact<'r>) -> Option<&'e mut String>;

/// Writes names that differ by capitals alone as the first field that has them does.
pub(super) fn unite_names(rows: &mut [Exact<'_>]) {
    let parts: [NameOf; 3] = [
        |exact| Some(&mut exact.material),
        |exact| exact.supplier.as_mut(),
        |exact| exact.customer.as_mut(),
    ];
    for part in parts {
        let mut spellings = Spellings::default();
        for name in rows.iter_mut().filter_map(part) {
            let united = spellings.of(name).to_owned();
            *name = united;
        }
    }
}

fn known<T>(
    key: &'static str,
    quantity: &Quantity,
    read: impl Fn(&Quantity) -> Option<T>,
) -> Result<T, NoAmount> {
    // Money alone may be below 0 (a by-product that is paid for being taken).
    let sense = quantity.value >= 0.0 || key.ends_with("cost") || key.ends_with("cost_total");
    read(quantity).filter(|_| sense).ok_or_else(|| no_amount(key, quantity))
}

fn no_amount(key: &'static str, quantity: &Quantity) -> NoAmount {
    NoAmount { key, value: quantity.value, unit: quantity.unit.clone().into_owned() }
}

fn maybe<T>(
    key: &'static str,
    quantity: Option<&Quantity>,
    read: impl Fn(&Quantity) -> Option<T>,
) -> Result<Option<T>, NoAmount> {
    quantity.map(|quantity| known(key, quantity, read)).transpose()
}
