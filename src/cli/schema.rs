//! `schema`.

use limewright::outputs::{SchemaOf, schemas_text};

use super::args::SchemaArgs;
use super::{Status, talk};

pub(super) fn schema(typed: &SchemaArgs) -> Status {
    let Some(name) = &typed.name else {
        return talk::say(&schemas_text());
    };
    match SchemaOf::named(name) {
        Ok(schema) => talk::say(&schema.text()),
        Err(refusal) => talk::refuse(&refusal.into()),
    }
}
