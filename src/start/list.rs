//! The text of the list of jobs.

use super::lines::Lines;
use crate::inputs::{FIELDS_SCHEMA_FILE, JobSettings, toml_text};
use crate::outputs::{JobDraft, Started, job_draft_text};

/// The file with the list.
pub(super) const LIST_FILE: &str = "fields.toml";

/// The text of the list: the jobs, and the blanks that all of them have, so that they can be filled
/// in once.
pub(super) fn list_text(settings: &JobSettings, jobs: &[Started], files: &[String]) -> String {
    let mut lines = Lines::new(settings);
    let entries: Vec<String> =
        files.iter().map(|file| format!("  {},\n", toml_text(file))).collect();
    lines.known("jobs", format!("[\n{}]", entries.concat()), "");
    for blank in shared_blanks(jobs) {
        lines.blank(blank, Vec::new());
    }
    let head = vec![
        "The jobs of these fields, and settings that they share.".to_owned(),
        "A setting here holds for every job that has none of its own; a key that is still \"?\", here \
         or there, is none. So what is the same for all fields is filled in here, and what is \
         another in one field, in its job."
            .to_owned(),
        format!(
            "Paths are from the folder of this file. For an editor that knows JSON Schema: \
             `limewright schema fields > {FIELDS_SCHEMA_FILE}`."
        ),
    ];
    job_draft_text(&JobDraft { schema: FIELDS_SCHEMA_FILE, head, tables: lines.tables_put() })
}

/// The keys that are blank in every job. Columns are not among them: what a table calls them was
/// looked for in it, and the jobs name the candidates.
fn shared_blanks(jobs: &[Started]) -> Vec<&str> {
    let Some((first, others)) = jobs.split_first() else { return Vec::new() };
    let in_all = |blank: &&String| others.iter().all(|job| job.blanks.contains(blank));
    first.blanks.iter().filter(in_all).map(String::as_str).collect()
}
