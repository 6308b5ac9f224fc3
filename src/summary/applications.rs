//! What a summary says of each of several applications.

use super::build::{Builder, loads};
use super::shape::{LoadParts, Order};
use super::{LedgerPart, OneApplicationPart, Quantity};
use crate::haul::{Haul, Loads, Totals};

/// What is loaded, ordered and hauled for the applications of a field.
#[derive(Clone, Debug)]
pub struct OrderedParts {
    /// Prescribed, to load, to order, for all applications together.
    pub totals: Totals,
    /// The same for each.
    pub each: Vec<Totals>,
    /// Loads of the spreader, for each.
    pub spreader_loads: Vec<Loads>,
    /// Loads of the trucks, for each; `None` where no truck is known.
    pub truck_loads: Option<Vec<Loads>>,
    /// The haul of each order; `None` without a haul.
    pub hauls: Option<Vec<Haul>>,
    /// The haul of all of them.
    pub haul: Option<Haul>,
}

impl LedgerPart {
    /// All that is left out.
    pub fn unmet(&self) -> Quantity {
        let some = [&self.overridden_down, &self.areas_down, &self.held_back];
        let some: f64 = some.into_iter().flatten().map(|part| part.value).sum();
        let value = self.dropped.value + self.capped.value + self.rounded_down.value + some;
        Quantity { value, unit: self.need.unit.clone() }
    }
}

impl Builder<'_> {
    pub(super) fn applications(&self) -> Vec<OneApplicationPart> {
        let parts = self.parts;
        if parts.applications.len() < 2 {
            return Vec::new();
        }
        let dates = &parts.job.dates;
        let days: Vec<&String> = dates.spread.iter().chain(&dates.further_spread).collect();
        let ordered = parts.ordered;
        let each = parts.applications.iter().zip(&ordered.each).enumerate();
        each.map(|(at, (spread, totals))| OneApplicationPart {
            number: at as u32 + 1,
            // Of some days without the others nobody can tell which they are of.
            date: days.get(at).filter(|_| days.len() == parts.applications.len()).copied().cloned(),
            treated_area: self.area(spread.treated_area),
            product_total: self.product(totals.prescribed),
            to_load: self.product(totals.to_load),
            to_order: self.product(totals.to_order),
            order: self.order(totals),
            loads: LoadParts {
                spreader: loads(self.system, &ordered.spreader_loads[at..=at]),
                truck: ordered.truck_loads.as_ref().map(|each| loads(self.system, &each[at..=at])),
            },
            haul_cost: ordered
                .hauls
                .as_ref()
                .and_then(|hauls| hauls[at].cost)
                .and_then(|cost| self.money(cost)),
            rates: self.rates_of(spread, parts.job.machine.single()),
            ledger: self.ledger_part(&spread.ledger),
        })
        .collect()
    }

    /// What lies between prescribed, to load and to order.
    pub(super) fn order(&self, totals: &Totals) -> Order {
        Order {
            overlap: self.product(totals.overlap),
            pile_loss: self.product(totals.pile_loss),
            truck_fill: self.product(totals.truck_fill),
        }
    }
}
