//! From the text of a job file, and what `--set` adds to it, to its shape.

use std::ops::Range;

use serde::de::DeserializeOwned;
use serde_json::Value;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::file::{JOB_FILE_SCHEMA, JobFile};
use super::shared::Laid;
use crate::findings::{Place, Problem, Refusal, nearest_of};

/// The text of a job file with what `--set` adds, and the places in it.
#[derive(Debug)]
pub(super) struct JobText {
    /// The job file, as the user named it.
    pub(super) name: String,
    /// Its text.
    text: String,
    /// Each `--set`, as typed.
    sets: Vec<String>,
    /// What it shares with other jobs, laid under it.
    shared: Option<Laid>,
}

impl JobText {
    pub(super) fn new(name: &str, text: String, sets: &[String]) -> Self {
        Self { name: name.to_owned(), text, sets: sets.to_vec(), shared: None }
    }

    /// The same over what it shares with other jobs.
    pub(super) fn with_shared(mut self, shared: Laid) -> Self {
        self.shared = Some(shared);
        self
    }

    /// The text that is laid under the file, where there is one.
    pub(super) fn shared(&self) -> Option<&Laid> {
        self.shared.as_ref()
    }

    /// The same with one more `--set` behind the others.
    pub(super) fn with_set(mut self, set: String) -> Self {
        self.sets.push(set);
        self
    }

