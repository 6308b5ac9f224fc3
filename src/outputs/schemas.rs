//! The JSON Schemas of all files that the program reads or writes as JSON or TOML, by name.

use serde_json::Value;

use super::rate_map_schema::rate_map_schema;
use crate::agronomy::method_table_schema;
use crate::findings::{Place, Problem, Refusal, nearest_of};
use crate::inputs::{fields_schema, job_schema, material_list_schema};
use crate::roster::{fields_result_schema, run_record_schema};
use crate::summary::{material_comparison_schema, method_advice_schema, summary_schema};
use crate::units::UnitSystem;
use crate::verify::readings_schema;

/// A kind of file that has a schema.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SchemaOf {
    /// A job file.
    Job,
    /// A list of jobs.
    Fields,
    /// A rate map in US units.
    RateMapUs,
    /// A rate map in metric units.
    RateMapMetric,
    /// A summary.
    Summary,
    /// Many fields.
    FieldsResult,
    /// What a field of many was made from.
    RunRecord,
    /// A list of materials.
    MaterialList,
    /// A comparison of materials.
    MaterialComparison,
    /// What is told of the methods on a job.
    MethodAdvice,
    /// A method table.
    MethodTable,
    /// Finished maps that were read.
    Readings,
}

impl SchemaOf {
    /// All of them.
    pub const ALL: [Self; 12] = [
        Self::Job,
        Self::Fields,
        Self::RateMapUs,
        Self::RateMapMetric,
        Self::Summary,
        Self::FieldsResult,
        Self::RunRecord,
        Self::MaterialList,
        Self::MaterialComparison,
        Self::MethodAdvice,
        Self::MethodTable,
        Self::Readings,
    ];

    /// Its name on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Self::Job => "job",
            Self::Fields => "fields",
            Self::RateMapUs => "rate-map-us",
            Self::RateMapMetric => "rate-map-metric",
            Self::Summary => "summary",
            Self::FieldsResult => "fields-result",
            Self::RunRecord => "run",
            Self::MaterialList => "material-list",
            Self::MaterialComparison => "material-comparison",
            Self::MethodAdvice => "method-advice",
            Self::MethodTable => "method-table",
            Self::Readings => "readings",
        }
    }

    /// What it describes, in a few words.
    pub fn describes(self) -> &'static str {
        match self {
            Self::Job => "a job file: job.toml, job.effective.toml",
            Self::Fields => "the list of the jobs of many fields: fields.toml",
            Self::RateMapUs => "rate_map.geojson in acres and short tons",
            Self::RateMapMetric => "rate_map.geojson in hectares and tonnes",
            Self::Summary => "summary.json",
            Self::FieldsResult => "fields.json",
            Self::RunRecord => "run.json, which `fields` keeps beside each result",
            Self::MaterialList => "a list of materials: materials.toml",
            Self::MaterialComparison => "what `materials JOB.toml --json` prints",
            Self::MethodAdvice => "what `methods --job JOB.toml --json` prints",
            Self::MethodTable => "a table of a lime-need method",
            Self::Readings => "what `read PATH --json` prints",
        }
    }

    /// The one called `name`.
    ///
    /// # Errors
    /// Refuses a name that none has, with the nearest one and all of them.
    pub fn named(name: &str) -> Result<Self, Refusal> {
        if let Some(found) = Self::ALL.into_iter().find(|schema| schema.name() == name) {
            return Ok(found);
        }
        let names = Self::ALL.map(Self::name);
        let hint = nearest_of(name, &names).map_or_else(
            || "`limewright schema` lists them".to_owned(),
            |near| format!("did you mean `{near}`?"),
        );
        let what = format!("there is no schema `{name}`");
        Err(Problem::at(Place::default(), what).allowed(names.join(", ")).hint(hint).into())
    }

    /// The schema, in draft 2020-12.
    pub fn value(self) -> Value {
        match self {
            Self::Job => published(job_schema(), "Job file"),
            Self::Fields => published(fields_schema(), "List of jobs"),
            Self::RateMapUs => rate_map_schema(UnitSystem::Us),
            Self::RateMapMetric => rate_map_schema(UnitSystem::Metric),
            Self::Summary => published(summary_schema(), "Summary of one field"),
            Self::FieldsResult => published(fields_result_schema(), "Many fields"),
            Self::RunRecord => published(run_record_schema(), "What a field was made from"),
            Self::MaterialList => published(material_list_schema(), "List of materials"),
            Self::MaterialComparison => {
                published(material_comparison_schema(), "Materials compared on one field")
            }
            Self::MethodAdvice => published(method_advice_schema(), "Methods on one job"),
            Self::MethodTable => method_table_schema(),
            Self::Readings => published(readings_schema(), "Finished maps that were read"),
        }
    }

    /// The schema as text, indented, with a line feed at its end.
    pub fn text(self) -> String {
        format!("{:#}\n", self.value())
    }
}

/// The names of all schemas and what each describes, one a line.
pub fn schemas_text() -> String {
    SchemaOf::ALL.iter().fold(String::new(), |text, schema| {
        text + &format!("{:<20} {}\n", schema.name(), schema.describes())
    })
}

fn published(mut schema: Value, title: &str) -> Value {
    leave_out_null(&mut schema);
    schema["title"] = Value::String(title.to_owned());
    schema
}

/// What is missing is left out of a file and never written as null, which TOML does not even
/// have; the types alone cannot say so.
fn leave_out_null(schema: &mut Value) {
    match schema {
        Value::Object(map) => {
            map.values_mut().for_each(leave_out_null);
            if let Some(Value::Array(types)) = map.get_mut("type") {
                types.retain(|name| name != "null");
                if let [only] = types.as_slice() {
                    let only = only.clone();
                    map.insert("type".to_owned(), only);
                }
            }
            if let Some(Value::Array(options)) = map.get_mut("anyOf") {
                options.retain(|option| option["type"] != "null");
                if let [Value::Object(only)] = options.as_slice() {
                    let only = only.clone();
                    map.remove("anyOf");
                    for (keyword, value) in only {
                        map.entry(keyword).or_insert(value);
                    }
                }
            }
        }
        Value::Array(list) => list.iter_mut().for_each(leave_out_null),
        _ => {}
    }
}

#[cfg(test)]
mod tests;
