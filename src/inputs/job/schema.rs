//! The JSON Schema of a job file: the shape of the types, and what the checks ask beyond it:
//! units and limits of quantities, the words that a key knows, the keys that must be there.

use serde_json::{Map, Value, json};

use super::TemperatureUnit;
use super::check_samples::PH_BY_ROW;
use super::file::job_file_schema;
use super::material_list_file::MATERIAL_LIST_FILE_SCHEMA;
use super::schema_material::{
    either_effective_or_an_analysis, material_keys_together, names_of, says_of_material,
    taken_from_a_list, without_a_worth,
};
use super::schema_rate_areas::says_of_rate_areas;
use super::schema_spreading::says_of_spreading;
use crate::agronomy::{
    AlExtract, Buffer, CapacityReading, Correction, LAB_RECOMMENDATION, Placement, SoilClass,
    all_guides, all_methods, nitrogen_forms, removed_products,
};
use crate::inputs::{Censored, DecimalMark, LayerGaps, Missing, RepeatRule};
use crate::material::all_kinds;
use crate::units::{Bounded, PhMedium, SoilAttribute, SoilValue, UnitKind, UnitSystem, bound};

/// The JSON Schema of a job file, in draft 2020-12.
///
/// It knows each word in its usual spelling; the program takes other capitals, too.
pub fn job_schema() -> Value {
    let mut schema = settings_schema();
    for (table, required) in REQUIRED {
        if let Some(table) = table_of(&mut schema, table) {
            table.insert("required".to_owned(), json!(required));
        }
    }
    if let Some(spreader) = table_of(&mut schema, "spreader") {
        spreader.insert("oneOf".to_owned(), either_steps_or_a_list());
    }
    if let Some(areas) = table_of(&mut schema, "rate_areas") {
        let both = json!({ "required": ["rates_at_most", "tolerance"] });
        areas.insert("not".to_owned(), both);
    }
    if let Some(only) = property_of(&mut schema, "rate_areas.only") {
        only.insert("minItems".to_owned(), json!(1));
        only.insert("uniqueItems".to_owned(), json!(true));
        only.insert("items".to_owned(), json!({ "type": "integer", "minimum": 1 }));
    }
    if let Some(order) = property_of(&mut schema, "override.[]") {
        order.insert("required".to_owned(), json!(["area", "reason"]));
        order.insert("oneOf".to_owned(), json!(WHAT_AN_OVERRIDE_DOES.map(only)));
    }
    if let Some(samples) = table_of(&mut schema, "samples") {
        let together = json!({
            "zones": ["zone_key"],
            "zone_key": ["zones"],
            "zone_gap_limit": ["zones"],
            "by_zone": ["file", "zones"],
            "zone_results": ["by_zone"],
            "zone_results_key": ["zone_results"],
            "lab_key": ["lab"],
            "depth_unit": ["layers"],
            "layer_gaps": ["layers"],
            "layer_missing": ["layers"],
        });
        samples.insert("dependentRequired".to_owned(), together);
        samples.insert("oneOf".to_owned(), either_one_depth_or_layers());
        // The areas of zones may carry the results themselves.
        let from = json!([{ "required": ["file"] }, { "required": ["zones"] }]);
        samples.insert("anyOf".to_owned(), from);
    }
    if let Some(root) = table_of(&mut schema, "") {
        root.insert("anyOf".to_owned(), a_target_or_the_laboratorys());
    }
    if let Some(lab) = property_of(&mut schema, "need.lab") {
        lab.insert("required".to_owned(), json!(["basis", "depth", "target"]));
    }
    if let Some(target) = table_of(&mut schema, "target") {
        target.insert("oneOf".to_owned(), one_target());
    }
    if let Some(field) = table_of(&mut schema, "field") {
        field.insert("dependentRequired".to_owned(), json!({ "setback": ["keep_out"] }));
    }
    if let Some(material) = table_of(&mut schema, "material") {
        material.insert("dependentRequired".to_owned(), material_keys_together());
        let mut ways = either_effective_or_an_analysis();
        ways.push(taken_from_a_list(material));
        material.insert("oneOf".to_owned(), Value::Array(ways));
    }
    schema
}

