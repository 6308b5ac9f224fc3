//! Reading GeoJSON (RFC 7946), with the `crs` member of the time before.

use std::collections::BTreeSet;

use ::geojson::{Geometry, GeometryValue, PolygonType, Position};
use serde_json::{Map, Value};

use super::choose::{refuse_too_many_attributes, the_only_layer};
use super::crs_member::{refuse_inner_member, system_of};
use super::model::{Feature, MapFile, Parsed, RawGeometry};
use super::read::Wanted;
use super::strict_json::parse_strictly;
use crate::findings::{Place, Problem, Refusal, clean};
use crate::inputs::{RawPoint, RawPolygon, RingsSorted};

/// Reads all features of a GeoJSON file; a bare geometry is one feature. Heights are left out.
///
/// # Errors
/// Refuses what is not GeoJSON, naming the line or every feature that is wrong.
pub(super) fn read_geojson(file: &MapFile, wanted: &Wanted) -> Result<Parsed, Refusal> {
    the_only_layer(&file.name, wanted)?;
    let document = parse_strictly(file)?;
    let place = Place::in_file(&file.name);
    let system = system_of(&document, &place)?;
    let parts = parts_of(document, &place)?;
    let mut problems = Vec::new();
    let mut columns = BTreeSet::new();
    let mut read = Vec::with_capacity(parts.len());
    for (index, part) in parts.into_iter().enumerate() {
        let number = index + 1;
        let place = Place { feature: Some(number), ..place.clone() };
        match read_feature(part, number, &place) {
            Ok((geometry, properties)) => {
                columns.extend(properties.keys().cloned());
                read.push((number, geometry, properties));
            }
            Err(problem) => problems.push(problem),
        }
    }
    Refusal::unless_clean(problems, ())?;
    refuse_too_many_attributes(read.len(), columns.len(), &place)?;
    let columns: Vec<String> = columns.into_iter().collect();
    let features = read
        .into_iter()
        .map(|(number, geometry, properties)| {
            let attributes = columns.iter().map(|column| text_of(properties.get(column))).collect();
            Feature { number, geometry, attributes }
        })
        .collect();
    Ok(Parsed { file: file.name.clone(), system, columns, features, findings: Vec::new() })
}

/// The features of the document, or the geometry that stands alone.
fn parts_of(mut document: Value, place: &Place) -> Result<Vec<Value>, Refusal> {
    let refuse = |what: String| -> Refusal {
        Problem::at(place.clone(), what)
            .allowed("a FeatureCollection, a Feature or a geometry (RFC 7946)")
            .hint("export it again as GeoJSON")
            .into()
    };
    let kind = document.get("type").and_then(Value::as_str).map(str::to_owned);
    match kind.as_deref() {
        Some("FeatureCollection") => match document.get_mut("features").map(Value::take) {
            Some(Value::Array(features)) => Ok(features),
            _ => Err(refuse("the FeatureCollection has no list `features`".into())),
        },
        Some("Feature") => {
            // Its system was read with that of the document.
            document.as_object_mut().and_then(|object| object.remove("crs"));
            Ok(vec![document])
        }
        Some(_) => {
            document.as_object_mut().and_then(|object| object.remove("crs"));
            let parts = [("type", Value::from("Feature")), ("geometry", document)];
            Ok(vec![Value::Object(
                parts.map(|(key, part)| (key.to_owned(), part)).into_iter().collect(),
            )])
        }
        None => Err(refuse("the file is JSON without a `type`, so it is not GeoJSON".into())),
    }
}

fn read_feature(
    mut part: Value,
    number: usize,
    place: &Place,
) -> Result<(RawGeometry, Map<String, Value>), Problem> {
    let refuse = |what: String| {
        Problem::at(place.clone(), what)
            .allowed("a Feature with `geometry` and `properties` (RFC 7946)")
            .hint("export it again as GeoJSON, or take the feature out")
    };
    refuse_inner_member(&part, place)?;
    match part.get("type") {
        Some(Value::String(kind)) if kind == "Feature" => {}
        Some(other) => {
            return Err(refuse(format!("it is no Feature but {}", clean(&other.to_string()))));
        }
        None => return Err(refuse("it is no Feature: it has no `type`".into())),
    }
    let geometry = match part.get_mut("geometry").map(Value::take) {
        None | Some(Value::Null) => RawGeometry::default(),
        Some(value) => {
            refuse_inner_member(&value, place)?;
            let geometry: Geometry = serde_json::from_value(value).map_err(|error| {
                refuse(format!("its geometry is wrong: {}", clean(&error.to_string())))
            })?;
            let mut raw = RawGeometry::default();
            gather(geometry, number, &mut raw).map_err(refuse)?;
            raw
        }
    };
    match part.get_mut("properties").map(Value::take) {
        None | Some(Value::Null) => Ok((geometry, Map::new())),
        Some(Value::Object(properties)) => Ok((geometry, properties)),
        Some(_) => Err(refuse("its `properties` are no object".into())),
    }
}

/// Puts a geometry, or all geometries of a collection, into `raw`. A document is nested no deeper
/// than the strict reader lets through.
fn gather(geometry: Geometry, number: usize, raw: &mut RawGeometry) -> Result<(), String> {
    match geometry.value {
        GeometryValue::Point { coordinates } => raw.points.push(point(&coordinates)?),
        GeometryValue::MultiPoint { coordinates } => raw.points.extend(points(&coordinates)?),
        GeometryValue::LineString { coordinates } => raw.lines.push(points(&coordinates)?),
        GeometryValue::MultiLineString { coordinates } => {
            for line in &coordinates {
                raw.lines.push(points(line)?);
            }
        }
        GeometryValue::Polygon { coordinates } => raw.areas.push(polygon(&coordinates, number)?),
        GeometryValue::MultiPolygon { coordinates } => {
            for rings in &coordinates {
                raw.areas.push(polygon(rings, number)?);
            }
        }
        GeometryValue::GeometryCollection { geometries } => {
            for inner in geometries {
                gather(inner, number, raw)?;
            }
        }
    }
    Ok(())
}

fn polygon(rings: &PolygonType, number: usize) -> Result<RawPolygon, String> {
    let mut rings =
        rings.iter().map(|ring| points(ring)).collect::<Result<Vec<_>, _>>()?.into_iter();
    let outer = rings.next().ok_or("the polygon has no ring")?;
    let sorted = RingsSorted::ByTheFile;
    Ok(RawPolygon { feature: number, outer, holes: rings.collect(), sorted })
}

fn points(positions: &[Position]) -> Result<Vec<RawPoint>, String> {
    positions.iter().map(point).collect()
}

fn point(position: &Position) -> Result<RawPoint, String> {
    match position.as_slice() {
        [x, y, ..] if x.is_finite() && y.is_finite() => Ok([*x, *y]),
        _ => Err("a position is no pair of numbers".into()),
    }
}

fn text_of(value: Option<&Value>) -> String {
    match value {
        None | Some(Value::Null) => String::new(),
        Some(Value::String(text)) => text.clone(),
        Some(other) => other.to_string(),
    }
}
