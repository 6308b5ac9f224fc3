//! The running balance of each material: what arrives, what is spread, what is left.

use std::collections::BTreeMap;

use super::drops::Drop;
use super::parcels::Parcel;
use crate::haul::{Load, count_loads};
use crate::units::ProductMass;

/// What happens at one application of one field.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    /// The place of its parcel.
    pub(super) parcel: usize,
    /// The place of its drop.
    pub(super) drop: usize,
    pub(super) arrives: ProductMass,
    /// Trucks with it, where it is the first at its drop.
    pub(super) trucks: Option<u64>,
    pub(super) spread: ProductMass,
    pub(super) lost: ProductMass,
    pub(super) short: ProductMass,
    pub(super) left_here: ProductMass,
    pub(super) balance: ProductMass,
}

/// What trucks bring to one drop.
#[derive(Clone, Copy, Debug)]
pub(super) struct Delivery {
    pub(super) carried_in: ProductMass,
    pub(super) ordered: ProductMass,
    pub(super) trucks: Option<u64>,
}

/// The balance of all materials along the order of work.
#[derive(Debug)]
pub(super) struct Balance {
    pub(super) steps: Vec<Step>,
    /// For each drop.
    pub(super) deliveries: Vec<Delivery>,
    /// What lies at each drop at the end.
    pub(super) left: Vec<ProductMass>,
}

/// What there is of one line as the work goes on.
#[derive(Clone, Copy)]
struct OnHand {
    /// All of it.
    balance: ProductMass,
    /// Left at drops that are done, and free to go elsewhere.
    free: ProductMass,
}

/// A rest below this part of what was needed is a rounding error.
const NOTHING: f64 = 1e-9;

/// Works through the parcels in `order`. A drop arrives whole before the first of its fields. Where
/// `carry_over` is set, what is left at drops that are done goes into the next of the line, whose
/// order is less by it. `limits` holds, for each line, the supplier that it counts against and how
/// much that one has; a supplier that runs out leaves the later fields short.
pub(super) fn balance(
    parcels: &[Parcel<'_>],
    drops: &[Drop],
    order: &[usize],
    carry_over: bool,
    limits: &[Option<(usize, ProductMass)>],
) -> Balance {
    let mut drop_of = vec![0; parcels.len()];
    for (at, drop) in drops.iter().enumerate() {
        for &parcel in &drop.parcels {
            drop_of[parcel] = at;
        }
    }
    let mut remaining: BTreeMap<usize, ProductMass> = limits.iter().flatten().copied().collect();
    let none = OnHand { balance: ProductMass::ZERO, free: ProductMass::ZERO };
    let mut on_hand = vec![none; limits.len()];
    let mut deliveries: Vec<Option<Delivery>> = vec![None; drops.len()];
    let mut here = vec![ProductMass::ZERO; drops.len()];
    // The drops of each line that are done and from which nothing was carried on.
    let mut lying: Vec<Vec<usize>> = vec![Vec::new(); limits.len()];
    let mut to_come: Vec<usize> = drops.iter().map(|drop| drop.parcels.len()).collect();
    let mut steps = Vec::with_capacity(order.len());
    for &at in order {
        let (parcel, of_drop) = (&parcels[at], drop_of[at]);
        let (drop, line) = (&drops[of_drop], &mut on_hand[parcel.line]);
        let arrival = deliveries[of_drop].is_none().then(|| {
            let supplier = limits[parcel.line].map(|(supplier, _)| supplier);
            let limit = supplier.and_then(|supplier| remaining.get_mut(&supplier));
            let carried = if carry_over { line.free } else { ProductMass::ZERO };
            let delivery = delivered(drop, carried, limit);
            line.free = line.free - delivery.carried_in;
            line.balance += delivery.ordered;
            if carry_over {
                lying[parcel.line].drain(..).for_each(|drop| here[drop] = ProductMass::ZERO);
            }
            here[of_drop] = delivery.carried_in + delivery.ordered;
            delivery
        });
        if arrival.is_some() {
            deliveries[of_drop] = arrival;
        }
        let used = parcel.needed.min(here[of_drop]);
        let short = rest(parcel.needed - used, parcel.needed);
        here[of_drop] = rest(here[of_drop] - used, drop.needed);
        line.balance = rest(line.balance - used, drop.needed);
        to_come[of_drop] -= 1;
        if to_come[of_drop] == 0 {
            line.free += here[of_drop];
            lying[parcel.line].push(of_drop);
        }
        let spread = parcel.to_load * (used / parcel.needed);
        steps.push(Step {
            parcel: at,
            drop: of_drop,
            arrives: arrival.map_or(ProductMass::ZERO, |delivery| delivery.ordered),
            trucks: arrival.and_then(|delivery| delivery.trucks),
            spread,
            lost: rest(used - spread, used),
            short,
            left_here: here[of_drop],
            balance: line.balance,
        });
    }
    let nothing =
        Delivery { carried_in: ProductMass::ZERO, ordered: ProductMass::ZERO, trucks: None };
    let deliveries = deliveries.into_iter().map(|it| it.unwrap_or(nothing)).collect();
    Balance { steps, deliveries, left: here }
}

fn rest(mass: ProductMass, of: ProductMass) -> ProductMass {
    if mass.to_kilograms() <= of.to_kilograms() * NOTHING { ProductMass::ZERO } else { mass }
}

/// What trucks bring to a drop beside what is carried into it, as far as the supplier has it.
fn delivered(drop: &Drop, carried: ProductMass, limit: Option<&mut ProductMass>) -> Delivery {
    let wanted = rest(drop.needed - carried, drop.needed);
    let loads = |mass: ProductMass| {
        drop.truck.map(|truck| count_loads(mass, Load { mass: truck, binds: None }).count)
    };
    let mut trucks = loads(wanted);
    let mut ordered = match (drop.truck, trucks) {
        (Some(truck), Some(count)) if drop.whole => truck * count as f64,
        _ => wanted,
    };
    if let Some(left) = limit {
        if ordered > *left {
            (ordered, trucks) = match drop.truck {
                Some(truck) if drop.whole => {
                    let count = (*left / truck + 1e-9).floor();
                    (truck * count, Some(count as u64))
                }
                _ => (*left, loads(*left)),
            };
        }
        *left = *left - ordered;
    }
    Delivery { carried_in: carried, ordered, trucks }
}
