//! What a job says of its samples: their files, columns, depths, media and zones.

use std::collections::BTreeMap;

use super::{AreaFile, MeterLogPart, NamedFile, Repeatability};
use crate::agronomy::{AlExtract, Buffer, CapacityReading, Correction, ValueUnits};
use crate::inputs::{CellPolicy, CoordinateSystem, Missing, TableStyle, Wanted};
use crate::units::{DepthInterval, Length, PhMedium, Share, SoilAttribute, SoilValue};

/// The samples of a job.
#[derive(Clone, Debug)]
pub struct SamplesPart {
    /// Their file.
    pub file: NamedFile,
    /// What is wanted of it, where it is a map file.
    pub wanted: Wanted,
    /// The column that names them, where the job says.
    pub key: Option<String>,
    /// The laboratory's results, where they stand in a file of their own.
    pub lab: Option<LabPart>,
    /// A field meter's readings beside a laboratory's, where there are some.
    pub lab_check: Option<LabCheckPart>,
    /// The log of a field meter, where there is one.
    pub meter_log: Option<MeterLogPart>,
    /// Which column holds what, as the job says.
    pub columns: MappedColumns,
    /// The system of the coordinates that are read.
    pub system: CoordinateSystem,
    /// The depth that they were taken from, from the top of the first layer to the end of the last.
    pub sampled_depth: DepthInterval,
    /// The layers, where there are several at each point.
    pub layers: Option<LayersPart>,
    /// The medium that their pH was read in, or is converted to where a column says for each row
    /// what it was read in.
    pub ph_medium: PhMedium,
    /// Whether a column says it for each row.
    pub ph_by_row: bool,
    /// The buffer that the lab ran.
    pub buffer: Option<Buffer>,
    /// The pH, as measured, above which the lab ran no buffer.
    pub buffer_blank_above: Option<f64>,
    /// How well the lab repeats its readings.
    pub repeatability: Repeatability,
    /// The extract by which aluminium was read.
    pub al_extract: Option<AlExtract>,
    /// After what time the lime buffer capacity was read.
    pub capacity_read: Option<CapacityReading>,
    /// The bulk density of the soil, kg/dm3, where the job states it.
    pub bulk_density: Option<f64>,
    /// The units of what else the samples hold, where the job states them.
    pub units: ValueUnits,
    /// How their table is to be read.
    pub style: TableStyle,
    /// What is said of cells without a reading.
    pub policy: CellPolicy,
    /// What is read of them.
    pub attributes: Attributes,
    /// How far outside the boundary one may lie and still be used.
    pub outside_within: Length,
    /// The zones that the samples are composites of, or that give what the samples at points do
    /// not.
    pub zones: Option<ZonesPart>,
}

impl SamplesPart {
    /// Whether each sample is a composite of a zone, which it names in place of a position.
    pub fn are_composites(&self) -> bool {
        self.stand_for_zones() && self.columns.zone.is_none()
    }

    /// Whether the map has one value a zone throughout, from composites or from points of zones.
    pub fn stand_for_zones(&self) -> bool {
        self.zones.as_ref().is_some_and(|zones| zones.gives.is_none())
    }

    /// What the zones give beside the samples at points, where they give something.
    pub fn given_by_zone(&self) -> Option<&ByZonePart> {
        self.zones.as_ref()?.gives.as_ref()
    }
}

/// A laboratory's results in a file of their own.
#[derive(Clone, Debug)]
pub struct LabPart {
    /// Their file.
    pub file: NamedFile,
    /// The column that names the samples, where the job says.
    pub key: Option<String>,
    /// How their table is to be read.
    pub style: TableStyle,
}

/// A field meter's readings beside a laboratory's.
#[derive(Clone, Debug)]
pub struct LabCheckPart {
    /// The file with the pairs.
    pub file: NamedFile,
    /// The column that names the samples, where the job says.
    pub key: Option<String>,
    /// The column with the laboratory's pH, where the job says.
    pub lab_ph: Option<String>,
    /// The column with the meter's pH, where the job says.
    pub meter_ph: Option<String>,
    /// What is applied to the samples' readings.
    pub apply: Option<Correction>,
    /// How the table is to be read.
    pub style: TableStyle,
}

