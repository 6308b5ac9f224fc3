//! How files lie on the disk now: what a result was made from, so that a later run can tell
//! whether anything changed.

use std::collections::{BTreeMap, HashMap};
use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, UNIX_EPOCH};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::job::NamedFile;
use crate::hash::Fingerprinting;

/// Files of so many bytes and more are read once in a run, however many jobs name them, as long as
/// their size and the time of their last change stay.
const KEPT_FROM_BYTES: u64 = 1 << 18;

/// A file as it lies there.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FileState {
    /// The path, as whoever named it wrote it.
    pub path: String,
    /// How many bytes it has.
    pub bytes: u64,
    /// The SHA-256 of its bytes, in hexadecimal.
    pub sha256: String,
}

/// Looks at files, and remembers what is slow to look at again.
#[derive(Debug, Default)]
pub struct FileStates {
    large: Mutex<HashMap<PathBuf, (Stamp, String)>>,
    folders: Mutex<HashMap<PathBuf, Arc<Stems>>>,
}

/// Bytes and time of the last change.
type Stamp = (u64, Option<Duration>);
/// The names in a folder by what stands before their last point, in small letters.
type Stems = BTreeMap<String, Vec<String>>;

impl FileStates {
    /// The one file that is named; none where it is not there.
    pub fn of_one(&self, file: &NamedFile) -> Option<FileState> {
        self.state(&file.path, file.given.clone())
    }

    /// The files that are named and what belongs to them: of a folder all files in it, of a file
    /// those beside it that are called the same with another ending. Sorted, each path once; a file
    /// that is not there is left out, so that its coming is a change.
    pub fn of(&self, named: &[NamedFile]) -> Vec<FileState> {
        let mut states = Vec::new();
        for file in named {
            if file.path.is_dir() {
                let names = self.folder(&file.path);
                let start = file.given.trim_end_matches('/');
                let inner = names.values().flatten();
                states.extend(inner.filter_map(|name| {
                    self.state(&file.path.join(name), format!("{start}/{name}"))
                }));
            } else {
                states.extend(self.with_what_belongs_to_it(file));
            }
        }
        states.sort_unstable();
        states.dedup();
        states
    }

    fn with_what_belongs_to_it(&self, file: &NamedFile) -> Vec<FileState> {
        let Some(name) = file.path.file_name() else { return Vec::new() };
        let name = name.to_string_lossy().into_owned();
        let Some(start) = file.given.strip_suffix(name.as_str()) else {
            return self.state(&file.path, file.given.clone()).into_iter().collect();
        };
        let folder = file.path.parent().unwrap_or(Path::new(""));
        let names = self.folder(folder);
        let beside = names.get(&stem(&name)).into_iter().flatten().filter(|other| **other != name);
        let all = std::iter::once(&name).chain(beside);
        all.filter_map(|name| self.state(&folder.join(name), format!("{start}{name}"))).collect()
    }

    fn folder(&self, path: &Path) -> Arc<Stems> {
        let mut known = self.folders.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(stems) = known.get(path) {
            return Arc::clone(stems);
        }
        let mut stems = Stems::new();
        let here = if path.as_os_str().is_empty() { Path::new(".") } else { path };
        // A folder that cannot be read has nothing to look at; whoever reads its files is refused.
        for entry in fs::read_dir(here).into_iter().flatten().flatten() {
            if entry.file_type().is_ok_and(|kind| !kind.is_dir()) {
                let name = entry.file_name().to_string_lossy().into_owned();
                stems.entry(stem(&name)).or_default().push(name);
            }
        }
        for names in stems.values_mut() {
            names.sort_unstable();
        }
        let stems = Arc::new(stems);
        known.insert(path.to_owned(), Arc::clone(&stems));
        stems
    }

    /// The state of one file; none where it is no file or cannot be read.
    fn state(&self, path: &Path, given: String) -> Option<FileState> {
        let found = fs::metadata(path).ok().filter(fs::Metadata::is_file)?;
        let changed = found.modified().ok().and_then(|time| time.duration_since(UNIX_EPOCH).ok());
        let stamp = (found.len(), changed);
        let keep = found.len() >= KEPT_FROM_BYTES;
        if keep {
            let large = self.large.lock().unwrap_or_else(PoisonError::into_inner);
            if let Some((_, sha256)) = large.get(path).filter(|(known, _)| *known == stamp) {
                return Some(FileState { path: given, bytes: found.len(), sha256: sha256.clone() });
            }
        }
        let (bytes, sha256) = fingerprint(path).ok()?;
        if keep {
            let mut large = self.large.lock().unwrap_or_else(PoisonError::into_inner);
            large.insert(path.to_owned(), (stamp, sha256.clone()));
        }
        Some(FileState { path: given, bytes, sha256 })
    }
}

fn stem(name: &str) -> String {
    name.rsplit_once('.').map_or(name, |(stem, _)| stem).to_lowercase()
}

fn fingerprint(path: &Path) -> io::Result<(u64, String)> {
    let mut file = File::open(path)?;
    let mut hash = Fingerprinting::new(io::sink());
    let mut buffer = vec![0; 1 << 16];
    let mut bytes = 0;
    loop {
        let read = file.read(&mut buffer)?;
        if read == 0 {
            return Ok((bytes, hash.sha256()));
        }
        bytes += read as u64;
        hash.write_all(&buffer[..read])?;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(folder: &Path, given: &str) -> NamedFile {
        NamedFile { given: given.to_owned(), path: folder.join(given) }
    }

    #[test]
    fn what_belongs_to_a_file_counts_and_what_does_not_does_not() {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path();
        fs::create_dir(folder.join("map")).unwrap();
        for name in ["a.shp", "A.DBF", "b.csv", "map/x.geojson"] {
            fs::write(folder.join(name), name).unwrap();
        }
        let paths = |given: &str| -> Vec<String> {
            let states = FileStates::default().of(&[named(folder, given)]);
            states.into_iter().map(|state| state.path).collect()
        };
        assert_eq!(paths("a.shp"), ["A.DBF", "a.shp"]);
        assert_eq!(paths("map"), ["map/x.geojson"]);
        assert_eq!(paths("./b.csv"), ["./b.csv"]);
        assert!(paths("none.csv").is_empty());
        fs::write(folder.join("a.prj"), "x").unwrap();
        assert_eq!(paths("a.shp"), ["A.DBF", "a.prj", "a.shp"]);
    }

    #[test]
    fn a_large_file_is_looked_at_again_when_it_changed() {
        let place = tempfile::tempdir().unwrap();
        let file = named(place.path(), "large.csv");
        let size = KEPT_FROM_BYTES as usize;
        fs::write(&file.path, vec![b'a'; size]).unwrap();
        let states = FileStates::default();
        let first = states.of(std::slice::from_ref(&file));
        assert_eq!(first, states.of(std::slice::from_ref(&file)));
        assert_eq!(first[0].sha256, crate::hash::sha256(&vec![b'a'; size]));
        fs::write(&file.path, vec![b'b'; size + 1]).unwrap();
        let second = states.of(std::slice::from_ref(&file));
        assert_ne!(first[0].sha256, second[0].sha256);
        assert_eq!(second[0].bytes, size as u64 + 1);
    }
}
