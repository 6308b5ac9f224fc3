//! The JSON Schema of a rate map, written with the names that the map itself is written with.

use serde_json::{Map, Value, json};

use super::area_map::{END_ROW, RATE_AREA};
use super::rate_map::{
    BUFFER_PH, CAVEAT, CELL, LIMIT, LayerNames, MapUnits, PH, RISK, SAMPLE_ZONE, SAMPLES,
    SAMPLES_WORDS, TABLE_LIMIT, TEXTURE, TableLimit, value_name,
};
use crate::agronomy::SoilRisk;
use crate::machine::Limit;
use crate::units::{SoilValue, TextureClass, UnitSystem};

/// The JSON Schema of a rate map in the units of `system`, in draft 2020-12.
pub(super) fn rate_map_schema(system: UnitSystem) -> Value {
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": format!("Rate map ({})", system.words()),
        "description":
            "GeoJSON (RFC 7946) with one feature for each cell, or for each area of one rate \
             where the job asks for these; the features tile the field, and ground that needs \
             nothing is among them with 0. Longitude and latitude in WGS 84 \
             degrees with seven decimals, right-hand rings.",
        "type": "object",
        "required": ["type", "bbox", "features"],
        "additionalProperties": false,
        "properties": {
            "type": { "const": "FeatureCollection" },
            CAVEAT: {
                "description": "Whose numbers the needs are, where they are not those of a publication that the program has seen.",
                "type": "string",
            },
            "bbox": {
                "description": "West, south, east and north of the features, in degrees.",
                "type": "array",
                "prefixItems": [longitude(), latitude(), longitude(), latitude()],
                "items": false,
                "minItems": 4,
            },
            "features": {
                "description": "The cells, by row and then by column; or the rate areas, by their numbers.",
                "type": "array",
                "items": { "$ref": "#/$defs/Feature" },
                "minItems": 1,
            },
        },
        "$defs": {
            "Feature": {
                "type": "object",
                "required": ["type", "properties", "geometry"],
                "additionalProperties": false,
                "properties": {
                    "type": { "const": "Feature" },
                    "properties": {
                        "oneOf": [{ "$ref": "#/$defs/Cell" }, { "$ref": "#/$defs/RateArea" }],
                    },
                    "geometry": {
                        "oneOf": [
                            geometry("Polygon", "Rings", "A cell or rate area in one piece."),
                            geometry("MultiPolygon", "Pieces", "One cut into several pieces."),
                        ],
                    },
                },
            },
            "Cell": cell(&MapUnits::of(system), system),
            "RateArea": rate_area(&MapUnits::of(system), system),
            "Pieces": { "type": "array", "items": { "$ref": "#/$defs/Rings" }, "minItems": 1 },
            "Rings": {
                "description": "The outer ring, then the holes.",
                "type": "array",
                "items": { "$ref": "#/$defs/Ring" },
                "minItems": 1,
            },
            "Ring": {
                "description": "Corners; the last is the first again.",
                "type": "array",
                "items": { "$ref": "#/$defs/Position" },
                "minItems": 4,
            },
            "Position": {
                "description": "Longitude and latitude, in degrees.",
                "type": "array",
                "prefixItems": [longitude(), latitude()],
                "items": false,
                "minItems": 2,
            },
        },
    })
}

fn longitude() -> Value {
    json!({ "type": "number", "minimum": -180, "maximum": 180 })
}

fn latitude() -> Value {
    json!({ "type": "number", "minimum": -90, "maximum": 90 })
}

fn geometry(kind: &str, coordinates: &str, description: &str) -> Value {
    json!({
        "description": description,
        "type": "object",
        "required": ["type", "coordinates"],
        "additionalProperties": false,
        "properties": {
            "type": { "const": kind },
            "coordinates": { "$ref": format!("#/$defs/{coordinates}") },
        },
    })
}

/// What stands beside the geometry of a rate area.
fn rate_area(units: &MapUnits, system: UnitSystem) -> Value {
    let (area, mass, rate) = words_of(system);
    let amount = |text: String| json!({ "description": text, "type": "number", "minimum": 0 });
    json!({
        "description": "The values of one area of one rate; a name ends in its unit.",
        "type": "object",
        "required": [
            RATE_AREA, units.area, PH, units.need, units.rate, units.product, units.unmet,
        ],
        "additionalProperties": false,
        "properties": {
            RATE_AREA: {
                "description": "Its number, from 1 in the order of the first cells of the areas.",
                "type": "integer",
                "minimum": 1,
            },
            SAMPLE_ZONE: {
                "description": "The sample zone that it lies in, where the samples are of zones; \
                                null where it lies in none.",
                "type": ["string", "null"],
            },
            END_ROW: {
                "description": "Which round along the boundary it is of, from 1 at the boundary, \
                                where the job asks for rounds; null within them.",
                "type": ["integer", "null"],
                "minimum": 1,
            },
            units.area: amount(format!("Its area, in {area}.")),
            PH: {
                "description": "The mean pH of its ground, in the medium that the summary names; \
                                of the topmost layer where there are several.",
                "type": "number",
                "minimum": 0,
                "maximum": 14,
            },
            units.need: amount(format!("Pure CaCO3 that its ground needs on average, in {rate}.")),
            units.rate: amount(format!("Material as spread (wet), in {rate}.")),
            units.product: amount(format!("Material as spread (wet) in the area, in {mass}.")),
            units.unmet: amount(format!(
                "Part of the need that is left out, on average over its ground, CaCO3 in {rate}."
            )),
        },
    })
}

