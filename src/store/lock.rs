//! One run at a time for one target.

use std::fs::{self, File, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::thread::sleep;
use std::time::Duration;

/// How the name of a lock file ends.
pub(super) const ENDING: &str = ".limewright-lock";

/// How often a lock is asked for that another run holds, and how long it is waited in between:
/// long enough for any result to be written, short enough to be told of a run that hangs.
const TRIES: usize = 100;
const PAUSE: Duration = Duration::from_millis(50);

/// A lock on a target folder, held until it is dropped.
#[derive(Debug)]
pub(super) struct Lock {
    path: PathBuf,
    _file: File,
}

impl Lock {
    /// Takes the lock beside the target, and waits for another run that holds it; `Ok(None)` where
    /// that run keeps it.
    pub(super) fn wait(parent: &Path, name: &str) -> io::Result<Option<Self>> {
        for _ in 1..TRIES {
            if let Some(lock) = Self::take(parent, name)? {
                return Ok(Some(lock));
            }
            sleep(PAUSE);
        }
        Self::take(parent, name)
    }

    /// Takes the lock beside the target; `Ok(None)` where another run holds it.
    pub(super) fn take(parent: &Path, name: &str) -> io::Result<Option<Self>> {
        let path = parent.join(format!(".{name}{ENDING}"));
        loop {
            let file = File::options().create(true).truncate(false).write(true).open(&path)?;
            match file.try_lock() {
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => return Ok(None),
                Err(TryLockError::Error(error)) => return Err(error),
            }
            // The run that held it before may have removed the file between our two calls; then
            // ours is a lock on nothing, and another is taken.
            if is_still_there(&file, &path)? {
                return Ok(Some(Self { path, _file: file }));
            }
        }
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        // A lock file left behind does no harm; the next run takes it.
        let _ = fs::remove_file(&self.path);
    }
}

#[cfg(unix)]
fn is_still_there(file: &File, path: &Path) -> io::Result<bool> {
    use std::os::unix::fs::MetadataExt;
    let held = file.metadata()?;
    match fs::metadata(path) {
        Ok(named) => Ok(held.ino() == named.ino() && held.dev() == named.dev()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(error) => Err(error),
    }
}

#[cfg(not(unix))]
fn is_still_there(_: &File, _: &Path) -> io::Result<bool> {
    // An open file cannot be removed there.
    Ok(true)
}
