//! The fingerprint of all tables that are part of the program.

use std::sync::LazyLock;

use crate::agronomy::built_in_agronomy;
use crate::hash::sha256;
use crate::material::built_in_materials;
use crate::sources::BIBLIOGRAPHY;

/// The SHA-256 over the fingerprints of the texts of all of them, in hexadecimal.
pub(super) fn tables_sha256() -> &'static str {
    static SUM: LazyLock<String> = LazyLock::new(|| {
        let sums: Vec<String> = texts().map(|text| sha256(text.as_bytes())).collect();
        sha256(sums.join("\n").as_bytes())
    });
    &SUM
}

fn texts() -> impl Iterator<Item = &'static str> {
    built_in_agronomy().chain(built_in_materials()).chain([BIBLIOGRAPHY])
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;
    use std::path::{Path, PathBuf};

    use super::*;

    fn gather(folder: &Path, found: &mut Vec<PathBuf>) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                gather(&path, found);
            } else if path.extension().is_some_and(|extension| extension == "json") {
                found.push(path);
            }
        }
    }

    #[test]
    fn every_table_in_the_source_tree_counts() {
        let mut paths = Vec::new();
        gather(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut paths);
        assert!(paths.len() > 30, "{}", paths.len());
        let texts: BTreeSet<&str> = texts().collect();
        for path in &paths {
            let text = std::fs::read_to_string(path).unwrap();
            assert!(texts.contains(text.as_str()), "{} does not count", path.display());
        }
        assert_eq!(texts.len(), paths.len());
        assert_eq!(tables_sha256().len(), 64);
    }
}
