//! Values of a comparison as people read them, in tables whose heads have the units.

use super::number::{grouped, money};
use super::summary_text::{attribute, decimals, percent};
use crate::findings::clean;
use crate::roster::{Column, ColumnUnit, ColumnValue, ComparedField};
use crate::summary::Quantity;
use crate::units::UnitSystem;

/// The two lines of a column's head: what it is, and its unit.
pub(super) fn heads(column: Column, system: UnitSystem) -> [String; 2] {
    let name = match column {
        Column::Id => "Folder",
        Column::Field => "Field",
        Column::Customer => "Customer",
        Column::Area => "Area",
        Column::MappedArea => "Mapped",
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
        Column::Applications => "Applied",
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
        (Column::Applications, _) => "times".to_owned(),
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
            Column::UnmetShare => percent(number),
            Column::MapGain => {
                let reading = field.map_gain.as_ref().map(|gain| attribute(&gain.reading));
                format!("{} ({})", percent(number), clean(&reading.unwrap_or_default()))
            }
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

/// Whether a column is shown: some field has a value in it, and it says what others do not.
pub(super) fn is_told(column: Column, fields: &[&ComparedField]) -> bool {
    let says = |field: &&ComparedField| match column {
        Column::Id => called(field) != field.id,
        Column::MappedArea => field.mapped_area != field.area,
        Column::Applications => field.applications > 1,
        _ => column.value(field).is_some(),
    };
    fields.iter().any(says)
}

/// What a field is called; its folder's name where it has none.
fn called(field: &ComparedField) -> &str {
    let name = field.field.name.trim();
    if name.is_empty() { &field.id } else { name }
}

/// What each field is called, with the name of its folder where that is another.
pub(super) fn names_with_folders(fields: &[&ComparedField]) -> Vec<String> {
    let name = |field: &&ComparedField| match (called(field), field.id.as_str()) {
        (name, id) if name == id => clean(id),
        (name, id) => format!("{} ({})", clean(name), clean(id)),
    };
    fields.iter().map(name).collect()
}

/// What each field is called in at most so many letters; where several then look alike, the names
/// of their folders in full.
pub(super) fn short_names(fields: &[&ComparedField], most: usize) -> Vec<String> {
    let short: Vec<String> = fields.iter().map(|field| cut(&clean(called(field)), most)).collect();
    let mut counts = std::collections::BTreeMap::new();
    for name in &short {
        *counts.entry(name.as_str()).or_insert(0_usize) += 1;
    }
    let alone = |name: &str| counts.get(name) == Some(&1);
    let name = |(field, name): (&&ComparedField, &String)| {
        if alone(name) { name.clone() } else { clean(&field.id) }
    };
    fields.iter().zip(&short).map(name).collect()
}

fn cut(name: &str, most: usize) -> String {
    if name.chars().count() <= most {
        return name.to_owned();
    }
    let begin: String = name.chars().take(most - 1).collect();
    format!("{}\u{2026}", begin.trim_end())
}
