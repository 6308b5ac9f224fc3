//! A user's own method table, read from its file.

use std::path::Path;
use std::sync::{Arc, LazyLock};

use serde::Deserialize;
use serde_json::Value;

use super::NamedFile;
use super::parse::{JobText, inner_items, properties};
use crate::agronomy::{LimeMethod, MethodTable, method_table_schema};
use crate::findings::{Drawn, Place, Problem, Refusal, nearest_of};
use crate::inputs::open::{InputFile, read_text};
use crate::units::LIMITS;

/// Reads, checks and tries out the method table in `file`, which is TOML or JSON.
///
/// # Errors
/// Refuses a file that cannot be read or has another ending, unknown keys with the nearest known
/// one, fields that make no sense, and check cells that do not come out.
pub fn read_method_file(file: &NamedFile) -> Result<(Arc<dyn LimeMethod>, InputFile), Refusal> {
    let is_json = is_json(&file.path, &file.given)?;
    let limit = LIMITS.method_file_bytes;
    let (text, input) = read_text(&file.path, &file.given, "method table", limit)?;
    let drawn = Drawn { name: file.given.clone(), text: text.clone() };
    let table = if is_json { of_json(&text) } else { of_toml(&file.given, text) };
    let method = table.and_then(|table| table.into_own_method(&file.given));
    match method {
        Ok(method) => Ok((Arc::new(method), input)),
        Err(refusal) => Err(refusal.in_file(&file.given).drawn_on(drawn)),
    }
}

fn is_json(path: &Path, given: &str) -> Result<bool, Refusal> {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("json") => Ok(true),
        Some("toml") => Ok(false),
        _ => Err(Problem::at(Place::in_file(given), "the ending of a method table says its form")
            .allowed("a file that ends in .toml or .json")
            .hint("`limewright schema method-table` prints the keys of either")
            .into()),
    }
}

/// The schema of a method table, made once: many jobs may have a table of the user's own.
static TABLE_SCHEMA: LazyLock<Value> = LazyLock::new(method_table_schema);

fn of_toml(name: &str, text: String) -> Result<MethodTable, Refusal> {
    let text = JobText::new(name, text, &[]);
    let table = text.table()?;
    text.refuse_unknown(&table, &TABLE_SCHEMA)?;
    MethodTable::deserialize(toml::de::Deserializer::from(table))
        .map_err(|error| text.not_toml(&error))
}

fn of_json(text: &str) -> Result<MethodTable, Refusal> {
    let schema: &Value = &TABLE_SCHEMA;
    let mut problems = Vec::new();
    // What is no JSON at all is for the table's own reader to say, with its line.
    if let Ok(value) = serde_json::from_str::<Value>(text) {
        find_unknown(&value, schema, schema, "", &mut problems);
    }
    Refusal::unless_clean(problems, ())?;
    MethodTable::from_json(text)
}

fn find_unknown(
    value: &Value,
    schema: &Value,
    root: &Value,
    path: &str,
    problems: &mut Vec<Problem>,
) {
    match value {
        Value::Array(entries) => {
            let Some(inner) = inner_items(schema, root) else { return };
            for (at, entry) in entries.iter().enumerate() {
                find_unknown(entry, inner, root, &format!("{path}[{at}]"), problems);
            }
        }
        Value::Object(fields) => {
            let Some(known) = properties(schema, root) else { return };
            for (name, value) in fields {
                let full = if path.is_empty() { name.clone() } else { format!("{path}.{name}") };
                match known.get(name) {
                    Some(inner) => find_unknown(value, inner, root, &full, problems),
                    None => problems.push(unknown(&full, name, known)),
                }
            }
        }
        _ => {}
    }
}

fn unknown(full: &str, name: &str, known: &serde_json::Map<String, Value>) -> Problem {
    let names: Vec<&str> = known.keys().map(String::as_str).collect();
    let quoted: Vec<String> = names.iter().map(|known| format!("`{known}`")).collect();
    let hint = nearest_of(name, &names)
        .map_or_else(|| "leave it out".to_owned(), |near| format!("did you mean `{near}`?"));
    Problem::at(Place::default(), format!("unknown key `{full}`"))
        .allowed(quoted.join(", "))
        .hint(hint)
}

#[cfg(test)]
mod tests {
    use super::*;

    const IOWA: &str = include_str!("../../agronomy/tables/iowa2002_smp.json");

    #[test]
    fn a_table_is_the_same_in_either_form() {
        let json = of_json(IOWA).unwrap();
        let text = toml::to_string(&json).unwrap();
        assert_eq!(of_toml("my.toml", text).unwrap(), json);
    }

    #[test]
    fn unknown_keys_get_the_nearest_in_either_form() {
        let odd =
            IOWA.replace("\"buffer\"", "\"bufer\"").replace("\"reading\": 6.0", "\"readin\": 6.0");
        let said = of_json(&odd).unwrap_err().to_string();
        assert!(said.contains("did you mean `buffer`?"), "{said}");
        assert!(said.contains("unknown key `rows[1].readin`"), "{said}");
        let said = of_toml("my.toml", "titl = \"x\"\n".to_owned()).unwrap_err().to_string();
        assert!(said.contains("my.toml") && said.contains("did you mean `title`?"), "{said}");
        assert!(of_json("{").unwrap_err().to_string().contains("line 1"));
    }
}
