//! Finished results, read back from their text.

use serde::Deserialize;

use super::fields::{FailedField, Fields, SameName};
use super::result::FIELDS_SHAPE;
use super::row::FieldRow;
use crate::findings::{Place, Problem, Refusal, clean};
use crate::summary::{SUMMARY_SHAPE, read_summary};

/// What a text holds.
#[derive(Clone, Debug, PartialEq)]
pub enum HeldResult {
    /// One finished field.
    Done(Box<FieldRow>),
    /// Many fields.
    Many(Fields),
    /// One that failed.
    Failed(FailedField),
}

/// The shape that a text names.
#[derive(Deserialize)]
struct Named {
    schema: Option<String>,
    reasons: Option<serde::de::IgnoredAny>,
}

/// What is read of the result of many fields; all else in it follows from that.
#[derive(Deserialize)]
struct Many {
    fields: Vec<FieldRow>,
    failed: Vec<FailedField>,
}

/// The result that `text` of the file `name` holds: a summary, whose field is called `id`, the result
/// of many fields, or a field that failed.
///
/// # Errors
/// Refuses what is none of them, a result of another version's shape, and one whose quantities are in
/// units that no result has.
pub fn read_result(text: &str, name: &str, id: &str) -> Result<HeldResult, Refusal> {
    let named: Named = parsed(text, name)?;
    match named.schema.as_deref() {
        Some(FIELDS_SHAPE) => many(parsed(text, name)?, name).map(HeldResult::Many),
        Some(SUMMARY_SHAPE) => {
            let row = FieldRow::of(&read_summary(text, name)?, id);
            check(&row, name)?;
            Ok(HeldResult::Done(Box::new(row)))
        }
        None if named.reasons.is_some() => parsed(text, name).map(HeldResult::Failed),
        other => {
            let what = match other {
                Some(shape) => format!("its `schema` is `{}`", clean(shape)),
                None => "it names no `schema`".to_owned(),
            };
            Err(unknown(Place::in_file(name), &what))
        }
    }
}

/// The set of fields that a result holds.
fn many(result: Many, name: &str) -> Result<Fields, Refusal> {
    let rows = result.fields.into_iter().map(|row| {
        check(&row, name)?;
        Ok::<Fields, Refusal>(Fields::done(row))
    });
    let failed = result.failed.into_iter().map(|failed| Ok(Fields::failed(failed)));
    let mut all = Fields::default();
    for part in rows.chain(failed) {
        all = all.merge(part?).map_err(|SameName(id)| {
            Problem::at(
                Place::in_file(name),
                format!("it holds two different fields called `{}`", clean(&id)),
            )
            .hint("compare the folders of the results, not an edited file")
        })?;
    }
    Ok(all)
}

fn check(row: &FieldRow, name: &str) -> Result<(), Refusal> {
    row.check().map_err(|why| {
        Problem::at(Place::in_file(name), format!("field `{}`: {why}", clean(&row.id)))
            .hint("run `limewright prescribe` for the field again")
            .into()
    })
}

fn parsed<T: serde::de::DeserializeOwned>(text: &str, name: &str) -> Result<T, Refusal> {
    serde_json::from_str(text).map_err(|error| {
        let place = Place { line: Some(error.line()), ..Place::in_file(name) };
        unknown(place, &clean(&error.to_string()))
    })
}

fn unknown(place: Place, what: &str) -> Refusal {
    Problem::at(place, format!("it is no finished result: {what}"))
        .allowed(format!(
            "a `summary.json` of the shape {SUMMARY_SHAPE}, or a `fields.json` of the shape \
             {FIELDS_SHAPE}"
        ))
        .hint("name results that `limewright prescribe --out` or `limewright fields --out` wrote")
        .into()
}
