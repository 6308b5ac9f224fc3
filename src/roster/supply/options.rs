//! What each field would take of each supplier, and what that costs, delivered.

use super::scaled::{Scaled, scaled};
use crate::haul::{HaulAsked, Load, count_loads, haul_of};
use crate::inputs::{SupplierPart, SupplierTrip};
use crate::material::PriceAt;
use crate::roster::order::{OrderParcel, straight_m};
use crate::units::{
    CarbonateMass, EffectiveFraction, Length, Money, ProductMass, TimeTaken, bound,
};

/// What a field would take of a supplier.
#[derive(Clone, Copy, Debug)]
pub(super) struct Offered {
    /// The most that it may take; this is ordered.
    pub(super) to_order: ProductMass,
    /// The least that it may take.
    pub(super) least: ProductMass,
    pub(super) trucks: Option<u64>,
    pub(super) distance: Option<Length>,
    pub(super) cost: Money,
}

impl Offered {
    /// Whether the tons are known as bounds only.
    pub(super) fn is_bounded(&self) -> bool {
        self.to_order - self.least > self.to_order * 1e-9
    }
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

    /// What has to be delivered of the material of `supplier` for each application, the least and
    /// the most: what supplies the same CaCO3, but for the ground that the spreader's limits hold.
    fn needs(&self, supplier: &SupplierPart) -> Option<Vec<(ProductMass, ProductMass)>> {
        let own = self.effective()?;
        let times = own.to_number() / supplier.material.effective.to_number();
        let scaled = scaled(self.parcels[0].row, times);
        let needs = self.parcels.iter().map(|parcel| {
            if let Some(Scaled { least, most }) = scaled {
                return (parcel.needed * least, parcel.needed * most);
            }
            let carbonate: CarbonateMass = parcel.needed * own;
            let need = carbonate / supplier.material.effective;
            (need, need)
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

    /// From the plant by road, one way; `Err` where the place of the plant is beyond any haul.
    fn distance(
        &self,
        supplier: &SupplierPart,
        road_factor: Option<f64>,
    ) -> Result<Option<Length>, &'static str> {
        let stated = supplier.distances.get(self.id()).copied().or(supplier.one_way_distance);
        let (None, Some(place), Some(factor)) = (stated, supplier.place_deg, road_factor) else {
            return Ok(stated);
        };
        let metres = straight_m(place, self.parcels[0].row.place_deg) * factor;
        if bound::ROAD.check(metres, "").is_err() {
            return Err("its `place` lies farther from the field by road than any haul may go: \
                        check it, longitude comes first");
        }
        Ok(Some(Length::from_metres(metres)))
    }

    /// What it would take of `supplier`; `Err` says why that is not known.
    pub(super) fn offered(
        &self,
        supplier: &SupplierPart,
        road_factor: Option<f64>,
    ) -> Result<Offered, &'static str> {
        let needs =
            self.needs(supplier).ok_or("the effective part of its own material is amiss")?;
        let distance = self.distance(supplier, road_factor)?;
        let truck = self.truck(supplier);
        let mut offered = Offered {
            to_order: ProductMass::ZERO,
            least: ProductMass::ZERO,
            trucks: truck.map(|_| 0),
            distance,
            cost: Money::ZERO,
        };
        let trucks_for =
            |need| truck.map(|mass| count_loads(need, Load { mass, binds: None }).count);
        let in_whole = |need, count: Option<u64>| match (truck, count) {
            (Some(truck), Some(count)) if self.whole() => truck * count as f64,
            _ => need,
        };
        for (least, need) in needs {
            let count = trucks_for(need);
            let ordered = in_whole(need, count);
            offered.to_order += ordered;
            offered.least += in_whole(least, trucks_for(least));
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
        let distance = self.distance(supplier, road_factor)?;
        let least = needs.iter().map(|&(least, _)| least).sum();
        let to_order = needs.iter().map(|&(_, most)| most).sum();
        let cost = delivered(supplier, to_order, None, distance)?;
        Ok(Offered { to_order, least, trucks: None, distance, cost })
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
