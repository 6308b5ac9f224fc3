//! The list of what a run wrote, by which a later run knows its own files from the user's.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::Path;

use serde::{Deserialize, Serialize};

use crate::hash::sha256;

/// The list's own name in the folder.
pub(super) const NAME: &str = ".limewright-files.json";

/// What a run wrote: each file's path in the folder, and the SHA-256 of its bytes.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Inventory {
    pub(super) files: BTreeMap<String, String>,
    /// What is about to be put in the place of some of them; a run that is interrupted leaves
    /// either there.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub(super) coming: BTreeMap<String, String>,
}

/// How a file stands to the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Standing {
    /// It is not there.
    Absent,
    /// It is as it was written.
    Own,
    /// It is on the list, and was changed since.
    Changed,
    /// It is the user's.
    Stranger,
}

impl Inventory {
    pub(super) fn read(folder: &Path) -> Option<Self> {
        let text = fs::read(folder.join(NAME)).ok()?;
        serde_json::from_slice(&text).ok()
    }

    /// How the file `name` of `folder` stands to this list.
    pub(super) fn standing(&self, folder: &Path, name: &str) -> io::Result<Standing> {
        let path = folder.join(name);
        match fs::symlink_metadata(&path) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Standing::Absent),
            Err(error) => return Err(error),
            Ok(found) if !found.is_file() => return Ok(Standing::Stranger),
            Ok(_) => {}
        }
        let known: Vec<&String> =
            [&self.files, &self.coming].into_iter().filter_map(|list| list.get(name)).collect();
        if known.is_empty() {
            return Ok(Standing::Stranger);
        }
        let sum = sha256(&fs::read(path)?);
        Ok(if known.contains(&&sum) { Standing::Own } else { Standing::Changed })
    }

    /// What stands in `folder` that this list does not name, or that was changed since.
    pub(super) fn strangers(&self, folder: &Path) -> io::Result<Vec<String>> {
        let mut strangers = Vec::new();
        self.walk(folder, "", &mut strangers)?;
        strangers.sort_unstable();
        Ok(strangers)
    }

    fn walk(&self, folder: &Path, prefix: &str, strangers: &mut Vec<String>) -> io::Result<()> {
        for entry in fs::read_dir(folder.join(prefix))? {
            let entry = entry?;
            let name = format!("{prefix}{}", entry.file_name().to_string_lossy());
            if name == NAME {
                continue;
            }
            if entry.file_type()?.is_dir() {
                let inner = format!("{name}/");
                if self.files.keys().any(|file| file.starts_with(&inner)) {
                    self.walk(folder, &inner, strangers)?;
                } else {
                    strangers.push(name);
                }
                continue;
            }
            match self.standing(folder, &name)? {
                Standing::Own | Standing::Absent => {}
                Standing::Changed => {
                    strangers.push(format!("{name} (changed since it was written)"));
                }
                Standing::Stranger => strangers.push(name),
            }
        }
        Ok(())
    }
}
