//! What is loaded, ordered and hauled for the applications of a field.

use crate::haul::{
    Haul, HaulAsked, Load, Loads, OrderAsked, Totals, count_loads, haul_of, order_totals,
};
use crate::inputs::{HaulPart, Job, OrderPart};
use crate::machine::Machine;
use crate::material::Material;
use crate::prescription::Prescription;
use crate::summary::OrderedParts;
use crate::units::ProductMass;

/// The order for what each application spreads. Each is loaded, ordered and hauled by itself, so
/// each has a last load of its own.
pub(super) fn ordered(
    order: &OrderPart,
    haul: Option<&HaulPart>,
    machine: &Machine,
    material: &Material,
    products: &[ProductMass],
) -> OrderedParts {
    let full = Load::full(machine.payload, machine.box_volume, material.bulk_density);
    let truck = haul.and_then(|haul| haul.truck_payload);
    let asked = OrderAsked {
        overlap_allowance: order.overlap_allowance,
        pile_loss: order.pile_loss,
        whole_trucks_of: truck.filter(|_| order.whole_trucks),
    };
    let each: Vec<Totals> = products.iter().map(|&product| order_totals(product, &asked)).collect();
    let trucks = |totals: &Totals| {
        truck.map(|mass| count_loads(totals.to_order, Load { mass, binds: None }))
    };
    let truck_loads: Option<Vec<Loads>> = each.iter().map(trucks).collect();
    let hauls = haul.map(|haul| {
        each.iter().map(|totals| hauled(haul, totals.to_order, trucks(totals))).collect()
    });
    OrderedParts {
        totals: Totals::sum(&each),
        spreader_loads: each.iter().map(|totals| count_loads(totals.to_load, full)).collect(),
        truck_loads,
        haul: hauls.as_ref().map(|hauls: &Vec<Haul>| Haul::sum(hauls)),
        each,
        hauls,
    }
}

/// The order of a job for each of its applications.
pub(super) fn ordered_in(job: &Job, applications: &[Prescription]) -> OrderedParts {
    let products: Vec<ProductMass> = applications.iter().map(|one| one.product).collect();
    ordered(&job.order, job.haul.as_ref(), &job.machine, &job.material, &products)
}

/// The haul of an order that so many trucks carry.
fn hauled(haul: &HaulPart, ordered: ProductMass, loads: Option<Loads>) -> Haul {
    let asked = HaulAsked {
        one_way_distance: haul.one_way_distance,
        round_trip: haul.round_trip,
        charge: haul.cost.as_ref().map(|cost| cost.charge),
        minimum_charge: haul.cost.as_ref().and_then(|cost| cost.minimum),
    };
    haul_of(ordered, loads, &asked)
}
