//! `read`.

use std::path::Path;

use limewright::Error;
use limewright::findings::{Problem, Refusal};
use limewright::inputs::exports::{ExportAsked, read_exports};
use limewright::inputs::read_summary_text;
use limewright::outputs::{readings_json, readings_text};
use limewright::prescribe::{Allowed, prescribe};
use limewright::summary::read_summary;
use limewright::units::ControllerUnit;
use limewright::verify::{AgainstWhat, Readings, reading_of};

use super::args::ReadArgs;
use super::{Status, talk};

pub(super) fn read(typed: &ReadArgs) -> Status {
    let mut problems = Vec::new();
    let readings = match readings(typed, &mut problems) {
        Ok(readings) => readings,
        Err(error) => return talk::refuse_reading(&error),
    };
    // What can be read is shown, also beside what cannot.
    let shown = if readings.exports.is_empty() {
        Status::Done
    } else if typed.json {
        match readings_json(&readings) {
            Ok(text) => talk::say(&text),
            Err(error) => talk::refuse(&Error::Fault(error.to_string())),
        }
    } else {
        talk::say(&readings_text(&readings))
    };
    if let Err(refusal) = Refusal::unless_clean(problems, ()) {
        return talk::refuse_reading(&refusal.into());
    }
    let faulty = readings.exports.iter().any(|export| !export.faults.is_empty());
    if shown == Status::Done && typed.strict && faulty {
        return Status::Findings;
    }
    shown
}

/// What was named, as far as it can be read; what cannot is put to `problems`.
fn readings(typed: &ReadArgs, problems: &mut Vec<Problem>) -> Result<Readings, Error> {
    let against = typed.against.as_deref().map(against).transpose()?;
    let unit = typed.unit.as_deref();
    let asked = ExportAsked {
        column: typed.column.clone(),
        unit: ControllerUnit::ALL.into_iter().find(|known| Some(known.words()) == unit),
        layer: typed.layer.clone(),
    };
    let mut found = Vec::new();
    for path in &typed.paths {
        found.extend(read_exports(path, &asked, problems));
    }
    Ok(reading_of(&found, against.as_ref(), problems))
}

/// What a summary says, or what a job comes to when it is run now.
fn against(path: &Path) -> Result<AgainstWhat, Error> {
    let name = path.display().to_string();
    if path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("toml")) {
        let done = prescribe(path, &[], Allowed { unverified: true, ..Allowed::default() })?;
        return Ok(AgainstWhat::of(&done.summary, &name));
    }
    let text = read_summary_text(path)?;
    Ok(AgainstWhat::of(&read_summary(&text, &name)?, &name))
}