    /// The text of the file.
    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// Each `--set` as a line of TOML, in the order in which they are put over the file.
    pub(super) fn lines_of_sets(&self) -> impl DoubleEndedIterator<Item = String> + '_ {
        self.sets.iter().map(|set| set_as_toml(set))
    }

    /// The place that `span` names: a line and character of the file or of what it shares with
    /// others, or a `--set`.
    ///
    /// Each `--set`, and behind them what is shared, is parsed behind as many blanks as the text
    /// before it has bytes, so that its spans lie beyond the file's own and say which one it was.
    pub(super) fn place(&self, span: &Range<usize>) -> Place {
        if span.start > self.text.len() {
            let mut from = self.text.len() + 1;
            for set in &self.sets {
                if span.start < from + set.len() + 1 {
                    return Place::in_file(format!("--set {set}"));
                }
                from += set.len() + 1;
            }
            if let Some(shared) = &self.shared {
                return shared.place(span.start - from..span.end.max(from) - from);
            }
        }
        place_in(&self.text, &self.name, span.clone())
    }

    /// Where the text that is laid under the file begins, behind all that is put over it.
    fn shared_from(&self) -> usize {
        let sets = self.sets.iter().map(|set| set.len() + 1);
        self.text.len() + 1 + sets.sum::<usize>()
    }

    /// The shape of the job.
    ///
    /// # Errors
    /// Refuses text that is not TOML, unknown keys (all of them, each with the nearest known one),
    /// blanks (all of them) and values of the wrong type.
    pub(super) fn parse(&self) -> Result<JobFile, Refusal> {
        self.parse_as(&JOB_FILE_SCHEMA)
    }

    /// The shape of another file that is written as a job is, by the schema of its types.
    ///
    /// # Errors
    /// Refuses what [`parse`](Self::parse) refuses.
    pub(super) fn parse_as<T: DeserializeOwned>(&self, schema: &Value) -> Result<T, Refusal> {
        let mut table = DeTable::parse(&self.text).map_err(|error| self.not_toml(&error))?;
        let under = self.shared.as_ref().map(|shared| (shared, shared.padded(self.shared_from())));
        if let Some((shared, text)) = &under {
            let laid = DeTable::parse(text).map_err(|error| self.not_toml(&error))?;
            shared.lay_under(table.get_mut(), laid.into_inner(), schema);
        }
        let mut padding = self.text.len() + 1;
        let padded: Vec<(String, &String)> = self
            .sets
            .iter()
            .map(|set| {
                let text = " ".repeat(padding) + &set_as_toml(set);
                padding += set.len() + 1;
                (text, set)
            })
            .collect();
        for (text, set) in &padded {
            let added = DeTable::parse(text).map_err(|error| Self::bad_set(set, &error))?;
            merge(table.get_mut(), added.into_inner());
        }
        let mut problems = Vec::new();
        self.find_unknown(table.get_ref(), schema, schema, "", &mut problems);
        problems.extend(self.find_blanks(table.get_ref()));
        Refusal::unless_clean(problems, ())?;
        T::deserialize(toml::de::Deserializer::from(table)).map_err(|error| self.not_toml(&error))
    }

    /// The text as a table whose values know where they stand.
    ///
    /// # Errors
    /// Refuses text that is not TOML.
    pub(super) fn table(&self) -> Result<Spanned<DeTable<'_>>, Refusal> {
        DeTable::parse(&self.text).map_err(|error| self.not_toml(&error))
    }

    /// Refuses the keys that a schema does not know, each with the nearest that it does.
    ///
    /// # Errors
    /// Returns all of them.
    pub(super) fn refuse_unknown(
        &self,
        table: &Spanned<DeTable<'_>>,
        schema: &Value,
    ) -> Result<(), Refusal> {
        let mut problems = Vec::new();
        self.find_unknown(table.get_ref(), schema, schema, "", &mut problems);
        Refusal::unless_clean(problems, ())
    }

    pub(super) fn not_toml(&self, error: &toml::de::Error) -> Refusal {
        let place = error
            .span()
            .map_or_else(|| Place::in_file(self.name.clone()), |span| self.place(&span));
        let mut lines = error.message().lines();
        let what = lines.next().unwrap_or("not valid TOML");
        Problem::at(place, in_plain_words(what))
            .allowed(lines.collect::<Vec<_>>().join("; "))
            .hint(
                "a quantity stands in quotes with its unit (\"6 in\"), a pH and a whole number \
                 without quotes (6.5), a day without quotes (2026-09-18)",
            )
            .into()
    }

    fn bad_set(set: &str, error: &toml::de::Error) -> Refusal {
        let what = error.message().lines().next().unwrap_or("not valid TOML").to_owned();
        Problem::at(Place::in_file(format!("--set {set}")), what)
            .allowed("key=value, with the key as in the job file")
            .hint("for example --set target.ph=6.5 or --set 'grid.cell=40 ft'")
            .into()
    }

    fn find_unknown(
        &self,
        table: &DeTable<'_>,
        schema: &Value,
        root: &Value,
        path: &str,
        problems: &mut Vec<Problem>,
    ) {
        let Some(known) = properties(schema, root) else { return };
        for (key, value) in table {
            let name: &str = key.get_ref();
            let full = if path.is_empty() { name.to_owned() } else { format!("{path}.{name}") };
            match (known.get(name), value.get_ref()) {
                (Some(inner), DeValue::Table(inner_table)) => {
                    self.find_unknown(inner_table, inner, root, &full, problems);
                }
                (Some(inner), DeValue::Array(entries)) => {
                    let Some(inner) = inner_items(inner, root) else { continue };
                    for entry in entries {
                        if let DeValue::Table(entry) = entry.get_ref() {
                            self.find_unknown(entry, inner, root, &full, problems);
                        }
                    }
                }
                (Some(_), _) => {}
                (None, _) => problems.push(self.unknown(&full, name, &key.span(), known, root)),
            }
        }
    }

    fn unknown(
        &self,
        full: &str,
        name: &str,
        span: &Range<usize>,
        known: &serde_json::Map<String, Value>,
        root: &Value,
    ) -> Problem {
        let names: Vec<&str> = known.keys().map(String::as_str).collect();
        let quoted: Vec<String> = names.iter().map(|known| format!("`{known}`")).collect();
        let place = self.place(span);
        let hint = match (tables_with(name, root).first(), nearest_of(name, &names)) {
            (Some(table), _) => format!("it belongs to the table [{table}]: move it there"),
            (None, Some(near)) => format!("did you mean `{near}`?"),
            (None, None) => "leave it out".to_owned(),
        };
        Problem::at(place, format!("unknown key `{full}`")).allowed(quoted.join(", ")).hint(hint)
    }
}

