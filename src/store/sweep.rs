//! What runs that were killed left beside their targets.

use std::fs;
use std::path::{Path, PathBuf};

use super::beside::FRESH;
use super::lock::{ENDING, Lock};
use super::swap::{FRESH_FOLDER, OLD_FOLDER, StoreError, disk};

/// Takes away what killed runs left in `folder` of results called `names`, and puts an earlier
/// result back that was moved aside and not replaced. What another run is writing is left alone.
///
/// # Errors
/// Returns what could not be read, moved or removed.
pub fn sweep(folder: &Path, names: &[&str]) -> Result<(), StoreError> {
    let Ok(entries) = fs::read_dir(folder) else { return Ok(()) };
    for entry in entries {
        let path = entry.map_err(disk(folder, "read"))?.path();
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned());
        let locked = name.as_deref().and_then(|name| name.strip_prefix('.')?.strip_suffix(ENDING));
        if let Some(target) = locked.filter(|target| names.contains(target)) {
            // Whoever takes a lock that nobody holds removes its file.
            drop(Lock::take(folder, target).map_err(disk(&path, "locked"))?);
            continue;
        }
        let of = name.as_deref().and_then(target_of).filter(|of| names.contains(of));
        if let Some(target) = of.filter(|_| is_left_over(&path))
            && let Some(_lock) = Lock::take(folder, target).map_err(disk(&path, "locked"))?
        {
            sweep_one(&path, &folder.join(target))?;
        }
    }
    Ok(())
}

/// The names in `folder` of what a run that was killed left there, or of what one is writing now;
/// sorted.
pub fn unfinished_in(folder: &Path) -> Vec<String> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let unfinished = |entry: fs::DirEntry| {
        let name = entry.file_name().to_string_lossy().into_owned();
        let is_lock = name.starts_with('.') && name.ends_with(ENDING);
        let is_aside = || target_of(&name).is_some() && is_left_over(&entry.path());
        (is_lock || name.starts_with(FRESH) || is_aside()).then_some(name)
    };
    let mut names: Vec<String> = entries.flatten().filter_map(unfinished).collect();
    names.sort_unstable();
    names
}

/// The result that a temporary folder is of, by its name: `.heron.Ab12Cd`.
fn target_of(name: &str) -> Option<&str> {
    let (target, random) = name.strip_prefix('.')?.rsplit_once('.')?;
    let is_random = random.len() == 6 && random.bytes().all(|byte| byte.is_ascii_alphanumeric());
    is_random.then_some(target)
}

/// Whether a folder holds nothing but what `store` puts there.
fn is_left_over(path: &Path) -> bool {
    let Ok(entries) = fs::read_dir(path) else { return false };
    let names: Option<Vec<PathBuf>> =
        entries.map(|entry| entry.ok().map(|entry| entry.file_name().into())).collect();
    let known =
        |name: &PathBuf| [FRESH_FOLDER, OLD_FOLDER].iter().any(|own| name == Path::new(own));
    names.is_some_and(|names| names.iter().all(known))
}

fn sweep_one(left: &Path, target: &Path) -> Result<(), StoreError> {
    let old = left.join(OLD_FOLDER);
    if old.is_dir() && fs::symlink_metadata(target).is_err() {
        fs::rename(&old, target).map_err(disk(target, "put back"))?;
    }
    match fs::remove_dir_all(left) {
        // The run that made it was just ending.
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(()),
        other => other.map_err(disk(left, "removed")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn leftovers_are_taken_away_and_what_was_moved_aside_is_put_back() {
        let place = tempfile::tempdir().unwrap();
        let make = |name: &str| {
            let path = place.path().join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, name).unwrap();
        };
        for name in [
            ".heron.Ab12Cd/new/a.json",
            ".linden.Ab12Cd/old/a.json",
            ".linden.Ab12Cd/new/a.json",
            "heron/a.json",
            ".other.Ab12Cd/new/a.json",
            ".heron.user/new/a.json",
            ".heron.Ab12Ce/mine.txt",
            ".heron.limewright-lock",
        ] {
            make(name);
        }
        assert_eq!(
            unfinished_in(place.path()),
            [".heron.Ab12Cd", ".heron.limewright-lock", ".linden.Ab12Cd", ".other.Ab12Cd",]
        );
        sweep(place.path(), &["heron", "linden"]).unwrap();
        assert_eq!(unfinished_in(place.path()), [".other.Ab12Cd"]);
        let left = |name: &str| place.path().join(name).exists();
        assert!(!left(".heron.limewright-lock"));
        assert!(!left(".heron.Ab12Cd") && !left(".linden.Ab12Cd"));
        assert_eq!(
            fs::read(place.path().join("linden/a.json")).unwrap(),
            b".linden.Ab12Cd/old/a.json"
        );
        assert_eq!(fs::read(place.path().join("heron/a.json")).unwrap(), b"heron/a.json");
        assert!(left(".other.Ab12Cd/new/a.json"), "it is of no result that is named");
        assert!(left(".heron.user/new/a.json") && left(".heron.Ab12Ce/mine.txt"));
        sweep(&place.path().join("none"), &["heron"]).unwrap();
    }

    #[test]
    fn what_another_run_is_writing_is_left_alone() {
        let place = tempfile::tempdir().unwrap();
        fs::create_dir_all(place.path().join(".heron.Ab12Cd/new")).unwrap();
        let held = Lock::take(place.path(), "heron").unwrap().unwrap();
        sweep(place.path(), &["heron"]).unwrap();
        assert!(place.path().join(".heron.Ab12Cd/new").exists());
        drop(held);
        sweep(place.path(), &["heron"]).unwrap();
        assert!(!place.path().join(".heron.Ab12Cd").exists());
    }
}
