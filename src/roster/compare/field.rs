//! One field beside others.

use super::exact::Exact;
use super::shape::{ComparedField, MapGain, MeanPh, SavingPart};
use crate::roster::row::FieldRow;
use crate::summary::{FieldNames, Quantity};
use crate::units::{
    Amount, CarbonateMass, KG_PER_SHORT_TON, KG_PER_TONNE, M_PER_MILE, Money, ProductMass,
    UnitSystem, tidy,
};

/// An error of the mean below this is the noise of adding up readings that are all alike.
const LEAST_ERROR: f64 = 1e-9;

impl Exact<'_> {
    /// The field in the units of the whole.
    pub(super) fn compared(&self, system: UnitSystem) -> ComparedField {
        let row = self.row;
        let shown = Shown { converts: self.units != system };
        let haul = row.haul.as_ref();
        let cost = haul.and_then(|haul| haul.cost_total.clone());
        ComparedField {
            id: row.id.clone(),
            field: FieldNames { customer: self.customer.clone(), ..row.field.clone() },
            converted_from: shown.converts.then(|| self.units.words().to_owned()),
            area: shown.or(&row.area, || system.area(self.area)),
            mapped_area: tidied(system.area(self.mapped)),
            treated_area: shown.or(&row.treated_area, || system.area(self.treated)),
            ph: self.ph(),
            need_total: shown.or(&row.need_total, || system.carbonate(self.need)),
            supplied_total: shown.or(&row.supplied_total, || system.carbonate(self.supplied)),
            excess_total: shown.or(&row.excess_total, || system.carbonate(self.excess)),
            unmet_total: shown.or(&row.unmet_total, || system.carbonate(self.unmet)),
            unmet_share: share_of(self.unmet, self.need),
            product_total: shown.or(&row.product_total, || system.product(self.order.prescribed)),
            to_load: shown.or(&row.to_load, || system.product(self.order.to_load)),
            to_order: shown.or(&row.to_order, || system.product(self.order.to_order)),
            least_rate: shown.maybe(row.least_rate.as_ref(), self.least_rate, |r| system.rate(r)),
            mean_rate: shown.or(&row.mean_rate, || system.rate(self.mean_rate)),
            greatest_rate: shown
                .maybe(row.greatest_rate.as_ref(), self.greatest_rate, |rate| system.rate(rate)),
            spreader_loads: row.spreader_loads.count,
            truck_loads: row.truck_loads.as_ref().map(|loads| loads.count),
            one_way_distance: shown.maybe(
                haul.and_then(|haul| haul.one_way_distance.as_ref()),
                self.distance,
                |distance| system.road(distance),
            ),
            ton_miles: self.kilogram_metres.map(|hauled| ton_miles(system, hauled)),
            haul_cost: haul.and_then(|haul| haul.haul_cost.clone()),
            cost_per_area: self.cost_per_area(system),
            cost_total: cost,
            cost_covers: haul.map(|haul| haul.cost_covers.clone()).unwrap_or_default(),
            aluminium_risk_area: shown
                .maybe(row.aluminium_risk_area.as_ref(), self.risk, |area| system.area(area)),
            saving: SavingPart {
                product: mass(system, self.saving_product()),
                to_order: mass(system, self.saving_to_order()),
                cost: self.saving_cost().map(|saved| self.money(saved)),
            },
            map_gain: self.map_gain(),
            method: row.method.clone(),
            target: target_in_words(row),
            material: self.material.clone(),
            supplier: self.supplier.clone(),
            applications: row.applications.len().max(1),
            findings: row.findings,
        }
    }

    pub(super) fn ph(&self) -> Option<MeanPh> {
        let ph = self.row.ph.as_ref()?;
        Some(MeanPh { mean: ph.mean, measured_in: ph.measured_in.clone() })
    }

    pub(super) fn saving_product(&self) -> ProductMass {
        spared(self.composite_product, self.order.prescribed)
    }

    pub(super) fn saving_to_order(&self) -> ProductMass {
        spared(self.composite_to_order, self.order.to_order)
    }

    /// `None` unless both are known in one currency.
    pub(super) fn saving_cost(&self) -> Option<Money> {
        let (cost, currency) = self.cost.as_ref()?;
        let (composite, other) = self.composite_cost.as_ref()?;
        other.is_same_as(currency).then(|| {
            let (of, own) = (composite.to_units(), cost.to_units());
            if is_noise(of, own) { Money::ZERO } else { *composite - *cost }
        })
    }

    /// How far the map beats the mean, where the reading that leads the need was cross-checked.
    /// Readings that are all alike leave no error of the mean to beat.
    pub(super) fn map_gain(&self) -> Option<MapGain> {
        let leading = &self.row.leading_reading;
        let check = self.row.cross_check.iter().find(|check| check.reading == *leading)?;
        let share = 1.0 - check.rmse / check.mean_rmse;
        (check.mean_rmse >= LEAST_ERROR && share.is_finite())
            .then(|| MapGain { reading: check.reading.clone(), share })
    }

    /// An amount in the field's currency, which must be known.
    fn money(&self, amount: Money) -> Quantity {
        let unit = self.cost.as_ref().map_or("", |(_, currency)| currency.words());
        Quantity { value: tidy(amount.to_units()), unit: unit.to_owned().into() }
    }

    fn cost_per_area(&self, system: UnitSystem) -> Option<Quantity> {
        let (cost, currency) = self.cost.as_ref()?;
        let area = system.area(self.mapped);
        (area.value > 0.0).then(|| Quantity {
            value: cost.to_units() / area.value,
            unit: format!("{}/{}", currency.words(), area.unit).into(),
        })
    }
}

