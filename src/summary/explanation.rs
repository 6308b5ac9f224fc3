//! One place of a map in numbers: every step from the samples to what lies on the ground.

use serde::Serialize;

use super::Quantity;
use crate::agronomy::Step;

/// How one place of the map came to its rate.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Explanation {
    /// Longitude asked for, degrees.
    pub lon_deg: f64,
    /// Latitude asked for, degrees.
    pub lat_deg: f64,
    /// The cell that holds the place: row and column.
    pub cell: String,
    /// Its area.
    pub area: Quantity,
    /// The sample zone whose value holds there: the one that it lies in, or the nearest.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub zone: Option<String>,
    /// How far off that zone lies; left out in it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub zone_distance: Option<Quantity>,
    /// What the zone gives beside samples at points, in words; left out where it gives everything.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub zone_gives: Option<String>,
    /// Longitude of the point at which its soil is read, degrees.
    pub value_lon_deg: f64,
    /// Latitude of that point, degrees.
    pub value_lat_deg: f64,
    /// The layers of soil, from the top down; a job without layers has one.
    pub layers: Vec<ExplainedLayer>,
    /// The medium that the method reads pH in.
    pub method_medium: String,
    /// The pH at and above which nothing is needed, in that medium; left out where no pH says so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub treat_below: Option<f64>,
    /// What is limed to: a pH in that medium, or a saturation.
    pub target: String,
    /// The depth of the method's table.
    pub table_depth: String,
    /// What the soil puts at risk before it is limed; left out where that is not told.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub risk: Option<String>,
    /// The need, the sum over the layers: pure CaCO3.
    pub need: Quantity,
    /// Each step from what is known of the material to its effective part as spread.
    pub material_steps: Vec<Step>,
    /// The part of the material, as spread, that counts as pure CaCO3.
    pub effective_as_spread: f64,
    /// Need over effective part: the rate that the soil asks for, as spread.
    pub asked_rate: Quantity,
    /// The rate that the spreader holds for this cell by itself, orders carried out.
    pub rate: Quantity,
    /// What each of several applications spreads of it; empty where there is one.
    pub applications: Vec<Quantity>,
    /// What a limit of the spreader did.
    pub limit: String,
    /// The same in words, with the limit's number.
    pub limit_in_words: String,
    /// The overrides that hold there, in the sequence in which they are carried out.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub overrides: Vec<OverrideStep>,
    /// The area of one rate that it lies in, whose rate it gets; left out where the job asks for
    /// none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rate_area: Option<RateAreaStep>,
    /// Product on the cell, in pounds or kilograms as spread.
    pub product: Quantity,
    /// The part of the need that is left out.
    pub unmet: Quantity,
    /// What lies on the ground beyond the need.
    pub excess: Quantity,
    /// The publications that this rests on.
    pub sources: Vec<String>,
}

/// One layer of the soil of a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ExplainedLayer {
    /// The depth that it was sampled from; left out where the job has no layers.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub depth: Option<String>,
    /// The part of the limed depth that it stands for; left out likewise.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part: Option<String>,
    /// How far beyond the outline of its samples the place lies; left out within it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub beyond: Option<Quantity>,
    /// The samples that count there.
    pub samples: Vec<WeighedSample>,
    /// The soil there, by attribute: what it was measured in, and the weighted value.
    pub soil: Vec<SoilValue>,
    /// The soil's pH in the method's own medium.
    pub ph_in_method_medium: f64,
    /// How the method came to the need.
    pub why: String,
    /// Each step from the soil to the need, with its numbers and sources.
    pub need_steps: Vec<Step>,
    /// The need, less any credit for earlier lime, for the depth of the method's table, in the unit
    /// that the source prints.
    pub need_at_table_depth: Quantity,
    /// That need was multiplied by this: limed depth, or the layer's part of it, over table depth.
    pub depth_factor: f64,
    /// The share of the need that counts, where samples without a buffer reading need nothing.
    pub tested_share: f64,
    /// What it needs: pure CaCO3.
    pub need: Quantity,
    /// Its share of the whole need; left out where nothing is needed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub share: Option<f64>,
}

/// An override that holds at a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OverrideStep {
    /// What it orders, as the job writes it.
    pub order: String,
    /// Why.
    pub reason: String,
    /// The rate before it.
    pub before: Quantity,
    /// The rate after it.
    pub after: Quantity,
}

/// The area of one rate that a place lies in.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RateAreaStep {
    /// Its number on the map.
    pub number: usize,
    /// How large it is.
    pub area: Quantity,
    /// Its rate.
    pub rate: Quantity,
}

/// A sample that counts at a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WeighedSample {
    /// Its name; several where they were taken at one place.
    pub name: String,
    /// Its part of the value, from 0 to 1.
    pub weight: f64,
    /// How far off it lies.
    pub distance: Quantity,
    /// Its readings as they were made, in the order of the soil's attributes; `None` where it has
    /// none, or a zone gives the attribute.
    pub readings: Vec<Option<f64>>,
    /// What entered the weighted mean for each of them; `None` where nothing did.
    pub taken_as: Vec<Option<f64>>,
    /// Why a reading that was not made was taken as one; left out where all were made.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// One attribute of the soil at a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SoilValue {
    /// The attribute, keyed as in `[samples.columns]`.
    pub key: &'static str,
    /// What it was measured in.
    pub measured_in: String,
    /// The value; `None` where no sample that counts has one.
    pub value: Option<f64>,
    /// The sample zone whose one value it is, where zones give it beside samples at points; left
    /// out where it is weighed from the samples.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub zone: Option<String>,
    /// Why a reading that the zone lacks was taken as one; left out where it was made.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}
