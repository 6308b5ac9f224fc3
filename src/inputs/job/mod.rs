//! The job: what a person asks for, read from its file and checked.

mod allotment_file;
mod allotment_part;
mod alternatives;
mod area_file;
mod beside;
mod blank;
mod calendar_file;
mod check;
mod check_abilities;
mod check_allotment;
mod check_applications;
mod check_areas;
mod check_by_zone;
mod check_calendar;
mod check_cce;
mod check_density;
mod check_export;
mod check_haul;
mod check_history;
mod check_lab;
mod check_layers;
mod check_material;
mod check_money;
mod check_overrides;
mod check_practice;
mod check_rate_areas;
mod check_recommendation;
mod check_repeatability;
mod check_risk;
mod check_samples;
mod check_site;
mod check_spreader;
mod check_suppliers;
mod check_supply;
mod check_target;
mod check_upkeep;
mod check_values;
mod check_worth;
mod check_zones;
mod effective;
mod export_file;
mod export_part;
mod fields_file;
mod file;
mod file_keys;
mod haul_file;
mod keys;
mod lab_check_file;
mod listed;
mod material_file;
mod material_list;
mod material_list_file;
mod meter_log_file;
mod method_file;
mod parse;
mod rate_areas_file;
mod reader;
mod repeatability_file;
mod risk_file;
mod samples_part;
mod schema;
mod schema_material;
mod schema_rate_areas;
mod schema_spreading;
mod schema_together;
mod settings;
mod shared;
mod spreader_file;
mod supplier_file;
mod upkeep_file;
mod written;

use std::path::PathBuf;

pub use allotment_file::{AllotmentTable, AllottedMaterialTable, ResponseBandTable, ResponseTable};
pub use allotment_part::{
    AllotmentPart, Limits, NamedInPlan, OfMaterial, PlanAmounts, ResponseBand, ResponsePart, Take,
    YearLimits,
};
pub use blank::BLANK;
pub use calendar_file::CalendarTable;
pub use check_applications::GoingOver;
pub use check_calendar::CalendarPart;
pub use check_rate_areas::{RateAreasPart, RateChoice};
pub use check_repeatability::Repeatability;
pub use check_samples::outside_within;
pub use check_site::SitePart;
pub use check_suppliers::{SupplierPart, SupplierTrip, SupplyPart};
pub use effective::{EFFECTIVE_JOB_FILE, JOB_SCHEMA_FILE, effective_job_text, job_defaults};
pub use export_part::{ExportFormat, ExportPart};
pub use fields_file::{
    FIELDS_SCHEMA_FILE, FieldsFile, TogetherTables, fields_schema, read_fields_file,
};
pub use file::{JobFile, job_file_schema};
pub use file_keys::named_files;
pub use keys::{JobKey, job_keys, toml_text};
pub use listed::{Listed, Offer};
pub use material_list::{ReadMaterials, read_materials};
pub use material_list_file::MaterialListFile;
pub use meter_log_file::{MeterLogColumn, MeterLogPart, TemperatureUnit};
pub use method_file::read_method_file;
pub use reader::{AnyOf, JobSource, ReadJob, read_job};
pub use samples_part::{
    Attributes, ByZonePart, JobLayer, LabCheckPart, LabPart, LayersPart, MappedColumns,
    SamplesPart, ZonesPart,
};
pub use schema::{job_schema, material_list_schema};
pub use settings::{JobSettings, check_sets, read_settings};
pub use shared::SharedSettings;
pub use supplier_file::{SupplierTable, SupplyTable};
pub(in crate::inputs) use written::At;

use super::Wanted;
use crate::agronomy::{
    CropGuide, CropTarget, PastLime, Placement, SingleRate, SoilClass, Target, Upkeep,
};
use crate::machine::{Machine, Override};
use crate::material::{Lot, Material, QualityLimit, RecommendationBasis};
use crate::units::{
    ControllerUnit, Currency, HaulCharge, Heading, Length, Money, ProductMass, Share,
    SpreadingCharge, TimeTaken, UnitSystem,
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
    /// The list that the material is taken from, where it is taken from one.
    pub material_list: Option<NamedFile>,
    /// Where it comes from, and what it brings beside lime.
    pub lot: Lot,
    /// The published minimum quality that it is held against, where the job names one.
    pub quality: Option<&'static QualityLimit>,
    /// The spreader, held to the most that the job puts on the ground at once.
    pub machine: Machine,
    /// The spreader as it is.
    pub spreader: Machine,
    /// The most that the job puts on the ground at once, where it states that.
    pub single_rate: Option<SingleRate>,
    /// Over how many applications the need is spread.
    pub going_over: GoingOver,
    /// The part of the need left unmet from which on the results say so first.
    pub unmet_told_from: Share,
    /// What happens on the field each year, where the job states it.
    pub upkeep: Option<Upkeep>,
    /// The side of a cell.
    pub cell: Length,
    /// The direction of travel.
    pub heading: Heading,
    /// Areas of one rate in place of the cells, where the job asks for them.
    pub rate_areas: Option<RateAreasPart>,
    /// Orders that override rates, in the sequence in which they are carried out.
    pub overrides: Vec<OverrideOrder>,
    /// What is ordered beyond what is prescribed.
    pub order: OrderPart,
    /// The trucks, where they are described.
    pub haul: Option<HaulPart>,
    /// The files for the spreader's controller.
    pub export: ExportPart,
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
    /// What stands on and beside it.
    pub site: SitePart,
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
    /// The days planned for the further applications, in order; empty where none are stated.
    pub further_spread: Vec<String>,
    /// Whole months from sampling to spreading, where both days are stated in this order.
    pub months_from_sampling: Option<u32>,
    /// The day of seeding.
    pub seeding: Option<String>,
    /// Whole months from spreading to seeding, where both days are stated in this order.
    pub months_to_seeding: Option<u32>,
    /// Whether a legume is sown.
    pub legume: bool,
    /// The number of this revision.
    pub revision: Option<u32>,
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
    /// Where the trucks drop the material, where fields share it.
    pub drop_site: Option<String>,
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

/// What spreading costs.
#[derive(Clone, Debug, PartialEq)]
pub struct SpreadingCost {
    /// What is charged.
    pub charge: SpreadingCharge,
    /// The same as the job writes it.
    pub written: String,
    /// The currency.
    pub currency: Currency,
}

impl Job {
    /// The unit of the rates in files for the controller: the spreader's own unless stated.
    pub fn controller_unit(&self) -> ControllerUnit {
        self.export.unit.unwrap_or_else(|| self.machine.setting.unit())
    }

    /// The one currency of the job's prices, where it has any.
    pub fn currency(&self) -> Option<&Currency> {
        let haul = self.haul.as_ref();
        let price = self.material.price.as_ref().map(|price| &price.currency);
        let cost = || haul.and_then(|haul| haul.cost.as_ref()).map(|cost| &cost.currency);
        let spreading = || haul.and_then(|haul| haul.spreading.as_ref()).map(|cost| &cost.currency);
        price.or_else(cost).or_else(spreading)
    }
}
