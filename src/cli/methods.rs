//! `methods`.

use std::sync::Arc;

use limewright::agronomy::{
    MethodCard, all_guides, all_methods, method, own_table_file, work_example,
};
use limewright::inputs::{NamedFile, read_method_file};
use limewright::outputs::{crops_json, crops_text, method_text, methods_json, methods_text};

use super::args::MethodsArgs;
use super::{Status, talk};

pub(super) fn methods(typed: &MethodsArgs) -> Status {
    if typed.crops {
        let guides = all_guides();
        return talk::say(&if typed.json { crops_json(guides) } else { crops_text(guides) });
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
