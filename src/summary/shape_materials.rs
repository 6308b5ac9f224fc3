//! The shape of a comparison of materials for one field.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::shape::part;
use super::{FieldNames, FindingPart, InputPart, LoadParts, MaterialPart, Program, Quantity};

/// The name and version of the shape of a comparison.
pub const COMPARISON_SHAPE: &str = "limewright-materials-1";

part! {
    /// What each material of a list comes to on one field.
    MaterialComparison {
        /// The name and version of this shape.
        schema: String,
        /// The program that made it.
        program: Program,
        /// The field.
        field: FieldNames,
        /// The system of units: `us` or `metric`.
        units: String,
        /// The list, as it was named.
        list: String,
        /// The mapped area.
        area: Quantity,
        /// CaCO3 that the field needs, whatever the material.
        need_total: Quantity,
        /// What the materials are worth and cost over each horizon, the one that they are ranked by
        /// first; one without a name where no fineness scheme of them has several.
        horizons: Vec<HorizonPart>,
        /// Why the first horizon is the first, and where the order is another over the others; empty
        /// where there is one.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        horizon_notes: Vec<String>,
        /// Those of the list that do not lime.
        refused: Vec<RefusedPart>,
        /// The mean of the samples' exchangeable magnesium, in mg/kg; left out where it is not
        /// given.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        soil_magnesium_ppm: Option<f64>,
        /// What publications advise for that.
        magnesium_advice: Vec<MagnesiumAdvicePart>,
        /// What the data told.
        findings: Vec<FindingPart>,
        /// What to mind.
        cautions: Vec<String>,
        /// What was read.
        inputs: Vec<InputPart>,
    }
}

part! {
    /// The materials over one horizon.
    HorizonPart {
        /// The years over which fineness counts, for each material whose scheme has these; left out
        /// where no scheme has several.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        horizon: Option<String>,
        /// Where the costs hold by which they are ranked; left out where none can be compared.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        compared_by: Option<String>,
        /// The materials, the one to choose by cost first.
        materials: Vec<ComparedPart>,
    }
}

part! {
    /// What one material comes to.
    ComparedPart {
        /// Its place among the others, from 1; left out where its cost cannot be compared.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        rank: Option<usize>,
        /// Why it stands there.
        reason: String,
        /// The material and what it is worth.
        material: MaterialPart,
        /// As much of it as there is, as spread.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        supply_limit: Option<Quantity>,
        /// Whether that covers the order.
        supply_suffices: bool,
        /// Product prescribed, as spread.
        product_total: Quantity,
        /// Product to load.
        to_load: Quantity,
        /// Product to order.
        to_order: Quantity,
        /// Ground that gets any.
        treated_area: Quantity,
        /// Product over the mapped area.
        mean_rate: Quantity,
        /// CaCO3 left out by the machine's limits.
        unmet_total: Quantity,
        /// The part of the need that this is.
        unmet_share: f64,
        /// Loads.
        loads: LoadParts,
        /// What it costs.
        costs: MaterialCostsPart,
        /// Magnesium that it brings; left out where the list does not give it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        magnesium: Option<MagnesiumPart>,
        /// Nutrients that it brings. What they are worth is in no cost.
        nutrients: Vec<NutrientPart>,
        /// Published minimum qualities that it was held against.
        quality: Vec<QualityPart>,
    }
}

part! {
    /// What an order of a material costs.
    MaterialCostsPart {
        /// The product.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        product: Option<Quantity>,
        /// The haul; left out where the price already holds at the field.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        haul: Option<Quantity>,
        /// The spreading; left out where the price holds for what is spread.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        spreading: Option<Quantity>,
        /// All that is known of it together.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        total: Option<Quantity>,
        /// What `total` covers: of `product`, `haul` and `spreading`, those that it counts.
        covers: Vec<String>,
        /// `total` over the mapped area.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        per_area: Option<Quantity>,
        /// The cost for effective CaCO3 in what is ordered, at the plant.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        per_effective_plant: Option<Quantity>,
        /// The same delivered to the field.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        per_effective_delivered: Option<Quantity>,
        /// The same spread on it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        per_effective_spread: Option<Quantity>,
    }
}

part! {
    /// Magnesium that a material brings.
    MagnesiumPart {
        /// The part of the material as spread, as Mg.
        content: f64,
        /// What the ground that is treated gets on average.
        per_treated_area: Quantity,
        /// All of it.
        total: Quantity,
    }
}

part! {
    /// A nutrient that a material brings.
    NutrientPart {
        /// The nutrient.
        nutrient: String,
        /// The part of the material as spread.
        content: f64,
        /// What the ground that is treated gets on average.
        per_treated_area: Quantity,
        /// All of it.
        total: Quantity,
        /// What that is worth by the price that the list gives; in no cost.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        credit: Option<Quantity>,
    }
}

part! {
    /// A published minimum quality, and whether a material meets it.
    QualityPart {
        /// Its name in job files.
        id: String,
        /// Where it holds.
        title: String,
        /// Whether all of it is met: `met`, `not met` or `not known`.
        verdict: String,
        /// Each figure that it asks for, with what was found.
        parts: Vec<String>,
        /// The publication, and the place in it.
        source: String,
        /// What to know beside the figures.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    }
}

part! {
    /// A material that does not lime.
    RefusedPart {
        /// What the list calls it.
        name: String,
        /// Who sells it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        supplier: Option<String>,
        /// Its kind.
        kind: String,
        /// Why it does not lime.
        reason: String,
    }
}

part! {
    /// What one publication advises by the soil's magnesium.
    MagnesiumAdvicePart {
        /// Where it holds.
        region: String,
        /// `dolomitic`, `not dolomitic`, `either` or `not known`.
        advice: String,
        /// The same as one sentence.
        text: String,
        /// The publication, and the place in it.
        source: String,
    }
}
