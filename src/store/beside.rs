//! Some files of a folder that holds other things: all of them written before one is replaced.

use std::fs;
use std::io;
use std::path::Path;

use super::inventory::{Inventory, NAME};
use super::lock::Lock;
use super::swap::{Output, StoreError, disk, write_one};
use crate::hash::sha256;

/// What the lock of such a folder is called, which lies in it.
const LOCK: &str = "fields";

/// Whether the files `names` may be put into `folder`: it is no file and no link, and what is
/// called so in it was written by an earlier run.
///
/// # Errors
/// Returns why not, with what stands in the way.
pub fn may_store_beside(folder: &Path, names: &[&str]) -> Result<(), StoreError> {
    match fs::symlink_metadata(folder) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(disk(folder, "looked at")(error)),
        Ok(found) if found.is_symlink() => return Err(StoreError::IsALink(folder.to_owned())),
        Ok(found) if !found.is_dir() => return Err(StoreError::IsAFile(folder.to_owned())),
        Ok(_) => {}
    }
    let inventory = Inventory::read(folder).unwrap_or_default();
    let mut strangers = Vec::new();
    for name in names {
        let path = folder.join(name);
        if fs::symlink_metadata(&path).is_err() {
            continue;
        }
        let own = inventory.files.get(*name);
        let sum = sha256(&fs::read(&path).map_err(disk(&path, "read"))?);
        match own {
            Some(own) if *own == sum => {}
            Some(_) => strangers.push(format!("{name} (changed since it was written)")),
            None => strangers.push((*name).to_owned()),
        }
    }
    if strangers.is_empty() {
        return Ok(());
    }
    Err(StoreError::Strangers { folder: folder.to_owned(), strangers })
}

/// Puts `outputs` into `folder`, beside what else it holds, in the place of what an earlier run
/// wrote under their names.
///
/// # Errors
/// Returns why nothing was changed.
pub fn store_beside(folder: &Path, outputs: &[Output<'_>]) -> Result<(), StoreError> {
    fs::create_dir_all(folder).map_err(disk(folder, "made"))?;
    let lock = Lock::take(folder, LOCK).map_err(disk(folder, "locked"))?;
    let _lock = lock.ok_or_else(|| StoreError::Busy(folder.to_owned()))?;
    let names: Vec<&str> = outputs.iter().map(Output::name).collect();
    may_store_beside(folder, &names)?;
    let temporary = tempfile::Builder::new()
        .prefix(".limewright-new.")
        .tempdir_in(folder)
        .map_err(disk(folder, "written to"))?;
    let mut inventory = Inventory::read(folder).unwrap_or_default();
    for output in outputs {
        let path = temporary.path().join(output.name());
        let sum = write_one(&path, output).map_err(disk(&path, "written"))?;
        inventory.files.insert(output.name().to_owned(), sum);
    }
    let list = temporary.path().join(NAME);
    let text = serde_json::to_vec_pretty(&inventory).map_err(io::Error::other);
    fs::write(&list, text.map_err(disk(&list, "written"))?).map_err(disk(&list, "written"))?;
    for name in names.into_iter().chain([NAME]) {
        let target = folder.join(name);
        fs::rename(temporary.path().join(name), &target).map_err(disk(&target, "put in place"))?;
    }
    Ok(())
}
