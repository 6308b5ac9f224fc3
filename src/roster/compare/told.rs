//! What to know of a comparison: what was converted, and what is not added because it is unlike.

use std::collections::BTreeMap;

use super::costs::currencies;
use super::exact::{Exact, NoAmount};
use super::field::target_in_words;
use crate::findings::first_of;
use crate::roster::row::FieldRow;
use crate::summary::FindingPart;
use crate::units::{Currency, UnitSystem, counted};

/// Names in one sentence before the rest is counted.
const MOST_NAMES: usize = 8;

/// The findings of a comparison; `unread` are rows that cannot be counted with.
pub(super) fn told_of(
    rows: &[Exact<'_>],
    unread: &[(&FieldRow, NoAmount)],
    system: UnitSystem,
) -> Vec<FindingPart> {
    let mut told = Told { rows, findings: Vec::new() };
    told.unread(unread);
    told.converted(system);
    told.unlike_needs();
    told.materials();
    told.media();
    told.money();
    told.held_back();
    told.no_better();
    told.same_ground();
    told.findings
}

struct Told<'r, 'a> {
    rows: &'r [Exact<'a>],
    findings: Vec<FindingPart>,
}

impl Told<'_, '_> {
    fn tell(&mut self, key: &str, text: String) {
        self.findings.push(FindingPart { key: key.to_owned(), place: String::new(), text });
    }

    fn all(&self) -> String {
        counted(self.rows.len() as u64, "field", "fields")
    }

    fn unread(&mut self, unread: &[(&FieldRow, NoAmount)]) {
        for (row, why) in unread {
            self.tell("field_left_out", format!("Field `{}` is left out: {why}.", row.id));
        }
    }

    fn converted(&mut self, system: UnitSystem) {
        let other: Vec<&str> = self
            .rows
            .iter()
            .filter(|exact| exact.units != system)
            .map(|exact| exact.row.id.as_str())
            .collect();
        if other.is_empty() {
            return;
        }
        let (from, to) = match system {
            UnitSystem::Us => ("hectares, tonnes and kilometres", "acres, short tons and miles"),
            UnitSystem::Metric => {
                ("acres, short tons and miles", "hectares, tonnes and kilometres")
            }
        };
        let text = format!(
            "Converted from {from} to {to}: {} of {} ({}).",
            other.len(),
            self.all(),
            first_of(&other, MOST_NAMES)
        );
        self.tell("fields_converted", text);
    }

    /// Needs by different methods or to different targets are added all the same, so it is told.
    fn unlike_needs(&mut self) {
        let methods = self.counts(|exact| exact.row.method.clone());
        if methods.len() > 1 {
            let text = format!(
                "Needs come from {} lime-need methods, so they are not alike: {}.",
                methods.len(),
                in_counts(&methods)
            );
            self.tell("methods_differ", text);
        }
        let targets = self.counts(|exact| target_in_words(exact.row));
        if targets.len() > 1 {
            let text = format!(
                "Fields are limed to {} different targets, so their needs are not alike: {}.",
                targets.len(),
                in_counts(&targets)
            );
            self.tell("targets_differ", text);
        }
    }

    fn materials(&mut self) {
        let materials = self.counts(|exact| exact.material.clone());
        if materials.len() > 1 {
            let text = format!(
                "{} materials are spread, and a ton of one is not worth that of another: product and \
                 rates are added for each by itself ({}).",
                materials.len(),
                in_counts(&materials)
            );
            self.tell("materials_differ", text);
        }
    }

    fn media(&mut self) {
        let media = self.counts(|exact| {
            exact.row.ph.as_ref().map_or_else(|| "no pH".to_owned(), |ph| ph.measured_in.clone())
        });
        if media.len() > 1 {
            let text = format!(
                "Soil pH was not measured alike everywhere, so there is no mean of all: {}.",
                in_counts(&media)
            );
            self.tell("ph_media_differ", text);
        }
    }

