//! Every key of a job file with what there is to say about it, for whoever has to fill one in.

use serde_json::{Map, Value};

use super::schema::job_schema;

/// A key of the job file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobKey {
    /// Its path: `units`, `target.ph`; `history.[].rate` for a key of each table in a list.
    pub path: String,
    /// What it is, in sentences.
    pub meaning: String,
    /// The words that it takes, where it takes words.
    pub words: Vec<String>,
    /// A value as it may be written, in TOML.
    pub example: String,
}

impl JobKey {
    /// What it is and which words it takes, in one line.
    pub fn in_words(&self) -> String {
        if self.words.is_empty() {
            return self.meaning.clone();
        }
        let is_said = |word: &String| self.meaning.contains(&format!("`{word}`"));
        if self.words.iter().all(is_said) {
            return self.meaning.clone();
        }
        let quoted: Vec<String> = self.words.iter().map(|word| format!("`{word}`")).collect();
        format!("{} One of {}.", self.meaning, quoted.join(", "))
    }
}

/// All keys of a job file, table by table; what the job schema says is said here.
pub fn job_keys() -> Vec<JobKey> {
    let mut keys = Vec::new();
    walk(&job_schema(), "", &mut keys);
    keys
}

/// A text as TOML writes it, in one line whatever is in it.
pub fn toml_text(text: &str) -> String {
    let mut quoted = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => quoted.extend(['\\', c]),
            c if c.is_control() => quoted.extend(format!("\\u{:04X}", u32::from(c)).chars()),
            c => quoted.push(c),
        }
    }
    quoted + "\""
}

fn walk(table: &Value, path: &str, keys: &mut Vec<JobKey>) {
    let Some(properties) = table.get("properties").and_then(Value::as_object) else { return };
    for (name, schema) in properties {
        let path = if path.is_empty() { name.clone() } else { format!("{path}.{name}") };
        if schema.get("properties").is_some() {
            walk(schema, &path, keys);
        } else if schema.pointer("/items/properties").is_some() {
            walk(&schema["items"], &format!("{path}.[]"), keys);
        } else if let Some(schema) = schema.as_object() {
            keys.push(key_of(path, schema));
        }
    }
}

fn key_of(path: String, schema: &Map<String, Value>) -> JobKey {
    let text = |value: &Value| value.as_str().map(str::to_owned);
    let meaning = schema.get("description").and_then(Value::as_str).unwrap_or_default();
    let meaning = meaning.split_whitespace().collect::<Vec<_>>().join(" ");
    let forms = schema.get("anyOf").and_then(Value::as_array).into_iter().flatten();
    let words = schema.get("enum").or_else(|| forms.into_iter().find_map(|form| form.get("enum")));
    let words = words.and_then(Value::as_array);
    let words: Vec<String> = words.into_iter().flatten().filter_map(text).collect();
    let example = example_of(schema, &words);
    JobKey { path, meaning, words, example }
}

fn example_of(schema: &Map<String, Value>, words: &[String]) -> String {
    let quantity =
        |of: &Map<String, Value>| of.get("examples").and_then(|all| all[0].as_str()).map(toml_text);
    if let Some(example) = quantity(schema) {
        return example;
    }
    if let Some(word) = words.first() {
        return toml_text(word);
    }
    if schema.get("format").and_then(Value::as_str) == Some("date") {
        return "2026-09-18".to_owned();
    }
    // A key that may be left out has `null` beside its own type.
    let own = |kind: &Value| match kind {
        Value::Array(kinds) => kinds.first().and_then(Value::as_str).map(str::to_owned),
        kind => kind.as_str().map(str::to_owned),
    };
    match schema.get("type").and_then(own).as_deref() {
        Some("number") => "6.5".to_owned(),
        Some("integer") => "1".to_owned(),
        Some("boolean") => "true".to_owned(),
        Some("array") => {
            let item = schema.get("items").and_then(Value::as_object).and_then(quantity);
            format!("[{}]", item.unwrap_or_default())
        }
        Some("object") => {
            let inner = schema.get("additionalProperties").and_then(Value::as_object);
            format!("{{ \"…\" = {} }}", inner.and_then(quantity).unwrap_or_else(|| "\"…\"".into()))
        }
        _ => "\"…\"".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn any_text_comes_back_from_one_line_of_toml() {
        for text in ["plain", "a \"b\" \\ c", "two\nlines\tand a tab", "\u{7f}é'"] {
            let line = format!("{} = {}", toml_text(text), toml_text(text));
            assert!(!line.contains('\n'));
            let table: toml::Table = line.parse().unwrap();
            assert_eq!(table[text].as_str(), Some(text));
        }
    }

    #[test]
    fn every_key_says_what_it_is_and_its_example_is_a_value() {
        let keys = job_keys();
        assert!(keys.len() > 60, "{}", keys.len());
        for key in &keys {
            assert!(!key.meaning.is_empty(), "{}", key.path);
            let line = format!("key = {}", key.example);
            assert!(line.parse::<toml::Table>().is_ok(), "{}: {line}", key.path);
        }
        let placement = keys.iter().find(|key| key.path == "need.placement").unwrap();
        assert_eq!(
            placement.in_words(),
            placement.meaning,
            "its words are in the sentence already"
        );
        let example = |path| keys.iter().find(|key| key.path == path).unwrap().example.as_str();
        assert_eq!(example("target.treat_below"), "6.5");
        assert_eq!(example("field.select"), "{ \"…\" = \"…\" }");
        assert_eq!(example("spreader.rates"), "[\"2 ton/ac\"]");
        let paths: Vec<&str> = keys.iter().map(|key| key.path.as_str()).collect();
        for path in ["units", "samples.columns.ph", "history.[].rate", "field.select"] {
            assert!(paths.contains(&path), "{path}");
        }
    }
}
