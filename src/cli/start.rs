//! `start`.

use limewright::Error;
use limewright::findings::{clean, clean_long};
use limewright::outputs::{
    Started, StartedFields, start_fields_json, start_fields_text, start_json, start_text,
};
use limewright::start::{Start, StartAsked, Told, start as start_jobs};

use super::args::StartArgs;
use super::{Status, talk};

pub(super) fn start(typed: &StartArgs) -> Status {
    let asked = StartAsked {
        boundary: typed.boundary.clone(),
        samples: typed.samples.clone(),
        lab: typed.lab.clone(),
        zones: typed.zones.clone(),
        field_column: typed.field_column.clone(),
        field_attribute: typed.field_attribute.clone(),
        out: typed.out.clone(),
        sets: sets_of(typed),
    };
    let started = match start_jobs(&asked).and_then(|start| start.write().map(|()| start)) {
        Ok(started) => started,
        Err(error) => return talk::refuse(&error),
    };
    match &started.told {
        Told::One(told) => say_one(typed, told, &started),
        Told::Many(told) => say_many(typed, told),
    }
}

fn say_one(typed: &StartArgs, told: &Started, start: &Start) -> Status {
    for finding in &told.findings {
        talk::note(&format!("finding: {}", clean_long(&finding.text)));
    }
    if typed.json {
        return say_json(start_json(told));
    }
    let text = start_text(told);
    if typed.out.is_some() {
        return talk::say(&text);
    }
    talk::note(text.trim_end());
    talk::note("Nothing was written; name a job file or a folder with --out to write it.");
    talk::say(&start.texts().collect::<String>())
}

fn say_many(typed: &StartArgs, told: &StartedFields) -> Status {
    for finding in &told.findings {
        talk::note(&format!("finding: {}", clean_long(&finding.text)));
    }
    for job in &told.fields {
        for finding in &job.findings {
            talk::note(&format!("finding: {}: {}", clean(&job.field), clean_long(&finding.text)));
        }
    }
    let status = if typed.json {
        say_json(start_fields_json(told))
    } else {
        talk::say(&start_fields_text(told))
    };
    if typed.out.is_none() {
        talk::note("Nothing was written; name a folder with --out to write the jobs.");
    }
    status
}

fn say_json(text: Result<String, impl std::fmt::Display>) -> Status {
    match text {
        Ok(text) => talk::say(&text),
        Err(error) => talk::refuse(&Error::Fault(error.to_string())),
    }
}

/// The arguments that stand for keys of the job, as `--set` writes them; later ones win.
fn sets_of(typed: &StartArgs) -> Vec<String> {
    let quoted = |text: &String| limewright::inputs::toml_text(text);
    let mut sets = typed.sets.clone();
    for (key, value) in [
        ("units", &typed.units),
        ("need.method", &typed.method),
        ("field.layer", &typed.layer),
        ("samples.layer", &typed.samples_layer),
    ] {
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
