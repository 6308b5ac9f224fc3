//! Some files of a folder that holds other things: all of them replaced or none.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use super::inventory::{Inventory, NAME, Standing};
use super::lock::Lock;
use super::single::{HALF_WRITTEN, remove_file, replace_file};
use super::swap::{Output, StoreError, disk, write_one};

/// What the lock of such a folder is called, which lies in it; no result in it is called so.
const LOCK: &str = "all.files";
/// How the folder begins that new files are written into before they are put in place.
pub(super) const FRESH: &str = ".limewright-new.";

/// Whether the files `names` may be put into `folder`: it is no file and no link, and what is
/// called so in it was written by an earlier run.
///
/// # Errors
/// Returns why not, with what stands in the way.
pub fn may_store_beside(folder: &Path, names: &[&str]) -> Result<(), StoreError> {
    match fs::symlink_metadata(folder) {
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(disk(folder, "looked at")(error)),
        Ok(found) if found.is_symlink() => return Err(StoreError::IsALink(folder.to_owned())),
        Ok(found) if !found.is_dir() => return Err(StoreError::IsAFile(folder.to_owned())),
        Ok(_) => {}
    }
    let inventory = Inventory::read(folder).unwrap_or_default();
    let mut strangers = Vec::new();
    for name in names {
        match inventory.standing(folder, name).map_err(disk(&folder.join(name), "read"))? {
            Standing::Absent | Standing::Own => {}
            Standing::Changed => strangers.push(format!("{name} (changed since it was written)")),
            Standing::Stranger => strangers.push((*name).to_owned()),
        }
    }
    if strangers.is_empty() {
        return Ok(());
    }
    Err(StoreError::Strangers { folder: folder.to_owned(), strangers })
}

/// Those of `names` that an earlier run put into `folder` and that are there, changed since or not.
pub fn stored_beside(folder: &Path, names: &[&str]) -> Vec<String> {
    let inventory = Inventory::read(folder).unwrap_or_default();
    let there = |name: &&&str| inventory.files.contains_key(**name) && folder.join(name).is_file();
    names.iter().filter(there).map(|&name| name.to_owned()).collect()
}

