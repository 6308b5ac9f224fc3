//! A text that another room reads.

use std::path::Path;

use super::open::read_text;
use crate::findings::Refusal;
use crate::units::LIMITS;

/// The text of the file `path`, which is read as `role`; none where nothing lies there.
///
/// # Errors
/// Refuses what is there and is no file, cannot be read, is too large or is no UTF-8 text.
pub fn text_if_there(path: &Path, role: &'static str) -> Result<Option<String>, Refusal> {
    if path.symlink_metadata().is_err() {
        return Ok(None);
    }
    let name = path.display().to_string();
    read_text(path, &name, role, LIMITS.data_file_bytes).map(|(text, _)| Some(text))
}

/// The text of the finished summary `path`.
///
/// # Errors
/// Refuses a file that cannot be read, is too large or is no UTF-8 text.
pub fn read_summary_text(path: &Path) -> Result<String, Refusal> {
    let name = path.display().to_string();
    read_text(path, &name, "summary", LIMITS.data_file_bytes).map(|(text, _)| text)
}
