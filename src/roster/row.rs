//! The shape of one field among many, as `fields.json` holds it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::summary::{
    AreaProduct, BenefitPart, Dates, DeliveryPart, FieldNames, OneAreaPart, Order, Quantity,
    RateLimitsPart, SketchPart, WorkPart, part,
};

part! {
    /// What the comparison, the order and the plan need of one finished field. Quantities stand in
    /// the units of its own summary; nothing is converted.
    FieldRow {
        /// What its folder is called; no two fields of a set share it.
        id: String,
        /// What it is called, and whose it is.
        field: FieldNames,
        /// The system of units that its quantities are in: `us` or `metric`.
        units: String,
        /// The job's own days.
        dates: Dates,
        /// The middle of the box around it: longitude and latitude, WGS 84 degrees.
        place_deg: [f64; 2],
        /// Inside its boundary less its holes.
        area: Quantity,
        /// The part of it that is kept out.
        keep_out_area: Quantity,
        /// Cells with a rate above 0.
        treated_area: Quantity,
        /// The pH of its samples; left out where there is none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ph: Option<RowPh>,
        /// CaCO3 that it needs.
        need_total: Quantity,
        /// CaCO3 that the product supplies.
        supplied_total: Quantity,
        /// CaCO3 supplied beyond the need.
        excess_total: Quantity,
        /// CaCO3 left out by the machine's limits, and on rate areas that its job holds back.
        unmet_total: Quantity,
        /// The part of it on rate areas that its job holds back; left out where it limes them all.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        held_back_total: Option<Quantity>,
        /// Product prescribed, as spread.
        product_total: Quantity,
        /// Product to load, as spread.
        to_load: Quantity,
        /// Added because some of the pile stays where it lies.
        pile_loss: Quantity,
        /// Added to fill the last truck.
        truck_fill: Quantity,
        /// Product to order, as spread.
        to_order: Quantity,
        /// Product over the mapped area.
        mean_rate: Quantity,
        /// The least rate above 0; left out where nothing is spread.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        least_rate: Option<Quantity>,
        /// The greatest rate; left out where nothing is spread.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        greatest_rate: Option<Quantity>,
        /// The ground that the spreader's limits hold; left out in results of earlier programs.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        limits: Option<RowLimits>,
        /// Loads of the spreader.
        spreader_loads: RowLoads,
        /// Loads of the trucks, where they are known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        truck_loads: Option<RowLoads>,
        /// What hauling and the material cost, where the job describes it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        haul: Option<RowHaul>,
        /// Ground where aluminium may harm roots, possibly or likely; left out where it is not told.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        aluminium_risk_area: Option<Quantity>,
        /// What its lime does.
        benefit: BenefitPart,
        /// Its areas of one rate, by their numbers; left out where its job asks for none.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        rate_areas: Vec<OneAreaPart>,
        /// One rate from a composite sample of the whole field.
        composite: RowComposite,
        /// The error of leaving one sample out, for each reading; empty where none could be.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        cross_check: Vec<RowCheck>,
        /// The reading that leads the need, keyed as in `[samples.columns]`.
        leading_reading: String,
        /// The lime-need method.
        method: String,
        /// What is limed to, in words.
        target: String,
        /// The medium of a pH limed to.
        target_medium: String,
        /// The material.
        material: RowMaterial,
        /// What each application spreads, in their order; left out where there is one.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        applications: Vec<RowApplication>,
        /// How long the spreader works; left out where it is not known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        work: Option<WorkPart>,
        /// Where the material is dropped; left out where the job does not say.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        delivery: Option<DeliveryPart>,
        /// The spreader.
        machine: RowMachine,
        /// How many findings its run told.
        findings: usize,
        /// SHA-256 of its effective job.
        job_effective_sha256: String,
        /// The field in few strokes; left out where its summary has none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        sketch: Option<SketchPart>,
    }
}

part! {
    /// The pH of the samples of a field.
    RowPh {
        /// What it was measured in.
        measured_in: String,
        /// How many samples have it.
        samples: usize,
        /// The least.
        min: f64,
        /// The mean.
        mean: f64,
        /// The greatest.
        max: f64,
    }
}