/// Puts `outputs` into `folder`, beside what else it holds, in the place of what an earlier run
/// wrote, also under other names: such a file is taken away unless it was changed since. Returns
/// the names of those that were taken away.
///
/// All are written before the first is put in place, and where one cannot be, those before it are
/// put back. A run that is killed in between leaves some old and some new files, each of them
/// whole, and all of them known to the next run as the program's own.
///
/// # Errors
/// Returns why nothing was changed.
pub fn store_beside(folder: &Path, outputs: &[Output<'_>]) -> Result<Vec<String>, StoreError> {
    fs::create_dir_all(folder).map_err(disk(folder, "made"))?;
    let lock = Lock::wait(folder, LOCK).map_err(disk(folder, "locked"))?;
    let _lock = lock.ok_or_else(|| StoreError::Busy(folder.to_owned()))?;
    let names: Vec<&str> = outputs.iter().map(Output::name).collect();
    may_store_beside(folder, &names)?;
    remove_leftovers(folder)?;
    let temporary = tempfile::Builder::new()
        .prefix(FRESH)
        .tempdir_in(folder)
        .map_err(disk(folder, "written to"))?;
    let mut sums = BTreeMap::new();
    for output in outputs {
        let path = temporary.path().join(output.name());
        let sum = write_one(&path, output).map_err(disk(&path, "written"))?;
        sums.insert(output.name().to_owned(), sum);
    }
    let mut inventory = Inventory::read(folder).unwrap_or_default();
    inventory.coming.clone_from(&sums);
    put_list(folder, &inventory)?;
    put_all(folder, temporary.path(), &names)?;
    let removed = remove_older(folder, &inventory, &names)?;
    // What the user changed is the user's from now on.
    inventory.files.clear();
    inventory.files.extend(std::mem::take(&mut inventory.coming));
    put_list(folder, &inventory)?;
    Ok(removed)
}

/// Takes away what an earlier run wrote and this one does not, unless it was changed since, and
/// names it.
fn remove_older(
    folder: &Path,
    inventory: &Inventory,
    names: &[&str],
) -> Result<Vec<String>, StoreError> {
    let mut gone = Vec::new();
    for name in inventory.files.keys().filter(|name| !names.contains(&name.as_str())) {
        let path = folder.join(name);
        match inventory.standing(folder, name).map_err(disk(&path, "read"))? {
            Standing::Own => {
                fs::remove_file(&path).map_err(disk(&path, "removed"))?;
                gone.push(name.clone());
            }
            // Changed by the user, who may keep it.
            Standing::Absent | Standing::Changed | Standing::Stranger => {}
        }
    }
    Ok(gone)
}

/// Takes away what a run that was killed left here.
fn remove_leftovers(folder: &Path) -> Result<(), StoreError> {
    for entry in fs::read_dir(folder).map_err(disk(folder, "read"))?.flatten() {
        let (name, path) = (entry.file_name(), entry.path());
        let name = name.to_string_lossy();
        if name.starts_with(FRESH) {
            fs::remove_dir_all(&path).map_err(disk(&path, "removed"))?;
        } else if name.starts_with(HALF_WRITTEN) && path.is_file() {
            remove_file(&path)?;
        }
    }
    Ok(())
}

/// Replaces the list of what is the program's own, in one step.
fn put_list(folder: &Path, inventory: &Inventory) -> Result<(), StoreError> {
    let path = folder.join(NAME);
    let text = serde_json::to_string_pretty(inventory).map_err(std::io::Error::other);
    let text = text.map_err(disk(&path, "written"))?;
    replace_file(&path, &text)
}

/// Moves the new files to their places; the old ones are kept until all are there.
fn put_all(folder: &Path, fresh: &Path, names: &[&str]) -> Result<(), StoreError> {
    let old = fresh.join("old");
    fs::create_dir(&old).map_err(disk(&old, "made"))?;
    let mut moved: Vec<(PathBuf, Option<PathBuf>)> = Vec::new();
    for name in names {
        let (target, kept) = (folder.join(name), old.join(name));
        // A second name for the old bytes, so that the place is never empty.
        let had = target.exists();
        let kept_there = if had { keep(&target, &kept) } else { Ok(()) };
        let put = kept_there.and_then(|()| fs::rename(fresh.join(name), &target));
        if let Err(error) = put {
            put_back(moved)?;
            return Err(disk(&target, "put in place")(error));
        }
        moved.push((target, had.then_some(kept)));
    }
    Ok(())
}

/// A second name for a file, or a copy where the disk has no second names.
fn keep(file: &Path, kept: &Path) -> std::io::Result<()> {
    fs::hard_link(file, kept).or_else(|_| fs::copy(file, kept).map(|_| ()))
}

fn put_back(moved: Vec<(PathBuf, Option<PathBuf>)>) -> Result<(), StoreError> {
    for (target, kept) in moved.into_iter().rev() {
        match kept {
            Some(kept) => fs::rename(kept, &target).map_err(disk(&target, "put back"))?,
            None => fs::remove_file(&target)
                .map_err(|error| StoreError::LeftBehind { path: target.clone(), error })?,
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn outputs(text: &'static str) -> Vec<Output<'static>> {
        vec![
            Output::new("fields.json", move |out| out.write_all(text.as_bytes())),
            Output::new("fields.csv", move |out| out.write_all(text.as_bytes())),
        ]
    }

    fn names_in(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn own_files_are_replaced_and_the_rest_of_the_folder_stays() {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path().join("out");
        store_beside(&folder, &outputs("first")).unwrap();
        fs::create_dir(folder.join("heron")).unwrap();
        fs::write(folder.join("notes.txt"), "mine").unwrap();
        store_beside(&folder, &outputs("second")).unwrap();
        assert_eq!(fs::read(folder.join("fields.csv")).unwrap(), b"second");
        assert_eq!(
            names_in(&folder),
            [NAME, "fields.csv", "fields.json", "heron", "notes.txt"],
            "nothing is left behind"
        );
    }

    #[test]
    fn a_file_of_an_earlier_run_that_is_not_written_again_goes_unless_it_was_changed() {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path();
        let more = |names: &[&'static str]| {
            let mut all = outputs("first");
            all.extend(names.iter().map(|name| Output::new(*name, |out| out.write_all(b"x"))));
            store_beside(folder, &all).unwrap()
        };
        assert!(more(&["plan.csv", "order.csv"]).is_empty());
        assert_eq!(stored_beside(folder, &["order.csv", "order.html"]), ["order.csv"]);
        fs::write(folder.join("order.csv"), "edited").unwrap();
        assert_eq!(more(&[]), ["plan.csv"]);
        assert_eq!(names_in(folder), [NAME, "fields.csv", "fields.json", "order.csv"]);
        let refused = may_store_beside(folder, &["order.csv"]).unwrap_err().to_string();
        assert!(refused.contains("order.csv"), "{refused}");
    }

    #[test]
    fn a_users_file_in_the_way_is_named_and_left() {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path();
        fs::write(folder.join("fields.csv"), "mine").unwrap();
        let refused = store_beside(folder, &outputs("x")).unwrap_err().to_string();
        assert!(refused.contains("fields.csv"), "{refused}");
        assert_eq!(names_in(folder), ["fields.csv"]);
        fs::remove_file(folder.join("fields.csv")).unwrap();
        store_beside(folder, &outputs("first")).unwrap();
        fs::write(folder.join("fields.json"), "edited").unwrap();
        let refused = may_store_beside(folder, &["fields.json"]).unwrap_err().to_string();
        assert!(refused.contains("fields.json (changed"), "{refused}");
        assert!(matches!(
            may_store_beside(&folder.join("fields.csv"), &[]),
            Err(StoreError::IsAFile(_))
        ));
    }

    #[test]
    fn a_file_that_cannot_be_finished_or_put_in_place_leaves_everything_as_it_was() {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path();
        store_beside(folder, &outputs("first")).unwrap();
        let mut broken = outputs("second");
        broken.push(Output::new("c", |_| Err(std::io::Error::other("the disk is full"))));
        assert!(store_beside(folder, &broken).is_err());
        assert_eq!(fs::read(folder.join("fields.json")).unwrap(), b"first");
        // The second of the new files is missing when it is to be put in place.
        let fresh = folder.join(".limewright-new.x");
        fs::create_dir(&fresh).unwrap();
        fs::write(fresh.join("fields.json"), "second").unwrap();
        fs::write(fresh.join("new.txt"), "second").unwrap();
        let failed = put_all(folder, &fresh, &["fields.json", "new.txt", "fields.csv"]);
        assert!(failed.unwrap_err().to_string().contains("fields.csv"));
        assert_eq!(fs::read(folder.join("fields.json")).unwrap(), b"first");
        assert!(!folder.join("new.txt").exists());
    }

    #[test]
    fn a_run_that_was_killed_between_two_files_leaves_nothing_strange() {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path();
        store_beside(folder, &outputs("first")).unwrap();
        // As it stands when the process is gone after the list and the first file were put.
        let mut inventory = Inventory::read(folder).unwrap();
        let sum = crate::hash::sha256(b"second");
        inventory.coming =
            ["fields.json", "fields.csv"].map(|n| (n.to_owned(), sum.clone())).into();
        put_list(folder, &inventory).unwrap();
        fs::write(folder.join("fields.json"), "second").unwrap();
        fs::create_dir(folder.join(".limewright-new.abc123")).unwrap();
        fs::write(folder.join(".limewright.abc123"), "half").unwrap();
        may_store_beside(folder, &["fields.json", "fields.csv"]).unwrap();
        store_beside(folder, &outputs("third")).unwrap();
        assert_eq!(fs::read(folder.join("fields.json")).unwrap(), b"third");
        assert_eq!(names_in(folder), [NAME, "fields.csv", "fields.json"]);
    }
}
