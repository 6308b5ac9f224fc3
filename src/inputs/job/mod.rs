//! The job: what a person asks for, read from its file and checked.

mod area_file;
mod blank;
mod check;
mod check_areas;
mod check_by_zone;
mod check_cce;
mod check_density;
mod check_haul;
mod check_history;
mod check_lab;
mod check_layers;
mod check_material;
mod check_money;
mod check_overrides;
mod check_recommendation;
mod check_risk;
mod check_samples;
mod check_spreader;
mod check_target;
mod check_values;
mod check_worth;
mod check_zones;
mod effective;
mod fields_file;
mod file;
mod keys;
mod material_file;
mod method_file;
mod parse;
mod reader;
mod schema;
mod schema_material;
mod settings;
mod written;

use std::collections::BTreeMap;
use std::path::PathBuf;

pub use blank::BLANK;
pub use effective::{JOB_SCHEMA_FILE, effective_job_text, job_defaults};
pub use fields_file::{FIELDS_SCHEMA_FILE, FieldsFile, fields_schema, read_fields_file};
pub use file::{JobFile, job_file_schema};
pub use keys::{JobKey, job_keys, toml_text};
pub use method_file::read_method_file;
pub use reader::read_job;
pub use schema::job_schema;
pub use settings::{JobSettings, read_settings};

use super::{CellPolicy, CoordinateSystem, Missing, TableStyle, Wanted};
use crate::agronomy::{
    AlExtract, Buffer, CapacityReading, CropGuide, CropTarget, PastLime, Placement, SoilClass,
    Target, ValueUnits,
};
use crate::machine::{Machine, Override};
use crate::material::{Material, RecommendationBasis};
use crate::units::{
    Area, Currency, DepthInterval, HaulCharge, Heading, Length, Money, PhMedium, ProductMass,
    Share, SoilAttribute, SoilValue, TimeTaken, UnitSystem,
};

/// A file that a job names: as written there, and where it lies.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NamedFile {
    /// As the job file writes it.
    pub given: String,
    /// Where it is: relative paths are relative to the job file.
    pub path: PathBuf,
}

/// A checked job: everything in it is within its limits and fits together.
#[derive(Clone, Debug)]
pub struct Job {
    /// The job file, as the user named it.
    pub file: String,
    /// The units that outputs are written in.
    pub units: UnitSystem,
    /// The field.
    pub field: FieldPart,
    /// Days and revision.
    pub dates: DatesPart,
    /// The soil samples.
    pub samples: SamplesPart,
    /// Lime that was applied before the samples were taken.
    pub history: Vec<PastLime>,
    /// The class of the soil, where the job states it.
    pub soil_class: Option<SoilClass>,
    /// What to lime to.
    pub target: JobTarget,
    /// The name of the lime-need method.
    pub method: String,
    /// The file of the user's own table, where that is the method.
    pub own_table: Option<NamedFile>,
    /// What the laboratory's recommendations are of, where they are the method.
    pub recommendation: Option<RecommendationPart>,
    /// The depth that the lime is to act on.
    pub limed_depth: Length,
    /// How the lime is placed.
    pub placement: Placement,
    /// The material.
    pub material: Material,
    /// The limits of risk that it sets itself.
    pub risk: RiskAsk,
    /// The spreader.
    pub machine: Machine,
    /// The side of a cell.
    pub cell: Length,
    /// The direction of travel.
    pub heading: Heading,
    /// Orders that override rates, in the sequence in which they are carried out.
    pub overrides: Vec<OverrideOrder>,
    /// What is ordered beyond what is prescribed.
    pub order: OrderPart,
    /// The trucks, where they are described.
    pub haul: Option<HaulPart>,
    /// The shape that the job was read from, with all defaults filled in.
    pub effective: JobFile,
}

/// What a laboratory's recommendations are recommendations of.
#[derive(Clone, Debug)]
pub struct RecommendationPart {
    /// What they are amounts of.
    pub basis: RecommendationBasis,
    /// The depth that the laboratory limed, as the job writes it.
    pub depth: String,
    /// The pH that it limed to.
    pub target_ph: f64,
}

/// What a job limes to.
#[derive(Clone, Debug)]
pub struct JobTarget {
    /// The target; a pH is in the method's own medium, or in the guide's where a crop decides it.
    pub aim: Target,
    /// The pH at and above which nothing is needed; `None` leaves it to the method.
    pub treat_below: Option<f64>,
    /// The crops that decide the pH, where the job names them in its place.
    pub by_crop: Option<CropAim>,
}

/// The target of the most demanding of some crops.
#[derive(Clone, Debug)]
pub struct CropAim {
    /// All crops that the job names.
    pub crops: Vec<String>,
    /// What the guide says of the one that decides.
    pub deciding: CropTarget,
    /// The guide.
    pub guide: &'static CropGuide,
}

