//! The list of what a run wrote, by which a later run knows its own files from the user's.

use std::collections::BTreeMap;
use std::fs;
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
}

impl Inventory {
    pub(super) fn read(folder: &Path) -> Option<Self> {
        let text = fs::read(folder.join(NAME)).ok()?;
        serde_json::from_slice(&text).ok()
    }

    /// What stands in `folder` that this list does not name, or that was changed since.
    pub(super) fn strangers(&self, folder: &Path) -> std::io::Result<Vec<String>> {
        let mut strangers = Vec::new();
        self.walk(folder, "", &mut strangers)?;
        strangers.sort_unstable();
        Ok(strangers)
    }

    fn walk(
        &self,
        folder: &Path,
        prefix: &str,
        strangers: &mut Vec<String>,
    ) -> std::io::Result<()> {
        for entry in fs::read_dir(folder)? {
            let entry = entry?;
            let name = format!("{prefix}{}", entry.file_name().to_string_lossy());
            if name == NAME {
                continue;
            }
            if entry.file_type()?.is_dir() {
                let inner = format!("{name}/");
                if self.files.keys().any(|file| file.starts_with(&inner)) {
                    self.walk(&entry.path(), &inner, strangers)?;
                } else {
                    strangers.push(name);
                }
                continue;
            }
            match self.files.get(&name) {
                Some(sum)
                    if entry.file_type()?.is_file() && *sum == sha256(&fs::read(entry.path())?) => {
                }
                Some(_) => strangers.push(format!("{name} (changed since it was written)")),
                None => strangers.push(name),
            }
        }
        Ok(())
    }
}
