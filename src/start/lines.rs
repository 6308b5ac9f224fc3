//! The keys of a job that is to be written: what is known, what is blank, what is only offered.

use std::collections::BTreeMap;

use crate::inputs::{JobKey, JobSettings, job_defaults, job_keys};
use crate::outputs::{DraftLine, DraftTable, DraftValue};

/// The tables of a job, in the order in which they are written.
const TABLES: &[&str] = &[
    "",
    "field",
    "dates",
    "samples",
    "samples.columns",
    "samples.repeatability",
    "samples.lab_check",
    "samples.meter_log",
    "samples.units",
    "history.[]",
    "target",
    "need",
    "need.lab",
    "material",
    "material.fineness",
    "risk",
    "spreader",
    "grid",
    "rate_areas",
    "override.[]",
    "upkeep.nitrogen.[]",
    "upkeep.removal.[]",
    "order",
    "haul",
    "export",
];

/// Keys that stand for one another: where one of the second is set, the first need not be.
const INSTEAD: &[(&[&str], &[&str])] = &[
    (&["material.effective"], &["material.cce", "material.fineness.scheme"]),
    (&["spreader.min_rate", "spreader.max_rate", "spreader.step"], &["spreader.rates"]),
    (&["samples.sampled_depth"], &["samples.layers"]),
    (
        &["target.ph", "target.base_saturation", "target.aluminium_saturation"],
        &[
            "target.ph",
            "target.crop",
            "target.rotation",
            "target.base_saturation",
            "target.aluminium_saturation",
        ],
    ),
];

/// The keys that were put down so far, and what is known of all keys.
pub(super) struct Lines<'s> {
    settings: &'s JobSettings,
    keys: Vec<JobKey>,
    put: Vec<(String, DraftValue, Vec<String>)>,
    about: BTreeMap<&'static str, Vec<String>>,
}

impl<'s> Lines<'s> {
    pub(super) fn new(settings: &'s JobSettings) -> Self {
        Self { settings, keys: job_keys(), put: Vec::new(), about: BTreeMap::new() }
    }

    /// What is said of a whole table.
    pub(super) fn about(&mut self, table: &'static str, says: String) {
        self.about.entry(table).or_default().push(says);
    }

    /// A key that the data settle, with from where.
    pub(super) fn known(&mut self, path: &str, value: String, from: impl Into<String>) {
        self.put(path, DraftValue::Known(value), vec![from.into()]);
    }

    /// A key that is settled already, with why it has that value.
    pub(super) fn chosen(&mut self, path: &str, from: impl Into<String>) {
        if let Some(value) = self.settings.value(path) {
            let value = DraftValue::Known(value.to_owned());
            self.put.push((path.to_owned(), value, vec![from.into()]));
        }
    }

    /// A key that has to be filled in; what the key is comes first, then what `more` says.
    pub(super) fn blank(&mut self, path: &str, more: Vec<String>) {
        let mut says = vec![self.meaning(path)];
        says.extend(more);
        self.put(path, DraftValue::Blank, says);
    }

    /// A key that may be added, with a value that the data suggest.
    pub(super) fn offered(&mut self, path: &str, value: String, says: impl Into<String>) {
        self.put(path, DraftValue::Offered(value), vec![says.into()]);
    }

    fn put(&mut self, path: &str, value: DraftValue, says: Vec<String>) {
        let is_instead = |&(keys, others): &(&[&str], &[&str])| {
            keys.contains(&path) && others.iter().any(|other| self.settings.value(other).is_some())
        };
        if self.settings.value(path).is_none() && !INSTEAD.iter().any(is_instead) {
            self.put.push((path.to_owned(), value, says));
        }
    }

    fn meaning(&self, path: &str) -> String {
        self.keys.iter().find(|key| key.path == path).map(JobKey::in_words).unwrap_or_default()
    }

    /// The paths of the blanks.
    pub(super) fn blanks(&self) -> Vec<String> {
        let blank =
            |(_, value, _): &&(String, DraftValue, Vec<String>)| *value == DraftValue::Blank;
        self.put.iter().filter(blank).map(|(path, ..)| path.clone()).collect()
    }

    /// All tables; what was not put down is offered at the end of its table.
    pub(super) fn tables(mut self) -> Vec<DraftTable> {
        for (path, value) in &self.settings.values {
            if self.put.iter().any(|(put, ..)| put == path) {
                continue;
            }
            let says = vec!["as given with --set or another argument".to_owned()];
            self.put.push((path.clone(), DraftValue::Known(value.clone()), says));
        }
        let defaults = job_defaults();
        for key in &self.keys {
            if self.put.iter().any(|(path, ..)| *path == key.path) {
                continue;
            }
            let default = defaults.iter().find(|(path, _)| *path == key.path);
            let (value, says) = match default {
                Some((_, value)) => (value.clone(), format!("The default. {}", key.in_words())),
                None => (key.example.clone(), key.in_words()),
            };
            self.put.push((key.path.clone(), DraftValue::Offered(value), vec![says]));
        }
        self.tables_put()
    }

    /// The tables of what was put down, and nothing else.
    pub(super) fn tables_put(&self) -> Vec<DraftTable> {
        TABLES.iter().filter_map(|name| self.table(name)).collect()
    }

    fn table(&self, name: &str) -> Option<DraftTable> {
        let lines: Vec<DraftLine> = self
            .put
            .iter()
            .filter(|(path, ..)| table_of(path) == name)
            .map(|(path, value, says)| DraftLine {
                key: path.rsplit('.').next().unwrap_or(path).to_owned(),
                value: value.clone(),
                says: says.clone(),
            })
            .collect();
        let offered = lines.iter().all(|line| matches!(line.value, DraftValue::Offered(_)));
        let header = match name.strip_suffix(".[]") {
            Some(list) => format!("[[{list}]]"),
            None if name.is_empty() => String::new(),
            None => format!("[{name}]"),
        };
        let about = self.about.get(name).cloned().unwrap_or_default();
        (!lines.is_empty()).then_some(DraftTable { header, about, lines, offered })
    }
}

fn table_of(path: &str) -> &str {
    path.rsplit_once('.').map_or("", |(table, _)| table)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_key_of_a_job_has_a_table_in_the_written_one() {
        for key in job_keys() {
            assert!(TABLES.contains(&table_of(&key.path)), "{}", key.path);
        }
        for (path, _) in job_defaults() {
            assert!(job_keys().iter().any(|key| key.path == path), "{path}");
        }
    }
}
