//! Writing what must not stand there yet: files that are meant to be edited, which no later run
//! may take for its own.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use super::single::HALF_WRITTEN;
use super::swap::{Output, StoreError, disk};

/// Writes new files into a folder, which may hold others: all of them or none.
///
/// # Errors
/// Returns why nothing was written, also where one of the files exists.
pub fn store_new_files(folder: &Path, outputs: &[Output<'_>]) -> Result<(), StoreError> {
    let targets: Vec<PathBuf> = outputs.iter().map(|output| folder.join(output.name())).collect();
    for target in &targets {
        if fs::symlink_metadata(target).is_ok() {
            return Err(StoreError::Exists(target.clone()));
        }
    }
    fs::create_dir_all(folder).map_err(disk(folder, "made"))?;
    let mut files = Vec::with_capacity(outputs.len());
    for (target, output) in targets.iter().zip(outputs) {
        let mut file = tempfile::Builder::new()
            .prefix(HALF_WRITTEN)
            .tempfile_in(folder)
            .map_err(disk(folder, "written to"))?;
        output.write_to(&mut file).map_err(disk(target, "written"))?;
        file.flush().map_err(disk(target, "written"))?;
        allow_reading(file.path()).map_err(disk(target, "written"))?;
        files.push(file);
    }
    for (at, (file, target)) in files.into_iter().zip(&targets).enumerate() {
        let Err(failed) = file.persist_noclobber(target) else { continue };
        // Those before it were written by this run, so they are its own to take back.
        for written in &targets[..at] {
            fs::remove_file(written)
                .map_err(|error| StoreError::LeftBehind { path: written.clone(), error })?;
        }
        return Err(if failed.error.kind() == std::io::ErrorKind::AlreadyExists {
            StoreError::Exists(target.clone())
        } else {
            disk(target, "put in place")(failed.error)
        });
    }
    Ok(())
}

/// A temporary file is for its owner alone; a finished one is like any other.
#[cfg(unix)]
pub(super) fn allow_reading(path: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    fs::set_permissions(path, fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
pub(super) fn allow_reading(_: &Path) -> std::io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_that_stands_there_is_touched_and_all_are_written_or_none() {
        let place = tempfile::tempdir().unwrap();
        let output = |name: &'static str, text: &'static str| {
            Output::new(name, |out| out.write_all(text.as_bytes()))
        };
        let store = |inner: &str, outputs: &[Output<'_>]| {
            store_new_files(&place.path().join(inner), outputs)
        };
        let read = |name: &str| fs::read_to_string(place.path().join(name)).unwrap();
        store("", &[output("job.toml", "first")]).unwrap();
        let both = [output("new.toml", "x"), output("job.toml", "x")];
        assert!(matches!(store("", &both), Err(StoreError::Exists(_))));
        assert_eq!(read("job.toml"), "first");
        store("jobs/a", &[output("b.toml", "second"), output("c.toml", "third")]).unwrap();
        assert!(matches!(store("", &[output("jobs", "x")]), Err(StoreError::Exists(_))));
        assert_eq!(
            (read("jobs/a/b.toml"), read("jobs/a/c.toml")),
            ("second".into(), "third".into())
        );
        let broken = Output::new("e.toml", |_| Err(std::io::Error::other("the disk is full")));
        assert!(store("", &[output("d.toml", "x"), broken]).is_err());
        // Two of one name stand for another program that writes at the same time.
        let twice = [output("f.toml", "x"), output("g.toml", "x"), output("f.toml", "x")];
        assert!(matches!(store("", &twice), Err(StoreError::Exists(_))));
        let mut names: Vec<String> = fs::read_dir(place.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        assert_eq!(names, ["job.toml", "jobs"], "nothing is left behind");
    }
}
