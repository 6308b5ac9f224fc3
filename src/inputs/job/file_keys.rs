//! The keys of a job that name files, in one place.

use std::borrow::Cow;
use std::path::Path;

use toml::de::{DeTable, DeValue};

use super::file::JobFile;
use super::{Job, NamedFile};
use crate::agronomy::{OWN_TABLE, own_table_file};

/// Each key that names a file by its path through the tables. What stands there is a path, a table
/// with the path as `file`, or a list of either; of the method it is a file where it begins so.
const FILE_KEYS: [&[&str]; 11] = [
    &["field", "boundary"],
    &["field", "keep_out"],
    &["samples", "file"],
    &["samples", "lab"],
    &["samples", "lab_check", "file"],
    &["samples", "meter_log", "file"],
    &["samples", "zones"],
    &["samples", "zone_results"],
    &["need", "method"],
    &["material", "from"],
    &["override", "area"],
];

/// Puts `way` before each path of `table` that is not a whole one already.
pub(super) fn lead_to_files(table: &mut DeTable<'_>, way: &str) {
    if way.is_empty() {
        return;
    }
    for keys in FILE_KEYS {
        let [first, inner @ ..] = keys else { continue };
        if let Some(value) = table.get_mut(*first) {
            each_path(value.get_mut(), inner, &mut |text| {
                let own = own_table_file(text);
                if is_method(keys) && own.is_none() {
                    return;
                }
                let file = own.filter(|_| is_method(keys)).unwrap_or(text);
                if !Path::new(file).is_absolute() {
                    let start = if is_method(keys) { OWN_TABLE } else { "" };
                    *text = Cow::Owned(format!("{start}{way}/{file}"));
                }
            });
        }
    }
}

fn is_method(keys: &[&str]) -> bool {
    keys == ["need", "method"]
}

fn each_path<'t>(
    value: &mut DeValue<'t>,
    inner: &[&str],
    change: &mut impl FnMut(&mut Cow<'t, str>),
) {
    match (value, inner) {
        (DeValue::Array(entries), _) => {
            for entry in entries.iter_mut() {
                each_path(entry.get_mut(), inner, change);
            }
        }
        (DeValue::Table(table), _) => {
            let (key, inner) = inner.split_first().unwrap_or((&"file", &[]));
            if let Some(value) = table.get_mut(*key) {
                each_path(value.get_mut(), inner, change);
            }
        }
        (DeValue::String(text), []) => change(text),
        _ => {}
    }
}

/// The files that a job names, in the order of its keys; each once.
///
/// They are what it is made from: files that belong to them, such as those of a shapefile, lie
/// beside them, and a folder stands for what lies in it.
pub fn named_files(job: &Job, folder: &Path) -> Vec<NamedFile> {
    let mut files: Vec<NamedFile> = Vec::new();
    for given in paths_in(&job.effective) {
        let file = NamedFile { path: folder.join(&given), given };
        if !files.contains(&file) {
            files.push(file);
        }
    }
    files
}

fn paths_in(file: &JobFile) -> Vec<String> {
    let mut found = Vec::new();
    if let Ok(table) = toml::Value::try_from(file) {
        for keys in FILE_KEYS {
            gather(&table, keys, &mut |text: &str| {
                let file = if is_method(keys) { own_table_file(text) } else { Some(text) };
                found.extend(file.map(str::to_owned));
            });
        }
    }
    found
}

