//! The schemas on the disk, and what they say of themselves.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use super::*;
use crate::units::SoilValue;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("schemas")
}

fn file_name(schema: SchemaOf) -> String {
    schema.name().replace('-', "_") + ".schema.json"
}

/// Set `LIMEWRIGHT_BLESS=1` to rewrite the files after a wanted change.
#[test]
fn the_schemas_on_disk_are_those_that_the_types_give() {
    let bless = std::env::var("LIMEWRIGHT_BLESS").is_ok_and(|value| value == "1");
    for schema in SchemaOf::ALL {
        let (path, made) = (folder().join(file_name(schema)), schema.text());
        if bless {
            std::fs::write(&path, &made).unwrap();
        }
        let found = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(
            found == made,
            "{} has drifted; run the tests with LIMEWRIGHT_BLESS=1",
            file_name(schema)
        );
    }
    let known: BTreeSet<String> = SchemaOf::ALL.into_iter().map(file_name).collect();
    for entry in std::fs::read_dir(folder()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(known.contains(&name), "{name} is no schema of the program");
    }
}

#[test]
fn a_slip_of_the_finger_is_told_the_schema_that_was_meant() {
    assert_eq!(SchemaOf::named("rate-map-us").unwrap(), SchemaOf::RateMapUs);
    let refusal = SchemaOf::named("sumary").unwrap_err();
    assert_eq!(refusal.problems()[0].hint, "did you mean `summary`?");
    let refusal = SchemaOf::named("zzzz").unwrap_err();
    assert_eq!(refusal.problems()[0].hint, "`limewright schema` lists them");
}

#[test]
fn what_may_be_missing_is_never_null() {
    for schema in [SchemaOf::Job, SchemaOf::Summary] {
        assert!(!schema.text().contains("\"null\""), "{}", schema.name());
    }
    let job = SchemaOf::Job.value();
    assert_eq!(job["properties"]["grid"]["type"], "object");
    assert_eq!(job["properties"]["target"]["properties"]["ph"]["type"], "number");
}

#[test]
fn every_property_is_described() {
    fn walk(value: &Value, path: &str, bare: &mut Vec<String>) {
        let Value::Object(map) = value else { return };
        if let Some(properties) = map.get("properties").and_then(Value::as_object) {
            for (name, property) in properties {
                let stands_for_itself = ["const", "$ref", "oneOf"];
                let plain = property.as_object().is_some_and(|property| {
                    !property.contains_key("description")
                        && !stands_for_itself.iter().any(|key| property.contains_key(*key))
                });
                if plain {
                    bare.push(format!("{path}/{name}"));
                }
            }
        }
        map.iter().for_each(|(key, inner)| walk(inner, &format!("{path}/{key}"), bare));
    }
    let mut bare = Vec::new();
    for schema in SchemaOf::ALL {
        walk(&schema.value(), schema.name(), &mut bare);
    }
    assert!(bare.is_empty(), "{bare:?}");
}

#[test]
fn the_two_rate_maps_differ_in_their_units_alone() {
    let names = |schema: SchemaOf| -> BTreeSet<String> {
        let value = schema.value();
        let properties = value["$defs"]["Cell"]["properties"].as_object().unwrap();
        // What a laboratory reports stands in its own units in both.
        let is_reported = |name: &str| SoilValue::ALL.iter().any(|it| name.starts_with(it.key()));
        properties.keys().filter(|name| !is_reported(name)).cloned().collect()
    };
    let us = names(SchemaOf::RateMapUs);
    let as_metric: BTreeSet<String> = us
        .iter()
        .map(|name| name.replace("_ton_ac", "_t_ha").replace("_ton", "_t").replace("_ac", "_ha"))
        .collect();
    assert_eq!(as_metric, names(SchemaOf::RateMapMetric));
    assert_eq!(us.len(), 13);
}
