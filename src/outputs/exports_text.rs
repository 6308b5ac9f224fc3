//! The files for the controller, in the summary for the terminal.

use super::summary_text::{amount, percent_off, wrap};
use crate::summary::{Summary, WrittenExport};

/// A line for each map and format: where it lies, what it holds, how far its total is off.
pub(super) fn write_exports(out: &mut String, summary: &Summary) -> std::fmt::Result {
    if summary.exports.is_empty() {
        return Ok(());
    }
    out.push_str("\nFiles for the controller, each read back\n");
    for export in &summary.exports {
        wrap(out, "  - ", &in_words(export))?;
    }
    Ok(())
}

fn in_words(export: &WrittenExport) -> String {
    let path = export.files.first().map_or("", |file| file.path.as_str());
    let counts = [(export.polygons, "polygons"), (export.cells, "cells"), (export.rows, "rows")];
    let counts = counts.into_iter().find_map(|(count, word)| Some(format!("{} {word}", count?)));
    let supersedes = export
        .supersedes
        .map_or_else(String::new, |earlier| format!("; supersedes revision {earlier}"));
    format!(
        "{path}: {}, {}, {}, off by {}{supersedes}",
        export.unit,
        counts.unwrap_or_default(),
        amount(&export.product_read, 2),
        percent_off(export.difference)
    )
}
