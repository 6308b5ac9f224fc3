//! Choosing a layer and features by what a job says of them; where it says too little or what is
//! not there, the choices are listed.

use std::collections::BTreeSet;
use std::path::Path;

use super::model::{Feature, Parsed};
use super::read::Wanted;
use crate::findings::{Place, Problem, Refusal, clean, nearest_of};
use crate::units::LIMITS;

/// Choices that are listed before the rest is only counted.
const CHOICES_SHOWN: usize = 20;

/// The place in `names` of the layer that is wanted, or of the only one there is.
///
/// # Errors
/// Refuses where there are several and none is named, and where the named one is not there.
pub(super) fn choose_layer(
    names: &[String],
    wanted: &Wanted,
    file: &str,
) -> Result<usize, Refusal> {
    let place = Place::in_file(file);
    match (&wanted.layer, names) {
        (_, []) => Err(Problem::at(place, "the file holds no layer")
            .hint("check that it is the right file")
            .into()),
        (None, [_]) => Ok(0),
        (None, _) => Err(Problem::at(place, format!("the file holds {} layers", names.len()))
            .allowed(format!("one of {}", listed(names)))
            .hint("say which one in the job: `layer = \"…\"` in [field]")
            .into()),
        (Some(layer), _) => {
            let same = |name: &&String| name.trim().eq_ignore_ascii_case(layer.trim());
            let exact = names.iter().position(|name| name.trim() == layer.trim());
            let found = exact.or_else(|| match names.iter().filter(same).count() {
                1 => names.iter().position(|name| same(&name)),
                _ => None,
            });
            found.ok_or_else(|| {
                let what = format!("the file holds no layer `{}`", clean(layer));
                Problem::at(place, what)
                    .allowed(format!("one of {}", listed(names)))
                    .hint(did_you_mean(layer, names, "correct `layer` in [field]"))
                    .into()
            })
        }
    }
}

/// Checks what is wanted of a format whose files are one layer each, named after the file.
///
/// # Errors
/// Refuses another layer than that.
pub(super) fn the_only_layer(file: &str, wanted: &Wanted) -> Result<(), Refusal> {
    choose_layer(&[stem_of(file)], wanted, file).map(|_| ())
}

/// The name of a file without its folder and extension.
pub(super) fn stem_of(file: &str) -> String {
    let stem = Path::new(file).file_stem();
    stem.map_or_else(|| file.to_owned(), |stem| stem.to_string_lossy().into_owned())
}

/// The features that have every wanted value, taken out of `parsed`; all of them where none is wanted.
///
/// # Errors
/// Refuses a column that is not there, and values that no feature has, listing the choices.
pub(super) fn choose_features(
    parsed: &mut Parsed,
    wanted: &Wanted,
) -> Result<Vec<Feature>, Refusal> {
    let place = Place::in_file(&parsed.file);
    let mut keys = Vec::new();
    for (column, value) in &wanted.select {
        keys.push((find_column(parsed, column)?, column, value.trim()));
    }
    let matches =
        |feature: &Feature| keys.iter().all(|(at, _, value)| text_at(feature, *at) == *value);
    let first = keys.first().filter(|_| !parsed.features.iter().any(matches));
    let Some((at, column, _)) = first else {
        let mut chosen = std::mem::take(&mut parsed.features);
        chosen.retain(matches);
        return Ok(chosen);
    };
    // The column to blame is the first that has no such value; else the values exist, apart.
    let missing = keys
        .iter()
        .find(|(at, _, value)| !parsed.features.iter().any(|f| text_at(f, *at) == *value));
    let (at, column) = missing.map_or((at, column), |(at, column, _)| (at, column));
    let mut seen = BTreeSet::new();
    let mut values = Vec::new();
    for feature in &parsed.features {
        let value = text_at(feature, *at);
        if seen.insert(value) {
            values.push(value.to_owned());
        }
    }
    let said: Vec<String> = keys
        .iter()
        .map(|(_, column, value)| format!("{} = \"{}\"", clean(column), clean(value)))
        .collect();
    let what = format!("none of the {} features has {}", parsed.features.len(), said.join(" and "));
    Err(Problem::at(place, what)
        .allowed(format!("values of `{}`: {}", clean(column), listed(&values)))
        .hint("correct `select` in [field]")
        .into())
}

/// Refuses more attributes than a layer may have.
///
/// # Errors
/// Refuses too many columns, or features times columns.
pub(super) fn refuse_too_many_attributes(
    features: usize,
    columns: usize,
    place: &Place,
) -> Result<(), Refusal> {
    if columns <= LIMITS.columns && features.saturating_mul(columns) <= LIMITS.attributes {
        return Ok(());
    }
    Err(Problem::at(place.clone(), format!("{features} features have {columns} attributes each"))
        .allowed(format!("{} columns, and {} attributes in all", LIMITS.columns, LIMITS.attributes))
        .hint("export only the columns that are needed")
        .into())
}

fn find_column(parsed: &Parsed, wanted: &str) -> Result<usize, Refusal> {
    let names = &parsed.columns;
    let same = |name: &&String| name.trim().eq_ignore_ascii_case(wanted.trim());
    let place = Place::in_file(&parsed.file);
    let exactly = |name: &&String| name.trim() == wanted.trim();
    let found = match (names.iter().filter(exactly).count(), names.iter().filter(same).count()) {
        (1, _) => names.iter().position(|name| exactly(&name)),
        (0, 1) => names.iter().position(|name| same(&name)),
        (0, 0) => None,
        (exact, similar) => {
            let count = exact.max(similar);
            let what = format!("{count} columns are named `{}`", clean(wanted));
            return Err(Problem::at(place, what)
                .allowed(format!("one of {}", listed(names)))
                .hint("choose by another column, or rename them in the file")
                .into());
        }
    };
    found.ok_or_else(|| {
        let what = format!("the features have no column `{}`", clean(wanted));
        if names.is_empty() {
            let hint = "take `select` out of [field]; the file has no attributes";
            return Problem::at(place, what).hint(hint).into();
        }
        Problem::at(place, what)
            .allowed(format!("one of {}", listed(names)))
            .hint(did_you_mean(wanted, names, "correct `select` in [field]"))
            .into()
    })
}

fn text_at(feature: &Feature, column: usize) -> &str {
    feature.attributes.get(column).map_or("", |text| text.trim())
}

fn did_you_mean(typed: &str, names: &[String], otherwise: &str) -> String {
    let known: Vec<&str> = names.iter().map(String::as_str).collect();
    nearest_of(typed, &known)
        .map_or_else(|| otherwise.to_owned(), |near| format!("did you mean `{}`?", clean(near)))
}

/// The first choices in quotes, and how many more there are.
pub(super) fn listed(choices: &[String]) -> String {
    let mut shown: Vec<String> =
        choices.iter().take(CHOICES_SHOWN).map(|choice| format!("`{}`", clean(choice))).collect();
    if choices.len() > CHOICES_SHOWN {
        shown.push(format!("and {} more", choices.len() - CHOICES_SHOWN));
    }
    shown.join(", ")
}
