//! What a field's result was made from, kept beside it, so that a later run can tell whether
//! anything changed.

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use crate::inputs::FileState;
use crate::summary::{Program, part};

/// The name and version of the shape of `run.json`.
pub const RUN_SHAPE: &str = "limewright-run-1";

/// The file in a field's folder that holds it.
pub const RUN_FILE: &str = "run.json";

part! {
    /// What a field's result was made from: the same again gives the same result.
    RunRecord {
        /// The name and version of this shape.
        schema: String,
        /// The program that made the result.
        program: Program,
        /// SHA-256 over the tables that are part of the program.
        tables_sha256: String,
        /// Whether methods were allowed whose numbers were written from memory.
        allow_unverified: bool,
        /// SHA-256 of the job as it was run, its own settings over the shared ones.
        job_effective_sha256: String,
        /// The job file.
        job: FileState,
        /// The files that the job names and those that belong to them, by their paths.
        inputs: Vec<FileState>,
    }
}

/// The JSON Schema of `run.json`, in draft 2020-12.
pub fn run_record_schema() -> Value {
    let generator = SchemaSettings::draft2020_12().for_serialize().into_generator();
    let mut schema = generator.into_root_schema_for::<RunRecord>().to_value();
    if let Some(property) = schema.pointer_mut("/properties/schema").and_then(Value::as_object_mut)
    {
        property.insert("const".to_owned(), json!(RUN_SHAPE));
    }
    schema
}
