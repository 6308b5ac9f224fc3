//! How one file names another.

use std::path::{Component, Path, PathBuf};

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
