//! The steps through a table of printed rows.

use super::{SAME_READING, Soil, Tracer, need_words, reading_words};
use crate::agronomy::{Between, Missing, Row, Step};
use crate::units::{LimeNeed, ph_words, plain};

impl Tracer<'_> {
    /// The need at `reading`, from the rows of one target or of the two around the job's.
    pub(super) fn rows(&mut self, reading: f64) -> LimeNeed {
        let table = &self.printed.table;
        let highest = table.rows.last().map(|row| row.reading);
        let beyond = highest.is_some_and(|highest| reading > highest + SAME_READING);
        if let Some(line) = table.derived.as_ref().filter(|_| beyond) {
            let need = self.carried_on(highest, reading, line.per_unit, line.zero_at);
            return self.scale(need);
        }
        let (column, between) = (self.printed.column, self.printed.between_targets());
        let target =
            |at: usize| table.targets.get(at).copied().unwrap_or(self.printed.target.number());
        let (low_target, high_target) = (target(column), target(column + 1));
        let low = self.cell(column, low_target, "", reading);
        let printed = match between {
            None => low,
            Some(targets) => {
                let high = self.cell(column + 1, high_target, "", reading);
                self.between(low, high, targets)
            }
        };
        self.scale(printed)
    }

    /// The need of a soil, from the rows of its texture class.
    pub(super) fn texture_rows(&mut self, soil: &Soil<'_>) -> Result<LimeNeed, Missing> {
        let table = &self.printed.table;
        let class = soil.texture()?;
        let column = table.textures.iter().position(|known| *known == class);
        let column = column.ok_or(Missing::NeedsOf(class))?;
        let highest = table.rows.last();
        let need = match (&table.carried, highest) {
            (Some(end), Some(row)) if soil.reading > row.reading + SAME_READING => {
                let need = row.needs.get(column).copied().unwrap_or_default();
                let per_unit = need / (end.zero_at - row.reading);
                self.carried_on(Some(row.reading), soil.reading, per_unit, end.zero_at)
            }
            _ => {
                let target = self.printed.target.number();
                self.cell(column, target, &format!("{}, ", class.words()), soil.reading)
            }
        };
        Ok(self.scale(need))
    }

    /// The need above the highest row, on the line that carries the rows on.
    fn carried_on(
        &mut self,
        highest: Option<f64>,
        reading: f64,
        per_unit: f64,
        zero_at: f64,
    ) -> f64 {
        let need = per_unit * (zero_at - reading).max(0.0);
        let unit = self.unit();
        let words = format!(
            "Above the highest printed row, {}, the rows are carried on in a straight line to \
             nothing at {} (ours): {} x ({} - {}) = {} {unit}",
            highest.map(reading_words).unwrap_or_default(),
            ph_words(zero_at),
            plain(per_unit, 0, 6),
            ph_words(zero_at),
            reading_words(reading),
            need_words(need)
        );
        let step = Step::new("derived_line", words).with("reading", reading, "");
        self.steps.push(step.with("zero_at", zero_at, "").with("need", need, unit));
        need
    }

    /// The need at `reading` in one column, of a target or of a texture class, `class`.
    fn cell(&mut self, column: usize, target: f64, class: &str, reading: f64) -> f64 {
        let table = &self.printed.table;
        let (unit, name) = (self.unit(), self.prepared.reads.lead().name());
        let need_of = |row: &Row| row.needs.get(column).copied().unwrap_or_default();
        let at_or_above = table.rows.iter().position(|row| row.reading >= reading - SAME_READING);
        let head = format!("To pH {}, {class}{name} {}", ph_words(target), reading_words(reading));
        let step = |words: String| {
            Step::new("printed_rows", format!("{head} {words}"))
                .with("target", target, "")
                .with("reading", reading, "")
        };
        let row_words =
            |row: &Row| format!("{} ({} {unit})", ph_words(row.reading), need_words(need_of(row)));
        let rows = |step: Step, low: &Row, high: &Row| {
            step.with("low_row", low.reading, "")
                .with("low_row_need", need_of(low), unit)
                .with("high_row", high.reading, "")
                .with("high_row_need", need_of(high), unit)
        };
        let below = at_or_above.unwrap_or(table.rows.len()).checked_sub(1);
        let below = below.and_then(|at| table.rows.get(at));
        let (step, need) = match (below, at_or_above.and_then(|at| table.rows.get(at))) {
            (_, Some(row)) if row.reading <= reading + SAME_READING => {
                let need = need_of(row);
                let words = format!("is a printed row: {} {unit}", need_words(need));
                (rows(step(words), row, row), need)
            }
            (Some(low), Some(high)) if table.between == Some(Between::Class) => {
                let need = need_of(low);
                let words = format!(
                    "is in the class of the printed row {}, which holds up to the row {}: {} \
                     {unit}",
                    row_words(low),
                    row_words(high),
                    need_words(need)
                );
                (rows(step(words), low, high), need)
            }
            (Some(low), Some(high)) => {
                let along = (reading - low.reading) / (high.reading - low.reading);
                let need = need_of(low) * (1.0 - along) + need_of(high) * along;
                let words = format!(
                    "lies between the printed rows {} and {}: {} + ({} - {}) / ({} - {}) x ({} - \
                     {}) = {} {unit}",
                    row_words(low),
                    row_words(high),
                    need_words(need_of(low)),
                    reading_words(reading),
                    ph_words(low.reading),
                    ph_words(high.reading),
                    ph_words(low.reading),
                    need_words(need_of(high)),
                    need_words(need_of(low)),
                    need_words(need)
                );
                (rows(step(words), low, high), need)
            }
            (None, Some(end)) | (Some(end), None) => {
                let (side, need) = if below.is_none() {
                    ("below the lowest", need_of(end))
                } else {
                    ("above the highest", need_of(end))
                };
                let words =
                    format!("lies {side} printed row, {}: its need is taken", row_words(end));
                (rows(step(words), end, end), need)
            }
            (None, None) => (step("finds no row".to_owned()), 0.0),
        };
        let source = self.source();
        self.steps.push(step.with("need", need, unit).resting_on(source));
        need
    }
}
