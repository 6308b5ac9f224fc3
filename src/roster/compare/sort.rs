//! The order in which fields are shown.

use std::cmp::Ordering;

use super::columns::{Column, ColumnUnit, ColumnValue};
use super::shape::{ComparedField, Comparison};
use crate::findings::{Place, Problem, clean, nearest_of};
use crate::units::Currency;

/// A column to sort by: words rise, numbers fall, unless it is turned round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SortBy {
    /// The column.
    pub column: Column,
    /// Whether words fall and numbers rise.
    pub turned: bool,
}

impl SortBy {
    /// The names of the folders, rising.
    pub const BY_ID: Self = Self { column: Column::Id, turned: false };

    /// The order that is asked for in words: a column's key, or a minus and the key to turn it
    /// round.
    ///
    /// # Errors
    /// Refuses what is no column, naming the nearest.
    pub fn from_words(words: &str) -> Result<Self, Problem> {
        let (turned, key) = words.strip_prefix('-').map_or((false, words), |key| (true, key));
        let found = Column::ALL.iter().find(|column| column.key() == key);
        found.map(|&column| Self { column, turned }).ok_or_else(|| {
            let keys: Vec<&str> = Column::ALL.iter().map(|column| column.key()).collect();
            let problem = Problem::at(
                Place::in_file("--sort"),
                format!("`{}` is no column of a comparison", clean(key)),
            )
            .allowed(keys.join(", "));
            match nearest_of(key, &keys) {
                Some(nearest) => problem.hint(format!("did you mean `{nearest}`?")),
                None => problem,
            }
        })
    }

    /// What it comes to, for a sentence: `need, the greatest first`.
    pub fn in_words(self) -> String {
        let first = match (self.is_of_words(), self.turned) {
            (true, false) => "from A to Z",
            (true, true) => "from Z to A",
            (false, false) => "the greatest first",
            (false, true) => "the least first",
        };
        let name = match self.column {
            Column::Id => "folder".to_owned(),
            column => column.key().replace('_', " "),
        };
        format!("{name}, {first}")
    }

    /// The fields in this order; those without a value come last, equal ones by their ids. Money
    /// is put in order for each currency by itself, the currencies by their codes.
    pub fn sorted(self, comparison: &Comparison) -> Vec<&ComparedField> {
        let mut fields: Vec<&ComparedField> = comparison.fields.iter().collect();
        fields.sort_by(|one, other| self.compare(one, other).then_with(|| one.id.cmp(&other.id)));
        fields
    }

    fn compare(self, one_field: &ComparedField, other_field: &ComparedField) -> Ordering {
        match (self.column.value(one_field), self.column.value(other_field)) {
            (None, None) => Ordering::Equal,
            (None, Some(_)) => Ordering::Greater,
            (Some(_), None) => Ordering::Less,
            (Some(one), Some(other)) => {
                let order = by_value(&one, &other);
                let order = if self.is_of_words() == self.turned { order.reverse() } else { order };
                // Amounts of several currencies are no more or less than each other.
                self.column.currency(one_field).cmp(&self.column.currency(other_field)).then(order)
            }
        }
    }

    fn is_of_words(self) -> bool {
        matches!(
            self.column,
            Column::Id
                | Column::Field
                | Column::Customer
                | Column::Farm
                | Column::PhMeasuredIn
                | Column::Currency
                | Column::CostCovers
                | Column::MapGainReading
                | Column::Material
                | Column::Supplier
                | Column::Method
                | Column::Target
                | Column::ConvertedFrom
        )
    }
}

impl Column {
    /// Whether its values are numbers.
    pub fn is_number(self) -> bool {
        !SortBy { column: self, turned: false }.is_of_words()
    }

    /// Whether its values are money, which is of one currency only where all fields share it.
    pub fn is_money(self) -> bool {
        matches!(self, Self::HaulCost | Self::Cost | Self::SavingCost)
            || self.unit() == ColumnUnit::PerArea
    }

    /// The code of the currency that the value of a field is in; `None` where it is no money.
    pub fn currency(self, field: &ComparedField) -> Option<String> {
        let Some(ColumnValue::Amount(quantity)) = self.value(field).filter(|_| self.is_money())
        else {
            return None;
        };
        let words = quantity.unit.split('/').next().unwrap_or_default();
        let code = Currency::from_words(words).map(|currency| currency.code().to_owned());
        Some(code.unwrap_or_else(|| words.to_owned()))
    }
}

/// Rising order.
fn by_value(one: &ColumnValue<'_>, other: &ColumnValue<'_>) -> Ordering {
    let number = |value: &ColumnValue<'_>| match value {
        ColumnValue::Amount(quantity) => Some(quantity.value),
        ColumnValue::Count(count) => Some(*count as f64),
        ColumnValue::Number(number) => Some(*number),
        ColumnValue::Text(_) => None,
    };
    match (one, other) {
        (ColumnValue::Text(one), ColumnValue::Text(other)) => {
            one.to_lowercase().cmp(&other.to_lowercase()).then_with(|| one.cmp(other))
        }
        _ => match (number(one), number(other)) {
            (Some(one), Some(other)) => one.total_cmp(&other),
            (one, other) => one.is_some().cmp(&other.is_some()),
        },
    }
}
