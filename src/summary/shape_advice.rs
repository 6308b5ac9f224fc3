//! The shape of what is told of the methods on one job: which can read its samples, and what those
//! that can would come to.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::shape::part;
use super::{FieldNames, FindingPart, InputPart, Program, Quantity, TableLimits};

/// The name and version of the shape of method advice.
pub const ADVICE_SHAPE: &str = "limewright-methods-1";

/// What a method can do with the samples of a job.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub enum MethodStanding {
    /// It can run.
    #[serde(rename = "can run")]
    CanRun,
    /// It can run, but the job's target would be another one in its medium.
    #[serde(rename = "not comparable")]
    NotComparable,
    /// It cannot run.
    #[serde(rename = "cannot run")]
    CannotRun,
    /// It began to run and failed.
    #[serde(rename = "failed")]
    Failed,
}

part! {
    /// Which methods can read the samples of one job, and what those that can come to.
    MethodAdvice {
        /// The name and version of this shape.
        schema: String,
        /// The program that made it.
        program: Program,
        /// The field.
        field: FieldNames,
        /// The system of units: `us` or `metric`.
        units: String,
        /// The method that the job names; left out where it names none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        job_method: Option<String>,
        /// What is limed to, in words.
        target: String,
        /// The medium in which the target is a pH; left out where it is no pH, or where nothing
        /// says which.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        target_medium: Option<String>,
        /// The depth that the lime is to act on.
        limed_depth: Quantity,
        /// The depths that the samples were taken from.
        sampled_depth: String,
        /// How many samples there are; of several layers, all together.
        samples: usize,
        /// What was read of them.
        at_hand: Vec<AtHandPart>,
        /// The mapped area; left out where no method was run.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        area: Option<Quantity>,
        /// The material that the needs are turned into; left out where no method was run.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        material: Option<String>,
        /// Every method: one that the user brings first, then those of this program.
        methods: Vec<AdvisedMethodPart>,
        /// How far those that were run lie apart; left out where none was run.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        spread: Option<MethodSpreadPart>,
        /// What the data told before any method was held against them.
        findings: Vec<FindingPart>,
        /// What to mind.
        cautions: Vec<String>,
        /// What was read.
        inputs: Vec<InputPart>,
    }
}

part! {
    /// Something that was read of the samples.
    AtHandPart {
        /// Its key, as in `[samples.columns]`.
        key: String,
        /// The medium, the buffer, or the unit and the extract; left out where there is none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        measured_in: Option<String>,
    }
}

part! {
    /// One method, held against the samples.
    AdvisedMethodPart {
        /// Its name.
        id: String,
        /// Its title.
        title: String,
        /// Where it was made.
        region: String,
        /// The soils it was made on.
        soils: String,
        /// The readings that its needs go by.
        reads: String,
        /// The depth that its needs are stated for; left out where its source states none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        table_depth: Option<String>,
        /// The medium of its pH and targets.
        ph_medium: String,
        /// Whether the job names it.
        is_of_job: bool,
        /// Whether numbers of it were written from memory.
        from_memory: bool,
        /// Whether it can run.
        standing: MethodStanding,
        /// Why it cannot run, is not compared or failed.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        reasons: Vec<ReasonPart>,
        /// What is converted, scaled or taken for granted where it runs.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        notes: Vec<String>,
        /// The samples that read beyond its rows; left out where it cannot run.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        beyond_rows: Option<BeyondRowsPart>,
        /// What it comes to; left out where it was not run.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        result: Option<MethodResultPart>,
    }
}

part! {
    /// A reason why a method does not run.
    ReasonPart {
        /// The reason, as one sentence without a full stop.
        text: String,
        /// The samples that it holds for; left out where it holds for all.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        samples: Vec<String>,
        /// What to try.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        hint: String,
    }
}

part! {
    /// The samples that read beyond the rows of a method, where its end value is taken.
    BeyondRowsPart {
        /// Below the lowest row.
        below: usize,
        /// Above the highest row.
        above: usize,
        /// Both, as a share of all samples.
        share: f64,
    }
}

part! {
    /// What one method comes to on the field.
    MethodResultPart {
        /// CaCO3 that the field needs.
        need_total: Quantity,
        /// The same over the mapped area.
        need_mean: Quantity,
        /// Product prescribed, as spread.
        product_total: Quantity,
        /// Product to order, as spread.
        to_order: Quantity,
        /// Product over the mapped area.
        mean_rate: Quantity,
        /// Cells with a rate above 0.
        treated_area: Quantity,
        /// CaCO3 left out by the machine's limits.
        unmet_total: Quantity,
        /// Where an end value of the method was taken.
        table_limit_area: TableLimits,
        /// Both, as a share of the mapped area; ground that is beyond in several layers counts
        /// once.
        table_limit_share: f64,
        /// What the order costs; left out where no cost is known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cost_total: Option<Quantity>,
        /// What that covers: of `product`, `haul` and `spreading`, those that it counts.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        cost_covers: Vec<String>,
    }
}

part! {
    /// How far the methods that were run lie apart.
    MethodSpreadPart {
        /// How many were run.
        methods: usize,
        /// What they need.
        need_total: SpreadOf,
        /// What they order.
        to_order: SpreadOf,
        /// What that costs; left out where no cost is known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cost_total: Option<SpreadOf>,
    }
}

part! {
    /// The lowest and the highest of some figures; of several equal ones the first is named.
    SpreadOf {
        /// The lowest.
        lowest: Quantity,
        /// The method that it is of.
        lowest_method: String,
        /// The highest.
        highest: Quantity,
        /// The method that it is of.
        highest_method: String,
        /// The highest less the lowest.
        difference: Quantity,
        /// The highest over the lowest; left out where the lowest is nothing.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ratio: Option<f64>,
    }
}
