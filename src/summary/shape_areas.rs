//! The shape of the part of `summary.json` that tells of areas of one rate.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::shape::part;
use super::{OneAreaPart, Quantity};

part! {
    /// Areas of one rate in place of the cells.
    RateAreasPart {
        /// How many there are.
        areas: usize,
        /// How many different rates above nothing they have.
        rates: usize,
        /// How many polygons they have.
        polygons: usize,
        /// How many vertices all polygons have; the first of a ring counts once.
        vertices: usize,
        /// The least area that was asked for.
        least_area: Quantity,
        /// The least width that was asked for.
        least_width: Quantity,
        /// How many rounds along the boundary are areas of their own; left out without any.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        end_rows: Option<u32>,
        /// The area of the greatest patch that merged only so that there are no more polygons and
        /// vertices than asked; left out where none did.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        raised_to: Option<Quantity>,
        /// Whether there are no more polygons and vertices than asked; left out where the job does
        /// not say how many.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        within_caps: Option<bool>,
        /// How many areas stay smaller or narrower than asked, because their regions allow no more.
        small_areas: usize,
        /// Their area.
        small_area: Quantity,
        /// The product if every cell got its own rate.
        product_before: Quantity,
        /// The numbers of the areas that are limed this time; left out where all of them are.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        only: Option<Vec<u32>>,
        /// Where nothing is spread this time, and the product that is left out there; left out where
        /// all areas are limed.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        held_back: Option<ChangePart>,
        /// The product with the rates of the areas, less what is held back.
        product_after: Quantity,
        /// Each of them, in the order of their numbers.
        each: Vec<OneAreaPart>,
        /// Where an area's rate is above the cell's own.
        over: ChangePart,
        /// Where it is below.
        under: ChangePart,
    }
}

part! {
    /// Ground whose rate its area changes.
    ChangePart {
        /// The ground.
        area: Quantity,
        /// The product that is added or left out there, as spread.
        product: Quantity,
        /// The effective CaCO3 in it.
        carbonate: Quantity,
    }
}
