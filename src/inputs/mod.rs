//! Opens and reads every file, and knows nothing of what the numbers will be used for.

mod boundary;
mod coordinates;
mod features;
mod ids;
mod job;
mod lab_join;
mod open;
mod samples;
mod table;

pub use boundary::{ReadBoundary, read_boundary};
pub use coordinates::{CoordinateSystem, RawBoundary, RawPoint, RawPolygon, RingsSorted};
pub use features::{Feature, FeatureLayer, RawGeometry, ReadFeatures, Wanted, read_features};
pub use job::{
    AreaFile, BLANK, CropAim, DatesPart, FieldPart, HaulCost, HaulPart, JOB_SCHEMA_FILE, Job,
    JobFile, JobKey, JobLayer, JobSettings, JobTarget, KeepOutPart, LabPart, LayersPart, Listed,
    MappedColumns, MaterialListFile, NamedFile, Offer, OrderPart, OverrideOrder, ReadJob,
    ReadMaterials, SamplesPart, SpreadingCost, ZonesPart, effective_job_text, job_defaults,
    job_file_schema, job_keys, job_schema, material_list_schema, read_job, read_materials,
    read_settings, toml_text,
};
pub use lab_join::{LabJoin, join_lab};
pub use open::InputFile;
pub use samples::{
    CellPolicy, Censored, LayerGaps, Missing, ReadSamples, Readings, Recognised, RecognisedColumn,
    SampleValues, Samples, places_of, read_samples, recognise, samples_from_table,
    samples_of_areas,
};
pub use table::{
    DecimalMark, JoinedColumns, Promise, ReadTable, RepeatRule, Table, TableRow, TableStyle,
    read_table,
};
