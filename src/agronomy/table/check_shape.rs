//! The checks of the part of a table that its shape decides.

use super::super::reads::Reads;
use super::super::rule::bounds_of;
use super::check::Check;
use super::{Line, MethodTable, Shape};
use crate::units::bound;

impl Check {
    /// The parts that belong to the table's shape, and that there are no others.
    pub(super) fn shape(&mut self, table: &MethodTable) {
        let (rows, lines) = (!table.rows.is_empty(), !table.lines.is_empty());
        let by_rows = &[Shape::ReadingTable, Shape::TextureTable][..];
        for (field, there, shapes) in [
            ("rows", rows, by_rows),
            ("derived", table.derived.is_some(), &[Shape::ReadingTable]),
            ("lines", lines, &[Shape::Lines]),
            ("equation", table.equation.is_some(), &[Shape::BufferEquation]),
            ("classes", table.classes.is_some(), &[Shape::ClassTable]),
            ("textures", !table.textures.is_empty(), &[Shape::TextureTable]),
            ("carried", table.carried.is_some(), &[Shape::TextureTable]),
            ("rises", !table.rises.is_empty(), &[Shape::PhRise]),
            ("addition", table.addition.is_some(), &[Shape::PhRise]),
            ("weakly", table.weakly.is_some(), &[Shape::WeaklyBuffered]),
            ("capacity", table.capacity.is_some(), &[Shape::BufferCapacity]),
            ("saturation", table.saturation.is_some(), &[Shape::SaturationEquation]),
            ("base_saturation", table.base_saturation.is_some(), &[Shape::BaseSaturation]),
            (
                "aluminium_saturation",
                table.aluminium_saturation.is_some(),
                &[Shape::AluminiumSaturation],
            ),
            ("target_range", table.target_range.is_some(), Shape::WITH_A_RANGE),
        ] {
            if there && !shapes.contains(&table.shape) {
                let words: Vec<_> =
                    shapes.iter().map(|shape| format!("`{}`", shape.words())).collect();
                self.refuse(
                    format!("`{field}` does not belong to this shape"),
                    format!("`{field}` only where `shape` is {}", words.join(" or ")),
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
            Shape::ClassTable => {
                self.targets(table);
                self.classes(table);
            }
            Shape::TextureTable => {
                self.targets(table);
                self.texture_columns(table);
            }
            Shape::PhRise => {
                self.target_range(table);
                self.rises(table);
            }
            Shape::WeaklyBuffered => {
                self.target_range(table);
                self.weakly(table);
            }
            Shape::BufferCapacity => {
                self.target_range(table);
                self.capacity(table);
            }
            Shape::SaturationEquation => {
                self.target_range(table);
                self.saturation(table);
            }
            Shape::BaseSaturation => {
                self.target_range(table);
                self.base_saturation(table);
            }
            Shape::AluminiumSaturation => {
                self.target_range(table);
                self.aluminium_saturation(table);
            }
        }
    }

    pub(super) fn targets(&mut self, table: &MethodTable) {
        for (at, &target) in table.targets.iter().enumerate() {
            self.number(&format!("targets[{at}]"), target, &bound::TARGET_PH);
        }
        if table.targets.is_empty() || !table.targets.is_sorted_by(|a, b| a < b) {
            self.refuse("`targets` do not rise", "at least one target pH, each above the last");
        }
    }

    fn rows(&mut self, table: &MethodTable) {
        self.rows_of(table, table.targets.len(), "target");
    }

    /// Rows with a need for each of `columns`.
    pub(super) fn rows_of(&mut self, table: &MethodTable, columns: usize, of: &str) {
        if table.between.is_none() {
            self.refuse("`between` is missing", "`linear` or `class`");
        }
        let bounds = bounds_of(table.reads.lead());
        for (at, row) in table.rows.iter().enumerate() {
            self.number(&format!("rows[{at}].reading"), row.reading, bounds);
            if row.needs.len() != columns {
                self.refuse(
                    format!("`rows[{at}].needs` has {} numbers", row.needs.len()),
                    format!("{columns}, one for each {of}"),
                );
            }
            for (column, &need) in row.needs.iter().enumerate() {
                self.need(&format!("rows[{at}].needs[{column}]"), need, table);
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
            self.line(at, line, table);
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

    /// On a pH scale a line falls, and its numbers are those at a reading of 0, far from any need;
    /// what has to be neutralised needs more the more there is.
    fn line(&mut self, at: usize, line: &Line, table: &MethodTable) {
        self.need(&format!("lines[{at}].least_need"), line.least_need, table);
        if matches!(table.reads.lead(), Reads::Value(_)) {
            self.need(&format!("lines[{at}].fixed"), line.fixed, table);
            self.need(&format!("lines[{at}].per_unit"), line.per_unit, table);
            self.need(&format!("lines[{at}].per_square"), line.per_square, table);
            return;
        }
        for (field, number) in
            [("fixed", line.fixed), ("per_unit", line.per_unit), ("per_square", line.per_square)]
        {
            if !(number.is_finite() && number.abs() < 1e6) {
                self.refuse(format!("`lines[{at}].{field}` is {number}"), "within 1,000,000 of 0");
                return;
            }
        }
        self.need(&format!("the greatest need of lines[{at}]"), greatest(line, table), table);
    }

    fn equation(&mut self, table: &MethodTable) {
        let Some(equation) = &table.equation else {
            self.refuse("`equation` is missing", "the numbers of the equation");
            return;
        };
        if table.reads != Reads::BufferPh.into() {
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

/// The greatest need that a line on a pH scale gives anywhere that it is read.
fn greatest(line: &Line, table: &MethodTable) -> f64 {
    let bounds = bounds_of(table.reads.lead());
    let least = line.above.map_or(bounds.least, |above| above.clamp(bounds.least, bounds.most));
    let need = |reading: f64| line.fixed + (line.per_unit + line.per_square * reading) * reading;
    let top = -line.per_unit / (2.0 * line.per_square);
    let top = Some(top).filter(|top| (least..=bounds.most).contains(top));
    [Some(least), top, Some(bounds.most)].into_iter().flatten().map(need).fold(0.0, f64::max)
}
