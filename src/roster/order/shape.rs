//! The shape of the order sheet of many fields.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::summary::{Quantity, part};

part! {
    /// What is ordered for many fields, where it is dropped, and when it is spread. Masses are as
    /// spread (wet), distances by road.
    OrderSheet {
        /// What it holds and what not, in sentences for its head; left out where it is simply of all
        /// fields as their jobs are.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        holds: Vec<String>,
        /// What is ordered of each material of each supplier.
        lines: Vec<OrderLine>,
        /// Each drop: what the trucks bring to one place for one application.
        drops: Vec<OrderDrop>,
        /// Each application of each field, in the order in which they are spread.
        visits: Vec<OrderVisit>,
        /// How that order was found, in a sentence.
        sequence_by: String,
        /// All material and hauling that is paid for; left out where a part of it is not known, or
        /// in several currencies.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cost_total: Option<Quantity>,
        /// When the work is done; left out where something for it is missing, which `not_known`
        /// names.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        calendar: Option<OrderCalendar>,
        /// What the numbers rest on, in sentences.
        rests_on: Vec<String>,
        /// What is not worked out, and what is missing for it.
        not_known: Vec<String>,
        /// What to mind.
        cautions: Vec<String>,
    }
}

part! {
    /// What is ordered of one material of one supplier. What is not known is left out.
    OrderLine {
        /// The material.
        material: String,
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
        /// How many fields get it.
        fields: usize,
        /// What the fields need of it: to load, and what stays where the piles lay.
        needed: Quantity,
        /// To order, as delivered.
        to_order: Quantity,
        /// The dry matter in that, where the moisture is known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        dry_matter: Option<Quantity>,
        /// What the fields would order, each by itself.
        ordered_alone: Quantity,
        /// Trucks, the last ones of each drop included.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        trucks: Option<u64>,
        /// Trucks of the fields, each by itself.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        trucks_alone: Option<u64>,
        /// Of what the trucks can carry, the part that they do.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        truck_use: Option<f64>,
        /// The most that the supplier has, where the list says so.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        limit: Option<Quantity>,
        /// Left when all fields are done, in all places together.
        left: Quantity,
        /// In how many places that lies.
        #[serde(default)]
        left_places: usize,
        /// Needed and not there.
        short: Quantity,
        /// What the last field takes, delivered, over its treated area.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        last_rate: Option<Quantity>,
        /// The ground that `left` would do at that rate.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        left_area: Option<Quantity>,
        /// The ground that goes without.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        short_area: Option<Quantity>,
        /// Its price.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        price: Option<Quantity>,
        /// Where that holds: `plant`, `delivered` or `spread`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        price_at: Option<String>,
        /// What the material costs.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        product_cost: Option<Quantity>,
        /// What hauling it costs; a part of the price where that holds delivered or spread.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        haul_cost: Option<Quantity>,
        /// What is paid: the material, and hauling where the price holds at the plant.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cost: Option<Quantity>,
    }
}

part! {
    /// What the trucks bring to one place for one application.
    OrderDrop {
        /// Which, from 1.
        number: usize,
        /// The place of its line among the lines, from 1.
        line: usize,
        /// Where: the place that the jobs name, their pile, or the field.
        place: String,
        /// Which application, from 1.
        application: u32,
        /// The fields that it is for, by their ids.
        fields: Vec<String>,
        /// What they need.
        needed: Quantity,
        /// What is left of an earlier drop and goes into this one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        carried_in: Option<Quantity>,
        /// What the trucks bring.
        ordered: Quantity,
        /// What the fields would order, each by itself.
        ordered_alone: Quantity,
        /// What one truck carries.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        truck: Option<Quantity>,
        /// How many come.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        trucks: Option<u64>,
        /// How many would come to the fields, each by itself.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        trucks_alone: Option<u64>,
        /// What hauling costs; left out where it is not known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        haul_cost: Option<Quantity>,
    }
}

part! {
    /// One application on one field.
    OrderVisit {
        /// Which in the order of work, from 1.
        number: usize,
        /// The field's id.
        id: String,
        /// What the field is called.
        field: String,
        /// Which application, from 1.
        application: u32,
        /// The place of its line among the lines, from 1.
        line: usize,
        /// The number of its drop.
        drop: usize,
        /// The day that its job states.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        stated_day: Option<String>,
        /// What arrives before it: the whole of its drop where it is the first there.
        arrives: Quantity,
        /// Trucks with that.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        trucks: Option<u64>,
        /// What goes through the spreader.
        spread: Quantity,
        /// What stays where the pile lay.
        lost: Quantity,
        /// What it needs and does not get.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        short: Option<Quantity>,
        /// What lies at its drop after it.
        left_here: Quantity,
        /// What there is of the material after it in all places together, arrived and not used.
        balance: Quantity,
        /// From the field before it: a straight line times the road factor.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        move_distance: Option<Quantity>,
        /// How long one spreader would work, as far as it is known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        hours: Option<Quantity>,
        /// The day on which work begins.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        begins: Option<String>,
        /// The day on which it ends.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ends: Option<String>,
        /// What it waited for at its end: `spreading` or `trucks`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        waits_for: Option<String>,
    }
}

part! {
    /// When the work is done.
    OrderCalendar {
        /// How long is worked in a day.
        hours_a_day: Quantity,
        /// How many spreaders work at once, on one field together.
        spreaders: u32,
        /// How many trucks haul; left out where they do not count.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        trucks: Option<u32>,
        /// Hours of one spreader, moving aside.
        spreading: Quantity,
        /// Hours on the road from field to field.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        moving: Option<Quantity>,
        /// Hours of one truck.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        hauling: Option<Quantity>,
        /// The first day.
        first_day: String,
        /// The last day on which is worked.
        last_day: String,
        /// Days from the first to the last on which is worked or could be.
        working_days: u64,
        /// Of these, the days on which no field is worked on, because the next waits for its stated
        /// day.
        #[serde(default)]
        idle_days: u64,
        /// What sets the last day: `spreading`, `trucks` (their hours are more), or `stated days`
        /// (without them all would be done on an earlier day).
        binds: String,
    }
}
