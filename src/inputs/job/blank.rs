//! Blanks: keys of a job file that nobody has filled in yet.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::keys::{JobKey, job_keys};
use super::parse::JobText;
use crate::findings::Problem;

/// What stands for the value of a key that is to be filled in.
pub const BLANK: &str = "?";

impl JobText {
    /// Whether a key of a table has a value that is no blank. A text that is not TOML is refused
    /// where it is parsed, and counts as having one.
    pub(super) fn states(&self, table: &str, key: &str) -> bool {
        let stated = |text: &str| {
            let Ok(file) = text.parse::<toml::Table>() else { return Some(true) };
            let value = file.get(table)?.get(key)?;
            Some(value.as_str().is_none_or(|text| text.trim() != BLANK))
        };
        // Of several the last one counts.
        let sets = self.lines_of_sets().rev().find_map(|set| stated(&set));
        let shared = || stated(&self.shared()?.padded(0));
        // A blank in the job is none where what it shares with others has a value.
        sets.or_else(|| stated(self.text()).filter(|&is_stated| is_stated).or_else(shared))
            == Some(true)
    }

    /// A problem for every blank.
    pub(super) fn find_blanks(&self, table: &DeTable<'_>) -> Vec<Problem> {
        let mut blanks: Vec<(String, Range<usize>)> = Vec::new();
        gather(table, "", &mut |path, span| blanks.push((path, span)));
        if blanks.is_empty() {
            return Vec::new();
        }
        blanks.sort_by_key(|(_, span)| span.start);
        let keys = job_keys();
        blanks
            .into_iter()
            .map(|(path, span)| {
                let known = keys.iter().find(|key| key.path == path);
                let what = format!("`{}` is still a blank", path.replace(".[]", ""));
                let allowed = known.map_or_else(String::new, JobKey::in_words);
                let hint = known.map_or_else(
                    || format!("write the value in place of \"{BLANK}\""),
                    |key| {
                        format!(
                            "write the value in place of \"{BLANK}\", for example {}",
                            key.example
                        )
                    },
                );
                Problem::at(self.place(&span), what).allowed(allowed).hint(hint)
            })
            .collect()
    }
}

/// Takes out the keys that nobody has filled in.
pub(super) fn leave_out_blanks(table: &mut DeTable<'_>) {
    let mut blanks = Vec::new();
    for (key, value) in table.iter_mut() {
        match value.get_mut() {
            DeValue::String(text) if text.trim() == BLANK => {
                blanks.push(key.get_ref().to_string());
            }
            DeValue::Table(inner) => leave_out_blanks(inner),
            _ => {}
        }
    }
    for key in blanks {
        table.remove(key.as_str());
    }
}

fn gather(table: &DeTable<'_>, path: &str, found: &mut impl FnMut(String, Range<usize>)) {
    for (key, value) in table {
        let name: &str = key.get_ref();
        let path = if path.is_empty() { name.to_owned() } else { format!("{path}.{name}") };
        match value.get_ref() {
            DeValue::String(text) if text.trim() == BLANK => found(path, value.span()),
            DeValue::Table(inner) => gather(inner, &path, found),
            DeValue::Array(entries) => {
                for entry in entries {
                    match entry.get_ref() {
                        DeValue::String(text) if text.trim() == BLANK => {
                            found(path.clone(), entry.span());
                        }
                        DeValue::Table(inner) => gather(inner, &format!("{path}.[]"), found),
                        _ => {}
                    }
                }
            }
            _ => {}
        }
    }
}
