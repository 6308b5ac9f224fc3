//! Whether a result still stands as it was written.

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

#[cfg(test)]
mod tests {
    use std::fs;

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
