//! A text that another room reads.

use std::path::Path;

use super::open::read_text;
use crate::findings::Refusal;
use crate::units::LIMITS;

/// The text of the finished summary `path`.
///
/// # Errors
/// Refuses a file that cannot be read, is too large or is no UTF-8 text.
pub fn read_summary_text(path: &Path) -> Result<String, Refusal> {
    let name = path.display().to_string();
    read_text(path, &name, "summary", LIMITS.data_file_bytes).map(|(text, _)| text)
}
