//! Names of files and folders that are made from data.

use std::collections::BTreeSet;
use std::path::{Component, Path, PathBuf};

/// Characters of a name before the rest is cut off.
const LONGEST: usize = 60;
/// Names that some systems keep for devices.
const DEVICES: [&str; 6] = ["con", "prn", "aux", "nul", "com", "lpt"];

/// A safe name of small letters, digits and hyphens, made from any text; `field` where nothing of
/// it can stand in one.
pub fn slug(text: &str) -> String {
    let mut name = String::new();
    for c in text.chars().flat_map(char::to_lowercase) {
        match c {
            'a'..='z' | '0'..='9' => name.push(c),
            '\'' | '’' => {}
            _ if name.ends_with('-') || name.is_empty() => {}
            _ => name.push('-'),
        }
    }
    let name: String = name.chars().take(LONGEST).collect();
    let name = name.trim_end_matches('-');
    let bare = name.trim_end_matches(|c: char| c.is_ascii_digit());
    if name.is_empty() {
        "field".to_owned()
    } else if DEVICES.contains(&bare) {
        format!("field-{name}")
    } else {
        name.to_owned()
    }
}

/// A slug that is not yet in `taken`, and is then: one that is gets a number.
pub fn unique_slug(text: &str, taken: &mut BTreeSet<String>) -> String {
    let first = slug(text);
    let mut name = first.clone();
    let mut number = 1_u64;
    while !taken.insert(name.clone()) {
        number += 1;
        name = format!("{first}-{number}");
    }
    name
}

/// The way from a folder that may not exist yet to a file that does, with `/` between its parts;
/// the whole path where the two have no folder in common.
///
/// # Errors
/// Returns what the system says where a path cannot be followed.
pub fn path_from(folder: &Path, file: &Path) -> std::io::Result<String> {
    let file = file.canonicalize()?;
    let folder = canonical_as_far_as_it_exists(folder)?;
    let here: Vec<Component<'_>> = folder.components().collect();
    let there: Vec<Component<'_>> = file.components().collect();
    let common = here.iter().zip(&there).take_while(|(a, b)| a == b).count();
    let names = |parts: &[Component<'_>]| -> Vec<String> {
        parts.iter().map(|part| part.as_os_str().to_string_lossy().into_owned()).collect()
    };
    if common == 0 {
        return Ok(file.to_string_lossy().into_owned());
    }
    let mut way = vec!["..".to_owned(); here.len() - common];
    way.extend(names(&there[common..]));
    Ok(way.join("/"))
}

/// The path without links and `..`, behind its last part that exists as it stands.
fn canonical_as_far_as_it_exists(path: &Path) -> std::io::Result<PathBuf> {
    let mut missing = Vec::new();
    let mut there = std::path::absolute(path)?;
    while !there.exists() {
        match (there.parent(), there.file_name()) {
            (Some(parent), Some(name)) => {
                missing.push(name.to_owned());
                there = parent.to_owned();
            }
            _ => break,
        }
    }
    let mut found = there.canonicalize()?;
    found.extend(missing.into_iter().rev());
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn any_text_gives_a_safe_name() {
        for (text, name) in [
            ("Heron Flat 3", "heron-flat-3"),
            ("../../etc/passwd", "etc-passwd"),
            ("Müller's  Feld!", "m-llers-feld"),
            ("", "field"),
            ("田", "field"),
            ("CON", "field-con"),
            ("com1", "field-com1"),
            (".hidden.", "hidden"),
        ] {
            assert_eq!(slug(text), name, "{text}");
        }
        assert_eq!(slug(&"x".repeat(500)).len(), LONGEST);
    }

    #[test]
    fn names_that_come_out_alike_are_told_apart() {
        let mut taken = BTreeSet::new();
        let names: Vec<String> =
            ["A 1", "a-1", "A/1", "a-1-2"].iter().map(|t| unique_slug(t, &mut taken)).collect();
        assert_eq!(names, ["a-1", "a-1-2", "a-1-3", "a-1-2-2"]);
    }

    #[test]
    fn the_way_leads_from_a_new_folder_to_a_file() {
        let place = tempfile::tempdir().unwrap();
        fs::create_dir(place.path().join("data")).unwrap();
        let file = place.path().join("data/a.csv");
        fs::write(&file, "x").unwrap();
        let way = |folder: &str| path_from(&place.path().join(folder), &file).unwrap();
        assert_eq!(way("data"), "a.csv");
        assert_eq!(way(""), "data/a.csv");
        assert_eq!(way("jobs/heron"), "../../data/a.csv");
        assert!(path_from(place.path(), &place.path().join("none.csv")).is_err());
    }
}
