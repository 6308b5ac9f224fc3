//! The steps through a printed table of classes.

use super::{Soil, Tracer, need_words, reading_words};
use crate::agronomy::classes::rounded;
use crate::agronomy::{ClassTable, Missing, Step};
use crate::units::{LimeNeed, ph_words, plain};

impl Tracer<'_> {
    /// The need of a soil, from its class of pH and of another value.
    pub(super) fn classes(
        &mut self,
        classes: &ClassTable,
        soil: &Soil<'_>,
    ) -> Result<LimeNeed, Missing> {
        let (words, value_unit) = (classes.value.words(), classes.value_unit.as_str());
        let value = classes.in_printed_unit(soil.value(classes.value)?);
        let ph_rounded = rounded(soil.ph, classes.ph_decimals);
        let value_rounded = rounded(value, classes.value_decimals);
        let shown = |number: f64, decimals: u8| format!("{number:.*}", usize::from(decimals));
        self.steps.push(
            Step::new(
                "rounded",
                format!(
                    "The classes are printed to whole steps, so readings are rounded first, half \
                     up (ours): pH {} to {}, {words} {} to {} {value_unit}",
                    reading_words(soil.ph),
                    shown(ph_rounded, classes.ph_decimals),
                    plain(value, 0, 6),
                    shown(value_rounded, classes.value_decimals),
                ),
            )
            .with("ph", soil.ph, "")
            .with("ph_rounded", ph_rounded, "")
            .with("value", value, "")
            .with("value_rounded", value_rounded, ""),
        );
        let row_at = classes
            .rows
            .iter()
            .position(|row| row.ph_up_to.is_none_or(|end| ph_rounded <= end + 1e-9))
            .unwrap_or_default();
        let ends = &classes.value_up_to;
        let column_at =
            ends.iter().position(|end| value_rounded <= end + 1e-9).unwrap_or(ends.len());
        let need = classes.rows.get(row_at).and_then(|row| row.needs.get(column_at));
        let need = need.copied().unwrap_or_default();
        let end_of_row = |at: usize| classes.rows.get(at).and_then(|row| row.ph_up_to);
        let class = |above: Option<String>, up_to: Option<String>| match (above, up_to) {
            (None, Some(up_to)) => format!("up to {up_to}"),
            (Some(above), Some(up_to)) => format!("above {above} up to {up_to}"),
            (Some(above), None) => format!("above {above}"),
            (None, None) => "any".to_owned(),
        };
        let before = |at: usize| at.checked_sub(1);
        let of_ph = class(
            before(row_at).and_then(end_of_row).map(ph_words),
            end_of_row(row_at).map(ph_words),
        );
        let of_value = class(
            before(column_at).and_then(|at| ends.get(at)).map(f64::to_string),
            ends.get(column_at).map(f64::to_string),
        );
        let unit = self.unit();
        let words = format!(
            "Printed cell to pH {}: pH {of_ph}, {words} {of_value} {value_unit}: {} {unit}",
            ph_words(self.printed.target.number()),
            need_words(need)
        );
        let source = self.source();
        self.steps
            .push(Step::new("printed_class", words).with("need", need, unit).resting_on(source));
        Ok(self.scale(need))
    }
}
