//! The checks of the part of a table that its shape decides.

use super::check::Check;
use super::{MethodTable, Reads, Shape};
use crate::units::bound;

impl Check {
    /// The parts that belong to the table's shape, and that there are no others.
    pub(super) fn shape(&mut self, table: &MethodTable) {
        let (rows, lines) = (!table.rows.is_empty(), !table.lines.is_empty());
        for (field, there, shape) in [
            ("rows", rows, Shape::ReadingTable),
            ("derived", table.derived.is_some(), Shape::ReadingTable),
            ("lines", lines, Shape::Lines),
            ("equation", table.equation.is_some(), Shape::BufferEquation),
        ] {
            if there && table.shape != shape {
                self.refuse(
                    format!("`{field}` does not belong to this shape"),
                    format!("`{field}` only where `shape` is `{}`", shape.words()),
                );
            }
        }
        match table.shape {
            Shape::ReadingTable => {
                self.targets(table);
                self.rows(table);
                self.derived_line(table);
            }
            Shape::Lines => {
                self.targets(table);
                self.lines(table);
            }
            Shape::BufferEquation => self.equation(table),
        }
    }

    fn targets(&mut self, table: &MethodTable) {
        for (at, &target) in table.targets.iter().enumerate() {
            self.number(&format!("targets[{at}]"), target, &bound::TARGET_PH);
        }
        if table.targets.is_empty() || !table.targets.is_sorted_by(|a, b| a < b) {
            self.refuse("`targets` do not rise", "at least one target pH, each above the last");
        }
    }

    fn rows(&mut self, table: &MethodTable) {
        if table.between.is_none() {
            self.refuse("`between` is missing", "`linear` or `class`");
        }
        let bounds = match table.reads {
            Reads::Ph => &bound::SOIL_PH,
            Reads::BufferPh => &bound::BUFFER_PH,
            Reads::Acidity => &bound::ACIDITY,
        };
        for (at, row) in table.rows.iter().enumerate() {
            self.number(&format!("rows[{at}].reading"), row.reading, bounds);
            if row.needs.len() != table.targets.len() {
                self.refuse(
                    format!("`rows[{at}].needs` has {} numbers", row.needs.len()),
                    format!("{}, one for each target", table.targets.len()),
                );
            }
            for (of, &need) in row.needs.iter().enumerate() {
                self.need(&format!("rows[{at}].needs[{of}]"), need, table);
            }
        }
        let rises = table.rows.is_sorted_by(|a, b| a.reading < b.reading);
        let falls = table.rows.is_sorted_by(|a, b| a.reading > b.reading);
        if table.rows.len() < 2 || !(rises || falls) {
            self.refuse(
                "`rows` are not in order",
                "two rows or more, by rising or falling reading",
            );
        }
    }

    fn derived_line(&mut self, table: &MethodTable) {
        let Some(line) = &table.derived else { return };
        self.need("derived.per_unit", line.per_unit, table);
        let highest = table.rows.iter().map(|row| row.reading).fold(f64::MIN, f64::max);
        if table.targets.len() != 1 {
            self.refuse("`derived` stands in a table of several targets", "a table of one target");
        }
        if !line.zero_at.is_finite() || line.zero_at <= highest || line.zero_at > 14.0 {
            self.refuse(
                format!("`derived.zero_at` is {}", line.zero_at),
                format!("a reading above the highest row, {highest}"),
            );
        }
    }

    fn lines(&mut self, table: &MethodTable) {
        for (at, line) in table.lines.iter().enumerate() {
            self.need(&format!("lines[{at}].fixed"), line.fixed, table);
            self.need(&format!("lines[{at}].per_unit"), line.per_unit, table);
            if let Some(ph) = line.ph_below {
                self.number(&format!("lines[{at}].ph_below"), ph, &bound::SOIL_PH);
            }
            if !table.targets.contains(&line.target) {
                self.refuse(
                    format!("`lines[{at}].target` is {}", line.target),
                    "one of the targets of the table",
                );
            }
        }
        let served = |target: &f64| table.lines.iter().any(|line| [line.target].contains(target));
        if !table.targets.iter().all(served) {
            self.refuse("a target has no line in `lines`", "one line or more for each target");
        }
    }

    fn equation(&mut self, table: &MethodTable) {
        let Some(equation) = &table.equation else {
            self.refuse("`equation` is missing", "the numbers of the equation");
            return;
        };
        if table.reads != Reads::BufferPh {
            self.refuse("`reads` is not `buffer_ph`", "an equation reads a buffer pH");
        }
        if !table.targets.is_empty() {
            self.refuse(
                "`targets` stand beside an equation",
                "none; it serves all up to its own limit",
            );
        }
        self.number("equation.no_acidity_at", equation.no_acidity_at, &bound::BUFFER_PH);
        let limit = equation.ph_without_acidity;
        self.number("equation.ph_without_acidity", limit, &bound::TARGET_PH);
        self.need("equation.least_need", equation.least_need, table);
        for (field, factor) in [
            ("acidity_per_unit", equation.acidity_per_unit),
            ("need_per_acidity", equation.need_per_acidity),
        ] {
            if !(factor.is_finite() && factor > 0.0 && factor < 1e6) {
                self.refuse(format!("`equation.{field}` is {factor}"), "a number above 0");
            }
        }
        for (at, loss) in equation.credit.iter().flat_map(|c| &c.per_month).enumerate() {
            if !(loss.part > 0.0 && loss.part <= 1.0) {
                self.refuse(
                    format!("`equation.credit.per_month[{at}].part` is {}", loss.part),
                    "above 0 and at most 1",
                );
            }
        }
    }
}
