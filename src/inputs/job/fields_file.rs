//! The list of the jobs of many fields, with the settings that they share.

use std::path::Path;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::allotment_file::{AllotmentTable, SupplierTable};
use super::allotment_part::AllotmentPart;
use super::blank::BLANK;
use super::calendar_file::CalendarTable;
use super::check::Checker;
use super::file::{JobFile, job_file_schema, job_table};
use super::parse::JobText;
use super::schema::settings_schema;
use super::written::At;
use crate::findings::{Drawn, Place, Problem, Refusal};
use crate::inputs::open::{InputFile, read_text};
use crate::units::LIMITS;

/// The file that the head of a written list names as its schema.
pub const FIELDS_SCHEMA_FILE: &str = "fields.schema.json";

/// The key with the list.
const JOBS: &str = "jobs";
const JOBS_ARE: &str = "The job files of the fields: paths from the folder of this file, or patterns \
                        such as `jobs/*.toml`.";

/// A list of jobs and what they share, as its file has it.
#[derive(Clone, Debug, PartialEq)]
pub struct FieldsFile {
    /// The job files: paths from the folder of the list, or patterns such as `jobs/*.toml`.
    pub jobs: Vec<At<String>>,
    /// Settings that hold for every job that has none of its own; paths in them are from the folder
    /// of the list. What is still a blank is no setting, here or in a job.
    pub shared: JobFile,
    /// What holds for all fields together.
    pub together: TogetherTables,
    /// Which fields get lime first where there is not enough, checked.
    pub allotment: Option<AllotmentPart>,
}

job_table! {
    /// The tables of a list that are of no single field.
    TogetherTables {
        /// When and with what the fields are spread.
        calendar: At<CalendarTable>,
        /// Which fields get lime first where there is not enough.
        allotment: At<AllotmentTable>,
        /// Who may supply the fields.
        supplier: At<Vec<At<SupplierTable>>>,
    }
}

/// Reads a list of jobs; the jobs are left alone, and what they share is checked with each of them.
///
/// # Errors
/// Refuses a file that cannot be read, text that is not TOML, unknown keys, values of the wrong
/// kind, and a list that is missing or empty.
pub fn read_fields_file(path: &Path) -> Result<(FieldsFile, InputFile), Refusal> {
    let name = path.display().to_string();
    let (text, file) = read_text(path, &name, "fields", LIMITS.job_file_bytes)?;
    let drawn = Drawn { name: name.clone(), text: text.clone() };
    let fields = parse(&JobText::new(&name, text, &[]));
    fields.map(|fields| (fields, file)).map_err(|refusal| refusal.drawn_on(drawn))
}

/// The JSON Schema of a list of jobs, in draft 2020-12.
pub fn fields_schema() -> Value {
    with_jobs(settings_schema())
}

fn with_jobs(mut schema: Value) -> Value {
    schema["properties"][JOBS] = json!({
        "description": JOBS_ARE,
        "type": "array",
        "items": { "type": "string" },
        "minItems": 1,
    });
    let together = schemars::schema_for!(TogetherTables).to_value();
    for part in ["properties", "$defs"] {
        if let Some(Value::Object(more)) = together.get(part)
            && let Some(all) = schema[part].as_object_mut()
        {
            all.extend(more.clone());
        }
    }
    schema["required"] = json!([JOBS]);
    schema["description"] = json!(
        "The jobs of many fields, and settings that hold for each job that has none of its own."
    );
    schema
}

fn parse(text: &JobText) -> Result<FieldsFile, Refusal> {
    let mut table = text.table()?;
    text.refuse_unknown(&table, &with_jobs(job_file_schema()))?;
    let jobs = jobs_of(text, table.get_mut().remove(JOBS))?;
    leave_out_blanks(table.get_mut());
    let together = together_of(text, &mut table)?;
    let mut checker = Checker::of(text, Path::new(""));
    let allotment = together.allotment.as_ref().and_then(|table| checker.allotment(table));
    let allotment = Refusal::unless_clean(checker.into_problems(), allotment)?;
    let shared = JobFile::deserialize(toml::de::Deserializer::from(table))
        .map_err(|error| text.not_toml(&error))?;
    Ok(FieldsFile { jobs, shared, together, allotment })
}

