//! A printed table of classes: pH by another value.

use super::Missing;
use super::need::{Need, SAME_READING, Why};
use super::soil::Soil;
use super::table::ClassTable;
use crate::units::LimeNeed;

/// The classes, fitted to one job.
#[derive(Clone, Debug)]
pub(super) struct Classes {
    table: ClassTable,
    /// What one printed unit of need is, as pure calcium carbonate over the limed depth.
    one: LimeNeed,
}

impl Classes {
    pub(super) fn new(table: ClassTable, one: LimeNeed) -> Self {
        Self { table, one }
    }

    /// The need of a soil.
    pub(super) fn look_up(&self, soil: &Soil<'_>) -> Result<Need, Missing> {
        let table = &self.table;
        let (row, column) =
            table.class_of(soil.ph, table.in_printed_unit(soil.value(table.value)?));
        let printed = table.rows.get(row).and_then(|row| row.needs.get(column));
        Ok(Need { need: self.one * printed.copied().unwrap_or_default(), why: Why::Table })
    }
}

impl ClassTable {
    /// A value as methods take it, in the unit that the classes are printed in.
    pub(super) fn in_printed_unit(&self, value: f64) -> f64 {
        // The check of the table refuses a unit without a factor.
        value / self.value.canonical(1.0, &self.value_unit).unwrap_or(1.0)
    }

    /// The numbers of the classes of a pH and of a value in the printed unit.
    pub(super) fn class_of(&self, ph: f64, value: f64) -> (usize, usize) {
        let ph = rounded(ph, self.ph_decimals);
        let value = rounded(value, self.value_decimals);
        let ends = |end: Option<f64>| end.is_none_or(|end| ph <= end + SAME_READING);
        let row = self.rows.iter().position(|row| ends(row.ph_up_to));
        let column = self.value_up_to.iter().position(|&end| value <= end + SAME_READING);
        (row.unwrap_or(self.rows.len()), column.unwrap_or(self.value_up_to.len()))
    }
}

/// `number` to so many decimals, half up; what lies a rounding error below a half is a half.
pub(super) fn rounded(number: f64, decimals: u8) -> f64 {
    let scale = 10_f64.powi(decimals.into());
    ((number + SAME_READING) * scale + 0.5).floor() / scale
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_are_rounded_half_up_as_the_classes_are_printed() {
        for (number, decimals, expected) in [
            (6.15, 1, 6.2),
            (6.149, 1, 6.1),
            (6.25 - 1e-12, 1, 6.3),
            (40.5, 0, 41.0),
            (40.499, 0, 40.0),
        ] {
            assert!((rounded(number, decimals) - expected).abs() < 1e-12, "{number}");
        }
    }
}
