//! The laboratory's file of a job.

use super::LabPart;
use super::check::Checker;
use super::file::SamplesTable;
use crate::findings::Problem;
use crate::inputs::{RepeatRule, TableStyle};

/// How the results are read, where `style` is that of the points: what is chosen among those says
/// nothing of the columns of the results.
pub(super) fn style_of(table: &SamplesTable, style: &TableStyle) -> TableStyle {
    let mut style = TableStyle { labels: Vec::new(), select: Vec::new(), ..style.clone() };
    style.names.extend(table.lab_key.as_ref().map(|key| key.value.clone()));
    style
}

impl Checker<'_> {
    /// `Some(None)` where the results stand in the file of the samples.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    pub(super) fn lab(
        &mut self,
        table: &SamplesTable,
        style: &TableStyle,
    ) -> Option<Option<LabPart>> {
        let Some(file) = &table.lab else {
            let Some(key) = &table.lab_key else { return Some(None) };
            let problem = Problem::at(self.text.place(&key.span), "there is no `samples.lab`")
                .allowed("`samples.lab_key` beside the file with the results")
                .hint("name the file as samples.lab, or leave the key out");
            self.problems.push(problem);
            return None;
        };
        let key = table.lab_key.as_ref().map(|key| key.value.clone());
        let style = style_of(table, style);
        Some(Some(LabPart { file: self.named_file(file), key, style }))
    }

    /// `Some(None)` where the job does not say.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    pub(super) fn repeats(&mut self, table: &SamplesTable) -> Option<Option<RepeatRule>> {
        self.word(
            "samples.repeats",
            table.repeats.as_ref(),
            |words| RepeatRule::ALL.into_iter().find(|rule| rule.words() == words),
            &RepeatRule::ALL.map(RepeatRule::words),
        )
    }
}
