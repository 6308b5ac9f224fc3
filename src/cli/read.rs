//! `read`.

use std::path::Path;

use limewright::Error;
use limewright::findings::Refusal;
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
    let readings = match readings(typed) {
        Ok(readings) => readings,
        Err(error) => return talk::refuse(&error),
    };
    let status = if typed.json {
        match readings_json(&readings) {
            Ok(text) => talk::say(&text),
            Err(error) => talk::refuse(&Error::Fault(error.to_string())),
        }
    } else {
        talk::say(&readings_text(&readings))
    };
    let faulty = readings.exports.iter().any(|export| !export.faults.is_empty());
    if status == Status::Done && typed.strict && faulty {
        return Status::Findings;
    }
    status
}

fn readings(typed: &ReadArgs) -> Result<Readings, Error> {
    let against = typed.against.as_deref().map(against).transpose()?;
    let unit = typed.unit.as_deref();
    let asked = ExportAsked {
        column: typed.column.clone(),
        unit: ControllerUnit::ALL.into_iter().find(|known| Some(known.words()) == unit),
        layer: typed.layer.clone(),
    };
    let mut found = Vec::new();
    let mut problems = Vec::new();
    for path in &typed.paths {
        match read_exports(path, &asked) {
            Ok(exports) => found.extend(exports),
            Err(refusal) => problems.extend(refusal.into_problems()),
        }
    }
    let found = Refusal::unless_clean(problems, found)?;
    Ok(reading_of(&found, against.as_ref())?)
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
