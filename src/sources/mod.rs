//! Bibliography: every publication that a number in this program rests on, under one key.

use std::fmt;
use std::sync::LazyLock;

use serde::Deserialize;

/// One publication.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// The key under which tables name it.
    pub key: String,
    /// Its title.
    pub title: String,
    /// Who published it; for a journal, its name, volume and pages.
    pub publisher: String,
    /// The year of publication, where one is stated.
    pub year: Option<i32>,
    /// What was seen of it, and what was not.
    pub note: Option<String>,
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}. {}", self.title, self.publisher)?;
        match self.year {
            Some(year) => write!(f, ", {year}"),
            None => f.write_str(", undated"),
        }
    }
}

/// The source under `key`, or `None` where the bibliography has no such key.
pub fn source(key: &str) -> Option<&'static Source> {
    all_sources().iter().find(|source| source.key == key)
}

/// All sources, in the order of the file.
pub fn all_sources() -> &'static [Source] {
    &SOURCES
}

/// The file as it lies in the source tree.
pub const BIBLIOGRAPHY: &str = include_str!("sources.json");

/// The file is part of the program, so a fault in it is a fault of the program, which the tests
/// below find before a user can.
static SOURCES: LazyLock<Vec<Source>> =
    LazyLock::new(|| serde_json::from_str(BIBLIOGRAPHY).expect("the bibliography is well formed"));

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_source_has_a_title_a_publisher_and_a_key_of_its_own() {
        assert!(!all_sources().is_empty());
        for source in all_sources() {
            assert!(!source.title.is_empty() && !source.publisher.is_empty(), "{}", source.key);
            let same = all_sources().iter().filter(|other| other.key == source.key).count();
            assert_eq!(same, 1, "{}", source.key);
            assert!(source.year.is_some() || source.note.is_some(), "{}: undated", source.key);
        }
    }

    #[test]
    fn an_unknown_key_is_none_and_an_unknown_field_is_refused() {
        assert_eq!(source("nobody_1900"), None);
        let odd = r#"[{"key": "a", "title": "b", "publisher": "c", "page": 3}]"#;
        assert!(serde_json::from_str::<Vec<Source>>(odd).is_err());
    }

    #[test]
    fn a_source_prints_its_title_its_publisher_and_its_year() {
        let iowa = source("iowa_2002_pm1688").expect("in the bibliography").to_string();
        assert!(iowa.ends_with("Iowa State University Extension, 2002"), "{iowa}");
        let undated = source("ala_lime_requirements").expect("in the bibliography").to_string();
        assert!(undated.ends_with("undated"), "{undated}");
    }
}
