//! The shape of a plan, as `fields.json` holds it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::summary::{Quantity, part};

/// What may be decided of a field: all of it is limed.
pub(super) const ALL: &str = "all";
/// Some of its rate areas are.
pub(super) const PART: &str = "part";
/// It needs nothing.
pub(super) const NEEDS_NONE: &str = "needs none";

part! {
    /// Which fields get lime where there is not enough.
    Plan {
        /// What is chosen: `fields`, `rate areas` or `trucks`.
        take: String,
        /// Over how many years.
        years: usize,
        /// By what fields come first, the weightiest first.
        rule: Vec<RulePart>,
        /// What there is and what is made of it: one for all fields, or one for each material.
        pools: Vec<PoolPart>,
        /// Every field, by its id.
        fields: Vec<PlannedField>,
        /// The ledger of all fields together.
        ledger: PlanLedger,
        /// What the gain of pH is worth by the figures of the list; left out where it has none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        response: Option<PlanResponse>,
        /// What is told of the plan.
        notes: Vec<String>,
        /// What to mind.
        cautions: Vec<String>,
    }
}

part! {
    /// One step of the rule.
    RulePart {
        /// What comes first.
        step: String,
        /// Where it comes from: a publication, or that it is the program's own choice.
        source: String,
    }
}

part! {
    /// What is shared out.
    PoolPart {
        /// The material; left out where it is one limit for all.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        material: Option<String>,
        /// What its fields would take together.
        asked: Quantity,
        /// Each year, from the first.
        years: Vec<PoolYear>,
        /// Of `product`, `haul` and `spreading`, what a limit in money pays for; left out where the
        /// limit is of material.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        covers: Vec<String>,
        /// Whether it is proven that no other choice does more by the rule.
        proven: bool,
        /// Where it is not: what no choice can do more than.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        gap: Option<PlanGap>,
        /// How much was tried: sums of choices, or nodes of the search over the years.
        tried: u64,
    }
}

part! {
    /// What a choice could do at most.
    PlanGap {
        /// Ground with aluminium risk that is limed; over several years each counts its years.
        aluminium_area: Quantity,
        /// The same of this plan.
        aluminium_area_here: Quantity,
        /// The pH that ground gains times its area, where no more ground with aluminium risk could be
        /// limed; left out where it could.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ph_gain: Option<Quantity>,
        /// The same of this plan.
        ph_gain_here: Quantity,
    }
}

part! {
    /// One year of what is shared out.
    PoolYear {
        /// Which, from 1.
        year: u32,
        /// What there is; left out where there is no limit.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        limit: Option<Quantity>,
        /// What the plan takes of it.
        used: Quantity,
        /// How many fields get lime, all or in part.
        fields: usize,
        /// What is ordered for them, as spread.
        order: Quantity,
        /// Ground with aluminium risk that is limed.
        aluminium_area: Quantity,
        /// The pH that ground gains times its area.
        ph_gain: Quantity,
    }
}

part! {
    /// What becomes of one field.
    PlannedField {
        /// What its folder is called.
        id: String,
        /// What it is called.
        name: String,
        /// The material that it gets.
        material: String,
        /// `all`, `part`, `held back`, `not this year` or `needs none`.
        decision: String,
        /// The year in which it is limed, from 1; left out where it is not.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        year: Option<u32>,
        /// The numbers of its rate areas that are limed, where that is a part of them.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        only: Vec<u32>,
        /// The line to set in its job, so that its map is that of the plan; left out where nothing
        /// changes.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        set: Option<String>,
        /// What is ordered for it in the plan, as spread.
        order: Quantity,
        /// What would be ordered for all of it.
        order_all: Quantity,
        /// What the plan spreads on it.
        product: Quantity,
        /// What the order of the plan costs; left out where that is not known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cost: Option<Quantity>,
        /// Ground with aluminium risk that the plan limes.
        aluminium_area: Quantity,
        /// The same with all of it limed.
        aluminium_area_all: Quantity,
        /// The pH that its ground gains times its area.
        ph_gain: Quantity,
        /// The same with all of it limed.
        ph_gain_all: Quantity,
        /// What that gain is worth by the figures of the list; left out where it has none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        worth: Option<Quantity>,
        /// Why.
        why: String,
        /// Its ledger under the plan.
        ledger: PlanLedger,
    }
}

part! {
    /// The ledger of a field under the plan, masses of CaCO3: need = supplied + unmet + `held_back` +
    /// `not_this_year` - excess.
    PlanLedger {
        /// Needed.
        need: Quantity,
        /// Supplied.
        supplied: Quantity,
        /// Supplied beyond the need.
        excess: Quantity,
        /// Left out by the machine's limits.
        unmet: Quantity,
        /// Left out because there is not enough: by this plan, or by the `rate_areas.only` of a job.
        held_back: Quantity,
        /// Left out because the list wants none this year; left out of the result where that is
        /// nothing.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        not_this_year: Option<Quantity>,
    }
}

part! {
    /// What the gain of pH is worth.
    PlanResponse {
        /// Whose figures these are.
        source: String,
        /// All fields together.
        worth: Quantity,
    }
}
