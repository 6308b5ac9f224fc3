//! Whether a result still stands as it was written.

use std::fs;
use std::path::Path;

use super::inventory::{Inventory, Standing};

/// Whether `folder` is a result of this program of which every file is there, with the bytes that
/// were written. What else lies in the folder does not count.
pub fn is_as_written(folder: &Path) -> bool {
    let Some(inventory) = Inventory::read(folder) else { return false };
    let own = |name: &String| {
        inventory.standing(folder, name).is_ok_and(|standing| standing == Standing::Own)
    };
    !inventory.files.is_empty() && inventory.files.keys().all(own)
}

/// Whether an earlier run wrote a result into `folder`, changed since or not.
pub fn holds_a_result(folder: &Path) -> bool {
    Inventory::read(folder).is_some()
}

/// The names of the folders in `folder` that hold results of earlier runs, and of the JSON files in
/// its folder `failed`, without their ending; sorted.
pub fn results_in(folder: &Path, failed: &str) -> Vec<String> {
    let name = |entry: &fs::DirEntry| entry.file_name().to_string_lossy().into_owned();
    let entries = |folder: &Path| fs::read_dir(folder).into_iter().flatten().flatten();
    let results = entries(folder).filter(|entry| holds_a_result(&entry.path()));
    let mut names: Vec<String> = results.map(|entry| name(&entry)).collect();
    let failures = entries(&folder.join(failed));
    names
        .extend(failures.filter_map(|entry| name(&entry).strip_suffix(".json").map(str::to_owned)));
    names.sort_unstable();
    names.dedup();
    names
}

#[cfg(test)]
mod tests {
    use super::super::{Output, store};
    use super::*;

    #[test]
    fn a_file_that_is_gone_or_changed_is_seen_and_one_more_does_not_matter() {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path().join("out");
        let outputs = [
            Output::new("a.json", |out| out.write_all(b"a")),
            Output::new("inner/b.txt", |out| out.write_all(b"b")),
        ];
        assert!(!is_as_written(&folder) && !holds_a_result(&folder));
        store(&folder, &outputs).unwrap();
        assert!(is_as_written(&folder) && holds_a_result(&folder));
        fs::write(folder.join("notes.txt"), "mine").unwrap();
        assert!(is_as_written(&folder));
        fs::write(folder.join("inner/b.txt"), "c").unwrap();
        assert!(!is_as_written(&folder));
        fs::remove_file(folder.join("inner/b.txt")).unwrap();
        assert!(!is_as_written(&folder));
    }
}
