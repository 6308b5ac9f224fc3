//! Prescribed, to load, to order: three totals, by name, never mixed.

use crate::units::{ProductMass, Share};

/// What is asked for beyond what is prescribed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OrderAsked {
    /// Product spread twice where passes overlap, of what is prescribed.
    pub overlap_allowance: Share,
    /// The part of the pile that never gets loaded.
    pub pile_loss: Share,
    /// The load of a truck, where the order is rounded up to whole trucks.
    pub whole_trucks_of: Option<ProductMass>,
}

/// The three totals and what lies between them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Totals {
    /// What the map puts on the ground.
    pub prescribed: ProductMass,
    /// Added for overlapping passes.
    pub overlap: ProductMass,
    /// What goes into the spreader: prescribed and overlap.
    pub to_load: ProductMass,
    /// Added because some of the pile stays where it lies.
    pub pile_loss: ProductMass,
    /// Added to fill the last truck.
    pub truck_fill: ProductMass,
    /// What is ordered: to load, pile loss and truck fill.
    pub to_order: ProductMass,
}

impl Totals {
    /// Several orders together.
    pub fn sum(orders: &[Self]) -> Self {
        let of = |part: fn(&Self) -> ProductMass| orders.iter().map(part).sum();
        Self {
            prescribed: of(|one| one.prescribed),
            overlap: of(|one| one.overlap),
            to_load: of(|one| one.to_load),
            pile_loss: of(|one| one.pile_loss),
            truck_fill: of(|one| one.truck_fill),
            to_order: of(|one| one.to_order),
        }
    }
}

/// Works out what to load and what to order.
///
/// The pile loss is a part of what is delivered, so the delivered mass times what is not lost is
/// what can be loaded.
pub fn order_totals(prescribed: ProductMass, asked: &OrderAsked) -> Totals {
    let overlap = prescribed * asked.overlap_allowance.to_number();
    let to_load = prescribed + overlap;
    let delivered = to_load / (1.0 - asked.pile_loss.to_number());
    let pile_loss = delivered - to_load;
    let to_order = match asked.whole_trucks_of {
        None => delivered,
        Some(truck) => {
            let full = super::Load { mass: truck, binds: None };
            truck * super::count_loads(delivered, full).count as f64
        }
    };
    let truck_fill = (to_order - delivered).max(ProductMass::ZERO);
    Totals { prescribed, overlap, to_load, pile_loss, truck_fill, to_order }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_three_totals_differ_by_what_stands_between_them() {
        let asked = OrderAsked {
            overlap_allowance: Share::from_number(0.05).expect("a share"),
            pile_loss: Share::from_number(0.02).expect("a share"),
            whole_trucks_of: Some(ProductMass::from_short_tons(25.0)),
        };
        let totals = order_totals(ProductMass::from_short_tons(200.0), &asked);
        assert!((totals.to_load.to_short_tons() - 210.0).abs() < 1e-9);
        // 210 / 0.98 = 214.29 tons delivered, in 9 trucks of 25 tons
        assert!((totals.to_order.to_short_tons() - 225.0).abs() < 1e-9);
        let sum = totals.to_load + totals.pile_loss + totals.truck_fill;
        assert!((sum / totals.to_order - 1.0).abs() < 1e-12);
    }

    #[test]
    fn the_pile_loss_is_a_part_of_what_is_delivered() {
        let asked = OrderAsked {
            overlap_allowance: Share::NONE,
            pile_loss: Share::from_number(0.02).expect("a share"),
            whole_trucks_of: None,
        };
        let totals = order_totals(ProductMass::from_short_tons(98.0), &asked);
        // 98 / 0.98
        assert!((totals.to_order.to_short_tons() - 100.0).abs() < 1e-9);
        assert!((totals.pile_loss.to_short_tons() - 2.0).abs() < 1e-9);
        assert_eq!(totals.truck_fill, ProductMass::ZERO);
    }
}