part! {
    /// The ground that the limits of a spreader hold.
    RowLimits {
        /// Between which rates it is held.
        rates: RateLimitsPart,
        /// Raised to the least rate: product added.
        raised: AreaProduct,
        /// Dropped to nothing: product left out.
        dropped: AreaProduct,
        /// Held to the greatest rate: product left out.
        capped: AreaProduct,
    }
}

part! {
    /// Loads.
    RowLoads {
        /// How many, the last one included.
        count: u64,
        /// A full one.
        full: Quantity,
    }
}

part! {
    /// What hauling and the material of a field cost. What is not known is left out.
    RowHaul {
        /// From plant to field, one way.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        one_way_distance: Option<Quantity>,
        /// Mass ordered times distance.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ton_miles: Option<Quantity>,
        /// The time of all truck trips.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        truck_time: Option<Quantity>,
        /// What a ton costs over this distance before any minimum, where masses are charged.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        charge_per_mass: Option<Quantity>,
        /// What a truck costs before any minimum, where trips are charged.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        charge_per_load: Option<Quantity>,
        /// The least that is charged for a load.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        minimum_charge: Option<Quantity>,
        /// What hauling costs.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        haul_cost: Option<Quantity>,
        /// What the product costs.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        product_cost: Option<Quantity>,
        /// What spreading costs.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        spreading_cost: Option<Quantity>,
        /// All of them that are known, together.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cost_total: Option<Quantity>,
        /// What `cost_total` covers: of `product`, `haul` and `spreading`, those that it counts.
        cost_covers: Vec<String>,
        /// `cost_total` over the mapped area.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cost_per_area: Option<Quantity>,
    }
}

part! {
    /// One rate from a composite sample of the whole field.
    RowComposite {
        /// The rate.
        rate: Quantity,
        /// The product that it takes.
        product: Quantity,
        /// The order for it.
        to_order: Quantity,
        /// What it costs, on the basis of `cost_total`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cost: Option<Quantity>,
    }
}

part! {
    /// The error of leaving one sample out, for one reading.
    RowCheck {
        /// The reading, keyed as in `[samples.columns]`.
        reading: String,
        /// How many samples were left out in turn.
        samples: usize,
        /// Root mean square error by the map.
        rmse: f64,
        /// The same by the mean of the others.
        mean_rmse: f64,
    }
}

part! {
    /// The material of a field.
    RowMaterial {
        /// What the job calls it.
        name: String,
        /// Its kind.
        kind: String,
        /// The supplier's name for the lot.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        lot: Option<String>,
        /// Who sells it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        supplier: Option<String>,
        /// The effective part as spread; 1 is pure CaCO3.
        effective_as_spread: f64,
        /// Water in it, of the wet mass; left out where it is not stated.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        moisture: Option<f64>,
        /// Its price.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        price: Option<Quantity>,
        /// Where that holds: `plant`, `delivered` or `spread`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        price_at: Option<String>,
    }
}

part! {
    /// One of several applications.
    RowApplication {
        /// Which, from 1.
        number: u32,
        /// The day planned for it, `YYYY-MM-DD`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        date: Option<String>,
        /// What it spreads.
        product_total: Quantity,
        /// What goes into the spreader for it.
        to_load: Quantity,
        /// What is ordered for it.
        to_order: Quantity,
        /// What lies between the three.
        order: Order,
        /// Where it spreads anything.
        treated_area: Quantity,
        /// Loads of the spreader.
        spreader_loads: u64,
        /// Loads of the trucks, where they are known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        truck_loads: Option<u64>,
    }
}

part! {
    /// The spreader of a field.
    RowMachine {
        /// Between driving lines.
        pass_spacing: Quantity,
        /// The speed of the job.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        speed: Option<Quantity>,
        /// Passes at the heading of the cells.
        passes: usize,
        /// Turns between them.
        turns: usize,
    }
}