/// How quantities of a row are shown.
struct Shown {
    converts: bool,
}

impl Shown {
    /// The quantity as it stands in the row, or converted.
    fn or(&self, own: &Quantity, converted: impl FnOnce() -> Amount) -> Quantity {
        if self.converts { tidied(converted()) } else { own.clone() }
    }

    fn maybe<T>(
        &self,
        own: Option<&Quantity>,
        exact: Option<T>,
        converted: impl FnOnce(T) -> Amount,
    ) -> Option<Quantity> {
        let (own, exact) = own.zip(exact)?;
        Some(self.or(own, || converted(exact)))
    }
}

/// What is spared of a mass; what only rounding tells apart is nothing.
fn spared(of: ProductMass, own: ProductMass) -> ProductMass {
    let noise = is_noise(of.to_kilograms(), own.to_kilograms());
    if noise { ProductMass::ZERO } else { of - own }
}

/// Whether two amounts differ by no more than adding them up in another order does.
fn is_noise(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-12 * one.abs().max(other.abs())
}

/// A quantity clean of the noise of adding up and converting.
pub(super) fn tidied(amount: Amount) -> Quantity {
    Amount { value: tidy(amount.value), ..amount }.into()
}

/// A mass of product, which may be below 0.
pub(super) fn mass(system: UnitSystem, mass: ProductMass) -> Quantity {
    tidied(system.product(mass))
}

/// A part of a need as its share; `None` where there is no need.
pub(super) fn share_of(part: CarbonateMass, need: CarbonateMass) -> Option<f64> {
    (need > CarbonateMass::ZERO).then(|| part / need).filter(|share| share.is_finite())
}

/// Mass times distance in the system's unit.
pub(super) fn ton_miles(system: UnitSystem, kilogram_metres: f64) -> Quantity {
    let (one, unit) = match system {
        UnitSystem::Us => (KG_PER_SHORT_TON * M_PER_MILE, "ton-mile"),
        UnitSystem::Metric => (KG_PER_TONNE * 1_000.0, "t-km"),
    };
    Quantity { value: tidy(kilogram_metres / one), unit: unit.into() }
}

/// What is limed to, with the medium of a pH.
pub(super) fn target_in_words(row: &FieldRow) -> String {
    if row.target.starts_with("pH") {
        format!("{} ({})", row.target, row.target_medium)
    } else {
        row.target.clone()
    }
}