/// Samples from several depths of each point.
#[derive(Clone, Debug)]
pub struct LayersPart {
    /// The layers that the table holds, from the top down.
    pub list: Vec<JobLayer>,
    /// The unit of depths in the table that have none, as the job states it.
    pub unit: Option<&'static str>,
    /// The depth down to which layers count: the limed depth, or what surface lime reaches of it.
    pub counted_to: Length,
    /// What becomes of a point that lacks a layer.
    pub missing: Option<Missing>,
}

impl LayersPart {
    /// From the top of the first layer to the end of the last.
    pub(super) fn whole(&self) -> Option<DepthInterval> {
        let (first, last) = (self.list.first()?, self.list.last()?);
        DepthInterval::new(first.depth.top(), last.depth.bottom())
    }
}

/// One layer of the samples.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JobLayer {
    /// The depth that it was sampled from.
    pub depth: DepthInterval,
    /// The part of the limed depth that it stands for; `None` where it lies below what counts.
    pub part: Option<DepthInterval>,
}

/// Sample zones.
#[derive(Clone, Debug)]
pub struct ZonesPart {
    /// Their file.
    pub area: AreaFile,
    /// The attribute that names them.
    pub key: String,
    /// Whether their own attributes are the results, of which a zone in several parts may have
    /// several that are the same.
    pub hold_results: bool,
    /// The part of the field that may lie in no zone, or in several.
    pub gap_limit: Share,
    /// What they give beside samples at points; `None` where the samples stand for the zones.
    pub gives: Option<ByZonePart>,
}

/// What zones give where samples at points give the rest.
#[derive(Clone, Debug)]
pub struct ByZonePart {
    /// The attributes, in the order of [`SoilAttribute::all`].
    pub attributes: Vec<SoilAttribute>,
    /// The table with their results; their own attributes where there is none.
    pub results: Option<NamedFile>,
    /// The column of that table that names the zones, where the job says.
    pub key: Option<String>,
}

/// Which attributes are read of the samples in a table.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Attributes {
    /// Whatever the table holds.
    #[default]
    All,
    /// Whatever it holds but these, which zones give.
    AllBut(Vec<SoilAttribute>),
    /// These, and each must be there.
    Exactly(Vec<SoilAttribute>),
}

impl Attributes {
    /// Whether an attribute is read where the table holds it.
    pub fn take(&self, attribute: SoilAttribute) -> bool {
        match self {
            Self::All => true,
            Self::AllBut(left_out) => !left_out.contains(&attribute),
            Self::Exactly(asked) => asked.contains(&attribute),
        }
    }

    /// Whether the job asks for it here by its name.
    pub fn ask_for(&self, attribute: SoilAttribute) -> bool {
        matches!(self, Self::Exactly(asked) if asked.contains(&attribute))
    }
}

/// Columns that the job names itself.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct MappedColumns {
    /// Longitude.
    pub lon: Option<String>,
    /// Latitude.
    pub lat: Option<String>,
    /// Easting.
    pub easting: Option<String>,
    /// Northing.
    pub northing: Option<String>,
    /// The zone of a sample that was taken at a point.
    pub zone: Option<String>,
    /// Soil pH.
    pub ph: Option<String>,
    /// What the pH of each row was read in.
    pub ph_medium: Option<String>,
    /// When a meter read each sample.
    pub measured_at: Option<String>,
    /// Buffer pH.
    pub buffer_ph: Option<String>,
    /// What is read beside pH and buffer pH.
    pub values: BTreeMap<SoilValue, String>,
    /// The texture class.
    pub texture: Option<String>,
    /// The depth of a row.
    pub depth: Option<String>,
    /// Its upper end.
    pub depth_top: Option<String>,
    /// Its lower end.
    pub depth_bottom: Option<String>,
}
