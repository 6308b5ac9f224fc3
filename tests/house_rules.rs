//! The walls of the house: which room may import which, which packages are kept to which room,
//! who touches the disk, and how long a file may be. `DEVELOPERS.md` explains the table.

#![allow(clippy::unwrap_used)]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// Room, rooms it may import. A room stands below all rooms that it may import.
const TABLE: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("hash", &[]),
    ("findings", &["units"]),
    ("sources", &[]),
    ("agronomy", &["units", "findings", "sources"]),
    ("material", &["units", "findings", "sources", "agronomy"]),
    ("machine", &["units", "findings"]),
    ("inputs", &["hash", "units", "findings", "agronomy", "material", "machine"]),
    ("field", &["units", "findings", "inputs"]),
    ("surfaces", &["units", "findings", "field"]),
    ("response", &["units", "findings", "sources", "agronomy", "inputs"]),
    (
        "prescription",
        &[
            "units", "findings", "sources", "agronomy", "material", "machine", "inputs", "field",
            "surfaces",
        ],
    ),
    ("haul", &["units", "findings", "material", "machine", "prescription"]),
    (
        "summary",
        &[
            "units",
            "findings",
            "sources",
            "agronomy",
            "material",
            "machine",
            "inputs",
            "field",
            "surfaces",
            "prescription",
            "haul",
        ],
    ),
    ("verify", &["units", "findings", "inputs", "field", "summary"]),
    (
        "roster",
        &[
            "units",
            "findings",
            "sources",
            "inputs",
            "agronomy",
            "material",
            "machine",
            "prescription",
            "haul",
            "summary",
        ],
    ),
    (
        "outputs",
        &[
            "units",
            "findings",
            "sources",
            "agronomy",
            "material",
            "machine",
            "inputs",
            "field",
            "response",
            "prescription",
            "haul",
            "summary",
            "verify",
            "roster",
        ],
    ),
    ("store", &["hash", "units", "findings"]),
    ("error", &["findings", "prescription", "roster", "store"]),
    (
        "prescribe",
        &[
            "hash",
            "units",
            "findings",
            "sources",
            "agronomy",
            "material",
            "machine",
            "inputs",
            "field",
            "surfaces",
            "prescription",
            "haul",
            "summary",
            "verify",
            "roster",
            "outputs",
            "store",
            "error",
        ],
    ),
    ("start", &["units", "findings", "agronomy", "inputs", "field", "outputs", "store", "error"]),
    (
        "cli",
        &[
            "units",
            "findings",
            "field",
            "agronomy",
            "inputs",
            "summary",
            "verify",
            "roster",
            "outputs",
            "prescribe",
            "start",
            "store",
            "error",
        ],
    ),
];

/// Package, rooms it is kept to.
const KEPT: &[(&str, &[&str])] = &[
    ("toml", &["inputs"]),
    ("geojson", &["inputs"]),
    ("encoding_rs", &["inputs"]),
    ("quick_xml", &["inputs"]),
    ("rusqlite", &["inputs"]),
    // Of tests only: readers and writers are held against it; its own writer puts today into files.
    ("shapefile", &[]),
    ("brotli_decompressor", &["inputs"]),
    ("flate2", &["inputs"]),
    ("snap", &["inputs"]),
    ("zstd", &["inputs"]),
    ("zip", &["inputs"]),
    ("proj", &["field"]),
    ("rstar", &["field"]),
    ("spade", &["surfaces"]),
    ("clap", &["cli"]),
    ("clap_complete", &["cli"]),
    ("clap_mangen", &["cli"]),
    ("indicatif", &["cli"]),
    ("miette", &["cli"]),
    ("strsim", &["findings"]),
    ("tiff", &["inputs", "outputs"]),
    ("sha2", &["hash"]),
    ("tempfile", &["store"]),
    ("itoa", &["outputs"]),
    ("maud", &["outputs"]),
    ("microlp", &["roster"]),
];

/// What only some rooms may do, by the words that do it.
const DEEDS: &[(&str, &[&str])] = &[
    ("std::fs", &["inputs", "store"]),
    ("std::env::", &["cli", "main"]),
    ("SystemTime", &[]),
    ("Instant::now", &[]),
    ("println!", &[]),
];

const LONGEST_FILE_LINES: usize = 500;

struct SourceFile {
    room: String,
    path: PathBuf,
    /// The code without its tests and comments.
    code: String,
    lines: usize,
}

fn source_files() -> Vec<SourceFile> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut paths = Vec::new();
    gather(&root, &mut paths);
    paths.sort();
    paths
        .into_iter()
        .map(|path| {
            let text = fs::read_to_string(&path).unwrap();
            let inside = path.strip_prefix(&root).unwrap();
            let first = inside.components().next().unwrap().as_os_str().to_string_lossy();
            let room = first.trim_end_matches(".rs").to_owned();
            let is_test = inside.components().any(|part| {
                let name = part.as_os_str().to_string_lossy();
                name == "tests" || name.ends_with("tests.rs")
            });
            let code = if is_test { String::new() } else { without_tests_and_comments(&text) };
            SourceFile { room, path: inside.to_owned(), code, lines: text.lines().count() }
        })
        .collect()
}

