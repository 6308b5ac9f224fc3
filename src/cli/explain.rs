//! `explain`.

use limewright::Error;
use limewright::field::LonLat;
use limewright::outputs::explanation_text;

use super::args::ExplainArgs;
use super::{Status, run, talk};

pub(super) fn explain(typed: &ExplainArgs) -> Status {
    let (lon_deg, lat_deg) = typed.at;
    let explained = run::job(&typed.job).and_then(|done| done.explain(LonLat { lon_deg, lat_deg }));
    match explained {
        Ok(told) if typed.job.json => match serde_json::to_string_pretty(&told) {
            Ok(text) => talk::say(&format!("{text}\n")),
            Err(error) => talk::refuse(&Error::Fault(error.to_string())),
        },
        Ok(told) => talk::say(&explanation_text(&told)),
        Err(error) => talk::refuse(&error),
    }
}
