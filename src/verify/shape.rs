//! The shape of what reading finished maps prints for programs.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::summary::{Quantity, part};

/// The name and version of the shape.
pub(super) const READINGS_SHAPE: &str = "limewright-readings-1";

part! {
    /// What some finished maps come to.
    Readings {
        /// The name and version of this shape.
        schema: String,
        /// The maps, in the order in which they were named and found.
        exports: Vec<ExportReading>,
    }
}

part! {
    /// One file, or the files of one map.
    ExportReading {
        /// The file.
        file: String,
        /// What kind of file it is, in words.
        format: String,
        /// The rate maps in it.
        maps: Vec<MapReading>,
        /// What is wrong with it, or looks wrong.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        faults: Vec<FaultPart>,
    }
}

part! {
    /// Something that is wrong with a file, or looks wrong.
    FaultPart {
        /// What kind it is of.
        key: String,
        /// What there is to say.
        text: String,
    }
}

part! {
    /// One rate map.
    MapReading {
        /// Its name: that of a column, a band or a treatment.
        name: String,
        /// The unit of its rates, where it is known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        unit: Option<String>,
        /// Its polygons; left out of a grid and a table.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        polygons: Option<usize>,
        /// The corners of its polygons.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        vertices: Option<usize>,
        /// The cells of a grid that have a rate.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cells: Option<usize>,
        /// The rows of a table.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        rows: Option<usize>,
        /// The ground that has a rate, also of nothing.
        area: Quantity,
        /// Polygons or rows without a rate.
        area_without_rate: Quantity,
        /// The least rate, in the unit of the map.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        least: Option<f64>,
        /// The greatest.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        greatest: Option<f64>,
        /// All product, where the unit is known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        product: Option<Quantity>,
        /// Each rate; left out where there are more than a thousand.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        rates: Vec<RateReading>,
        /// How it stands beside what was meant.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        against: Option<AgainstPart>,
    }
}

part! {
    /// The ground of one rate.
    RateReading {
        /// The rate, in the unit of the map.
        rate: f64,
        /// Its area.
        area: Quantity,
        /// Its product, where the unit is known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        product: Option<Quantity>,
    }
}

part! {
    /// A map beside what was meant.
    AgainstPart {
        /// Where that stands.
        file: String,
        /// The product that was meant.
        product: Quantity,
        /// How far the map is off, as a share of it; above 0 where it has more.
        difference: f64,
        /// How far it may be off.
        tolerance: f64,
        /// Whether it is within that.
        within: bool,
    }
}

/// The JSON Schema of what is printed.
pub fn readings_schema() -> Value {
    let mut schema = schemars::schema_for!(Readings).to_value();
    schema["properties"]["schema"] = serde_json::json!({ "const": READINGS_SHAPE });
    schema
}