/// The JSON Schema of the settings that a job may have, none of which has to be there.
pub(super) fn settings_schema() -> Value {
    let mut schema = job_file_schema();
    for (key, says) in says_of_keys() {
        if let Some(property) = property_of(&mut schema, key) {
            says.add_to(property);
        }
    }
    for key in ["risk.aluminium_ph", "risk.manganese_ph", "risk.overliming_ph"] {
        if let Some(property) = property_of(&mut schema, key) {
            Says::Reading(&bound::SOIL_PH).add_to(property);
        }
    }
    for value in SoilValue::ALL {
        let words = value.bounded().kind.units.iter().map(|(unit, _)| *unit).collect();
        if let Some(property) = property_of(&mut schema, &format!("samples.units.{}", value.key()))
        {
            Says::Words(words).add_to(property);
        }
    }
    for table in AREA_TABLES {
        if let Some(table) = property_of(&mut schema, table) {
            table.insert("required".to_owned(), json!(["file"]));
        }
    }
    schema
}

/// The JSON Schema of a list of materials, in draft 2020-12.
pub fn material_list_schema() -> Value {
    let mut schema = MATERIAL_LIST_FILE_SCHEMA.clone();
    for (key, says) in says_of_keys() {
        let key = match key.split_once('.') {
            Some(("material", rest)) => format!("material.[].{rest}"),
            Some(("haul", rest)) => format!("material.[].haul.{rest}"),
            _ => continue,
        };
        if let Some(property) = property_of(&mut schema, &key) {
            says.add_to(property);
        }
    }
    schema["required"] = json!(["material"]);
    if let Some(kind) = property_of(&mut schema, "material.[].kind") {
        // Those that do not lime are listed with the rest, and told so.
        Says::Words(names_of(all_kinds())).add_to(kind);
    }
    if let Some(material) = property_of(&mut schema, "material.[]") {
        material.insert("required".to_owned(), json!(["name", "kind"]));
        material.insert("dependentRequired".to_owned(), material_keys_together());
        // What does not lime is listed without a worth.
        let mut ways = either_effective_or_an_analysis();
        ways.push(without_a_worth());
        material.insert("oneOf".to_owned(), Value::Array(ways));
    }
    schema
}

/// The keys without which no job can be prescribed, table by table; the file itself first.
const REQUIRED: &[(&str, &[&str])] = &[
    ("", &["units", "field", "samples", "need", "material", "spreader"]),
    ("field", &["boundary"]),
    ("samples", &["ph_measured_in"]),
    ("need", &["method", "limed_depth", "placement"]),
    ("spreader", &["pass_spacing", "payload"]),
    ("rate_areas", &["least_area"]),
];

/// The tables that name a map file beside the boundary.
const AREA_TABLES: [&str; 4] =
    ["field.keep_out.{}", "field.keep_out.[].{}", "samples.zones.{}", "override.[].area.{}"];

fn either_one_depth_or_layers() -> Value {
    json!([
        { "required": ["sampled_depth"], "properties": { "layers": false } },
        {
            "required": ["layers"],
            "properties": { "sampled_depth": false, "layers": { "minItems": 2 } },
        },
    ])
}

/// Only a laboratory's recommendation brings its own target.
fn a_target_or_the_laboratorys() -> Value {
    let of_laboratory = json!({ "method": { "const": LAB_RECOMMENDATION } });
    json!([
        { "required": ["target"] },
        { "properties": { "need": { "properties": of_laboratory, "required": ["lab"] } } },
    ])
}

fn one_target() -> Value {
    json!([
        { "required": ["ph"], "properties": { "crop": false, "rotation": false } },
        { "required": ["crop", "guide"], "properties": { "ph": false, "rotation": false } },
        { "required": ["rotation", "guide"], "properties": { "ph": false, "crop": false } },
        { "required": ["base_saturation"], "properties": { "ph": false, "crop": false } },
        { "required": ["aluminium_saturation"], "properties": { "ph": false, "crop": false } },
    ])
}

fn either_steps_or_a_list() -> Value {
    json!([
        {
            "required": ["rates"],
            "properties": { "min_rate": false, "max_rate": false, "step": false },
        },
        { "required": ["min_rate", "max_rate", "step"], "properties": { "rates": false } },
    ])
}

/// The keys of an override of which it has exactly one.
const WHAT_AN_OVERRIDE_DOES: [&str; 4] = ["rate", "cap", "factor", "no_product"];

