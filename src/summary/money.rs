//! The haul and the money in a summary.

use super::build::Builder;
use super::{HaulPart, Quantity};
use crate::haul::{Charges, Costs, CostsAsked, Haul, costs_of};
use crate::units::{
    Area, KG_PER_SHORT_TON, KG_PER_TONNE, M_PER_MILE, Money, ProductMass, UnitSystem, tidy,
};

/// What a cost is counted for.
pub(super) struct Ordered<'a> {
    pub(super) to_order: ProductMass,
    pub(super) to_load: ProductMass,
    /// The haul of that order.
    pub(super) haul: Option<&'a Haul>,
    /// The ground that it is spread on.
    pub(super) spread_over: Area,
}

impl Builder<'_> {
    /// An amount in the job's currency; `None` where the job names none.
    pub(super) fn money(&self, money: Money) -> Option<Quantity> {
        let currency = self.parts.job.currency()?;
        Some(Quantity { value: tidy(money.to_units()), unit: currency.words().to_owned().into() })
    }

    /// The part is left out where the job gives neither a price nor a haul.
    pub(super) fn haul(&self) -> Option<HaulPart> {
        let ordered = self.parts.ordered;
        let (haul, asked) = (ordered.haul.as_ref(), self.parts.job.haul.as_ref());
        let price = self.parts.job.material.price.as_ref();
        if haul.is_none() && price.is_none() {
            return None;
        }
        let charge = asked.and_then(|asked| asked.cost.as_ref());
        let charges = haul.and_then(|haul| haul.charges);
        let ordered = Ordered {
            to_order: ordered.totals.to_order,
            to_load: ordered.totals.to_load,
            haul,
            // Ground that is gone over twice is paid for twice.
            spread_over: self.parts.applications.iter().map(|one| one.treated_area).sum(),
        };
        let costs = self.costs(&ordered);
        let known = costs.known();
        let total = costs.total();
        Some(HaulPart {
            one_way_distance: haul
                .and_then(|haul| haul.one_way_distance)
                .map(|distance| self.system.road(distance).into()),
            ton_miles: haul
                .and_then(|haul| haul.kilogram_metres)
                .map(|hauled| ton_miles(self.system, hauled)),
            truck_time: haul
                .and_then(|haul| haul.truck_time)
                .map(|time| Quantity { value: time.to_hours(), unit: "h".into() }),
            cost: haul.and_then(|haul| haul.cost).and_then(|cost| self.money(cost)),
            charge: charge.map(|cost| cost.written.clone()),
            charge_per_mass: charges.and_then(|charges| self.charge_per_mass(charges)),
            charge_per_load: charges.and_then(|charges| self.charge_per_load(charges)),
            minimum_charge: charge
                .and_then(|cost| cost.minimum)
                .and_then(|minimum| self.money(minimum))
                .map(|Quantity { value, unit }| Quantity {
                    value,
                    unit: format!("{unit}/load").into(),
                }),
            loads_at_minimum: haul.and_then(|haul| haul.loads_at_minimum),
            product_cost: costs.product.and_then(|cost| self.money(cost)),
            price_at: price.map(|price| price.at.words().to_owned()),
            spreading_cost: costs.spreading.and_then(|cost| self.money(cost)),
            cost_total: total.and_then(|total| self.money(total)),
            cost_covers: known.iter().map(|(name, _)| (*name).to_owned()).collect(),
            cost_per_area: total.and_then(|total| {
                let area = self.area(self.parts.prescription.area);
                self.money_per(total, area.value, &area.unit)
            }),
            cost_per_effective: self.cost_per_effective(&costs),
        })
    }

    fn charge_per_mass(&self, charges: Charges) -> Option<Quantity> {
        let Charges::ByMass { amount, per } = charges else { return None };
        let per = self.product(per);
        self.money_per(amount, per.value, &per.unit)
    }

    fn charge_per_load(&self, charges: Charges) -> Option<Quantity> {
        let Charges::ByLoad(amount) = charges else { return None };
        self.money_per(amount, 1.0, "load")
    }

    /// What an order costs, on the same basis whatever is ordered: product as ordered, haul and
    /// spreading, each where it is known.
    pub(super) fn cost_of(&self, ordered: &Ordered<'_>) -> Option<Quantity> {
        self.costs(ordered).total().and_then(|total| self.money(total))
    }

    pub(super) fn costs(&self, ordered: &Ordered<'_>) -> Costs {
        let asked = self.parts.job.haul.as_ref();
        costs_of(&CostsAsked {
            to_order: ordered.to_order,
            to_load: ordered.to_load,
            spread_over: ordered.spread_over,
            price: self.parts.job.material.price.as_ref(),
            haul: ordered.haul,
            spreading: asked.and_then(|asked| asked.spreading.as_ref()).map(|cost| cost.charge),
        })
    }

    /// Product and haul over the effective CaCO3 in what is ordered.
    fn cost_per_effective(&self, costs: &Costs) -> Option<Quantity> {
        let delivered = costs.product? + costs.haul.unwrap_or(Money::ZERO);
        let ordered = self.parts.ordered.totals.to_order * self.parts.job.material.effective;
        let effective = self.carbonate(ordered);
        self.money_per(delivered, effective.value, &format!("{} CaCO3", effective.unit))
    }

    /// `money` over `amount` of `unit`; `None` over nothing.
    fn money_per(&self, money: Money, amount: f64, unit: &str) -> Option<Quantity> {
        let Quantity { value, unit: currency } = self.money(money)?;
        (amount > 0.0)
            .then(|| Quantity { value: value / amount, unit: format!("{currency}/{unit}").into() })
    }
}

fn ton_miles(system: UnitSystem, kilogram_metres: f64) -> Quantity {
    match system {
        UnitSystem::Us => Quantity {
            value: kilogram_metres / (KG_PER_SHORT_TON * M_PER_MILE),
            unit: "ton-mile".into(),
        },
        UnitSystem::Metric => {
            Quantity { value: kilogram_metres / (KG_PER_TONNE * 1_000.0), unit: "t-km".into() }
        }
    }
}
