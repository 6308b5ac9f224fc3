//! Opens and reads every file, and knows nothing of what the numbers will be used for.

mod boundary;
mod coordinates;
mod features;
mod job;
mod open;
mod samples;
mod table;

pub use boundary::{ReadBoundary, read_boundary};
pub use coordinates::{CoordinateSystem, RawBoundary, RawPoint, RawPolygon, RingsSorted};
pub use features::{Feature, FeatureLayer, RawGeometry, ReadFeatures, Wanted, read_features};
pub use job::{
    DatesPart, FieldPart, HaulCost, HaulPart, Job, JobFile, MappedColumns, NamedFile, OrderPart,
    OverrideOrder, SamplesPart, SpreadingCost, effective_job_text, job_file_schema, job_schema,
    read_job,
};
pub use open::InputFile;
pub use samples::{ReadSamples, Samples, read_samples};
pub use table::{Table, TableRow};
