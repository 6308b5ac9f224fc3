//! `prescribe` and `check`.

use limewright::outputs::{summary_json, summary_text};
use limewright::prescribe::{Allowed, Prescribed, prescribe as run_job};
use limewright::store::store;
use limewright::{
    Error,
    findings::{Finding, clean},
};

use super::args::{CheckArgs, JobArgs, PrescribeArgs};
use super::{Status, talk};

pub(super) fn prescribe(typed: &PrescribeArgs) -> Status {
    let prescribed = match prescribed(typed) {
        Ok(prescribed) => prescribed,
        Err(error) => return talk::refuse(&error),
    };
    if let Some(folder) = &typed.out {
        let stored = prescribed.files().and_then(|files| Ok(store(folder, &files)?));
        if let Err(error) = stored {
            return talk::refuse(&error);
        }
    }
    talk::findings(&prescribed.findings);
    let status = say_summary(&prescribed, typed.job.json);
    match &typed.out {
        Some(folder) => talk::written(folder),
        None => talk::note("Nothing was written; name a folder with --out to write the map."),
    }
    under_strict(status, &typed.job, &prescribed.findings)
}

/// The result, with the files of `--export` in place of those that the job lists.
fn prescribed(typed: &PrescribeArgs) -> Result<Prescribed, Error> {
    let mut asked = typed.job.clone();
    if !typed.exports.is_empty() {
        let quoted: Vec<String> = typed.exports.iter().map(|word| format!("\"{word}\"")).collect();
        asked.sets.push(format!("export.files=[{}]", quoted.join(", ")));
    }
    job(&asked)
}

pub(super) fn check(typed: &CheckArgs) -> Status {
    let prescribed = match job(&typed.job) {
        Ok(prescribed) => prescribed,
        Err(error) => return talk::refuse(&error),
    };
    talk::findings(&prescribed.findings);
    let summary = &prescribed.summary;
    let status = if typed.job.json {
        say_json(&prescribed)
    } else {
        talk::say(&format!(
            "{}\n  {}\nFindings: {}. The job can be prescribed. Nothing was written.\n",
            clean(&summary.field.name),
            prescribed.about.join("\n  "),
            prescribed.findings.len()
        ))
    };
    under_strict(status, &typed.job, &prescribed.findings)
}

pub(super) fn job(typed: &JobArgs) -> Result<Prescribed, Error> {
    run_job(
        &typed.job,
        &typed.sets,
        Allowed { unverified: typed.allow_unverified, ..Allowed::default() },
    )
}

fn say_summary(prescribed: &Prescribed, json: bool) -> Status {
    if json { say_json(prescribed) } else { talk::say(&summary_text(&prescribed.summary)) }
}

fn say_json(prescribed: &Prescribed) -> Status {
    match summary_json(&prescribed.summary) {
        Ok(text) => talk::say(&text),
        Err(error) => talk::refuse(&Error::Fault(error.to_string())),
    }
}

pub(super) fn under_strict(status: Status, typed: &JobArgs, findings: &[Finding]) -> Status {
    if status == Status::Done && typed.strict && !findings.is_empty() {
        Status::Findings
    } else {
        status
    }
}