/// The limits of risk that a job sets in place of the published ones.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RiskAsk {
    /// Where they come from.
    pub source: Option<String>,
    /// Water pH below which aluminium may harm roots.
    pub aluminium_ph: Option<f64>,
    /// Aluminium above which it is likely to, by the job's extract, cmol/kg.
    pub aluminium: Option<f64>,
    /// Aluminium saturation above which it is likely to, 0 to 1.
    pub aluminium_saturation: Option<f64>,
    /// Water pH below which manganese may harm crops.
    pub manganese_ph: Option<f64>,
    /// Water pH above which the soil is limed too far.
    pub overliming_ph: Option<f64>,
}

/// The field of a job.
#[derive(Clone, Debug)]
pub struct FieldPart {
    /// What it is called; the name of its folder or boundary file where the job has none.
    pub name: String,
    /// Whose it is.
    pub customer: Option<String>,
    /// The farm it belongs to.
    pub farm: Option<String>,
    /// Its boundary.
    pub boundary: NamedFile,
    /// What is wanted of the boundary's file.
    pub wanted: Wanted,
    /// What is kept out of the map, file by file.
    pub keep_out: Vec<KeepOutPart>,
}

/// A map file that a job names beside its boundary.
#[derive(Clone, Debug)]
pub struct AreaFile {
    /// The file.
    pub file: NamedFile,
    /// What is wanted of it.
    pub wanted: Wanted,
}

/// One file with what is kept out.
#[derive(Clone, Debug)]
pub struct KeepOutPart {
    /// The file.
    pub area: AreaFile,
    /// How far around its features is kept out too.
    pub setback: Length,
}

/// An order that overrides rates.
#[derive(Clone, Debug)]
pub struct OverrideOrder {
    /// The file with its area.
    pub area: AreaFile,
    /// What is ordered.
    pub does: Override,
    /// The same in words, as the job writes it.
    pub words: String,
    /// Why.
    pub reason: String,
}

/// The days of a job, as `YYYY-MM-DD`.
#[derive(Clone, Debug, Default)]
pub struct DatesPart {
    /// The day of sampling.
    pub sampled: Option<String>,
    /// The day planned for spreading.
    pub spread: Option<String>,
    /// Whole months from sampling to spreading, where both days are stated in this order.
    pub months_from_sampling: Option<u32>,
    /// The number of this revision.
    pub revision: Option<u32>,
}

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
    /// Which column holds what, as the job says.
    pub columns: MappedColumns,
    /// The system of the coordinates that are read.
    pub system: CoordinateSystem,
    /// The depth that they were taken from, from the top of the first layer to the end of the last.
    pub sampled_depth: DepthInterval,
    /// The layers, where there are several at each point.
    pub layers: Option<LayersPart>,
    /// The medium that their pH was read in.
    pub ph_medium: PhMedium,
    /// The buffer that the lab ran.
    pub buffer: Option<Buffer>,
    /// The pH, as measured, above which the lab ran no buffer.
    pub buffer_blank_above: Option<f64>,
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
    fn whole(&self) -> Option<DepthInterval> {
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

/// What is ordered beyond what is prescribed.
#[derive(Clone, Copy, Debug)]
pub struct OrderPart {
    /// Product spread twice where passes overlap, of what is prescribed.
    pub overlap_allowance: Share,
    /// The part of the pile that never gets loaded.
    pub pile_loss: Share,
    /// Whether the order is rounded up to whole trucks.
    pub whole_trucks: bool,
}

/// The trucks that bring the material.
#[derive(Clone, Debug)]
pub struct HaulPart {
    /// From plant to field, one way.
    pub one_way_distance: Option<Length>,
    /// What one truck carries.
    pub truck_payload: Option<ProductMass>,
    /// What hauling costs.
    pub cost: Option<HaulCost>,
    /// What a truck takes there and back, loading and unloading.
    pub round_trip: Option<TimeTaken>,
    /// What spreading costs.
    pub spreading: Option<SpreadingCost>,
}

/// What hauling costs.
#[derive(Clone, Debug, PartialEq)]
pub struct HaulCost {
    /// What is charged.
    pub charge: HaulCharge,
    /// The same as the job writes it.
    pub written: String,
    /// The least that is charged for a load.
    pub minimum: Option<Money>,
    /// The currency.
    pub currency: Currency,
}

/// Money for spreading an area.
#[derive(Clone, Debug, PartialEq)]
pub struct SpreadingCost {
    /// The money.
    pub amount: Money,
    /// The area that it pays for.
    pub per: Area,
    /// The currency.
    pub currency: Currency,
}

impl Job {
    /// The one currency of the job's prices, where it has any.
    pub fn currency(&self) -> Option<&Currency> {
        let haul = self.haul.as_ref();
        let price = self.material.price.as_ref().map(|price| &price.currency);
        let cost = || haul.and_then(|haul| haul.cost.as_ref()).map(|cost| &cost.currency);
        let spreading = || haul.and_then(|haul| haul.spreading.as_ref()).map(|cost| &cost.currency);
        price.or_else(cost).or_else(spreading)
    }
}
