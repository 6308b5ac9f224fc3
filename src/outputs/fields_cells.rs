//! Values of a comparison as people read them, in tables whose heads have the units.

use super::number::{grouped, money};
use super::summary_text::{decimals, percent};
use crate::findings::clean;
use crate::roster::{Column, ColumnUnit, ColumnValue, ComparedField};
use crate::summary::Quantity;
use crate::units::UnitSystem;

/// The two lines of a column's head: what it is, and its unit.
pub(super) fn heads(column: Column, system: UnitSystem) -> [String; 2] {
    let name = match column {
        Column::Field => "Field",
        Column::Customer => "Customer",
        Column::Area => "Area",
        Column::TreatedArea => "Treated",
        Column::Ph => "pH",
        Column::Need => "Need",
        Column::Unmet | Column::UnmetShare => "Unmet",
        Column::Prescribed => "Prescribed",
        Column::ToLoad => "To load",
        Column::ToOrder => "To order",
        Column::LeastRate => "Least rate",
        Column::MeanRate => "Mean rate",
        Column::GreatestRate => "Greatest",
        Column::SpreaderLoads => "Loads",
        Column::TruckLoads => "Trucks",
        Column::Distance => "Haul",
        Column::Hauled => "Haul work",
        Column::HaulCost => "Haul cost",
        Column::Cost | Column::CostPerArea => "Cost",
        Column::AluminiumRiskArea => "Al risk",
        Column::SavingPrescribed => "Spread",
        Column::SavingToOrder => "Ordered",
        Column::SavingCost => "Money",
        Column::MapGain => "Map beats",
        Column::Findings => "Findings",
        other => return [other.key().replace('_', " "), String::new()],
    };
    let unit = match (column, column.unit()) {
        (Column::UnmetShare, _) => "of need".to_owned(),
        (Column::MapGain, _) => "mean by".to_owned(),
        (Column::Ph, _) => "of samples".to_owned(),
        (_, ColumnUnit::PerArea) => format!("per {}", ColumnUnit::Area.ending(system)),
        (_, unit) => unit
            .ending(system)
            .replace("ton_mile", "ton-mile")
            .replace("t_km", "t-km")
            .replace('_', "/"),
    };
    [name.to_owned(), unit]
}

/// The value of a field in a column, rounded once; nothing where it has none.
pub(super) fn shown(column: Column, field: &ComparedField) -> String {
    match column.value(field) {
        None => String::new(),
        Some(ColumnValue::Text(text)) => clean(&text),
        Some(ColumnValue::Count(count)) => count.to_string(),
        Some(ColumnValue::Number(number)) => match column {
            Column::UnmetShare | Column::MapGain => percent(number),
            _ => decimals(number, 2),
        },
        Some(ColumnValue::Amount(quantity)) => match column {
            Column::SavingPrescribed | Column::SavingToOrder => {
                less_or_more(quantity, |size| grouped(size.value, 2))
            }
            Column::SavingCost => less_or_more(quantity, money),
            _ if column.is_money() => money_alone(column, quantity),
            _ => in_column(column.unit(), quantity.value),
        },
    }
}

/// A number as its column has it.
fn in_column(unit: ColumnUnit, value: f64) -> String {
    match unit {
        ColumnUnit::Rate => decimals(value, 3),
        ColumnUnit::Road => decimals(value, 1),
        ColumnUnit::Hauled => grouped(value, 0),
        _ => grouped(value, 2),
    }
}

/// Money without the area that its head names.
fn money_alone(column: Column, quantity: &Quantity) -> String {
    if column.unit() != ColumnUnit::PerArea {
        return money(quantity);
    }
    let unit = quantity.unit.split('/').next().unwrap_or_default().to_owned();
    money(&Quantity { value: quantity.value, unit: unit.into() })
}

/// What is spared as less, what is below 0 as more.
pub(super) fn less_or_more(quantity: &Quantity, words: impl Fn(&Quantity) -> String) -> String {
    let size = Quantity { value: quantity.value.abs(), unit: quantity.unit.clone() };
    let none = words(&Quantity { value: 0.0, unit: quantity.unit.clone() });
    let words = words(&size);
    if words == none {
        "the same".to_owned()
    } else if quantity.value > 0.0 {
        format!("{words} less")
    } else {
        format!("{words} more")
    }
}

/// What each field is called in tables: its name, and where several share it their ids, `beside` the
/// name or alone.
pub(super) fn names_of(fields: &[&ComparedField], beside: bool) -> Vec<String> {
    let mut counts = std::collections::BTreeMap::new();
    for field in fields {
        *counts.entry(field.field.name.as_str()).or_insert(0_usize) += 1;
    }
    let name = |field: &&ComparedField| {
        let (name, id) = (clean(&field.field.name), clean(&field.id));
        let shared = counts.get(field.field.name.as_str()).is_some_and(|&count| count > 1);
        match (shared, beside) {
            (false, _) => name,
            (true, true) => format!("{name} ({id})"),
            (true, false) => id,
        }
    };
    fields.iter().map(name).collect()
}
