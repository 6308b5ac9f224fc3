//! `[samples.lab_check]` of a job: a field meter held against a laboratory.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::LabCheckPart;
use super::check::Checker;
use super::check_lab::style_of;
use super::file::{SamplesTable, job_table};
use super::written::At;
use crate::agronomy::Correction;
use crate::findings::Problem;
use crate::inputs::TableStyle;

job_table! {
    /// `[samples.lab_check]`
    LabCheckTable {
        /// The file with the pairs: the laboratory's pH of some of the samples, in the medium that
        /// the meter read in.
        file: At<String>,
        /// The column that names the samples.
        key: At<String>,
        /// The column with the laboratory's pH.
        lab_ph: At<String>,
        /// The column with the meter's pH; without it the samples' own reading is taken.
        meter_ph: At<String>,
        /// By what every reading of the meter is corrected: `offset` or `line`. Without it the
        /// comparison is only told.
        apply: At<String>,
    }
}

impl Checker<'_> {
    /// `Some(None)` where the job has no such table.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    pub(super) fn lab_check(
        &mut self,
        table: &SamplesTable,
        style: &TableStyle,
        ph_by_row: bool,
    ) -> Option<Option<LabCheckPart>> {
        let Some(At { value: check, span }) = &table.lab_check else { return Some(None) };
        if ph_by_row {
            let what = "samples.lab_check stands beside pH of several media";
            let problem = Problem::at(self.text.place(span), what)
                .allowed("one medium, which the meter and the laboratory read in")
                .hint("state it as samples.ph_measured_in, or leave samples.lab_check out");
            self.problems.push(problem);
        }
        let apply = self.word(
            "samples.lab_check.apply",
            check.apply.as_ref(),
            |words| Correction::ALL.into_iter().find(|known| known.words() == words),
            &Correction::ALL.map(Correction::words),
        );
        let file = self
            .required("samples.lab_check.file", "the file with the pairs", check.file.as_ref())
            .map(|file| self.named_file(file));
        let text = |key: &Option<At<String>>| key.as_ref().map(|key| key.value.clone());
        let [key, lab_ph, meter_ph] = [&check.key, &check.lab_ph, &check.meter_ph].map(text);
        let mut style = TableStyle { repeats: None, ..style_of(table, style) };
        style.names.extend(key.clone());
        style.others = [&lab_ph, &meter_ph].into_iter().flatten().cloned().collect();
        let apply = apply?;
        Some(Some(LabCheckPart { file: file?, key, lab_ph, meter_ph, apply, style }))
    }
}
