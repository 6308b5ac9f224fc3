//! What a pool is counted in: masses or money, as whole numbers.

use super::candidate::{Candidate, MG_PER_KG, PER_MONEY, milligrams};
use crate::findings::{Place, Problem, first_of};
use crate::inputs::PlanAmounts;
use crate::roster::FieldRow;
use crate::summary::Quantity;
use crate::units::{Currency, ProductMass, UnitSystem};

/// Fields that are named together before the rest is counted.
const NAMED: usize = 10;

/// Why what a field costs cannot be counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum NoCost<'r> {
    /// It is not known.
    Unknown,
    /// It is in this money, and not in that of the limit.
    In(&'r str),
}

/// What a limit is of.
#[derive(Clone, Debug)]
pub(super) enum Counted {
    /// Material as spread, to order.
    Product,
    /// Money.
    Money(Currency),
}

impl Counted {
    pub(super) fn of(amounts: &PlanAmounts) -> Self {
        match amounts {
            PlanAmounts::Product(_) => Self::Product,
            PlanAmounts::Money(_, currency) => Self::Money(currency.clone()),
        }
    }

    /// The limit of each year. One unit for each of so many fields or areas is let through beyond it,
    /// because each is rounded to a whole one.
    pub(super) fn limits(amounts: &PlanAmounts, rounded: usize) -> Vec<i64> {
        let slack = i64::try_from(rounded).unwrap_or(i64::MAX);
        let whole = |number: f64| number.round() as i64 + slack;
        match amounts {
            PlanAmounts::Product(masses) => {
                masses.iter().map(|mass| whole(mass.to_kilograms() * MG_PER_KG)).collect()
            }
            PlanAmounts::Money(money, _) => {
                money.iter().map(|money| whole(money.to_units() * PER_MONEY)).collect()
            }
        }
    }

    /// What an order for a part of a field's ground takes of the limit.
    pub(super) fn weight(&self, candidate: &Candidate<'_>, order: ProductMass, ground: f64) -> i64 {
        match self {
            Self::Product => milligrams(order),
            Self::Money(_) => {
                let cost = cost_of(candidate, order, ground).unwrap_or_default();
                (cost * PER_MONEY).round() as i64
            }
        }
    }

    /// An amount of it, as it is written.
    pub(super) fn quantity(&self, system: UnitSystem, weight: i64) -> Quantity {
        match self {
            Self::Product => {
                system.product(ProductMass::from_kilograms(weight as f64 / MG_PER_KG)).into()
            }
            Self::Money(currency) => Quantity {
                value: weight as f64 / PER_MONEY,
                unit: currency.words().to_owned().into(),
            },
        }
    }

    /// What is wrong with the cost of a field where the limit is in money; nothing where all is well.
    pub(super) fn not_known_of<'r>(&self, row: &'r FieldRow) -> Option<NoCost<'r>> {
        let Self::Money(currency) = self else { return None };
        let Some(cost) = row.haul.as_ref().and_then(|haul| haul.cost_total.as_ref()) else {
            return Some(NoCost::Unknown);
        };
        let own = Currency::from_words(&cost.unit);
        let fits = own.is_some_and(|own| own.is_same_as(currency));
        (!fits).then_some(NoCost::In(cost.unit.as_ref()))
    }

    /// Says why the costs of several fields cannot be counted.
    pub(super) fn not_known(&self, ids: &[&str], why: NoCost<'_>, place: &Place) -> Problem {
        let limit = match self {
            Self::Money(currency) => currency.words(),
            Self::Product => "tons",
        };
        let costs = match ids {
            [id] => format!("what the field `{id}` costs is"),
            several => {
                format!("what {} fields cost ({}) is", several.len(), first_of(several, NAMED))
            }
        };
        let what = match why {
            NoCost::Unknown => format!("the limit is in {limit}, and {costs} not known"),
            NoCost::In(other) => format!("the limit is in {limit}, and {costs} in {other}"),
        };
        Problem::at(place.clone(), what)
            .allowed("a price, haul and spreading cost in every job, in the money of the limit")
            .hint("add them to the jobs or to what they share, or state the limit in tons")
    }
}

/// What an order for a part of a field's ground costs: product and haul by the share of the whole
/// order, spreading by the share of the ground. `None` where the field's costs are not known.
pub(super) fn cost_of(candidate: &Candidate<'_>, order: ProductMass, ground: f64) -> Option<f64> {
    let haul = candidate.row.haul.as_ref()?;
    let known = |cost: &Option<Quantity>| cost.as_ref().map_or(0.0, |cost| cost.value);
    let total = haul.cost_total.as_ref()?.value;
    let spreading = known(&haul.spreading_cost);
    if candidate.whole.order <= ProductMass::ZERO {
        return Some(0.0);
    }
    Some((total - spreading) * (order / candidate.whole.order) + spreading * ground)
}
