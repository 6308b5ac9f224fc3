//! Choosing a layer, and features or rows, by what a job says of them; where it says too little or what is
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
            .hint(format!("say which one in the job: `layer = \"…\"` in {}", wanted.said_in))
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
                    .hint(did_you_mean(
                        layer,
                        names,
                        &format!("correct `layer` in {}", wanted.said_in),
                    ))
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
pub(in crate::inputs) fn stem_of(file: &str) -> String {
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
    let among = Among {
        file: &parsed.file,
        columns: &parsed.columns,
        kind: "features",
        said: &format!("`select` in {}", wanted.said_in),
    };
    among.chosen(std::mem::take(&mut parsed.features), &wanted.select, |f| &f.attributes)
}

/// What is chosen among: features with attributes, or rows with cells.
#[derive(Clone, Copy, Debug)]
pub(in crate::inputs) struct Among<'a> {
    /// The file, as the user named it.
    pub(in crate::inputs) file: &'a str,
    /// The names of the attributes or columns.
    pub(in crate::inputs) columns: &'a [String],
    /// What is chosen, in a word: `features`.
    pub(in crate::inputs) kind: &'a str,
    /// Where it is said what is wanted: "`select` in \[samples\]".
    pub(in crate::inputs) said: &'a str,
}

impl Among<'_> {
    /// Those of `all` that have every wanted value in the column of its name; all of them where none
    /// is wanted.
    ///
    /// # Errors
    /// Refuses a column that is not there, and values that none has, listing the choices.
    pub(in crate::inputs) fn chosen<T>(
        &self,
        mut all: Vec<T>,
        select: &[(String, String)],
        cells: impl Fn(&T) -> &[String],
    ) -> Result<Vec<T>, Refusal> {
        let mut keys = Vec::new();
        for (column, value) in select {
            keys.push((self.column(column)?, column, value.trim()));
        }
        let matches =
            |one: &T| keys.iter().all(|(at, _, value)| text_at(cells(one), *at) == *value);
        let Some((at, column, _)) = keys.first().filter(|_| !all.iter().any(matches)) else {
            all.retain(matches);
            return Ok(all);
        };
        // The column to blame is the first that has no such value; else the values exist, apart.
        let missing = keys
            .iter()
            .find(|(at, _, value)| !all.iter().any(|one| text_at(cells(one), *at) == *value));
        let (at, column) = missing.map_or((at, column), |(at, column, _)| (at, column));
        let mut seen = BTreeSet::new();
        let mut values = Vec::new();
        for one in &all {
            let value = text_at(cells(one), *at);
            if seen.insert(value) {
                values.push(value.to_owned());
            }
        }
        let said: Vec<String> = keys
            .iter()
            .map(|(_, column, value)| format!("{} = \"{}\"", clean(column), clean(value)))
            .collect();
        let what = format!("none of the {} {} has {}", all.len(), self.kind, said.join(" and "));
        Err(Problem::at(Place::in_file(self.file), what)
            .allowed(format!("values of `{}`: {}", clean(column), listed(&values)))
            .hint(format!("correct {}", self.said))
            .into())
    }

    /// The place of the column that is named so, with its case or, where only one is like it,
    /// without.
    ///
    /// # Errors
    /// Refuses a name that no column has, and one that several have.
    pub(in crate::inputs) fn column(&self, wanted: &str) -> Result<usize, Refusal> {
        let Self { columns: names, kind, said, .. } = *self;
        let same = |name: &&String| name.trim().eq_ignore_ascii_case(wanted.trim());
        let place = Place::in_file(self.file);
        let exactly = |name: &&String| name.trim() == wanted.trim();
        let found = match (names.iter().filter(exactly).count(), names.iter().filter(same).count())
        {
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
            let what = format!("the {kind} have no column `{}`", clean(wanted));
            if names.is_empty() {
                let hint = format!("take out {said}; the file has no attributes");
                return Problem::at(place, what).hint(hint).into();
            }
            Problem::at(place, what)
                .allowed(format!("one of {}", listed(names)))
                .hint(did_you_mean(wanted, names, &format!("correct {said}")))
                .into()
        })
    }
}

/// The place of the column that an argument such as `--field-column` names among those of a file.
///
/// # Errors
/// Refuses a name that no column has, listing them, and one that several have.
pub fn column_named(
    columns: &[String],
    wanted: &str,
    file: &str,
    argument: &str,
) -> Result<usize, Refusal> {
    Among { file, columns, kind: "rows", said: argument }.column(wanted)
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

fn text_at(cells: &[String], column: usize) -> &str {
    cells.get(column).map_or("", |text| text.trim())
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
