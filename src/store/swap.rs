//! Writing into a temporary folder, and putting it in the place of the target.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::inventory::{Inventory, NAME};
use super::lock::Lock;
use crate::hash::Fingerprinting;

/// What the two folders in a temporary one are called: the new result, and the one before it.
pub(super) const FRESH_FOLDER: &str = "new";
pub(super) const OLD_FOLDER: &str = "old";

type WriteFile<'r> = dyn Fn(&mut dyn Write) -> io::Result<()> + 'r;

/// One file of a result: where it goes, and what writes it.
pub struct Output<'r> {
    name: String,
    write: Box<WriteFile<'r>>,
}

impl<'r> Output<'r> {
    /// The file `name` (its path in the folder, with `/` between folders), written by `write`.
    pub fn new(
        name: impl Into<String>,
        write: impl Fn(&mut dyn Write) -> io::Result<()> + 'r,
    ) -> Self {
        Self { name: name.into(), write: Box::new(write) }
    }

    pub(super) fn name(&self) -> &str {
        &self.name
    }

    pub(super) fn write_to(&self, out: &mut dyn Write) -> io::Result<()> {
        (self.write)(out)
    }
}

/// Why nothing was written.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The target has no name of its own: `.`, `..`, `/`.
    #[error(
        "`{0}` is no folder that can be made; name a new folder, or one that an earlier run wrote"
    )]
    NoName(PathBuf),
    /// Another run is writing there.
    #[error("another run is writing to `{0}`; wait for it, or name another folder")]
    Busy(PathBuf),
    /// The target is a link.
    #[error("`{0}` is a link; name the folder that it leads to, or a new one")]
    IsALink(PathBuf),
    /// The target is a file.
    #[error("`{0}` is a file; name a folder")]
    IsAFile(PathBuf),
    /// The target must not exist, and does.
    #[error("`{0}` exists already and is left as it is; nothing was written; name another one")]
    Exists(PathBuf),
    /// The target holds what no earlier run wrote.
    #[error(
        "`{folder}` holds files that this program did not write or that were changed since: {}; \
         nothing was written; move them away or name another folder",
        strangers.join(", ")
    )]
    Strangers {
        /// The target.
        folder: PathBuf,
        /// What stands there.
        strangers: Vec<String>,
    },
    /// A file of several was written, the next could not be, and the first could not be removed.
    #[error(
        "`{path}` was written, another beside it was not, and it could not be removed: {error}"
    )]
    LeftBehind {
        /// Which.
        path: PathBuf,
        /// What the system says.
        error: io::Error,
    },
    /// The disk refused.
    #[error("`{path}` could not be {action}: {error}; nothing was changed")]
    Disk {
        /// Where.
        path: PathBuf,
        /// What was to be done.
        action: &'static str,
        /// What the system says.
        error: io::Error,
    },
}

/// Writes `outputs` as the whole content of `target`.
///
/// # Errors
/// Returns why nothing was written. Where the target existed it stands as it was.
pub fn store(target: &Path, outputs: &[Output<'_>]) -> Result<(), StoreError> {
    let name = target.file_name().ok_or_else(|| StoreError::NoName(target.to_owned()))?;
    let name = name.to_string_lossy().into_owned();
    let parent = parent_of(target);
    fs::create_dir_all(parent).map_err(disk(parent, "made"))?;
    let lock = Lock::wait(parent, &name).map_err(disk(target, "locked"))?;
    let _lock = lock.ok_or_else(|| StoreError::Busy(target.to_owned()))?;
    let replaces = look_at(target)?;
    let temporary = tempfile::Builder::new()
        .prefix(&format!(".{name}."))
        .tempdir_in(parent)
        .map_err(disk(parent, "written to"))?;
    let fresh = temporary.path().join(FRESH_FOLDER);
    write_all(&fresh, outputs)?;
    put_in_place(target, &fresh, &temporary.path().join(OLD_FOLDER), replaces)
}

/// The folder that the target lies in.
pub(super) fn parent_of(target: &Path) -> &Path {
    match target.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}

/// Whether the target exists; refuses one that is not ours to replace.
fn look_at(target: &Path) -> Result<bool, StoreError> {
    match fs::symlink_metadata(target) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(false),
        Err(error) => return Err(disk(target, "looked at")(error)),
        Ok(found) if found.is_symlink() => return Err(StoreError::IsALink(target.to_owned())),
        Ok(found) if !found.is_dir() => return Err(StoreError::IsAFile(target.to_owned())),
        Ok(_) => {}
    }
    let inventory = Inventory::read(target).unwrap_or_default();
    let strangers = inventory.strangers(target).map_err(disk(target, "read"))?;
    if strangers.is_empty() {
        return Ok(true);
    }
    Err(StoreError::Strangers { folder: target.to_owned(), strangers })
}