/// Takes the tables out that are of no single field.
fn together_of(
    text: &JobText,
    table: &mut Spanned<DeTable<'_>>,
) -> Result<TogetherTables, Refusal> {
    let span = table.span();
    let mut own = DeTable::new();
    for key in ["calendar", "allotment", "supplier"] {
        if let Some((key, value)) = table.get_mut().remove_entry(key) {
            own.insert(key, value);
        }
    }
    TogetherTables::deserialize(toml::de::Deserializer::from(Spanned::new(span, own)))
        .map_err(|error| text.not_toml(&error))
}

fn jobs_of(text: &JobText, jobs: Option<Spanned<DeValue<'_>>>) -> Result<Vec<At<String>>, Refusal> {
    let refuse = |place: Place, what: &str| {
        Problem::at(place, what)
            .allowed("a list of job files or patterns, in quotes")
            .hint("write it as in jobs = [\"north.toml\", \"south.toml\"]")
    };
    let Some(jobs) = jobs else {
        let place = Place::in_file(text.name.clone());
        return Err(refuse(place, "the key `jobs` is missing").into());
    };
    let span = jobs.span();
    let DeValue::Array(entries) = jobs.into_inner() else {
        return Err(refuse(text.place(&span), "`jobs` is no list").into());
    };
    if entries.is_empty() {
        return Err(refuse(text.place(&span), "`jobs` is an empty list").into());
    }
    let mut problems = Vec::new();
    let mut list = Vec::new();
    for entry in entries {
        let span = entry.span();
        match entry.into_inner() {
            DeValue::String(path) if !path.trim().is_empty() => {
                list.push(At { value: path.into_owned(), span });
            }
            _ => problems.push(refuse(text.place(&span), "an entry of `jobs` names no file")),
        }
    }
    Refusal::unless_clean(problems, list)
}

/// Takes out the keys that nobody has filled in.
fn leave_out_blanks(table: &mut DeTable<'_>) {
    let mut blanks = Vec::new();
    for (key, value) in table.iter_mut() {
        match value.get_mut() {
            DeValue::String(text) if text.trim() == BLANK => {
                blanks.push(key.get_ref().to_string());
            }
            DeValue::Table(inner) => leave_out_blanks(inner),
            _ => {}
        }
    }
    for key in blanks {
        table.remove(key.as_str());
    }
}

#[cfg(test)]
pub(super) fn parse_fields(name: &str, text: String) -> Result<FieldsFile, Refusal> {
    parse(&JobText::new(name, text, &[]))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<FieldsFile, Refusal> {
        parse(&JobText::new("fields.toml", text.to_owned(), &[]))
    }

    #[test]
    fn the_list_is_read_with_what_the_jobs_share_and_a_blank_is_no_setting() {
        let text = "jobs = [\"a.toml\", \"more/*.toml\"]\nunits = \"?\"\n[target]\nph = 6.5\n\
                    [need]\nmethod = \"?\"\n";
        let fields = read(text).unwrap();
        let jobs: Vec<&str> = fields.jobs.iter().map(|job| job.value.as_str()).collect();
        assert_eq!(jobs, ["a.toml", "more/*.toml"]);
        assert!(fields.shared.units.is_none());
        assert!(fields.shared.need.unwrap().value.method.is_none());
        assert_eq!(fields.shared.target.unwrap().value.ph.unwrap().value, 6.5);
    }

    #[test]
    fn what_is_no_list_of_jobs_is_refused_with_its_line() {
        for (text, part) in [
            ("units = \"us\"", "the key `jobs` is missing"),
            ("jobs = \"a.toml\"", "line 1, character 8: `jobs` is no list"),
            ("jobs = []", "an empty list"),
            ("jobs = [\"a.toml\", 3]", "an entry of `jobs` names no file"),
            ("jbs = []\n", "did you mean `jobs`?"),
            ("jobs = [\"a.toml\"]\n[target]\nphh = 6", "unknown key `target.phh`"),
            ("jobs = [\"a.toml\"]\n[target]\nph = \"6\"", "line 3"),
        ] {
            let said = read(text).unwrap_err().to_string();
            assert!(said.contains(part), "{text}: {said}");
        }
    }
}