fn only(key: &str) -> Value {
    let others = WHAT_AN_OVERRIDE_DOES.into_iter().filter(|other| *other != key);
    let none: Map<String, Value> = others.map(|key| (key.to_owned(), json!(false))).collect();
    json!({ "required": [key], "properties": none })
}

/// What is said of one key beyond its type.
pub(super) enum Says {
    /// A quantity in a text.
    Quantity(&'static Bounded),
    /// Quantities in a list.
    Quantities(&'static Bounded),
    /// A reading on a pH scale.
    Reading(&'static Bounded),
    /// A whole number from one to another.
    Count(u32, u32),
    /// One of some words.
    Words(Vec<&'static str>),
    /// One of some words, or a text of a form of its own: its regular expression.
    WordsOr(Vec<&'static str>, &'static str),
    /// A text of a form of its own: the regular expression, the form in words, an example.
    Form(String, &'static str, &'static str),
}

pub(super) fn says_of_keys() -> Vec<(&'static str, Says)> {
    use Says::{Quantity, Reading, Words, WordsOr};
    let systems = [UnitSystem::Us, UnitSystem::Metric];
    let mut says = vec![
        ("units", Words(systems.map(UnitSystem::words).to_vec())),
        ("samples.sampled_depth", depth_interval()),
        ("samples.layers.[]", depth_interval()),
        (
            "samples.depth_unit",
            Words(bound::DEPTH.kind.units.iter().map(|(unit, _)| *unit).collect()),
        ),
        ("samples.layer_gaps", Words(LayerGaps::ALL.map(LayerGaps::words).to_vec())),
        ("samples.layer_missing", Words(Missing::ALL.map(Missing::words).to_vec())),
        (
            "samples.ph_measured_in",
            Words(PhMedium::ALL.map(PhMedium::words).into_iter().chain([PH_BY_ROW]).collect()),
        ),
        ("samples.lab_check.apply", Words(Correction::ALL.map(Correction::words).to_vec())),
        ("samples.ph_converted_to", Words(PhMedium::ALL.map(PhMedium::words).to_vec())),
        ("samples.buffer", Words(Buffer::ALL.map(Buffer::words).to_vec())),
        ("samples.al_extract", Words(AlExtract::ALL.map(AlExtract::words).to_vec())),
        (
            "samples.buffer_capacity_read",
            Words(CapacityReading::ALL.map(CapacityReading::words).to_vec()),
        ),
        ("samples.decimal", Words(DecimalMark::ALL.map(DecimalMark::words).to_vec())),
        ("samples.censored", Words(Censored::ALL.map(Censored::words).to_vec())),
        ("samples.repeats", Words(RepeatRule::ALL.map(RepeatRule::words).to_vec())),
        ("samples.missing", Words(Missing::ALL.map(Missing::words).to_vec())),
        ("samples.buffer_blank_above", Reading(&bound::SOIL_PH)),
        ("samples.repeatability.ph", Reading(&bound::REPEATABILITY)),
        ("samples.repeatability.buffer_ph", Reading(&bound::REPEATABILITY)),
        ("need.lab.depth", Quantity(&bound::LIMED_DEPTH)),
        ("need.lab.target", Reading(&bound::TARGET_PH)),
        ("need.soil_class", Words(SoilClass::ALL.map(SoilClass::words).to_vec())),
        ("history.[].rate", Quantity(&bound::PAST_RATE)),
        ("target.ph", Reading(&bound::TARGET_PH)),
        ("target.base_saturation", Quantity(&bound::BASE_SATURATION)),
        ("target.aluminium_saturation", Quantity(&bound::ALUMINIUM_SATURATION)),
        ("target.guide", Words(all_guides().iter().map(|guide| guide.id.as_str()).collect())),
        ("risk.aluminium", Quantity(SoilValue::Aluminium.bounded())),
        ("risk.aluminium_saturation", Quantity(&bound::ALUMINIUM_SATURATION)),
        ("samples.bulk_density", Quantity(&bound::SOIL_DENSITY)),
        ("target.treat_below", Reading(&bound::TREAT_BELOW)),
        (
            "need.method",
            WordsOr(
                all_methods()
                    .iter()
                    .map(|m| m.card().id.as_str())
                    .chain([LAB_RECOMMENDATION])
                    .collect(),
                r"^\s*file:.*\.([tT][oO][mM][lL]|[jJ][sS][oO][nN])\s*$",
            ),
        ),
        ("need.limed_depth", Quantity(&bound::LIMED_DEPTH)),
        ("need.placement", Words(Placement::ALL.map(Placement::words).to_vec())),
        ("samples.zone_gap_limit", Quantity(&bound::ZONE_GAP)),
        ("samples.outside_within", Quantity(&bound::OUTSIDE_WITHIN)),
        ("samples.by_zone.[]", Words(SoilAttribute::all().map(SoilAttribute::key).collect())),
        ("field.setback", Quantity(&bound::SETBACK)),
        ("field.keep_out.{}.setback", Quantity(&bound::SETBACK)),
        ("field.keep_out.[].{}.setback", Quantity(&bound::SETBACK)),
        ("override.[].rate", Quantity(&bound::MACHINE_RATE)),
        ("override.[].cap", Quantity(&bound::MACHINE_RATE)),
        ("override.[].factor", Reading(&bound::RATE_FACTOR)),
    ];
    says.extend(says_of_spreading());
    says.extend(says_of_material());
    says.extend(says_of_meter_log());
    says.extend(says_of_practice());
    says.extend(says_of_rate_areas());
    says
}

/// The limits of the log of a meter.
fn says_of_meter_log() -> Vec<(&'static str, Says)> {
    use Says::{Quantity, Reading, Words};
    vec![
        ("samples.meter_log.slope_least", Quantity(&bound::METER_SLOPE)),
        ("samples.meter_log.slope_most", Quantity(&bound::METER_SLOPE)),
        ("samples.meter_log.buffer_within", Reading(&bound::METER_WITHIN)),
        ("samples.meter_log.drift_within", Reading(&bound::METER_WITHIN)),
        ("samples.meter_log.temperature_within", Quantity(&bound::TEMPERATURE_WITHIN)),
        (
            "samples.meter_log.temperature_unit",
            Words(TemperatureUnit::ALL.map(TemperatureUnit::words).to_vec()),
        ),
    ]
}

/// What goes on the ground at once, and what happens on it each year.
fn says_of_practice() -> Vec<(&'static str, Says)> {
    use Says::{Form, Quantity, Words};
    vec![
        (
            "need.single_application_max",
            Form(
                format!(
                    r"^\s*[0-9.]+\s*{}\s*(as spread|effective)?\s*$",
                    units_of(bound::MACHINE_RATE.kind)
                ),
                "A rate, of material as spread unless `effective` stands behind it.",
                "2 ton/ac as spread",
            ),
        ),
        ("upkeep.nitrogen.[].form", Words(nitrogen_forms())),
        ("upkeep.nitrogen.[].rate", Quantity(&bound::NITROGEN)),
        ("upkeep.removal.[].product", Words(removed_products())),
        ("upkeep.removal.[].yield", Quantity(&bound::YIELD)),
        ("need.unmet_told_from", Quantity(&bound::UNMET_TOLD)),
    ]
}

fn depth_interval() -> Says {
    Says::Form(
        format!(r"^\s*[0-9.]+\s*-\s*[0-9.]+\s*{}\s*$", units_of(bound::DEPTH.kind)),
        "Upper end, lower end and unit.",
        "0-6 in",
    )
}

/// Money for something: the program says which somethings, where it reads them.
pub(super) const MONEY: &str = r"^\s*[0-9.]+\s+[^\s/]+\s*/\s*\S.*$";
pub(super) const MONEY_IN_WORDS: &str =
    "A number, a currency ($, €, £ or a code such as EUR), and what it is for behind a slash.";

impl Says {
    pub(super) fn add_to(self, property: &mut Map<String, Value>) {
        match self {
            Self::Quantity(bounded) => add_quantity(property, bounded),
            Self::Quantities(bounded) => {
                if let Some(Value::Object(items)) = property.get_mut("items") {
                    add_quantity(items, bounded);
                }
                add_sentence(property, &form_of(bounded));
            }
            Self::Reading(bounded) => {
                property.insert("minimum".to_owned(), json!(bounded.least));
                property.insert("maximum".to_owned(), json!(bounded.most));
            }
            Self::Count(least, most) => {
                property.insert("minimum".to_owned(), json!(least));
                property.insert("maximum".to_owned(), json!(most));
            }
            Self::Words(words) => {
                property.insert("enum".to_owned(), json!(words));
            }
            Self::WordsOr(words, pattern) => {
                let forms = json!([{ "enum": words }, { "pattern": pattern }]);
                property.insert("anyOf".to_owned(), forms);
            }
            Self::Form(pattern, form, example) => {
                property.insert("pattern".to_owned(), json!(pattern));
                property.insert("examples".to_owned(), json!([example]));
                add_sentence(property, form);
            }
        }
    }
}

fn add_quantity(property: &mut Map<String, Value>, bounded: &Bounded) {
    let pattern = format!(r"^\s*[-+]?[0-9.]+\s*{}\s*$", units_of(bounded.kind));
    property.insert("pattern".to_owned(), json!(pattern));
    property.insert("examples".to_owned(), json!([bounded.example]));
    add_sentence(property, &form_of(bounded));
}

fn form_of(bounded: &Bounded) -> String {
    format!("A number and one of the units {}; {}.", bounded.kind.words(), bounded.allowed())
}

/// The units of a kind as a regular expression, blanks allowed around a slash.
pub(super) fn units_of(kind: &UnitKind) -> String {
    let words: Vec<String> =
        kind.units.iter().map(|(word, _)| word.replace('/', r"\s*/\s*")).collect();
    format!("({})", words.join("|"))
}

fn add_sentence(property: &mut Map<String, Value>, sentence: &str) {
    let text = property.get("description").and_then(Value::as_str).unwrap_or_default();
    let text = format!("{text} {sentence}").trim_start().to_owned();
    property.insert("description".to_owned(), Value::String(text));
}

/// The schema of a key by its path: `units`, `target.ph`, `history.[].rate` for a key of each table
/// in a list, `passing.*` for every key of a table whose keys are free, `keep_out.{}` for the form
/// of a key that is a table and may be something else.
pub(super) fn property_of<'s>(
    schema: &'s mut Value,
    path: &str,
) -> Option<&'s mut Map<String, Value>> {
    let mut at = schema;
    for part in path.split('.') {
        at = match part {
            "[]" => form_with(at, "items")?.get_mut("items")?,
            "{}" => form_with(at, "properties")?,
            "*" => at.get_mut("additionalProperties")?,
            key => at.get_mut("properties")?.get_mut(key)?,
        };
    }
    at.as_object_mut()
}

/// Of the forms that a key may have, the one that says something under `word`.
fn form_with<'s>(schema: &'s mut Value, word: &str) -> Option<&'s mut Value> {
    if schema.get(word).is_some() {
        return Some(schema);
    }
    schema.get_mut("anyOf")?.as_array_mut()?.iter_mut().find_map(|form| form_with(form, word))
}