fn write_all(folder: &Path, outputs: &[Output<'_>]) -> Result<(), StoreError> {
    fs::create_dir(folder).map_err(disk(folder, "made"))?;
    let mut inventory = Inventory::default();
    for output in outputs {
        let path = folder.join(&output.name);
        if let Some(inner) = path.parent() {
            fs::create_dir_all(inner).map_err(disk(inner, "made"))?;
        }
        let sum = write_one(&path, output).map_err(disk(&path, "written"))?;
        inventory.files.insert(output.name.clone(), sum);
    }
    let path = folder.join(NAME);
    let list = serde_json::to_vec_pretty(&inventory).map_err(io::Error::other);
    let list = list.map_err(disk(&path, "written"))?;
    fs::write(&path, list).map_err(disk(&path, "written"))
}

pub(super) fn write_one(path: &Path, output: &Output<'_>) -> io::Result<String> {
    let mut file = Fingerprinting::new(File::create_new(path)?);
    output.write_to(&mut file)?;
    file.flush()?;
    Ok(file.sha256())
}

fn put_in_place(target: &Path, fresh: &Path, old: &Path, replaces: bool) -> Result<(), StoreError> {
    if replaces {
        fs::rename(target, old).map_err(disk(target, "moved aside"))?;
    }
    let Err(error) = fs::rename(fresh, target) else { return Ok(()) };
    if replaces {
        fs::rename(old, target).map_err(disk(target, "put back"))?;
    }
    Err(disk(target, "put in place")(error))
}

pub(super) fn disk(path: &Path, action: &'static str) -> impl FnOnce(io::Error) -> StoreError {
    let path = path.to_owned();
    move |error| StoreError::Disk { path, action, error }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn outputs(text: &'static str) -> Vec<Output<'static>> {
        vec![
            Output::new("a.json", |out| out.write_all(text.as_bytes())),
            Output::new("exports/b.txt", |out| out.write_all(b"b")),
        ]
    }

    #[test]
    fn a_file_that_cannot_be_finished_leaves_everything_as_it_was() {
        let place = tempfile::tempdir().expect("a folder");
        let target = place.path().join("out");
        store(&target, &outputs("first")).expect("new");
        let broken = vec![
            Output::new("a.json", |out| out.write_all(b"second")),
            Output::new("b.json", |_| Err(io::Error::other("the disk is full"))),
        ];
        let refused = store(&target, &broken).expect_err("the second file fails");
        assert!(refused.to_string().contains("the disk is full"), "{refused}");
        assert_eq!(fs::read(target.join("a.json")).expect("there"), b"first");
        assert_eq!(names_beside(&target), ["out"]);
    }

    fn names_beside(target: &Path) -> Vec<String> {
        let parent = target.parent().expect("has a parent");
        let mut names: Vec<String> = fs::read_dir(parent)
            .expect("readable")
            .map(|entry| entry.expect("readable").file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn a_second_run_replaces_what_the_first_wrote_and_leaves_nothing_behind() {
        let place = tempfile::tempdir().expect("a folder");
        let target = place.path().join("out");
        store(&target, &outputs("first")).expect("new");
        fs::create_dir(place.path().join("empty")).expect("made");
        store(&place.path().join("empty"), &outputs("x")).expect("an empty folder is taken");
        store(&target, &outputs("second")).expect("its own");
        assert_eq!(fs::read(target.join("a.json")).expect("there"), b"second");
        assert_eq!(fs::read(target.join("exports/b.txt")).expect("there"), b"b");
        assert_eq!(names_beside(&target), ["empty", "out"]);
    }

    #[test]
    fn a_users_file_is_never_touched() {
        let place = tempfile::tempdir().expect("a folder");
        let target = place.path().join("out");
        store(&target, &outputs("first")).expect("new");
        fs::write(target.join("notes.txt"), "mine").expect("written");
        let refused = store(&target, &outputs("second")).expect_err("a stranger");
        assert!(refused.to_string().contains("notes.txt"), "{refused}");
        fs::remove_file(target.join("notes.txt")).expect("removed");
        fs::write(target.join("a.json"), "edited").expect("written");
        let refused = store(&target, &outputs("second")).expect_err("edited");
        assert!(refused.to_string().contains("a.json (changed"), "{refused}");
        assert_eq!(fs::read(target.join("a.json")).expect("there"), b"edited");
    }

    #[test]
    fn a_file_in_the_way_and_a_folder_of_the_users_are_refused() {
        let place = tempfile::tempdir().expect("a folder");
        let file = place.path().join("file");
        fs::write(&file, "mine").expect("written");
        assert!(matches!(store(&file, &outputs("x")), Err(StoreError::IsAFile(_))));
        fs::create_dir(place.path().join("theirs")).expect("made");
        fs::create_dir(place.path().join("theirs/inner")).expect("made");
        let refused = store(&place.path().join("theirs"), &outputs("x"));
        assert!(matches!(refused, Err(StoreError::Strangers { .. })), "{refused:?}");
        assert!(matches!(store(Path::new("/"), &outputs("x")), Err(StoreError::NoName(_))));
    }

    #[test]
    fn two_runs_at_once_do_not_mix() {
        let place = tempfile::tempdir().expect("a folder");
        let target = place.path().join("out");
        let held = Lock::take(place.path(), "out").expect("works").expect("free");
        assert!(matches!(store(&target, &outputs("x")), Err(StoreError::Busy(_))));
        drop(held);
        store(&target, &outputs("x")).expect("free again");
        // One that is let go while another waits is waited for.
        let held = Lock::take(place.path(), "out").expect("works").expect("free");
        let (ended, waits) = std::sync::mpsc::channel();
        let there = target.clone();
        let other = std::thread::spawn(move || {
            let stored = store(&there, &outputs("second"));
            ended.send(()).expect("heard");
            stored
        });
        let early = waits.recv_timeout(std::time::Duration::from_millis(200));
        assert!(early.is_err(), "it did not wait");
        drop(held);
        other.join().expect("ends").expect("written after the other");
        assert_eq!(fs::read(target.join("a.json")).expect("there"), b"second");
    }
}
