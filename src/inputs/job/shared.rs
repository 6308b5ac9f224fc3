//! Settings that many jobs share, laid under one of them.

use std::ops::Range;
use std::path::{Path, PathBuf};

use serde_json::Value;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::alternatives::leave_out_others;
use super::blank::{BLANK, leave_out_blanks};
use super::file_keys::lead_to_files;
use super::parse::{place_in, properties};
use crate::findings::{Drawn, Place, Problem, Refusal};
use crate::inputs::path_from;

/// Settings that many jobs share: the text of the list that they stand in, and where it lies.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SharedSettings {
    name: String,
    text: String,
    folder: PathBuf,
}

impl SharedSettings {
    /// The settings in `text`, which was read from the file `path` and is well formed.
    pub(super) fn new(path: &Path, name: &str, text: String) -> Self {
        let folder = path.parent().unwrap_or(Path::new("")).to_owned();
        Self { name: name.to_owned(), text, folder }
    }

    /// The text, for problems that point into it.
    pub(in crate::inputs) fn drawn(&self) -> Drawn {
        Drawn { name: self.name.clone(), text: self.text.clone() }
    }

    /// The place that a span of the list names.
    pub(in crate::inputs) fn place(&self, span: &Range<usize>) -> Place {
        place_in(&self.text, &self.name, span.clone())
    }

    /// The same as they are laid under a job in `job_folder`, from where the paths in them are
    /// made to lead.
    ///
    /// # Errors
    /// Refuses where the way from there cannot be followed.
    pub(super) fn under(&self, job_folder: &Path) -> Result<Laid, Refusal> {
        let here = |path: &Path| {
            if path.as_os_str().is_empty() { Path::new(".").to_owned() } else { path.to_owned() }
        };
        let way = path_from(&here(job_folder), &here(&self.folder)).map_err(|error| {
            let what = format!("the way from a job to its list cannot be followed: {error}");
            Problem::at(Place::in_file(&self.name), what)
                .hint("check that the folders of the list and of the job can be read")
        })?;
        Ok(Laid { name: self.name.clone(), text: self.text.clone(), way })
    }
}

/// Shared settings as they are laid under one job.
#[derive(Debug)]
pub(super) struct Laid {
    name: String,
    text: String,
    /// From the folder of the job to that of the list; empty where they are one.
    way: String,
}

impl Laid {
    /// The text behind `padding` blanks, so that places in it are told from those in a job.
    pub(super) fn padded(&self, padding: usize) -> String {
        " ".repeat(padding) + &self.text
    }

    /// The place that a span of the text names.
    pub(super) fn place(&self, span: Range<usize>) -> Place {
        place_in(&self.text, &self.name, span)
    }

    /// Lays what is `shared` under the keys of a job: what the job has of its own stays.
    ///
    /// `schema` is that of a job. Tables of settings merge key by key; lists, values, and tables
    /// that are one value (a sieve analysis, a map file with its layer) do not.
    pub(super) fn lay_under<'t>(
        &self,
        job: &mut DeTable<'t>,
        mut shared: DeTable<'t>,
        schema: &Value,
    ) {
        if let Some(known) = properties(schema, schema) {
            // The list has keys that are of no job.
            let others: Vec<String> = shared
                .keys()
                .map(|key| key.get_ref().to_string())
                .filter(|key| !known.contains_key(key))
                .collect();
            for key in others {
                shared.remove(key.as_str());
            }
        }
        leave_out_blanks(&mut shared);
        leave_out_others(&mut shared, job);
        lead_to_files(&mut shared, &self.way);
        lay(job, shared, schema, schema);
    }
}

fn lay<'t>(job: &mut DeTable<'t>, shared: DeTable<'t>, schema: &Value, root: &Value) {
    let known = properties(schema, root);
    for (key, value) in shared {
        let name: &str = key.get_ref();
        let inner = known.and_then(|known| known.get(name)).filter(|of| merges(of, root));
        match (job.get_mut(name).map(Spanned::get_mut), inner) {
            (Some(DeValue::Table(own)), Some(schema)) => {
                if let DeValue::Table(shared) = value.into_inner() {
                    lay(own, shared, schema, root);
                }
            }
            (Some(own), _) if !is_blank(own) => {}
            (_, _) => {
                job.remove(name);
                job.insert(key, value);
            }
        }
    }
}