fn gather(folder: &Path, paths: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            gather(&path, paths);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            paths.push(path);
        }
    }
}

/// Tests stand at the end of a file, behind the first `#[cfg(test)]` at the margin.
fn without_tests_and_comments(text: &str) -> String {
    let code = text.split("\n#[cfg(test)]").next().unwrap();
    code.lines().filter(|line| !line.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n")
}

/// The rooms that a piece of code imports: `crate::room` anywhere, and `limewright::room` in the
/// binary.
fn imports(file: &SourceFile) -> BTreeSet<String> {
    let rooms: BTreeSet<&str> = TABLE.iter().map(|(room, _)| *room).collect();
    let mut found = BTreeSet::new();
    for root in ["crate::", "limewright::"] {
        for (at, _) in file.code.match_indices(root) {
            let rest = &file.code[at + root.len()..];
            if let Some(list) = rest.strip_prefix('{') {
                let list = list.split('}').next().unwrap();
                found.extend(
                    list.split(',')
                        .map(|item| item.trim().split("::").next().unwrap().to_owned())
                        .filter(|item| rooms.contains(item.as_str())),
                );
            } else {
                let name: String =
                    rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
                if rooms.contains(name.as_str()) {
                    found.insert(name);
                }
            }
        }
    }
    found.remove(&file.room);
    found
}

#[test]
fn rooms_import_only_what_their_row_names() {
    let table: BTreeMap<&str, &[&str]> = TABLE.iter().copied().collect();
    let mut broken = Vec::new();
    for file in source_files().iter().filter(|file| file.room != "lib" && file.room != "main") {
        let Some(allowed) = table.get(file.room.as_str()) else {
            broken.push(format!("{}: the room `{}` has no row", file.path.display(), file.room));
            continue;
        };
        for room in imports(file).iter().filter(|room| !allowed.contains(&room.as_str())) {
            broken.push(format!(
                "{}: `{}` may not import `{room}`",
                file.path.display(),
                file.room
            ));
        }
    }
    assert!(broken.is_empty(), "{}", broken.join("\n"));
}

#[test]
fn the_table_itself_has_no_circle() {
    for (index, (room, allowed)) in TABLE.iter().enumerate() {
        for import in *allowed {
            let above = TABLE.iter().position(|(other, _)| other == import);
            assert!(
                above.is_some_and(|above| above < index),
                "{room} imports {import}, which does not stand above it"
            );
        }
    }
}

#[test]
fn packages_stay_in_their_rooms() {
    let mut broken = Vec::new();
    for file in source_files() {
        for (package, rooms) in KEPT {
            let used = [format!("use {package}::"), format!("{package}::")];
            let used = used.iter().any(|word| {
                file.code.match_indices(word.as_str()).any(|(at, _)| {
                    let before = file.code[..at].chars().next_back();
                    before.is_none_or(|c| !c.is_alphanumeric() && c != '_' && c != ':')
                })
            });
            if used && !rooms.contains(&file.room.as_str()) {
                broken.push(format!("{}: `{package}` is kept to {rooms:?}", file.path.display()));
            }
        }
    }
    assert!(broken.is_empty(), "{}", broken.join("\n"));
}

#[test]
fn only_some_rooms_touch_the_world() {
    let mut broken = Vec::new();
    for file in source_files() {
        for (deed, rooms) in DEEDS {
            if file.code.contains(deed) && !rooms.contains(&file.room.as_str()) {
                broken.push(format!("{}: `{deed}` is kept to {rooms:?}", file.path.display()));
            }
        }
    }
    assert!(broken.is_empty(), "{}", broken.join("\n"));
}

#[test]
fn no_file_is_too_long() {
    let long: Vec<String> = source_files()
        .iter()
        .filter(|file| file.lines > LONGEST_FILE_LINES)
        .map(|file| format!("{}: {} lines", file.path.display(), file.lines))
        .collect();
    assert!(long.is_empty(), "{}", long.join("\n"));
}

#[test]
fn the_rules_are_read_from_real_code() {
    let files = source_files();
    let rooms: BTreeSet<&str> = files.iter().map(|file| file.room.as_str()).collect();
    for room in ["units", "inputs", "field", "prescription", "cli"] {
        assert!(rooms.contains(room), "no file of `{room}` was read");
    }
    let hallway = files.iter().find(|file| file.path.ends_with("prescribe/mod.rs")).unwrap();
    assert!(imports(hallway).contains("prescription"));
    let planted = SourceFile {
        room: "agronomy".to_owned(),
        path: PathBuf::new(),
        code: "use crate::{findings::Finding, surfaces::Weights};\nlet x = crate::field::Frame;"
            .to_owned(),
        lines: 2,
    };
    let found: Vec<String> = imports(&planted).into_iter().collect();
    assert_eq!(found, ["field", "findings", "surfaces"]);
}
