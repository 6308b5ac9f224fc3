//! Where finished results lie.

use std::fs;
use std::path::{Path, PathBuf};

use crate::findings::{Place, Problem, Refusal};

/// What a result of one field is called in its folder.
const SUMMARY: &str = "summary.json";
/// What a result of many fields is called in theirs.
const FIELDS: &str = "fields.json";
/// The folder beside those of the results in which fields that failed are written down.
pub const FAILED_FOLDER: &str = "failed";

/// A file with a finished result.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FinishedFile {
    /// The file.
    pub path: PathBuf,
    /// What its field is called, where it is of one: the name of the folder of a `summary.json`,
    /// the name without its ending of another file.
    pub id: String,
}

/// The results that `path` names: a file; a folder with the result of one field; or a folder with
/// those of many in its subfolders, and with those that failed in `failed`. What else lies in such a
/// folder is left alone, its `fields.json` too unless it is all there is. The order is that of the
/// names.
///
/// # Errors
/// Refuses a path that is not there or cannot be read, and a folder without any result.
pub fn find_finished(path: &Path) -> Result<Vec<FinishedFile>, Refusal> {
    let given = path.display().to_string();
    let cannot = |error: &std::io::Error| {
        Problem::at(Place::in_file(&given), format!("it cannot be read: {error}"))
            .hint("name a summary.json, a fields.json, or a folder with results")
    };
    let found = fs::metadata(path).map_err(|error| cannot(&error))?;
    if !found.is_dir() {
        let named_so = path.file_name().is_some_and(|name| name == SUMMARY);
        let id = if named_so { folder_name(path.parent()) } else { stem_of(path) };
        return Ok(vec![FinishedFile { path: path.to_owned(), id }]);
    }
    let own = path.join(SUMMARY);
    if own.is_file() {
        return Ok(vec![FinishedFile { path: own, id: folder_name(Some(path)) }]);
    }
    let mut files = Vec::new();
    for name in names_in(path).map_err(|error| cannot(&error))? {
        let summary = path.join(&name).join(SUMMARY);
        if summary.is_file() {
            files.push(FinishedFile { path: summary, id: name });
        }
    }
    let failed = path.join(FAILED_FOLDER);
    if failed.is_dir() {
        for name in names_in(&failed).map_err(|error| cannot(&error))? {
            let file = failed.join(&name);
            if file.is_file() && file.extension().is_some_and(|ending| ending == "json") {
                files.push(FinishedFile { id: stem_of(&file), path: file });
            }
        }
    }
    let many = path.join(FIELDS);
    if files.is_empty() && many.is_file() {
        files.push(FinishedFile { id: stem_of(&many), path: many });
    }
    if files.is_empty() {
        let what = "the folder holds no finished result";
        return Err(Problem::at(Place::in_file(given), what)
            .allowed(format!(
                "a folder with a {SUMMARY}, with subfolders that have one, or with a {FIELDS}"
            ))
            .hint("name the folder that `limewright prescribe --out` or `limewright fields --out` wrote")
            .into());
    }
    Ok(files)
}

/// The names in a folder, sorted; those that begin with a dot are of unfinished work.
fn names_in(folder: &Path) -> std::io::Result<Vec<String>> {
    let mut names = Vec::new();
    for entry in fs::read_dir(folder)? {
        let name = entry?.file_name().to_string_lossy().into_owned();
        if !name.starts_with('.') {
            names.push(name);
        }
    }
    names.sort_unstable();
    Ok(names)
}

fn stem_of(path: &Path) -> String {
    path.file_stem().unwrap_or_default().to_string_lossy().into_owned()
}

/// The name of a folder, also of one that is given as `.` or not at all.
fn folder_name(folder: Option<&Path>) -> String {
    let folder = folder.filter(|folder| !folder.as_os_str().is_empty());
    let folder = folder.unwrap_or_else(|| Path::new("."));
    let name = |path: &Path| path.file_name().map(|name| name.to_string_lossy().into_owned());
    name(folder)
        .or_else(|| fs::canonicalize(folder).ok().as_deref().and_then(name))
        .unwrap_or_else(|| folder.display().to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ids(path: &Path) -> Vec<String> {
        find_finished(path).unwrap().into_iter().map(|file| file.id).collect()
    }

    #[test]
    fn results_are_found_in_the_order_of_their_names_and_unfinished_work_is_left() {
        let place = tempfile::tempdir().unwrap();
        let put = |name: &str| {
            let path = place.path().join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, "{}").unwrap();
        };
        for name in [
            "south/summary.json",
            "north/summary.json",
            ".east.abc/summary.json",
            "notes/more.txt",
            "failed/west.json",
            "failed/readme.txt",
            "fields.json",
        ] {
            put(name);
        }
        assert_eq!(ids(place.path()), ["north", "south", "west"]);
        assert_eq!(ids(&place.path().join("north")), ["north"]);
        assert_eq!(ids(&place.path().join("north/summary.json")), ["north"]);
        assert_eq!(ids(&place.path().join("fields.json")), ["fields"]);
        put("many/fields.json");
        let many = find_finished(&place.path().join("many")).unwrap();
        assert!(many[0].path.ends_with("many/fields.json"));
    }

    #[test]
    fn a_folder_without_results_and_a_path_that_is_not_there_are_refused() {
        let place = tempfile::tempdir().unwrap();
        let said = |path: &Path| find_finished(path).unwrap_err().to_string();
        assert!(said(place.path()).contains("holds no finished result"));
        assert!(said(&place.path().join("none")).contains("cannot be read"));
    }
}