    fn money(&mut self) {
        let rows: Vec<&Exact<'_>> = self.rows.iter().collect();
        let currencies = currencies(&rows);
        let known = rows.iter().filter(|exact| exact.cost.is_some()).count();
        if currencies.len() > 1 {
            let words: Vec<&str> = currencies.iter().map(Currency::words).collect();
            let text = format!(
                "Costs are in {} currencies, each added and sorted by itself: {}.",
                currencies.len(),
                words.join(", ")
            );
            self.tell("currencies_differ", text);
        }
        if known > 0 && known < rows.len() {
            let text = format!("Cost is known of {known} of {}; totals hold these.", self.all());
            self.tell("costs_missing", text);
        }
        let covers = self.counts_of(|exact| {
            let haul = exact.row.haul.as_ref().filter(|_| exact.cost.is_some())?;
            Some(haul.cost_covers.join(" + "))
        });
        if covers.len() > 1 {
            let text = format!(
                "Costs do not cover the same everywhere, so compare them with care: {}.",
                in_counts(&covers)
            );
            self.tell("cost_covers_differ", text);
        }
    }

    /// What is held back is not spread now, and is no saving against one rate for the whole field.
    fn held_back(&mut self) {
        let held = |exact: &&Exact<'_>| {
            exact.row.held_back_total.as_ref().is_some_and(|held| held.value > 0.0)
        };
        let ids: Vec<&str> =
            self.rows.iter().filter(held).map(|exact| exact.row.id.as_str()).collect();
        if !ids.is_empty() {
            let text = format!(
                "On {} of {} rate areas are held back this time (rate_areas.only): what their maps \
                 take less than one rate for the whole field is in part put off, not saved ({}).",
                ids.len(),
                self.all(),
                first_of(&ids, MOST_NAMES)
            );
            self.tell("held_back_is_no_saving", text);
        }
    }

    /// Fields whose map was no better than their mean at places that were left out.
    fn no_better(&mut self) {
        let ids: Vec<&str> = self
            .rows
            .iter()
            .filter(|exact| exact.map_gain().is_some_and(|gain| gain.share <= 0.0))
            .map(|exact| exact.row.id.as_str())
            .collect();
        if !ids.is_empty() {
            let text = format!(
                "On {} of {} the map does not beat the mean of the samples, so one rate may serve as \
                 well: {}.",
                ids.len(),
                self.all(),
                first_of(&ids, MOST_NAMES)
            );
            self.tell("maps_no_better", text);
        }
    }

    /// Fields with one middle and one area are the same ground, whose needs are added twice.
    fn same_ground(&mut self) {
        let mut grounds: BTreeMap<[i64; 3], Vec<&str>> = BTreeMap::new();
        for exact in self.rows {
            // A place of 1e-7 degrees and an area of a square metre.
            let [lon, lat] = exact.row.place_deg.map(|degrees| (degrees * 1e7).round() as i64);
            let area = exact.area.to_square_metres().round() as i64;
            grounds.entry([lon, lat, area]).or_default().push(&exact.row.id);
        }
        let same: Vec<String> = grounds
            .values()
            .filter(|ids| ids.len() > 1)
            .map(|ids| format!("({})", first_of(ids, MOST_NAMES)))
            .collect();
        if !same.is_empty() {
            let text = format!(
                "Fields of the same place and area are counted each by itself, although they look \
                 like the same ground: {}.",
                first_of(&same, MOST_NAMES)
            );
            self.tell("same_ground", text);
        }
    }

    fn counts(&self, of: impl Fn(&Exact<'_>) -> String) -> BTreeMap<String, usize> {
        self.counts_of(|exact| Some(of(exact)))
    }

    fn counts_of(&self, of: impl Fn(&Exact<'_>) -> Option<String>) -> BTreeMap<String, usize> {
        let mut counts = BTreeMap::new();
        for words in self.rows.iter().filter_map(of) {
            *counts.entry(words).or_insert(0) += 1;
        }
        counts
    }
}

/// The first few, each with how many fields it is of.
fn in_counts(counts: &BTreeMap<String, usize>) -> String {
    let words: Vec<String> = counts
        .iter()
        .map(|(name, &count)| format!("{name}: {}", counted(count as u64, "field", "fields")))
        .collect();
    first_of(&words, MOST_NAMES)
}