/// Areas, masses and rates in words.
fn words_of(system: UnitSystem) -> (&'static str, &'static str, &'static str) {
    match system {
        UnitSystem::Us => ("acres", "short tons", "short tons an acre"),
        UnitSystem::Metric => ("hectares", "tonnes", "tonnes a hectare"),
    }
}

/// What stands beside the geometry of a cell.
fn cell(units: &MapUnits, system: UnitSystem) -> Value {
    let (area, mass, rate) = words_of(system);
    let amount = |text: String| json!({ "description": text, "type": "number", "minimum": 0 });
    let word = |text: &str, words: &[&str]| json!({ "description": text, "enum": words });
    let reading = |text: &str, kind: Value| json!({ "description": text, "type": kind, "minimum": 0, "maximum": 14 });
    let described = [
        (
            CELL,
            json!({
                "description": "Row and column in the grid, and a letter for the second and further parts of a square that is cut between regions; a stable name.",
                "type": "string",
                "pattern": "^[0-9]+-[0-9]+[a-z]*$",
            }),
        ),
        (
            SAMPLE_ZONE,
            json!({
                "description": "The sample zone that the cell lies in, where the samples are of \
                                zones; null where it lies in none and has the nearest one's value.",
                "type": ["string", "null"],
            }),
        ),
        (units.area, amount(format!("Area of the cell, in {area}."))),
        (PH, reading("Soil pH, in the medium that the summary names.", json!("number"))),
        (
            BUFFER_PH,
            reading(
                "Buffer pH, where the job reads one; null where the lab ran none nearby.",
                json!(["number", "null"]),
            ),
        ),
        (
            TEXTURE,
            word(
                "Texture class with the greatest weight, where the samples have it.",
                &TextureClass::ALL.map(TextureClass::words),
            ),
        ),
        (units.need, amount(format!("Pure CaCO3 that the cell needs, in {rate}."))),
        (units.rate, amount(format!("Material as spread (wet), in {rate}."))),
        (units.product, amount(format!("Material as spread (wet) in the cell, in {mass}."))),
        (units.unmet, amount(format!("Part of the need that a limit left out, CaCO3 in {rate}."))),
        (
            LIMIT,
            word(
                "What a limit of the machine, or an override, did.",
                &Limit::ALL.map(Limit::words),
            ),
        ),
        (
            TABLE_LIMIT,
            word(
                "Beyond which end of the method's rows the reading lies.",
                &TableLimit::ALL.map(TableLimit::words),
            ),
        ),
        (
            SAMPLES,
            word(
                "Within the samples' hull or a sample zone, or on that hull or beyond it.",
                &SAMPLES_WORDS,
            ),
        ),
        (
            RISK,
            word(
                "What the soil puts at risk before it is limed, by the worst of its layers; left \
                 out where the pH has no way to water.",
                &SoilRisk::WORDS,
            ),
        ),
    ];
    let required: Vec<&str> = described
        .iter()
        .map(|(name, _)| *name)
        .filter(|name| ![BUFFER_PH, TEXTURE, SAMPLE_ZONE, RISK].contains(name))
        .collect();
    let required = json!(required);
    let mut properties: Map<String, Value> =
        described.into_iter().map(|(name, schema)| (name.to_owned(), schema)).collect();
    properties.extend(soil_values());
    json!({
        "description":
            "The values of one cell; a name ends in its unit. Where there are several layers of \
             soil, a reading without a depth in its name is of the topmost.",
        "type": "object",
        "required": required,
        "additionalProperties": false,
        "properties": properties,
        "patternProperties": layers(&properties, units),
    })
}

/// The values of the soil beside pH and buffer pH, each in every unit that it may be reported in.
fn soil_values() -> impl Iterator<Item = (String, Value)> {
    SoilValue::ALL.into_iter().flat_map(|value| {
        value.bounded().kind.units.iter().map(move |(unit, _)| {
            let words = value.words();
            let what = format!("The soil's {words} in {unit}, where the samples have it so.");
            let schema = json!({ "description": what, "type": "number", "minimum": 0 });
            (value_name(value, unit), schema)
        })
    })
}

/// What stands beside that of each of several layers of soil, under a name with its depth; `p`
/// stands for the decimal point.
fn layers(properties: &Map<String, Value>, units: &MapUnits) -> Map<String, Value> {
    let depth = "[0-9]+(p[0-9]+)?_[0-9]+(p[0-9]+)?_(in|cm)";
    let whole_values: Vec<String> = soil_values().map(|(name, _)| name).collect();
    let LayerNames { ph, buffer_ph, values, texture, need, table_limit } =
        LayerNames::with_key(depth, units, &whole_values);
    let names = [
        (ph, PH),
        (buffer_ph, BUFFER_PH),
        (texture, TEXTURE),
        (need, units.need),
        (table_limit, TABLE_LIMIT),
    ];
    let names = names.map(|(pattern, whole)| (pattern, whole.to_owned()));
    names
        .into_iter()
        .chain(values.into_iter().zip(whole_values))
        .filter_map(|(pattern, whole)| {
            let mut schema = properties.get(&whole)?.clone();
            let text = schema.get("description").and_then(Value::as_str).unwrap_or_default();
            let text = format!("Of the layer of that depth, where there are several: {text}");
            schema["description"] = Value::String(text);
            Some((format!("^{pattern}$"), schema))
        })
        .collect()
}
