//! Fields side by side, and what they come to together.

mod columns;
mod costs;
mod exact;
mod field;
mod shape;
mod sort;
mod told;
mod totals;
mod totals_shape;

use super::fields::Fields;
use crate::units::UnitSystem;
use exact::Exact;

pub use columns::{Column, ColumnUnit, ColumnValue, head_of};
pub use exact::{NoAmount, material_in_words};
pub use shape::{ComparedField, Comparison, MapGain, MeanPh, SavingPart};
pub use sort::SortBy;
pub use totals_shape::{
    ApplicationProduct, ApplicationTotal, CostTotal, CoveredCost, GroupTotal, KnownCount,
    KnownTotal, ProductTotal, TotalsPart,
};

/// Compares the finished fields of a set, in the units of `system`.
///
/// Totals are sums of exact values in the order of the ids, converted once. A row with a quantity
/// that [`FieldRow::check`](super::FieldRow::check) refuses is left out and told.
pub fn compare(fields: &Fields, system: UnitSystem) -> Comparison {
    let mut rows = Vec::new();
    let mut unread = Vec::new();
    for row in fields.rows() {
        match Exact::of(row) {
            Ok(exact) => rows.push(exact),
            Err(why) => unread.push((row, why)),
        }
    }
    exact::unite_names(&mut rows);
    Comparison {
        fields: rows.iter().map(|exact| exact.compared(system)).collect(),
        totals: totals::totals_of(&rows, system),
        findings: told::told_of(&rows, &unread, system),
    }
}

/// The units of most fields; of as many of both those of the first.
pub fn units_of_most(fields: &Fields) -> UnitSystem {
    let mut metric = fields.rows().map(|row| row.units == UnitSystem::Metric.words()).peekable();
    let first_is_metric = metric.peek().copied().unwrap_or(false);
    let (all, of_metric) = metric.fold((0_usize, 0), |(all, of_metric), is_metric| {
        (all + 1, of_metric + usize::from(is_metric))
    });
    let most = match (2 * of_metric).cmp(&all) {
        std::cmp::Ordering::Less => false,
        std::cmp::Ordering::Equal => first_is_metric,
        std::cmp::Ordering::Greater => true,
    };
    if most { UnitSystem::Metric } else { UnitSystem::Us }
}

#[cfg(test)]
mod tests;
