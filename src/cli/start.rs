//! `start`.

use limewright::outputs::{start_json, start_text};
use limewright::start::{Start, StartAsked, start as start_jobs};
use limewright::{Error, findings::clean};

use super::args::StartArgs;
use super::{Status, talk};

pub(super) fn start(typed: &StartArgs) -> Status {
    let asked = StartAsked {
        boundary: typed.boundary.clone(),
        samples: typed.samples.clone(),
        out: typed.out.clone(),
        sets: sets_of(typed),
    };
    let started = match start_jobs(&asked).and_then(|start| start.write().map(|()| start)) {
        Ok(started) => started,
        Err(error) => return talk::refuse(&error),
    };
    for finding in &started.started.findings {
        talk::note(&format!("finding: {}", clean(&finding.text)));
    }
    say(typed, &started)
}

fn say(typed: &StartArgs, start: &Start) -> Status {
    let told = start_text(&start.started);
    if typed.json {
        return match start_json(&start.started) {
            Ok(text) => talk::say(&text),
            Err(error) => talk::refuse(&Error::Fault(error.to_string())),
        };
    }
    if typed.out.is_some() {
        return talk::say(&told);
    }
    talk::note(told.trim_end());
    talk::note("Nothing was written; name a job file or a folder with --out to write it.");
    talk::say(start.text())
}

/// The arguments that stand for keys of the job, as `--set` writes them; later ones win.
fn sets_of(typed: &StartArgs) -> Vec<String> {
    let quoted = |text: &String| limewright::inputs::toml_text(text);
    let mut sets = typed.sets.clone();
    for (key, value) in
        [("units", &typed.units), ("need.method", &typed.method), ("field.layer", &typed.layer)]
    {
        sets.extend(value.as_ref().map(|value| format!("{key}={}", quoted(value))));
    }
    for select in &typed.select {
        if let Some((column, value)) = select.split_once('=') {
            let (column, value) = (column.trim().to_owned(), value.trim().to_owned());
            sets.push(format!("field.select.{}={}", quoted(&column), quoted(&value)));
        }
    }
    sets
}
