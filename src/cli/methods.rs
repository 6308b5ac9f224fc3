//! `methods`.

use std::path::Path;
use std::sync::Arc;

use limewright::Error;
use limewright::agronomy::{
    MethodCard, all_guides, all_methods, method, own_table_file, work_example,
};
use limewright::inputs::{NamedFile, read_method_file};
use limewright::outputs::{
    advice_json, advice_text, crops_json, crops_text, method_text, methods_json, methods_text,
};
use limewright::prescribe::{Allowed, advise_methods};

use super::args::{MethodsArgs, MethodsOnJobArgs};
use super::{Status, talk};

pub(super) fn methods(typed: &MethodsArgs) -> Status {
    if typed.crops {
        let guides = all_guides();
        return talk::say(&if typed.json { crops_json(guides) } else { crops_text(guides) });
    }
    if let Some(job) = &typed.on_job.job {
        return on_job(job, &typed.on_job, typed.json);
    }
    let Some(id) = &typed.id else {
        let cards: Vec<&MethodCard> = all_methods().iter().map(|method| method.card()).collect();
        return talk::say(&if typed.json { methods_json(&cards) } else { methods_text(&cards) });
    };
    let found = match own_table_file(id) {
        Some(file) => read_method_file(&NamedFile { given: file.to_owned(), path: file.into() })
            .map(|(method, _)| method),
        None => method(id).map(Arc::clone),
    };
    let method = match found {
        Ok(method) => method,
        Err(refusal) => return talk::refuse(&refusal.into()),
    };
    let card = method.card();
    if typed.json {
        return talk::say(&methods_json(&[card]));
    }
    let worked: Result<Vec<_>, _> =
        card.examples.iter().map(|example| work_example(method.as_ref(), example)).collect();
    match worked {
        Ok(worked) => talk::say(&method_text(card, &worked)),
        Err(refusal) => talk::refuse(&refusal.into()),
    }
}

/// Which methods can read the samples of a job, and what those that can come to.
fn on_job(job: &Path, typed: &MethodsOnJobArgs, json: bool) -> Status {
    let allowed = Allowed { unverified: typed.allow_unverified, ..Allowed::default() };
    let advised = match advise_methods(job, &typed.sets, typed.side_by_side, allowed) {
        Ok(advised) => advised,
        Err(error) => return talk::refuse(&error),
    };
    talk::findings(&advised.findings);
    let status = if json {
        match advice_json(&advised.advice) {
            Ok(text) => talk::say(&text),
            Err(error) => talk::refuse(&Error::Fault(error.to_string())),
        }
    } else {
        talk::say(&advice_text(&advised.advice))
    };
    talk::note("Nothing was written.");
    if status == Status::Done && typed.strict && !advised.findings.is_empty() {
        return Status::Findings;
    }
    status
}
