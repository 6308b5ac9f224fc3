//! The shape of a job file: what may stand in it, before anything is checked.
//!
//! The types are the one home of the key names: the reader finds unknown keys by them, and the
//! file's schema is made from them.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::area_file::{AreaTable, KeepOutTable, OneOrMore, PathOr};
use super::export_file::ExportTable;
use super::haul_file::{HaulTable, OrderTable};
use super::lab_check_file::LabCheckTable;
use super::material_file::MaterialTable;
use super::meter_log_file::MeterLogTable;
use super::rate_areas_file::RateAreasTable;
use super::repeatability_file::RepeatabilityTable;
use super::risk_file::RiskTable;
use super::spreader_file::SpreaderTable;
use super::upkeep_file::UpkeepTable;
use super::written::{At, Choice, Day, Written};

/// Declares one table of the job file: every key may be missing, none may be unknown.
macro_rules! job_table {
    ($(#[$meta:meta])* $name:ident { $($(#[$field_meta:meta])* $field:ident : $type:ty,)+ }) => {
        $(#[$meta])*
        #[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            $(
                $(#[$field_meta])*
                #[serde(default, skip_serializing_if = "Option::is_none")]
                pub $field: Option<$type>,
            )+
        }
    };
}

pub(super) use job_table;

job_table! {
    /// A whole job file.
    JobFile {
        /// The units that the outputs are written in: `us` or `metric`.
        units: At<String>,
        /// The field.
        field: At<FieldTable>,
        /// Days and revision.
        dates: At<DatesTable>,
        /// The soil samples.
        samples: At<SamplesTable>,
        /// Lime that was applied before the samples were taken.
        history: At<Vec<At<HistoryTable>>>,
        /// What to lime to.
        target: At<TargetTable>,
        /// How the lime need is found.
        need: At<NeedTable>,
        /// The liming material.
        material: At<MaterialTable>,
        /// The spreader.
        spreader: At<SpreaderTable>,
        /// The limits beyond which a soil is told to be at risk.
        risk: At<RiskTable>,
        /// The cells of the map.
        grid: At<GridTable>,
        /// Areas of one rate in place of the cells.
        rate_areas: At<RateAreasTable>,
        /// Ground on which someone overrides the rate.
        #[serde(rename = "override")]
        overrides: At<Vec<At<OverrideTable>>>,
        /// What happens on the field each year, for how long the lime may last.
        upkeep: At<UpkeepTable>,
        /// What is ordered beyond what is prescribed.
        order: At<OrderTable>,
        /// The trucks.
        haul: At<HaulTable>,
        /// The files for the spreader's controller.
        export: At<ExportTable>,
    }
}

job_table! {
    /// `[field]`
    FieldTable {
        /// What the field is called.
        name: At<String>,
        /// Whose it is.
        customer: At<String>,
        /// The farm it belongs to.
        farm: At<String>,
        /// Where the pile lies: longitude and latitude in WGS 84 degrees.
        pile: At<Vec<At<f64>>>,
        /// What a driver must mind on and beside the field, each in a few words.
        hazards: At<Vec<At<String>>>,
        /// The file with the boundary, or its folder.
        boundary: At<String>,
        /// The layer of the boundary's file, where it holds several.
        layer: At<String>,
        /// The features of the boundary's file that are the field: those that have each of these
        /// values in the column of that name. Without it, all of them.
        select: At<BTreeMap<String, At<Choice>>>,
        /// The coordinate system of the boundary's file, such as `EPSG:26915`, where the file does
        /// not name it.
        coordinate_system: At<String>,
        /// The file with what is kept out of the map: areas, or lines and points with a setback; a
        /// path, a table that says more, or a list of either.
        keep_out: At<OneOrMore<PathOr<KeepOutTable>>>,
        /// How far around what is kept out is kept out too, in files that state no setback of
        /// their own.
        setback: At<Written>,
    }
}

job_table! {
    /// `[dates]`
    DatesTable {
        /// The day of sampling.
        sampled: At<Day>,
        /// The day planned for spreading.
        spread: At<Day>,
        /// The day on which the crop is sown that the lime is for.
        seeding: At<Day>,
        /// Whether that crop is a legume, which needs the lime earlier.
        legume: At<bool>,
        /// The days planned for the applications after the first, one for each.
        further_spread: At<Vec<At<Day>>>,
        /// The number of this revision.
        revision: At<u32>,
    }
}

job_table! {
    /// `[samples]`
    SamplesTable {
        /// The file with the samples: a table, or a map file with points; may be left out where the
        /// areas of `zones` carry the results.
        file: At<String>,
        /// The layer of a map file, where it holds several.
        layer: At<String>,
        /// The rows of the table, or features of the map file, that are the samples: those that have
        /// each of these values in the column of that name. Without it, all of them.
        select: At<BTreeMap<String, At<Choice>>>,
        /// The column that names the samples.
        key: At<String>,
        /// The file with the laboratory's results, which are joined to the samples of `file` by
        /// their ids.
        lab: At<String>,
        /// The column of the results that names the samples; the one of the same name as `key`, or
        /// the one that is recognised, unless stated.
        lab_key: At<String>,
        /// What counts where a sample has several results: `mean`, `last` or `first`. Without it
        /// such samples are refused.
        repeats: At<String>,
        /// The file with the sample zones: areas with one composite each, which the rows of `file`
        /// name instead of a place; a path, or a table that says more.
        zones: At<PathOr<AreaTable>>,
        /// The attribute that names the zones.
        zone_key: At<String>,
        /// The part of the field that may lie in no zone, or in several; 1 % unless stated.
        zone_gap_limit: At<Written>,
        /// What the zones give, one value each for all ground in them, where the samples of `file`
        /// were taken at points and give the rest; by the names of `[samples.columns]`.
        by_zone: At<Vec<At<String>>>,
        /// The table with what the zones give; their own attributes unless stated.
        zone_results: At<String>,
        /// The column of that table that names the zones; the one called as `zone_key` unless
        /// stated.
        zone_results_key: At<String>,
        /// The coordinate system of the easting and northing columns, such as `EPSG:25833`; or of a
        /// map file that does not name its own.
        coordinate_system: At<String>,
        /// The depth that the samples were taken from; or `layers` instead.
        sampled_depth: At<Written>,
        /// The depths that the table holds, from the top down, where it has several for each point;
        /// the need is then the sum over those within the limed depth, each at its own reading.
        layers: At<Vec<At<Written>>>,
        /// The unit of the depths in the table, where neither its cells nor its headers say it.
        depth_unit: At<String>,
        /// What becomes of ground of the limed depth that lies in none of the layers: `nearest
        /// layer`. Without it such layers are refused.
        layer_gaps: At<String>,
        /// What becomes of a point that lacks one of the layers: `leave out`, and that layer is
        /// drawn between the other points. Without it such points are refused.
        layer_missing: At<String>,
        /// Readings of a field meter held against a laboratory's.
        lab_check: At<LabCheckTable>,
        /// What a field meter read of buffers while it read the samples.
        meter_log: At<MeterLogTable>,
        /// The medium that the lab read the pH in; `column` where a column says it for each row.
        ph_measured_in: At<String>,
        /// The medium that each reading is converted to where `ph_measured_in` is `column`, by
        /// published equations only.
        ph_converted_to: At<String>,
        /// The buffer that the lab ran.
        buffer: At<String>,
        /// The pH, as measured, above which the lab ran no buffer.
        buffer_blank_above: At<f64>,
        /// How well the lab repeats its readings; the interval of the totals is drawn from it.
        repeatability: At<RepeatabilityTable>,
        /// The extract by which aluminium was read.
        al_extract: At<String>,
        /// After what time the lime buffer capacity was read: `equilibrium` or `30 min`.
        buffer_capacity_read: At<String>,
        /// The bulk density of the soil, such as `1.3 g/cm3`.
        bulk_density: At<Written>,
        /// The unit of each value that the table holds beside pH and buffer pH, where its header does
        /// not name it; one that is stated is read, and every sample has it.
        units: At<UnitsTable>,
        /// The code page of the table, such as `windows-1250`, where it is not recognised.
        encoding: At<String>,
        /// The decimal mark of the table, where its numbers can be read in two ways: `comma` or
        /// `point`.
        decimal: At<String>,
        /// What a reading counts as that is only known by a limit, such as `<5.0`: `limit` for the
        /// limit itself, `half` for half of a most. Without it such samples are refused.
        censored: At<String>,
        /// How far outside the boundary a sample may lie and still be used; 100 m unless stated.
        outside_within: At<Written>,
        /// What becomes of samples without a reading: `leave out`. Without it they are refused.
        missing: At<String>,
        /// Which column holds what.
        columns: At<ColumnsTable>,
    }
}

job_table! {
    /// `[samples.columns]`
    ColumnsTable {
        /// Longitude, WGS 84 degrees.
        lon: At<String>,
        /// Latitude, WGS 84 degrees.
        lat: At<String>,
        /// Easting in `samples.coordinate_system`.
        easting: At<String>,
        /// Northing in `samples.coordinate_system`.
        northing: At<String>,
        /// The sample zone that a point lies in, where the samples of zones were taken at points.
        zone: At<String>,
        /// Soil pH.
        ph: At<String>,
        /// What the pH of each row was read in.
        ph_medium: At<String>,
        /// When a meter read each sample, as `samples.meter_log` has it.
        measured_at: At<String>,
        /// Buffer pH.
        buffer_ph: At<String>,
        /// Exchangeable acidity.
        acidity: At<String>,
        /// Cation exchange capacity.
        cec: At<String>,
        /// Aluminium, by the extract of `samples.al_extract`.
        aluminium: At<String>,
        /// Exchangeable calcium.
        calcium: At<String>,
        /// Exchangeable magnesium.
        magnesium: At<String>,
        /// Exchangeable potassium.
        potassium: At<String>,
        /// Exchangeable sodium.
        sodium: At<String>,
        /// Potential acidity, H + Al.
        potential_acidity: At<String>,
        /// Organic carbon.
        organic_carbon: At<String>,
        /// Organic matter.
        organic_matter: At<String>,
        /// Clay.
        clay: At<String>,
        /// Lime buffer capacity.
        buffer_capacity: At<String>,
        /// The lime that the laboratory recommends.
        lab_recommendation: At<String>,
        /// Texture class.
        texture: At<String>,
        /// The depth that a row is of, such as `0-6 in`.
        depth: At<String>,
        /// The upper end of that depth, where each end has a column.
        depth_top: At<String>,
        /// The lower end of that depth.
        depth_bottom: At<String>,
    }
}

job_table! {
    /// `[samples.units]`
    UnitsTable {
        /// Exchangeable acidity.
        acidity: At<String>,
        /// Cation exchange capacity.
        cec: At<String>,
        /// Aluminium.
        aluminium: At<String>,
        /// Exchangeable calcium.
        calcium: At<String>,
        /// Exchangeable magnesium.
        magnesium: At<String>,
        /// Exchangeable potassium.
        potassium: At<String>,
        /// Exchangeable sodium.
        sodium: At<String>,
        /// Potential acidity, H + Al.
        potential_acidity: At<String>,
        /// Organic carbon.
        organic_carbon: At<String>,
        /// Organic matter.
        organic_matter: At<String>,
        /// Clay.
        clay: At<String>,
        /// Lime buffer capacity.
        buffer_capacity: At<String>,
        /// The lime that the laboratory recommends.
        lab_recommendation: At<String>,
    }
}

job_table! {
    /// `[[history]]`
    HistoryTable {
        /// The day of the application.
        applied: At<Day>,
        /// What was applied, as effective lime (100 % CCE): the material's rate times its
        /// effective part.
        rate: At<Written>,
    }
}

job_table! {
    /// `[target]`
    TargetTable {
        /// The pH to lime to, in the method's own medium; or one of the four below.
        ph: At<f64>,
        /// The crop whose pH is limed to, by `guide`.
        crop: At<String>,
        /// The crops of the rotation: the most demanding counts.
        rotation: At<Vec<At<String>>>,
        /// The base saturation to lime to, where the method limes to one.
        base_saturation: At<Written>,
        /// The aluminium saturation that may be left, where the method limes to one.
        aluminium_saturation: At<Written>,
        /// The published guide to the pH of crops.
        guide: At<String>,
        /// The kind of ground, where the guide tells several apart.
        ground: At<String>,
        /// The pH at and above which nothing is needed, in the method's own medium.
        treat_below: At<f64>,
    }
}

job_table! {
    /// `[need]`
    NeedTable {
        /// The lime-need method; or a table of your own in the form of the method tables, as
        /// `file:my_table.toml`; or `lab-recommendation`.
        method: At<String>,
        /// The depth that the lime is to act on.
        limed_depth: At<Written>,
        /// `tilled`, `no-till` or `established stand`.
        placement: At<String>,
        /// The most that may be put on the ground at once: `2 ton/ac`, of material as spread, or
        /// `1 ton/ac effective`, of what acts in it; what is needed beyond it stays unmet.
        single_application_max: At<Written>,
        /// The part of the need left unmet from which on the results say so first; 5 % unless
        /// stated.
        unmet_told_from: At<Written>,
        /// `mineral`, `mineral-organic` or `organic`; where a method credits earlier lime by it.
        soil_class: At<String>,
        /// What the laboratory's recommendations are of, where the method is `lab-recommendation`.
        lab: At<LabNeedTable>,
    }
}

job_table! {
    /// `[need.lab]`
    LabNeedTable {
        /// What the recommended amount is an amount of: `100 % CCE`, `ECCE 80 %`, `lb ENP`.
        basis: At<String>,
        /// The depth of soil that the laboratory limed.
        depth: At<Written>,
        /// The pH that it limed to.
        target: At<f64>,
    }
}

job_table! {
    /// `[grid]`
    GridTable {
        /// The side of a cell.
        cell: At<Written>,
        /// The direction of travel, from true north.
        heading: At<Written>,
    }
}

job_table! {
    /// `[[override]]`: an area, a reason, and one of the other keys.
    OverrideTable {
        /// The file with the area; a path, or a table that says more.
        area: At<PathOr<AreaTable>>,
        /// Why.
        reason: At<String>,
        /// The rate there.
        rate: At<Written>,
        /// The greatest rate there.
        cap: At<Written>,
        /// What the rate there is multiplied by.
        factor: At<f64>,
        /// Nothing is spread there.
        no_product: At<bool>,
    }
}

/// The shape of a job file as a JSON Schema, made from the types alone.
pub fn job_file_schema() -> Value {
    JOB_FILE_SCHEMA.clone()
}

/// The same, made once: every job of many is held against it.
pub(super) static JOB_FILE_SCHEMA: LazyLock<Value> = LazyLock::new(|| {
    let mut schema = schemars::schema_for!(JobFile).to_value();
    without(schema.pointer_mut("/properties/material"), &["haul"]);
    schema
});

/// Takes keys out of a table that are those of the other file.
pub(super) fn without(table: Option<&mut Value>, keys: &[&str]) {
    let properties = table.and_then(|table| table.get_mut("properties")?.as_object_mut());
    if let Some(properties) = properties {
        properties.retain(|key, _| !keys.contains(&key.as_str()));
    }
}
