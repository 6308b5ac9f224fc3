//! `fields`.

use limewright::Error;
use limewright::findings::{clean, first_of};
use limewright::prescribe::{
    Allowed, Earlier, FieldsAsked, Progress, RanField, RanFields, run_fields,
};
use limewright::roster::SortBy;

use super::fields_args::FieldsArgs;
use super::progress::Bar;
use super::{Status, talk, together};

/// Fields that are named together before the rest is only counted.
const NAMED: usize = 10;

pub(super) fn fields(typed: &FieldsArgs) -> Status {
    let asked = FieldsAsked {
        list: typed.list.clone(),
        sets: typed.sets.clone(),
        out: typed.out.clone(),
        only: typed.only.clone(),
        again: typed.again,
        allowed: Allowed { unverified: typed.allow_unverified, ..Allowed::default() },
    };
    let bar = Bar::new();
    let ran = run_fields(&asked, &mut |now| bar.show(now));
    bar.end();
    let ran = match ran {
        Ok(ran) => ran,
        Err(error) => return talk::refuse(&error),
    };
    talk::findings(&ran.findings);
    say_failures(&ran.fields);
    together::findings(&ran.result);
    let said = together::say(&ran.result, SortBy::BY_ID, typed.told.json);
    if let Some(error) = &ran.without_plan {
        talk::note("There is no plan:");
        talk::why(error);
    }
    let without = if ran.without_plan.is_some() { " There is no plan." } else { "" };
    talk::note(&(count_in_words(ran.count) + without));
    say_where(typed, &ran);
    if said == Status::Done { status(&ran, typed.told.strict) } else { said }
}

/// Why fields failed; what is the same for several is said once.
fn say_failures(fields: &[RanField]) {
    let mut said: Vec<(String, Vec<&RanField>)> = Vec::new();
    for field in fields {
        let Some(failure) = &field.failure else { continue };
        let why: String = failure.errors.iter().map(|error| error.to_string() + "\n").collect();
        match said.iter_mut().find(|(known, _)| *known == why) {
            Some((_, same)) => same.push(field),
            None => said.push((why, vec![field])),
        }
    }
    for (_, same) in &said {
        let names: Vec<String> =
            same.iter().map(|field| format!("{} ({})", field.id, clean(&field.job))).collect();
        talk::note(&format!("failed: {}", first_of(&names, NAMED)));
        let failure = same.first().and_then(|field| field.failure.as_ref());
        for error in failure.iter().flat_map(|failure| &failure.errors) {
            talk::why(error);
        }
    }
    let kept = fields
        .iter()
        .filter(|field| field.failure.as_ref().is_some_and(|failure| failure.keeps_earlier));
    let kept: Vec<&str> = kept.map(|field| field.id.as_str()).collect();
    if !kept.is_empty() {
        talk::note(&format!("Earlier results are left as they were: {}.", first_of(&kept, NAMED)));
    }
}

fn count_in_words(count: Progress) -> String {
    let Progress { done, failed, unchanged, .. } = count;
    format!("{done} done, {failed} failed, {unchanged} not changed.")
}

fn say_where(typed: &FieldsArgs, ran: &RanFields) {
    let Some(folder) = &typed.out else {
        talk::note("Nothing was written; name a folder with --out to write the results.");
        return;
    };
    let folder = folder.display();
    let Earlier { stand, removed, forgotten } = &ran.earlier;
    if !forgotten.is_empty() {
        talk::note(&format!(
            "Failures of fields that the list does not name are forgotten: {}.",
            first_of(forgotten, NAMED)
        ));
    }
    if !removed.is_empty() {
        talk::note(&format!(
            "Taken away from {folder}, because this run has none: {}.",
            removed.join(", ")
        ));
    }
    if ran.only_some {
        talk::note(&format!(
            "The results of these fields are in {folder}. When all fields are there, \
             `limewright compare {folder} --with {} --out {folder}` puts them together.",
            typed.list.display()
        ));
        if !stand.is_empty() {
            talk::note(&format!(
                "Until then these in {folder} are of an earlier run and out of date: {}.",
                stand.join(", ")
            ));
        }
    } else if !stand.is_empty() {
        talk::note(&format!(
            "Every field failed, so these in {folder} stand as an earlier run wrote them: {}.",
            stand.join(", ")
        ));
    } else {
        talk::note(&format!("Written to {folder}."));
    }
}

fn status(ran: &RanFields, strict: bool) -> Status {
    let of_fields = ran.result.fields.iter().any(|row| row.findings > 0);
    let told = !ran.findings.is_empty() || of_fields || ran.result.has_too_little();
    if matches!(ran.without_plan, Some(Error::Unbalanced(_))) {
        Status::Fault
    } else if ran.count.failed > 0 || ran.without_plan.is_some() {
        Status::SomeFailed
    } else if strict && told {
        Status::Findings
    } else {
        Status::Done
    }
}