/// Whether a value is one that nobody has filled in.
pub(super) fn is_blank(value: &DeValue<'_>) -> bool {
    matches!(value, DeValue::String(text) if text.trim() == BLANK)
}

/// Whether the schema of a key is that of a table of settings, and nothing else may stand there.
fn merges(schema: &Value, root: &Value) -> bool {
    if let Some(name) = schema.get("$ref").and_then(Value::as_str) {
        return root.pointer(name.trim_start_matches('#')).is_some_and(|of| merges(of, root));
    }
    let Some(options) = schema.get("anyOf").and_then(Value::as_array) else {
        return schema.get("properties").is_some();
    };
    let mut options = options.iter().filter(|option| option["type"] != "null");
    matches!((options.next(), options.next()), (Some(only), None) if merges(only, root))
}

#[cfg(test)]
mod tests {
    use super::super::file::job_file_schema;
    use super::super::parse::JobText;
    use super::*;

    fn laid(job: &str, shared: &str, way: &str) -> toml::Table {
        let laid = Laid { name: "fields.toml".into(), text: shared.into(), way: way.into() };
        let text = JobText::new("job.toml", job.to_owned(), &[]).with_shared(laid);
        toml::Table::try_from(text.parse().unwrap()).unwrap()
    }

    #[test]
    fn a_jobs_own_settings_win_key_by_key_and_a_blank_is_none() {
        let shared = "jobs = [\"x\"]\nunits = \"us\"\n[target]\nph = 6.5\ntreat_below = 6.0\n\
                      [need]\nmethod = \"smp-iowa\"\nplacement = \"?\"\n";
        let job = "units = \"?\"\n[target]\nph = 6.8\n[need]\nlimed_depth = \"6 in\"\n";
        let table = laid(job, shared, "");
        assert_eq!(table["units"].as_str(), Some("us"));
        assert_eq!(table["target"]["ph"].as_float(), Some(6.8));
        assert_eq!(table["target"]["treat_below"].as_float(), Some(6.0));
        assert_eq!(table["need"]["method"].as_str(), Some("smp-iowa"));
        assert!(table["need"].get("placement").is_none());
        assert!(table.get("jobs").is_none());
    }

    #[test]
    fn what_is_one_value_is_not_mixed_with_the_shared_one() {
        let shared = "[field]\nselect = { A = \"1\" }\nkeep_out = { file = \"a.gpkg\", layer = \"wells\" }\n\
                      hazards = [\"a\", \"b\"]\n[material.fineness]\nscheme = \"iowa\"\n\
                      passing = { \"4\" = \"90 %\", \"8\" = \"80 %\" }\n";
        let job = "[field]\nselect = { B = \"2\" }\nkeep_out = { file = \"b.gpkg\" }\n\
                   hazards = [\"c\"]\n[material.fineness]\npassing = { \"60\" = \"50 %\" }\n";
        let table = laid(job, shared, "..");
        assert_eq!(table["field"]["select"].as_table().unwrap().len(), 1);
        assert!(table["field"]["keep_out"].get("layer").is_none());
        assert_eq!(table["field"]["hazards"].as_array().unwrap().len(), 1);
        let fineness = &table["material"]["fineness"];
        assert_eq!(fineness["passing"].as_table().unwrap().len(), 1);
        assert_eq!(fineness["scheme"].as_str(), Some("iowa"));
    }

    #[test]
    fn only_plain_tables_merge() {
        let schema = job_file_schema();
        let of = |path: &[&str]| {
            path.iter().fold(schema.clone(), |at, key| {
                properties(&at, &schema).unwrap().get(*key).unwrap().clone()
            })
        };
        for (path, expected) in [
            (&["target"][..], true),
            (&["samples", "columns"], true),
            (&["material", "fineness"], true),
            (&["material", "fineness", "passing"], false),
            (&["samples", "zones"], false),
            (&["field", "keep_out"], false),
            (&["field", "select"], false),
            (&["override"], false),
        ] {
            assert_eq!(merges(&of(path), &schema), expected, "{path:?}");
        }
    }
}
