//! `explain`.

use limewright::Error;
use limewright::field::LonLat;
use limewright::outputs::explanation_text;

use super::args::ExplainArgs;
use super::{Status, run, talk};

pub(super) fn explain(typed: &ExplainArgs) -> Status {
    let (lon_deg, lat_deg) = typed.at;
    let done = match run::job(&typed.job) {
        Ok(done) => done,
        Err(error) => return talk::refuse(&error),
    };
    let told = match done.explain(LonLat { lon_deg, lat_deg }) {
        Ok(told) => told,
        Err(error) => return talk::refuse(&error),
    };
    talk::findings(&done.findings);
    let status = if typed.job.json {
        match serde_json::to_string_pretty(&told) {
            Ok(text) => talk::say(&format!("{text}\n")),
            Err(error) => talk::refuse(&Error::Fault(error.to_string())),
        }
    } else {
        talk::say(&explanation_text(&told))
    };
    run::under_strict(status, &typed.job, &done.findings)
}
