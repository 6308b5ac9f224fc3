//! The printed rows of one target, and the look-up between them.

use super::need::{Need, SAME_READING, Why};
use super::table::Between;
use crate::units::LimeNeed;

/// One target's column: readings in rising order, each with its need.
#[derive(Clone, Debug)]
pub(super) struct Column {
    pub(super) rows: Vec<(f64, LimeNeed)>,
    pub(super) between: Between,
    pub(super) carried_on: Option<CarriedOn>,
}

/// The line on which a column is carried on above its highest row, down to zero.
#[derive(Clone, Copy, Debug)]
pub(super) struct CarriedOn {
    pub(super) need_per_unit: LimeNeed,
    pub(super) zero_at: f64,
}

impl Column {
    /// The need at `reading`. A printed reading gives its printed need.
    pub(super) fn look_up(&self, reading: f64) -> Need {
        let table = |need| Need { need, why: Why::Table };
        // The first row that is not below the reading.
        let above = self.rows.partition_point(|row| row.0 < reading - SAME_READING);
        let Some(&(high, need_high)) = self.rows.get(above) else {
            return self.above_the_rows(reading);
        };
        if high <= reading + SAME_READING {
            return table(need_high);
        }
        let Some(&(low, need_low)) = above.checked_sub(1).and_then(|below| self.rows.get(below))
        else {
            return Need { need: need_high, why: Why::BelowTable };
        };
        match self.between {
            Between::Class => table(need_low),
            Between::Linear => {
                let along = (reading - low) / (high - low);
                // Both shares are weighed, so that neither end is overshot by rounding.
                table(need_low * (1.0 - along) + need_high * along)
            }
        }
    }

    fn above_the_rows(&self, reading: f64) -> Need {
        if let Some(line) = self.carried_on {
            let need = line.need_per_unit * (line.zero_at - reading).max(0.0);
            return Need { need, why: Why::Derived };
        }
        let end = self.rows.last().map_or(LimeNeed::ZERO, |row| row.1);
        Need { need: end, why: Why::AboveTable }
    }

    /// The least reading from which on nothing is needed.
    pub(super) fn zero_need_reading(&self) -> Option<f64> {
        if let Some(line) = self.carried_on {
            return Some(line.zero_at);
        }
        let needing = self.rows.iter().rposition(|row| row.1 > LimeNeed::ZERO);
        self.rows.get(needing.map_or(0, |last| last + 1)).map(|row| row.0)
    }

    /// Lowest and highest reading covered, the carried-on line included.
    pub(super) fn range(&self) -> (f64, f64) {
        let end = |row: Option<&(f64, LimeNeed)>| row.map_or(0.0, |row| row.0);
        let highest = end(self.rows.last());
        (end(self.rows.first()), self.carried_on.map_or(highest, |line| line.zero_at))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn column(between: Between) -> Column {
        let rows = [(5.7, 4.0), (5.8, 2.8), (6.0, 2.5), (6.5, 0.0)];
        let rows = rows.map(|(reading, tons)| (reading, LimeNeed::from_short_tons_per_acre(tons)));
        Column { rows: rows.to_vec(), between, carried_on: None }
    }

    fn tons(need: Need) -> f64 {
        need.need.to_short_tons_per_acre()
    }

    #[test]
    fn a_printed_jump_is_one_steep_row() {
        let column = column(Between::Linear);
        assert!((tons(column.look_up(5.75)) - 3.4).abs() < 1e-9);
        assert!((tons(column.look_up(5.7)) - 4.0).abs() < 1e-12);
        assert!((tons(column.look_up(5.8)) - 2.8).abs() < 1e-12);
    }

    #[test]
    fn a_class_holds_from_its_row_up_to_the_next() {
        let column = column(Between::Class);
        assert!((tons(column.look_up(5.99)) - 2.8).abs() < 1e-12);
        assert!((tons(column.look_up(6.0)) - 2.5).abs() < 1e-12);
        // A reading that misses the row by rounding only is the row.
        assert!((tons(column.look_up(6.0 - 1e-12)) - 2.5).abs() < 1e-12);
        assert!((tons(column.look_up(6.0 + 1e-12)) - 2.5).abs() < 1e-12);
    }

    #[test]
    fn the_end_values_stand_beyond_the_rows_and_say_so() {
        let column = column(Between::Linear);
        let low = column.look_up(5.0);
        assert_eq!((low.why, low.need), (Why::BelowTable, column.rows[0].1));
        let high = column.look_up(7.0);
        assert_eq!((high.why, high.need), (Why::AboveTable, LimeNeed::ZERO));
        assert!(low.why.is_table_limit() && high.why.is_table_limit());
        assert!(!column.look_up(6.5).why.is_table_limit());
        assert_eq!(column.range(), (5.7, 6.5));
    }

    #[test]
    fn a_column_reaches_zero_where_it_needs_nothing_from_there_on() {
        let mut column = column(Between::Linear);
        assert_eq!(column.zero_need_reading(), Some(6.5));
        column.rows.push((6.7, LimeNeed::ZERO));
        assert_eq!(column.zero_need_reading(), Some(6.5));
        column.rows.push((6.9, LimeNeed::from_pounds_per_acre(1.0)));
        assert_eq!(column.zero_need_reading(), None);
    }
    #[test]
    fn a_carried_on_line_ends_at_zero_and_leaves_the_highest_row_as_printed() {
        let mut column = column(Between::Linear);
        column.rows.truncate(3);
        let need_per_unit = LimeNeed::from_short_tons_per_acre(8.0);
        column.carried_on = Some(CarriedOn { need_per_unit, zero_at: 6.5 });
        for same in [6.0 - 1e-12, 6.0, 6.0 + 1e-12] {
            let need = column.look_up(same);
            assert!((tons(need) - 2.5).abs() < 1e-9, "{need:?}");
            assert_eq!(need.why, Why::Table);
        }
        let need = column.look_up(6.25);
        assert_eq!((tons(need), need.why), (2.0, Why::Derived));
        assert_eq!(column.look_up(6.75).need, LimeNeed::ZERO);
        assert_eq!(column.zero_need_reading(), Some(6.5));
        assert_eq!(column.range(), (5.7, 6.5));
    }
}
