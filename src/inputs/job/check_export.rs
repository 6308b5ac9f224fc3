//! The `[export]` of a job: which files for controllers, and what they need to be told apart.

use super::check::Checker;
use super::check_applications::APPLICATIONS;
use super::export_part::{ExportFormat, ExportPart};
use super::file::JobFile;
use super::written::{At, Written};
use crate::findings::Problem;
use crate::units::{ControllerUnit, Length, bound};

impl Checker<'_> {
    pub(super) fn export(&mut self, file: &JobFile) -> Option<ExportPart> {
        let Some(table) = file.export.as_ref().map(|table| &table.value) else {
            return Some(ExportPart::default());
        };
        let known = ExportFormat::ALL.map(ExportFormat::words);
        let mut wanted = Some(Vec::new());
        for word in table.files.iter().flat_map(|files| &files.value) {
            let word = self.one_of("export.files", Some(word), &known);
            wanted = Option::zip(wanted, word).map(|(mut wanted, word)| {
                wanted.push(word);
                wanted
            });
        }
        let units = ControllerUnit::ALL.map(ControllerUnit::words);
        let unit = match &table.unit {
            None => Some(None),
            Some(unit) => self.one_of("export.unit", Some(unit), &units).map(Some),
        };
        let raster_cell = match &table.raster_cell {
            None => Some(None),
            Some(cell) => self.quantity(cell, &bound::RASTER_CELL).map(Some),
        };
        let mut rate = |written: &Option<At<Written>>| match written {
            None => Some(None),
            Some(rate) => self.rate(rate).map(|rate| Some(rate.rate())),
        };
        let out_of_field_rate = rate(&table.out_of_field_rate);
        let signal_lost_rate = rate(&table.signal_lost_rate);
        let wanted = wanted?;
        if !wanted.is_empty() {
            self.date_and_revision(file);
        }
        let (unit, raster_cell) = (unit?, raster_cell?);
        Some(ExportPart {
            files: ExportFormat::ALL.into_iter().filter(|f| wanted.contains(&f.words())).collect(),
            unit: ControllerUnit::ALL.into_iter().find(|known| Some(known.words()) == unit),
            raster_cell: raster_cell.map(Length::from_metres),
            out_of_field_rate: out_of_field_rate?,
            signal_lost_rate: signal_lost_rate?,
        })
    }

    /// Files that leave the office are told apart by the day and the revision in their names.
    fn date_and_revision(&mut self, file: &JobFile) {
        let dates = file.dates.as_ref().map(|table| &table.value);
        self.required(
            "dates.spread",
            "the day planned for spreading; the files of `export.files` carry it in their names",
            dates.and_then(|dates| dates.spread.as_ref()),
        );
        let spreader = file.spreader.as_ref().map(|table| &table.value);
        let stated = spreader.and_then(|table| table.applications.as_ref());
        let applications = stated.map_or(APPLICATIONS, |stated| stated.value);
        if applications > APPLICATIONS {
            self.required(
                "dates.further_spread",
                "one day for each application after the first (`spreader.applications`); the \
                 files of `export.files` carry the day of theirs in their names",
                dates.and_then(|dates| dates.further_spread.as_ref()),
            );
        }
        let revision = self.required(
            "dates.revision",
            "the number of this revision, from 1; the files of `export.files` carry it in their \
             names",
            dates.and_then(|dates| dates.revision.as_ref()),
        );
        if let Some(revision) = revision.filter(|revision| revision.value == 0) {
            let problem = Problem::at(self.text.place(&revision.span), "`dates.revision` is 0")
                .allowed("1 for the first map of this field, 2 for the one that supersedes it")
                .hint("count the revisions from 1");
            self.problems.push(problem);
        }
    }
}