fn gather(value: &toml::Value, keys: &[&str], found: &mut impl FnMut(&str)) {
    match (value, keys) {
        (toml::Value::Array(entries), _) => {
            for entry in entries {
                gather(entry, keys, found);
            }
        }
        (toml::Value::Table(table), _) => {
            let (key, inner) = keys.split_first().unwrap_or((&"file", &[]));
            if let Some(value) = table.get(*key) {
                gather(value, inner, found);
            }
        }
        (toml::Value::String(text), []) => found(text),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::super::keys::job_keys;
    use super::*;

    /// Keys whose description speaks of files, and which name none.
    const NAME_NO_FILE: [&str; 13] = [
        "field.coordinate_system",
        "field.layer",
        "field.select",
        "field.setback",
        "samples.by_zone",
        "samples.coordinate_system",
        "samples.key",
        "samples.lab_key",
        "samples.layer",
        "samples.select",
        "samples.zone_key",
        "need.placement",
        "export.files",
    ];

    #[test]
    fn every_key_that_speaks_of_a_file_is_known_to_name_one_or_none() {
        let known: Vec<String> = FILE_KEYS.iter().map(|keys| keys.join(".")).collect();
        let keys = job_keys();
        let mut unknown = Vec::new();
        for key in &keys {
            let path = key.path.replace(".[]", "");
            let words = key.meaning.to_lowercase();
            let speaks = ["file", "folder", "the table with", "the list of materials"]
                .iter()
                .any(|word| words.contains(word));
            if speaks && !known.contains(&path) && !NAME_NO_FILE.contains(&path.as_str()) {
                unknown.push(format!("{path}: {}", key.meaning));
            }
        }
        assert!(unknown.is_empty(), "add them to one of the two lists:\n{}", unknown.join("\n"));
        for path in known.iter().map(String::as_str) {
            let is_there = |key: &super::super::JobKey| key.path.replace(".[]", "") == path;
            assert!(keys.iter().any(is_there), "{path}");
        }
    }

    /// All code that makes a `NamedFile` of a job's key; a new line here is a new key in
    /// `FILE_KEYS`.
    #[test]
    fn every_place_that_makes_a_named_file_is_counted() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/inputs/job");
        let mut found = 0;
        for entry in std::fs::read_dir(folder).unwrap() {
            let text = std::fs::read_to_string(entry.unwrap().path()).unwrap();
            let code = text.split("\n#[cfg(test)]").next().unwrap();
            let makes = [".named_file(", "NamedFile { "];
            found += makes.iter().map(|word| code.matches(word).count()).sum::<usize>();
        }
        // The boundary; a path alone, and a table, of a map file (keep-outs, zones, overrides); the
        // samples; the laboratory; its check; the log; the results of zones; the method; the list of
        // materials; the function that all but the last call; and the list of them here. One more
        // is of no job: the list that a supplier's material is taken from.
        assert_eq!(found, 13, "a key that names a file belongs into FILE_KEYS");
    }

    #[test]
    fn every_key_is_led_from_the_folder_of_the_list_to_that_of_the_job() {
        let text = "[field]\nboundary = \"a\"\nkeep_out = [\"b\", { file = \"c\" }]\n\
                    [samples]\nfile = \"d\"\nlab = \"/e\"\nzones = { file = \"f\" }\n\
                    zone_results = \"g\"\nlab_check = { file = \"h\" }\n\
                    meter_log = { file = \"i\" }\n[need]\nmethod = \"file: j\"\n\
                    [material]\nfrom = \"k\"\n[[override]]\narea = \"l\"\n\
                    [[override]]\narea = { file = \"m\" }\n";
        let mut table = DeTable::parse(text).unwrap();
        lead_to_files(table.get_mut(), "../..");
        let file: JobFile =
            serde::Deserialize::deserialize(toml::de::Deserializer::from(table)).unwrap();
        let led = "abcd".chars().chain(['/']).chain("hifgjklm".chars());
        let expected: Vec<String> =
            led.map(|c| if c == '/' { "/e".to_owned() } else { format!("../../{c}") }).collect();
        assert_eq!(paths_in(&file), expected);
        let mut table = DeTable::parse("[need]\nmethod = \"smp-iowa\"\n").unwrap();
        lead_to_files(table.get_mut(), "..");
        let method = table.get_ref()["need"].get_ref().get("method").unwrap();
        assert_eq!(method.get_ref().as_str(), Some("smp-iowa"));
    }
}
