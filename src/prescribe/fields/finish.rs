//! What is made of all fields together, when the last of them is done.

use std::path::Path;

use crate::error::Error;
use crate::inputs::FieldsFile;
use crate::outputs::fields_json;
use crate::roster::{Fields, FieldsAsk, FieldsResult};
use crate::store::{Output, store_beside};
use crate::units::UnitSystem;

/// The files that are of all fields together, by which a file of the user's in their way is known
/// before any field runs.
pub(super) const TOGETHER: [&str; 1] = ["fields.json"];

/// Works out what a set of fields comes to; `list` is what was asked of them.
pub(super) fn together(fields: &Fields, list: &FieldsFile) -> FieldsResult {
    FieldsResult::of(fields, &FieldsAsk { units: units(fields, list) })
}

/// Writes the files of all fields together into `out`.
///
/// # Errors
/// Returns why they stand as they were.
pub(super) fn finish(result: &FieldsResult, out: &Path) -> Result<(), Error> {
    let json = fields_json(result).map_err(|error| Error::Fault(error.to_string()))?;
    let files = TOGETHER.map(|name| Output::new(name, |out| out.write_all(json.as_bytes())));
    Ok(store_beside(out, &files)?)
}

/// The units of what is of more than one field: those of all fields, else those that the list
/// states for them, else those of the first field.
fn units(fields: &Fields, list: &FieldsFile) -> UnitSystem {
    let named = |words: &str| {
        [UnitSystem::Us, UnitSystem::Metric]
            .into_iter()
            .find(|system| system.words().eq_ignore_ascii_case(words.trim()))
    };
    let first = fields.rows().next().and_then(|row| named(&row.units));
    let agree = fields.rows().all(|row| named(&row.units) == first);
    let stated = list.shared.units.as_ref().and_then(|units| named(&units.value));
    if agree { first.or(stated) } else { stated.or(first) }.unwrap_or(UnitSystem::Us)
}
