//! The shape of the sketch of a field in `summary.json`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Quantity;
use super::shape::part;

part! {
    /// The field in few strokes, for pictures of many fields side by side: its outline, and squares
    /// with the commonest rate in each. Lengths are in the unit of `square`, to the right and upward
    /// from the south-western corner of the box around the field, north up.
    SketchPart {
        /// The rings of the outline, holes too: whole numbers `x y`, parted by commas. The ground is
        /// what lies in an odd number of them.
        outline: Vec<String>,
        /// No vertex that was left out lies farther than this from one that is drawn or from the
        /// line between two of them, beside the rounding to whole numbers; rings too small to be
        /// seen at that tolerance are left out.
        tolerance: Quantity,
        /// The side of a square: a whole number of cells.
        square: Quantity,
        /// The direction of the travel, clockwise from true north: rows follow along it, and the
        /// squares of a row to its right.
        heading_deg: f64,
        /// The near left corner of the first square of the first row.
        corner: [i64; 2],
        /// The rates above 0 that squares have, in the unit of `mean_rate`, rising, parted by
        /// blanks. Where the map has too many of them, one stands for those beside it.
        rates: String,
        /// A row of squares each, a character a square: `0` where nothing is spread, else the place
        /// of its rate in `rates` counted from 1 in the digits `1` to `9`, then `A` to `Z`, then `a`
        /// to `z`; `.` where more than half of it lies off the map or is kept out.
        rows: Vec<String>,
    }
}
