//! The shape of what a summary says of the spreader on this field: what flows, how fast it may be
//! driven, what its rate changes and its throw reach, and how many passes it takes.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Quantity;
use super::shape::part;

part! {
    /// The spreader on this field.
    MachinePart {
        /// Between driving lines.
        pass_spacing: Quantity,
        /// The speed of the job.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        speed: Option<Quantity>,
        /// The fastest that the spreader drives.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        top_speed: Option<Quantity>,
        /// The least that flows out of it evenly.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        min_flow: Option<Quantity>,
        /// The most that flows out of it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        max_flow: Option<Quantity>,
        /// The rate of the least flow at the job's speed.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        least_rate: Option<Quantity>,
        /// The rate of the most flow at the job's speed.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        greatest_rate: Option<Quantity>,
        /// What each rate of the map above 0 asks of the flow and the speed.
        rates: Vec<RateFlowPart>,
        /// What a change of the rate reaches; left out where the job states no speed.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        rate_change: Option<RateChangePart>,
        /// What the throw reaches; left out where the job states no throw width.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        throw: Option<ThrowPart>,
        /// How many passes the field takes.
        heading: HeadingPart,
    }
}

part! {
    /// What one rate asks of the flow and the speed.
    RateFlowPart {
        /// The rate.
        rate: Quantity,
        /// What flows out at the job's speed.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        flow: Option<Quantity>,
        /// Whether the spreader's flow holds it at that speed: `held`, `too little` or `too much`
        /// to flow; left out where the job states no speed or no flow.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        at_speed: Option<String>,
        /// The slowest speed at which it is held, by the least flow.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        slowest_speed: Option<Quantity>,
        /// The fastest, by the most flow and the top speed.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        fastest_speed: Option<Quantity>,
    }
}

part! {
    /// What a change of the rate reaches.
    RateChangePart {
        /// The least time that a change takes.
        least_time: Quantity,
        /// The most.
        most_time: Quantity,
        /// Where the times come from: `the job`, or a publication.
        source: String,
        /// How far the spreader drives in the least time.
        least_distance: Quantity,
        /// How far in the most.
        most_distance: Quantity,
        /// The shortest run of one rate along the travel, beside which there is another rate; left
        /// out where no rate changes along the travel.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        shortest_run: Option<Quantity>,
        /// The ground in such runs that are shorter than the least distance.
        short_of_least_area: Quantity,
        /// The ground in such runs that are shorter than the most distance.
        short_of_most_area: Quantity,
    }
}

part! {
    /// What the throw reaches.
    ThrowPart {
        /// How wide the spreader throws, both sides together.
        width: Quantity,
        /// How far inside the edge of what is spread the outermost driving line lies: half the pass
        /// spacing unless the job states it.
        outermost_line: Quantity,
        /// How far product flies beyond the edge of what is spread.
        beyond_edge: Quantity,
        /// The ground outside the boundary, its holes included, that this reaches.
        off_field_area: Quantity,
        /// The ground kept out, setback included, that this reaches.
        kept_out_area: Quantity,
    }
}

part! {
    /// How many passes the field takes.
    HeadingPart {
        /// The heading of the cells, clockwise from true north.
        heading: Quantity,
        /// Passes at it.
        passes: usize,
        /// Turns between them.
        turns: usize,
        /// The heading with the fewest passes among those of the longest straight sides and of the
        /// long axis; left out where none has fewer.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        fewest: Option<FewestPassesPart>,
    }
}

part! {
    /// A heading with fewer passes.
    FewestPassesPart {
        /// The heading, clockwise from true north.
        heading: Quantity,
        /// What it follows: `a straight side` or `the long axis`.
        along: String,
        /// How long that is.
        length: Quantity,
        /// Passes at it.
        passes: usize,
        /// Turns between them.
        turns: usize,
    }
}