/// The place that a span of `text` in the file called `name` names.
pub(super) fn place_in(text: &str, name: &str, span: Range<usize>) -> Place {
    let start = span.start.min(text.len());
    let before = &text.as_bytes()[..start];
    let line_start = before.iter().rposition(|&b| b == b'\n').map_or(0, |at| at + 1);
    let character = String::from_utf8_lossy(&before[line_start..]).chars().count() + 1;
    Place {
        line: Some(before.split(|&b| b == b'\n').count()),
        character: Some(character),
        span: Some(start..span.end.clamp(start, text.len())),
        ..Place::in_file(name)
    }
}

/// The parser's message with the names of its types in the words of a job file.
fn in_plain_words(message: &str) -> String {
    [
        ("expected f64", "expected a number without quotes"),
        ("expected u32", "expected a whole number without quotes"),
        ("expected a boolean", "expected true or false"),
        ("floating point", "number"),
        ("expected a Datetime", "expected a day"),
        ("expected struct ", "expected a table, as in a job file: "),
    ]
    .iter()
    .fold(message.to_owned(), |text, (type_name, words)| text.replace(type_name, words))
}

/// A `--set` as a line of TOML: what is not a TOML value is taken as a text.
fn set_as_toml(set: &str) -> String {
    let Some((key, value)) = set.split_once('=') else { return set.to_owned() };
    // A name in quotes may hold the sign too, so the whole is tried first.
    if [set.to_owned(), format!("x = {value}")].iter().any(|text| is_toml(text)) {
        return set.to_owned();
    }
    format!("{key}={}", toml::Value::String(value.trim().to_owned()))
}

fn is_toml(text: &str) -> bool {
    text.parse::<toml::Table>().is_ok()
}

/// Puts the keys of `added` into `table`, table by table.
fn merge<'t>(table: &mut DeTable<'t>, added: DeTable<'t>) {
    for (key, value) in added {
        match (table.get_mut(key.get_ref().as_ref()).map(Spanned::get_mut), value) {
            (Some(DeValue::Table(old)), new) if matches!(new.get_ref(), DeValue::Table(_)) => {
                if let DeValue::Table(new) = new.into_inner() {
                    merge(old, new);
                }
            }
            (_, value) => {
                table.insert(key, value);
            }
        }
    }
}

/// The tables of a job that have a key called `name`.
fn tables_with(name: &str, root: &Value) -> Vec<String> {
    let Some(tables) = properties(root, root) else { return Vec::new() };
    let has = |table: &Value| properties(table, root).is_some_and(|keys| keys.contains_key(name));
    tables.iter().filter(|(_, table)| has(table)).map(|(table, _)| table.clone()).collect()
}

/// The schema of the entries of an array.
pub(super) fn inner_items<'s>(schema: &'s Value, root: &'s Value) -> Option<&'s Value> {
    if let Some(items) = schema.get("items") {
        return Some(items);
    }
    if let Some(name) = schema.get("$ref").and_then(Value::as_str) {
        return inner_items(root.pointer(name.trim_start_matches('#'))?, root);
    }
    schema.get("anyOf")?.as_array()?.iter().find_map(|option| inner_items(option, root))
}

/// The properties of an object schema, wherever it is declared.
pub(super) fn properties<'s>(
    schema: &'s Value,
    root: &'s Value,
) -> Option<&'s serde_json::Map<String, Value>> {
    if let Some(properties) = schema.get("properties") {
        return properties.as_object();
    }
    if let Some(name) = schema.get("$ref").and_then(Value::as_str) {
        let declared = root.pointer(name.trim_start_matches('#'))?;
        return properties(declared, root);
    }
    let options = schema.get("anyOf")?.as_array()?;
    options.iter().find_map(|option| properties(option, root))
}
