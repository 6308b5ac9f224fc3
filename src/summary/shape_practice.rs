//! The shape of what a summary says of unmet need, of single applications and of
//! how long the lime may last.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Quantity;
use super::shape::part;

part! {
    /// More of the need left unmet than the job lets pass without a word at its head.
    UnmetPart {
        /// The part of the need.
        share: f64,
        /// The part from which on it is told.
        told_from: f64,
        /// In how many applications the need would be met where rates are held to the greatest; left
        /// out where none is.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        applications: Option<u32>,
        /// How effective, as spread, a material would meet it there in one application; left out
        /// where none is so strong.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        effective_at_least: Option<f64>,
        /// All of it in words.
        text: String,
    }
}

part! {
    /// What goes on the ground at once, and what publications go up to.
    ApplicationPart {
        /// How the lime is placed.
        placement: String,
        /// The greatest rate of one application, as spread.
        greatest_rate: Quantity,
        /// What acts of it, as CaCO3.
        greatest_effective_rate: Quantity,
        /// The most that the job allows, as material as spread; left out where it states none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        held_to: Option<Quantity>,
        /// What publications go up to where lime is placed so.
        published: Vec<ApplicationLimitPart>,
    }
}

part! {
    /// The most that one publication puts on the ground at once.
    ApplicationLimitPart {
        /// Where it holds.
        region: String,
        /// The rate.
        most: Quantity,
        /// What it is of: `material`, `effective` or `not stated`.
        basis: String,
        /// Whether the map goes beyond it; where it is not stated what it is of, held against
        /// material.
        exceeded: bool,
        /// In how many applications the greatest rate of the map would keep to it.
        applications: u32,
        /// What is said beside it.
        rest: String,
        /// The publication, and the place in it.
        source: String,
    }
}

part! {
    /// How fast the material acts by its fineness. A part lies between two ends where a sieve was not
    /// used.
    ReactionPart {
        /// What reacts of it within a year.
        within_a_year: ReactionYearPart,
        /// What publications say of each size.
        by_size: Vec<ReactionSizePart>,
        /// Whole months from spreading to seeding; left out where the job does not state both days.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        months_to_seeding: Option<u32>,
        /// Of the sizes that are said to have acted by the day of seeding, the one with the greatest
        /// part.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        acted_by_seeding: Option<ReactionSizePart>,
    }
}

part! {
    /// What reacts of a material within a year.
    ReactionYearPart {
        /// The least that it can be, from 0 to 1.
        least: f64,
        /// The most.
        most: f64,
        /// The publication, and the place in it.
        source: String,
    }
}

part! {
    /// What one publication says of one size.
    ReactionSizePart {
        /// The size: `finer than 60 mesh`.
        size: String,
        /// The least part of the material that is of it, from 0 to 1.
        least: f64,
        /// The most.
        most: f64,
        /// How fast that part acts.
        says: String,
        /// The publication, and the place in it.
        source: String,
    }
}

part! {
    /// How long the lime may last.
    UpkeepPart {
        /// CaCO3 that the limed ground gets on average.
        supplied: Quantity,
        /// The fewest years after which that is used up, of all publications.
        years_least: f64,
        /// The most.
        years_most: f64,
        /// What each publication says is used in a year.
        uses: Vec<YearlyUsePart>,
    }
}

part! {
    /// What one publication says is used in a year.
    YearlyUsePart {
        /// What is counted.
        counts: String,
        /// What is used, as CaCO3; left out where the publication has no figure for a form of nitrogen
        /// that is given.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        used: Option<Quantity>,
        /// The years after which what is supplied is used up.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        years: Option<f64>,
        /// The publications, and the places in them.
        source: String,
    }
}
