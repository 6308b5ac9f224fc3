//! What the job schema says of `[material]` beyond its types.

use serde_json::{Map, Value, json};

use super::check_cce::NV_BASES;
use super::schema::{MONEY, MONEY_IN_WORDS, Says, units_of};
use crate::material::{
    Basis, FinenessScheme, Kind, Oxides, PriceAt, all_fineness_schemes, all_kinds,
    all_quality_limits, all_ratings,
};
use crate::units::{Bounded, bound};

/// The keys of `[material]`, each with what is said of it.
pub(super) fn says_of_material() -> Vec<(&'static str, Says)> {
    use Says::{Form, Quantity, Words};
    let kinds = all_kinds().iter().filter(|kind| kind.base().is_some());
    vec![
        ("material.kind", Words(names_of(kinds))),
        ("material.effective", of_a_basis(&bound::EFFECTIVE)),
        ("material.ecce", of_a_basis(&bound::EFFECTIVE)),
        ("material.env", of_a_basis(&bound::EFFECTIVE)),
        ("material.rnv", of_a_basis(&bound::EFFECTIVE)),
        ("material.ecc", of_a_basis(&bound::EFFECTIVE)),
        ("material.prnt", of_a_basis(&bound::EFFECTIVE)),
        ("material.enp", of_a_basis(&bound::ENP)),
        ("material.enm", of_a_basis(&bound::ENM)),
        ("material.cce", of_a_basis(&bound::CCE)),
        ("material.nv", of_a_basis(&bound::NEUTRALISING_VALUE)),
        ("material.nv_basis", Words(NV_BASES.to_vec())),
        ("material.composition.*", Quantity(&bound::COMPOUND)),
        ("material.composition_basis", Words(Basis::ALL.map(Basis::words).to_vec())),
        ("material.oxides", Words(Oxides::ALL.map(Oxides::words).to_vec())),
        (
            "material.fineness.scheme",
            Words(all_fineness_schemes().iter().map(FinenessScheme::id).collect()),
        ),
        ("material.moisture", Quantity(&bound::MOISTURE)),
        ("material.fineness.passing.*", Quantity(&bound::PASSING)),
        ("material.fineness.between.*", Quantity(&bound::PASSING)),
        ("material.fineness.retained.*", Quantity(&bound::PASSING)),
        ("material.fineness.cce.*", of_a_basis(&bound::CCE)),
        (
            "material.bulk_density",
            Form(
                format!(
                    r"^\s*[0-9.]+\s*({}|(lb|kg)\s+in\s+[0-9.]+\s*(gal|L))\s*$",
                    units_of(bound::BULK_DENSITY.kind)
                ),
                "A density with its unit, or the net mass in a pail.",
                "35 lb in 5 gal",
            ),
        ),
        ("material.supply_limit", Quantity(&bound::SUPPLY)),
        ("material.magnesium", content("11 % dry")),
        ("material.nutrients.*.content", content("20 lb/ton")),
        ("material.nutrients.*.price", Form(MONEY.to_owned(), MONEY_IN_WORDS, "0.55 $/lb")),
        ("material.quality", Words(all_quality_limits().iter().map(|it| it.id.as_str()).collect())),
        ("material.price", Form(MONEY.to_owned(), MONEY_IN_WORDS, "14 $/ton")),
        ("material.price_at", Words(PriceAt::ALL.map(PriceAt::words).to_vec())),
    ]
}

/// The keys that need another one beside them.
pub(super) fn material_keys_together() -> Value {
    json!({
        "price": ["price_at"],
        "nv_basis": ["nv"],
        "composition": ["composition_basis"],
        "composition_basis": ["composition"],
        "oxides": ["composition"],
    })
}

/// One figure of the effect, or an analysis: how much it neutralises, of the whole or of each size
/// class, and how fine it is.
pub(super) fn either_effective_or_an_analysis() -> Vec<Value> {
    let ratings = all_ratings().iter().map(|rating| rating.key);
    let figures: Vec<&str> = std::iter::once("effective").chain(ratings).collect();
    let without = |keys: &[&str]| -> Map<String, Value> {
        keys.iter().chain(&["from"]).map(|&key| (key.to_owned(), json!(false))).collect()
    };
    let mut forms: Vec<Value> = Vec::new();
    for figure in &figures {
        let mut others: Vec<&str> =
            figures.iter().copied().filter(|other| other != figure).collect();
        others.extend(["cce", "nv", "composition", "fineness"]);
        forms.push(json!({ "required": ["kind", figure], "properties": without(&others) }));
    }
    let mut none = without(&figures);
    none.insert("fineness".to_owned(), json!({ "properties": { "cce": false } }));
    let of_whole = json!([
        { "required": ["cce"], "properties": { "nv": false } },
        { "required": ["nv", "nv_basis"], "properties": { "cce": false } },
        { "required": ["composition"], "properties": { "cce": false, "nv": false } },
    ]);
    forms.push(json!({ "required": ["kind", "fineness"], "properties": none, "oneOf": of_whole }));
    let mut none = without(&figures);
    none.extend(without(&["cce", "nv", "composition"]));
    none.insert("fineness".to_owned(), json!({ "required": ["cce"] }));
    forms.push(json!({ "required": ["kind", "fineness"], "properties": none }));
    forms
}

/// A material of a list that has no worth because it does not lime.
pub(super) fn without_a_worth() -> Value {
    let ratings = all_ratings().iter().map(|rating| rating.key);
    let worth = ["effective", "cce", "nv", "composition", "fineness"].into_iter().chain(ratings);
    let none: Map<String, Value> = worth.map(|key| (key.to_owned(), json!(false))).collect();
    json!({ "properties": none })
}

/// Beside `from` stands only what says which of the list, and what it is held against.
pub(super) fn taken_from_a_list(material: &Map<String, Value>) -> Value {
    let beside = ["from", "name", "lot", "quality"];
    let keys = material.get("properties").and_then(Value::as_object);
    let others = keys.into_iter().flat_map(Map::keys).filter(|key| !beside.contains(&key.as_str()));
    let none: Map<String, Value> = others.map(|key| (key.clone(), json!(false))).collect();
    json!({ "required": ["from", "name"], "properties": none })
}

/// All names of kinds of material.
pub(super) fn names_of<'k>(kinds: impl IntoIterator<Item = &'k Kind>) -> Vec<&'static str> {
    kinds.into_iter().flat_map(|kind| [&[kind.name], kind.also].concat()).collect()
}

/// A part of a material, with what it is a part of.
fn content(example: &'static str) -> Says {
    Says::Form(
        r"^\s*[0-9.]+\s*(%\s*(dry|as received)|lb\s*/\s*ton|kg\s*/\s*t)\s*$".to_owned(),
        "A percentage with what it is of, or a mass in a ton as received.",
        example,
    )
}

/// A figure of the material, of which must be said whether it is dry or as received.
fn of_a_basis(bounded: &Bounded) -> Says {
    Says::Form(
        format!(r"^\s*[0-9.]+\s*{}\s*(dry|as received)\s*$", units_of(bounded.kind)),
        "A figure with its unit, and whether it is of the dry material or as received.",
        match bounded.limit_unit {
            "lb/ton" => "1600 lb/ton as received",
            _ => "63 % as received",
        },
    )
}
