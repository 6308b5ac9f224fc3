//! Writes finished results. No agronomy here, and no arithmetic beyond formatting.

mod advice_text;
mod applications_text;
mod area_map;
mod areas_text;
mod crops_text;
mod csv_text;
mod driver_page;
mod explanation_text;
mod exports_text;
mod fields_cells;
mod fields_csv;
mod fields_page;
mod fields_text;
mod fields_totals_text;
mod flat_text;
mod job_draft;
mod kinds_text;
mod load;
mod machine_text;
mod map_svg;
mod material_text;
mod materials_text;
mod method_text;
mod methods_text;
mod number;
mod order_csv;
mod order_lines_csv;
mod order_page;
mod order_sheet_text;
mod order_text;
mod plan_csv;
mod plan_page;
mod plan_text;
mod rate_map;
mod rate_map_keys;
mod rate_map_schema;
mod reaction_text;
mod readings_text;
mod risk_text;
mod schemas;
mod start_fields_text;
mod start_text;
mod summary_text;
mod suppliers_text;
mod upkeep_text;
mod work_text;

pub use advice_text::{advice_json, advice_text};
pub use area_map::{MapArea, write_area_map};
pub use crops_text::{crops_json, crops_text};
pub use driver_page::{DriverNotes, driver_page};
pub use explanation_text::explanation_text;
pub use fields_csv::fields_csv;
pub use fields_page::{FieldsNotes, fields_page};
pub use fields_text::fields_text;
pub use job_draft::{DraftLine, DraftTable, DraftValue, JobDraft, job_draft_text};
pub use kinds_text::{kinds_json, kinds_text};
pub use load::{
    ElsewhereRates, ExportFile, GridSize, LoadArea, LoadGrid, LoadLabel, LoadMap, PolygonE7,
    RingE7, export_files, files_beside, iso_rates,
};
pub use map_svg::{Picture, RateOutlines, map_svg};
pub use materials_text::{comparison_json, comparison_text};
pub use methods_text::{method_text, methods_json, methods_text};
pub use order_csv::order_csv;
pub use order_lines_csv::order_lines_csv;
pub use order_page::order_page;
pub use order_sheet_text::order_sheet_text;
pub use plan_csv::plan_csv;
pub use plan_page::plan_page;
pub use plan_text::plan_text;
pub use rate_map::{
    LayerNames, MapCell, MapColumns, MapLayer, MapUnits, MapValues, TableLimit, value_name,
    write_rate_map,
};
pub use readings_text::{readings_json, readings_text};
pub use schemas::{SchemaOf, schemas_text};
pub use start_fields_text::{
    StartedFields, StraySample, UnclaimedSamples, start_fields_json, start_fields_text,
};
pub use start_text::{Started, StartedFinding, start_json, start_text};
pub use summary_text::summary_text;
pub use suppliers_text::suppliers_text;

use std::io::{self, BufWriter, Write};

use crate::roster::FieldsResult;
use crate::summary::Summary;

/// The summary as JSON, indented, with a line feed at its end.
///
/// # Errors
/// Returns the serialiser's error; a summary has none, so it is a fault of the program.
pub fn summary_json(summary: &Summary) -> Result<String, serde_json::Error> {
    let mut text = serde_json::to_string_pretty(summary)?;
    text.push('\n');
    Ok(text)
}

/// Writes the result of many fields as JSON, indented, with a line feed at its end; of thousands
/// of fields no text is held.
///
/// # Errors
/// Returns why `out` could not be written.
pub fn write_fields_json(result: &FieldsResult, out: &mut dyn Write) -> io::Result<()> {
    let mut out = BufWriter::new(out);
    serde_json::to_writer_pretty(&mut out, result)?;
    out.write_all(b"\n")?;
    out.flush()
}
