//! Writing what must not stand there yet: files that are meant to be edited, which no later run
//! may take for its own.

use std::fs;
use std::io::Write;
use std::path::Path;

use super::swap::{Output, StoreError, disk, parent_of};

/// Writes one new file.
///
/// # Errors
/// Returns why nothing was written, also where the file exists.
pub fn store_new_file(target: &Path, output: &Output<'_>) -> Result<(), StoreError> {
    if fs::symlink_metadata(target).is_ok() {
        return Err(StoreError::Exists(target.to_owned()));
    }
    let parent = parent_of(target);
    fs::create_dir_all(parent).map_err(disk(parent, "made"))?;
    let mut file = tempfile::Builder::new()
        .prefix(".limewright.")
        .tempfile_in(parent)
        .map_err(disk(parent, "written to"))?;
    output.write_to(&mut file).map_err(disk(target, "written"))?;
    file.flush().map_err(disk(target, "written"))?;
    allow_reading(file.path()).map_err(disk(target, "written"))?;
    match file.persist_noclobber(target) {
        Ok(_) => Ok(()),
        Err(failed) if failed.error.kind() == std::io::ErrorKind::AlreadyExists => {
            Err(StoreError::Exists(target.to_owned()))
        }
        Err(failed) => Err(disk(target, "put in place")(failed.error)),
    }
}

/// A temporary file is for its owner alone; a finished one is like any other.
#[cfg(unix)]
fn allow_reading(path: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    fs::set_permissions(path, fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn allow_reading(_: &Path) -> std::io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_that_stands_there_is_touched() {
        let place = tempfile::tempdir().unwrap();
        let file = place.path().join("job.toml");
        let output =
            |text: &'static str| Output::new("job.toml", |out| out.write_all(text.as_bytes()));
        store_new_file(&file, &output("first")).unwrap();
        assert!(matches!(store_new_file(&file, &output("x")), Err(StoreError::Exists(_))));
        assert_eq!(fs::read_to_string(&file).unwrap(), "first");
        let folder = place.path().join("jobs");
        store_new_file(&folder.join("a/job.toml"), &output("second")).unwrap();
        assert!(matches!(store_new_file(&folder, &output("x")), Err(StoreError::Exists(_))));
        assert_eq!(fs::read_to_string(folder.join("a/job.toml")).unwrap(), "second");
        let broken = Output::new("b.toml", |_| Err(std::io::Error::other("the disk is full")));
        assert!(store_new_file(&place.path().join("b.toml"), &broken).is_err());
        let mut names: Vec<String> = fs::read_dir(place.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        assert_eq!(names, ["job.toml", "jobs"], "nothing is left behind");
    }
}
