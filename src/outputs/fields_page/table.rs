//! The table of the fields, which the page's script sorts.

use maud::{Markup, html};

use crate::findings::clean;
use crate::outputs::fields_cells::{heads, is_told, names_with_folders, shown};
use crate::roster::{Column, ColumnValue, ComparedField, Comparison, SortBy};
use crate::units::UnitSystem;

/// The columns beside the name.
const COLUMNS: [Column; 25] = [
    Column::Area,
    Column::MappedArea,
    Column::TreatedArea,
    Column::Ph,
    Column::Need,
    Column::Unmet,
    Column::UnmetShare,
    Column::Prescribed,
    Column::ToLoad,
    Column::ToOrder,
    Column::LeastRate,
    Column::MeanRate,
    Column::GreatestRate,
    Column::Applications,
    Column::SpreaderLoads,
    Column::TruckLoads,
    Column::Distance,
    Column::Hauled,
    Column::Cost,
    Column::CostPerArea,
    Column::AluminiumRiskArea,
    Column::SavingToOrder,
    Column::SavingCost,
    Column::MapGain,
    Column::Findings,
];

/// The table, in the order that is asked for. Columns without any value are left out.
pub(super) fn table(comparison: &Comparison, system: UnitSystem, order: SortBy) -> Markup {
    let fields = order.sorted(comparison);
    let names = names_with_folders(&fields);
    let columns: Vec<Column> =
        COLUMNS.into_iter().filter(|&column| is_told(column, &fields)).collect();
    let several = comparison.totals.by_customer.len() > 1;
    html! {
        p.note {
            "Sorted by " (order.in_words()) ". \u{201c}Less\u{201d} and \u{201c}more\u{201d} are against one \
             rate a field, as a composite sample of it would have asked for. The map beats the mean \
             by so much of its error at samples that were left out, in the reading that leads the \
             need; at 0 and below one rate may \
             serve as well. Mean rate and cost are over the mapped area, and rates are \
             those of all applications together. A click on the head of a column sorts by it."
        }
        table.fields.sortable {
            thead {
                tr {
                    th data-words="" { "Field" @if several { br; small { "Customer" } } }
                    @for &column in &columns {
                        @let [name, unit] = heads_of(column, system);
                        th { (name) br; small { (unit) } }
                    }
                }
            }
            tbody {
                @for (field, name) in fields.iter().zip(&names) {
                    tr {
                        th data-value=(name) {
                            (name)
                            @if several && let Some(customer) = &field.field.customer {
                                br; small { (clean(customer)) }
                            }
                        }
                        @for &column in &columns {
                            td data-value=[number(column, field)]
                                data-currency=[column.currency(field)] { (shown(column, field)) }
                        }
                    }
                }
            }
        }
    }
}

/// The heads of a column that stands alone.
fn heads_of(column: Column, system: UnitSystem) -> [String; 2] {
    let [name, unit] = heads(column, system);
    match column {
        Column::SavingToOrder => ["To order".to_owned(), format!("{unit}, against one rate")],
        Column::SavingCost => ["Cost".to_owned(), "against one rate".to_owned()],
        Column::AluminiumRiskArea => ["Aluminium risk".to_owned(), unit],
        _ => [name, unit],
    }
}

/// What a cell is sorted by.
fn number(column: Column, field: &ComparedField) -> Option<String> {
    match column.value(field)? {
        ColumnValue::Text(_) => None,
        ColumnValue::Amount(quantity) => Some(quantity.value.to_string()),
        ColumnValue::Count(count) => Some(count.to_string()),
        ColumnValue::Number(number) => Some(number.to_string()),
    }
}
