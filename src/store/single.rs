//! One file that is replaced in one step.

use std::fs;
use std::io::Write;
use std::path::Path;

use super::fresh::allow_reading;
use super::swap::{StoreError, disk, parent_of};

/// How the name of a file begins that is not yet in its place.
pub(super) const HALF_WRITTEN: &str = ".limewright.";

/// Puts `text` into the file `path`, whatever stands there: whoever calls this knows that it is the
/// program's own. Its folder is made where there is none.
///
/// # Errors
/// Returns why it stands as it was.
pub fn replace_file(path: &Path, text: &str) -> Result<(), StoreError> {
    let folder = parent_of(path);
    let put = || -> std::io::Result<()> {
        fs::create_dir_all(folder)?;
        let mut file = tempfile::Builder::new().prefix(HALF_WRITTEN).tempfile_in(folder)?;
        file.write_all(text.as_bytes())?;
        file.flush()?;
        allow_reading(file.path())?;
        file.persist(path).map(|_| ()).map_err(|failed| failed.error)
    };
    // Another run may take the folder away while it is empty.
    let vanished = |error: &std::io::Error| error.kind() == std::io::ErrorKind::NotFound;
    let first = put();
    let put = if first.as_ref().is_err_and(vanished) { put() } else { first };
    put.map_err(disk(path, "written"))
}

/// Removes a file of the program's own, where it is there.
///
/// # Errors
/// Returns why it is still there.
pub fn remove_file(path: &Path) -> Result<(), StoreError> {
    match fs::remove_file(path) {
        Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
            Err(disk(path, "removed")(error))
        }
        _ => Ok(()),
    }
}

/// Removes a folder that holds nothing; any other stays.
pub fn remove_empty_folder(path: &Path) {
    let _ = fs::remove_dir(path);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_replaced_and_removed_and_only_an_empty_folder_goes() {
        let place = tempfile::tempdir().unwrap();
        let path = place.path().join("failed/a.json");
        remove_file(&path).unwrap();
        replace_file(&path, "first").unwrap();
        replace_file(&path, "second").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"second");
        fs::write(place.path().join("failed/b.json"), "b").unwrap();
        remove_file(&path).unwrap();
        remove_empty_folder(&place.path().join("failed"));
        assert!(place.path().join("failed/b.json").exists());
        remove_file(&place.path().join("failed/b.json")).unwrap();
        remove_empty_folder(&place.path().join("failed"));
        assert!(!place.path().join("failed").exists());
    }
}
