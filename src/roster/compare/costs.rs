//! What fields cost together, each currency by itself.

use std::collections::BTreeMap;

use super::exact::Exact;
use super::totals_shape::{CostTotal, CoveredCost, KnownTotal};
use crate::summary::Quantity;
use crate::units::{Area, Currency, Money, UnitSystem, tidy};

/// The costs of the fields that know theirs, in each currency in the order of the fields.
pub(super) fn cost_totals(rows: &[&Exact<'_>], system: UnitSystem) -> Vec<CostTotal> {
    currencies(rows).into_iter().map(|currency| cost_total(rows, &currency, system)).collect()
}

/// The currencies of the fields, each in the words of the first field that has it.
pub(super) fn currencies(rows: &[&Exact<'_>]) -> Vec<Currency> {
    let mut all: Vec<Currency> = Vec::new();
    for (_, currency) in rows.iter().filter_map(|exact| exact.cost.as_ref()) {
        if !all.iter().any(|known| known.is_same_as(currency)) {
            all.push(currency.clone());
        }
    }
    all
}

fn cost_total(rows: &[&Exact<'_>], currency: &Currency, system: UnitSystem) -> CostTotal {
    let words = currency.words();
    let money =
        |money: Money| Quantity { value: tidy(money.to_units()), unit: words.to_owned().into() };
    let known = |list: &[Money]| {
        (!list.is_empty())
            .then(|| KnownTotal { total: money(list.iter().copied().sum()), fields: list.len() })
    };
    let mine = |cost: &Option<(Money, Currency)>| {
        cost.as_ref().filter(|(_, other)| other.is_same_as(currency)).map(|(money, _)| *money)
    };
    let mut total = Money::ZERO;
    let mut area = Area::ZERO;
    let mut fields = 0;
    let mut covers: BTreeMap<Vec<String>, (usize, Money)> = BTreeMap::new();
    let (mut hauls, mut savings) = (Vec::new(), Vec::new());
    for exact in rows {
        let Some(cost) = mine(&exact.cost) else { continue };
        (total, area, fields) = (total + cost, area + exact.mapped, fields + 1);
        let covered = exact.row.haul.as_ref().map(|haul| haul.cost_covers.clone());
        let part = covers.entry(covered.unwrap_or_default()).or_insert((0, Money::ZERO));
        *part = (part.0 + 1, part.1 + cost);
        hauls.extend(mine(&exact.haul_cost));
        savings.extend(exact.saving_cost());
    }
    let over = system.area(area);
    CostTotal {
        total: money(total),
        fields,
        per_area: Quantity {
            value: if over.value > 0.0 { total.to_units() / over.value } else { 0.0 },
            unit: format!("{words}/{}", over.unit).into(),
        },
        covers: covers
            .into_iter()
            .map(|(covers, (fields, total))| CoveredCost { covers, fields, total: money(total) })
            .collect(),
        haul: known(&hauls),
        saving: known(&savings),
    }
}
