//! What each field would take of each supplier, and what that costs, delivered.

use crate::haul::{HaulAsked, Load, count_loads, haul_of};
use crate::inputs::{SupplierPart, SupplierTrip};
use crate::material::PriceAt;
use crate::roster::order::{OrderParcel, straight_m};
use crate::units::{CarbonateMass, EffectiveFraction, Length, Money, ProductMass, TimeTaken};

/// What a field would take of a supplier.
#[derive(Clone, Copy, Debug)]
pub(super) struct Offered {
    pub(super) to_order: ProductMass,
    pub(super) trucks: Option<u64>,
    pub(super) distance: Option<Length>,
    pub(super) cost: Money,
}

/// The applications of one field.
pub(super) struct Demand<'r> {
    pub(super) parcels: Vec<&'r OrderParcel<'r>>,
}

impl Demand<'_> {
    pub(super) fn id(&self) -> &str {
        &self.parcels[0].row.id
    }

    /// The effective part of the material that its map was made with.
    pub(super) fn effective(&self) -> Option<EffectiveFraction> {
        EffectiveFraction::from_number(self.parcels[0].row.material.effective_as_spread)
    }

    /// What has to be delivered of the material of `supplier` for each application: what supplies
    /// the same CaCO3.
    pub(super) fn needs(&self, supplier: &SupplierPart) -> Option<Vec<ProductMass>> {
        let own = self.effective()?;
        let needs = self.parcels.iter().map(|parcel| {
            let carbonate: CarbonateMass = parcel.needed * own;
            carbonate / supplier.material.effective
        });
        Some(needs.collect())
    }

    /// What a truck of `supplier` carries: its own payload, else that of the field's job.
    pub(super) fn truck(&self, supplier: &SupplierPart) -> Option<ProductMass> {
        supplier.truck_payload.or(self.parcels[0].truck)
    }

    /// Whether it orders whole trucks: as its job does, or where that knows no trucks.
    pub(super) fn whole(&self) -> bool {
        self.parcels[0].truck.is_none() || self.parcels.iter().all(|parcel| parcel.whole)
    }

    /// From the plant by road, one way.
    pub(super) fn distance(
        &self,
        supplier: &SupplierPart,
        road_factor: Option<f64>,
    ) -> Option<Length> {
        let stated = supplier.distances.get(self.id()).copied().or(supplier.one_way_distance);
        stated.or_else(|| {
            let line = straight_m(supplier.place_deg?, self.parcels[0].row.place_deg);
            Some(Length::from_metres(line * road_factor?))
        })
    }

    /// What it would take of `supplier`; `Err` says why that is not known.
    pub(super) fn offered(
        &self,
        supplier: &SupplierPart,
        road_factor: Option<f64>,
    ) -> Result<Offered, &'static str> {
        let needs =
            self.needs(supplier).ok_or("the effective part of its own material is amiss")?;
        let distance = self.distance(supplier, road_factor);
        let truck = self.truck(supplier);
        let mut offered = Offered {
            to_order: ProductMass::ZERO,
            trucks: truck.map(|_| 0),
            distance,
            cost: Money::ZERO,
        };
        for need in needs {
            let count = truck.map(|mass| count_loads(need, Load { mass, binds: None }).count);
            let ordered = match (truck, count) {
                (Some(truck), Some(count)) if self.whole() => truck * count as f64,
                _ => need,
            };
            offered.to_order += ordered;
            offered.trucks = offered.trucks.zip(count).map(|(all, count)| all + count);
            offered.cost += delivered(supplier, ordered, truck, distance)?;
        }
        Ok(offered)
    }
}

impl Demand<'_> {
    /// What it would take of `supplier` to the ton, whatever a truck carries.
    pub(super) fn loose(
        &self,
        supplier: &SupplierPart,
        road_factor: Option<f64>,
    ) -> Result<Offered, &'static str> {
        let needs =
            self.needs(supplier).ok_or("the effective part of its own material is amiss")?;
        let distance = self.distance(supplier, road_factor);
        let to_order = needs.into_iter().sum();
        let cost = delivered(supplier, to_order, None, distance)?;
        Ok(Offered { to_order, trucks: None, distance, cost })
    }
}

/// What `ordered` costs, delivered; `Err` says why that is not known.
pub(super) fn delivered(
    supplier: &SupplierPart,
    ordered: ProductMass,
    truck: Option<ProductMass>,
    distance: Option<Length>,
) -> Result<Money, &'static str> {
    let price = supplier.material.price.as_ref().ok_or("it has no price")?;
    let product = price.of(ordered);
    if price.at != PriceAt::Plant {
        return Ok(product);
    }
    let charge = supplier.cost.as_ref().ok_or("what its haul costs is not stated")?;
    let trip = match supplier.trip {
        Some(SupplierTrip::Fixed(time)) => Some(time),
        Some(SupplierTrip::Driven { speed, load }) => {
            distance.map(|distance| -> TimeTaken { (distance * 2.0).time_at(speed) + load })
        }
        None => None,
    };
    let asked = HaulAsked {
        one_way_distance: distance,
        round_trip: trip,
        charge: Some(charge.charge),
        minimum_charge: charge.minimum,
    };
    let loads = truck.map(|mass| count_loads(ordered, Load { mass, binds: None }));
    let haul = haul_of(ordered, loads, &asked).cost;
    haul.map(|haul| product + haul).ok_or(if distance.is_none() {
        "its distance is not known: state `distance`, `haul.one_way_distance`, or `place` with \
         `calendar.road_factor`"
    } else {
        "its haul cost is not known: state `haul.truck_payload`"
    })
}
