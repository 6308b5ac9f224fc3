//! Opens and reads every file, and knows nothing of what the numbers will be used for.

mod boundary;
mod coordinates;
pub mod exports;
mod features;
mod finished;
mod ids;
mod job;
mod lab_join;
mod listed_jobs;
mod matching;
mod open;
mod samples;
mod states;
mod table;
mod text_file;
mod way;
mod xml_text;

pub use boundary::{ReadBoundary, boundary_of, read_boundary};
pub use coordinates::{CoordinateSystem, RawBoundary, RawPoint, RawPolygon, RingsSorted};
pub use features::{
    Feature, FeatureLayer, RawGeometry, ReadFeatures, Wanted, column_named, read_features,
};
pub use finished::{FAILED_FOLDER, FinishedFile, find_finished};
pub use ids::damage_in_words;
pub use job::{
    AllotmentPart, AllotmentTable, AllottedMaterialTable, AnyOf, AreaFile, Attributes, BLANK,
    ByZonePart, CalendarPart, CalendarTable, CropAim, DatesPart, EFFECTIVE_JOB_FILE, ExportFormat,
    ExportPart, FIELDS_SCHEMA_FILE, FieldPart, FieldsFile, GoingOver, HaulCost, HaulPart,
    JOB_SCHEMA_FILE, Job, JobFile, JobKey, JobLayer, JobSettings, JobSource, JobTarget,
    KeepOutPart, LabCheckPart, LabPart, LayersPart, Limits, Listed, MappedColumns,
    MaterialListFile, MeterLogColumn, MeterLogPart, NamedFile, NamedInPlan, OfMaterial, Offer,
    OrderPart, OverrideOrder, PlanAmounts, RateAreasPart, RateChoice, ReadJob, ReadMaterials,
    RecommendationPart, Repeatability, ResponseBand, ResponseBandTable, ResponsePart,
    ResponseTable, RiskAsk, SamplesPart, SharedSettings, SitePart, SpreadingCost, SupplierPart,
    SupplierTable, SupplierTrip, SupplyPart, SupplyTable, Take, TemperatureUnit, TogetherTables,
    YearLimits, ZonesPart, check_sets, effective_job_text, fields_schema, job_defaults,
    job_file_schema, job_keys, job_schema, material_list_schema, named_files, outside_within,
    read_fields_file, read_job, read_materials, read_method_file, read_settings, toml_text,
};
pub use lab_join::{LabJoin, join_lab};
pub use listed_jobs::{ListedJob, ListedJobs, list_jobs};
pub use matching::{Differ, NameClash, NameMatches, match_names};
pub use open::InputFile;
pub use samples::{
    CellPolicy, Censored, JoinHow, Joined, LabPairs, LayerGaps, MeterLog, Missing, Moment,
    ReadSamples, Readings, Recognised, RecognisedColumn, SampleTable, SampleValues, Samples,
    join_results, places_of, read_lab_pairs, read_meter_log, read_sample_table, read_samples,
    read_zone_results, recognise, samples_from_table, samples_of_areas, table_of_areas,
};
pub use states::{FileState, FileStates};
pub use table::{
    DecimalMark, JoinedColumns, Promise, ReadTable, RepeatRule, Table, TableRow, TableStyle,
    read_table,
};
pub use text_file::{read_summary_text, text_if_there};
pub use way::path_from;