/// The schema of a table; that of the file itself where `table` is empty.
fn table_of<'s>(schema: &'s mut Value, table: &str) -> Option<&'s mut Map<String, Value>> {
    let found = if table.is_empty() { schema } else { &mut schema["properties"][table] };
    found.as_object_mut()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_key_that_the_schema_speaks_of_exists() {
        let mut schema = job_file_schema();
        for (key, _) in says_of_keys() {
            assert!(property_of(&mut schema, key).is_some(), "{key}");
        }
        for table in AREA_TABLES {
            assert!(property_of(&mut schema, table).is_some(), "{table}");
        }
        for (table, keys) in REQUIRED {
            let found = table_of(&mut schema, table).unwrap_or_else(|| panic!("{table}"));
            for key in *keys {
                assert!(found["properties"].get(key).is_some(), "{table}.{key}");
            }
        }
    }

    /// One without a form is a new key that nothing was said of.
    #[test]
    fn every_quantity_of_a_job_has_its_form_in_the_schema() {
        fn walk(value: &Value, path: &str, bare: &mut Vec<String>, seen: &mut usize) {
            if value["format"] == "quantity" {
                *seen += 1;
                if value.get("pattern").is_none() {
                    bare.push(path.to_owned());
                }
            }
            match value {
                Value::Object(map) => {
                    map.iter().for_each(|(key, v)| walk(v, &format!("{path}/{key}"), bare, seen));
                }
                Value::Array(list) => list.iter().for_each(|v| walk(v, path, bare, seen)),
                _ => {}
            }
        }
        let (mut bare, mut seen) = (Vec::new(), 0);
        walk(&job_schema(), "", &mut bare, &mut seen);
        assert!(seen > 15, "{seen}");
        assert!(bare.is_empty(), "{bare:?}");
    }
}
