//! `materials`.

use limewright::Error;
use limewright::outputs::{comparison_json, comparison_text, kinds_json, kinds_text};
use limewright::prescribe::{Allowed, compare_materials};

use super::args::MaterialsArgs;
use super::{Status, talk};

pub(super) fn materials(typed: &MaterialsArgs) -> Status {
    let Some(job) = &typed.job else {
        return talk::say(&if typed.json { kinds_json() } else { kinds_text() });
    };
    let allowed = Allowed { unverified: typed.allow_unverified, ..Allowed::default() };
    let compared = match compare_materials(job, &typed.sets, typed.list.as_deref(), allowed) {
        Ok(compared) => compared,
        Err(error) => return talk::refuse(&error),
    };
    talk::findings(&compared.findings);
    let status = if typed.json {
        match comparison_json(&compared.comparison) {
            Ok(text) => talk::say(&text),
            Err(error) => talk::refuse(&Error::Fault(error.to_string())),
        }
    } else {
        talk::say(&comparison_text(&compared.comparison))
    };
    talk::note("Nothing was written.");
    if status == Status::Done && typed.strict && !compared.findings.is_empty() {
        return Status::Findings;
    }
    status
}
