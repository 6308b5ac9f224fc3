//! Opening files: the only place of this room that touches the disk.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use crate::findings::{Place, Problem, Refusal};
use crate::hash::sha256;

/// A file that was read, so that a result can say what it was made from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InputFile {
    /// What it was read as: `job`, `boundary`, `samples`.
    pub role: &'static str,
    /// The path as it was given.
    pub path: String,
    /// How many bytes it has.
    pub bytes: u64,
    /// The SHA-256 of its bytes, in hexadecimal.
    pub sha256: String,
}

/// The bytes of the file, at most `limit` of them.
///
/// # Errors
/// Refuses a file that is missing, cannot be read, is a folder, or is larger than `limit`.
pub(in crate::inputs) fn read_bytes(
    path: &Path,
    given: &str,
    role: &'static str,
    limit: u64,
) -> Result<(Vec<u8>, InputFile), Refusal> {
    let place = || Place::in_file(given);
    let cannot = |error: &std::io::Error| -> Refusal {
        Problem::at(place(), format!("the {role} file cannot be read: {error}"))
            .hint("check the path; relative paths are relative to the job file")
            .into()
    };
    refuse_unless_a_file(path, given, role, cannot)?;
    let file = File::open(path).map_err(|error| cannot(&error))?;
    let mut bytes = Vec::new();
    file.take(limit + 1).read_to_end(&mut bytes).map_err(|error| cannot(&error))?;
    if bytes.len() as u64 > limit {
        let what = format!("the {role} file is larger than this program takes on");
        return Err(Problem::at(place(), what)
            .allowed(format!("{limit} bytes"))
            .hint("check that it is the right file")
            .into());
    }
    let file = InputFile {
        role,
        path: given.to_owned(),
        bytes: bytes.len() as u64,
        sha256: sha256(&bytes),
    };
    Ok((bytes, file))
}

/// The first bytes of the file; none where it is no file or cannot be read, which whoever reads it
/// refuses.
pub(in crate::inputs) fn first_bytes(path: &Path) -> Vec<u8> {
    let mut first = Vec::new();
    if path.is_file() {
        let read = File::open(path).and_then(|file| file.take(64).read_to_end(&mut first));
        if read.is_err() {
            first.clear();
        }
    }
    first
}

/// Refuses a folder, a pipe, a socket and a device: opening or reading one may never end.
fn refuse_unless_a_file(
    path: &Path,
    given: &str,
    role: &'static str,
    cannot: impl Fn(&std::io::Error) -> Refusal,
) -> Result<(), Refusal> {
    let found = std::fs::metadata(path).map_err(|error| cannot(&error))?;
    if found.is_file() {
        return Ok(());
    }
    let kind =
        if found.is_dir() { "a folder" } else { "no file, but a pipe, a socket or a device" };
    Err(Problem::at(Place::in_file(given), format!("the {role} file cannot be read: it is {kind}"))
        .allowed("a file on the disk")
        .hint("name the file itself; what comes through a pipe has to be saved first")
        .into())
}

/// The names of the files in the folder, sorted; folders and what else is no file are left out.
///
/// # Errors
/// Refuses a folder that cannot be read.
pub(in crate::inputs) fn list_folder(
    path: &Path,
    given: &str,
    role: &'static str,
) -> Result<Vec<String>, Refusal> {
    let cannot = |error: std::io::Error| -> Refusal {
        let what = format!("the folder with the {role} cannot be read: {error}");
        Problem::at(Place::in_file(given), what)
            .hint("check the path; relative paths are relative to the job file")
            .into()
    };
    // The folder of a file that was named without one.
    let path = if path.as_os_str().is_empty() { Path::new(".") } else { path };
    let mut names = Vec::new();
    for entry in std::fs::read_dir(path).map_err(cannot)? {
        let entry = entry.map_err(cannot)?;
        if entry.path().is_file() {
            names.push(entry.file_name().to_string_lossy().into_owned());
        }
    }
    names.sort();
    Ok(names)
}

/// Whether there is a file beside this one, of its name with an ending added, that begins with
/// anything but zeros.
pub(in crate::inputs) fn has_content(path: &Path, ending: &str) -> bool {
    let mut beside = path.as_os_str().to_owned();
    beside.push(ending);
    let beside = Path::new(&beside);
    if !beside.is_file() {
        return false;
    }
    let mut first = Vec::new();
    let read = File::open(beside).and_then(|file| file.take(8).read_to_end(&mut first));
    read.is_ok() && first.iter().any(|byte| *byte != 0)
}

/// The text of the file: UTF-8, a byte order mark left out.
///
/// # Errors
/// Refuses as [`read_bytes`] does, and text that is not UTF-8, naming the line.
pub(in crate::inputs) fn read_text(
    path: &Path,
    given: &str,
    role: &'static str,
    limit: u64,
) -> Result<(String, InputFile), Refusal> {
    let (bytes, file) = read_bytes(path, given, role, limit)?;
    let text = String::from_utf8(bytes).map_err(|error| {
        let upto = error.utf8_error().valid_up_to();
        let line = error.as_bytes()[..upto].split(|&b| b == b'\n').count();
        let place = Place { line: Some(line), ..Place::in_file(given) };
        Problem::at(place, format!("the {role} file is not UTF-8 text"))
            .allowed("UTF-8, with or without a byte order mark")
            .hint("save it again as \"CSV UTF-8\" or plain UTF-8")
    })?;
    let text = match text.strip_prefix('\u{feff}') {
        Some(rest) => rest.to_owned(),
        None => text,
    };
    Ok((text, file))
}
