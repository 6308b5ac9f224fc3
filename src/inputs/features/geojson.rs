//! Reading GeoJSON (RFC 7946), with the `crs` member of the time before.

use std::collections::BTreeMap;

use ::geojson::{Geometry, GeometryValue, PolygonType, Position};
use serde_json::{Map, Value};

use super::choose::{refuse_too_many_attributes, the_only_layer};
use super::crs_member::{refuse_inner_member, system_of};
use super::model::{Feature, MapFile, Parsed, RawGeometry};
use super::read::Wanted;
use super::strict_json::parse_strictly;
use crate::findings::{Place, Problem, Refusal, clean};
use crate::inputs::{RawPoint, RawPolygon, RingsSorted};
use crate::units::LIMITS;

/// Reads all features of a GeoJSON file; a bare geometry is one feature. Heights are left out.
///
/// # Errors
/// Refuses what is not GeoJSON, naming the line or every feature that is wrong, and what is beyond
/// the limits.
pub(super) fn read_geojson(file: &MapFile, wanted: &Wanted) -> Result<Parsed, Refusal> {
    the_only_layer(&file.name, wanted)?;
    let place = Place::in_file(&file.name);
    let mut listed = Gathered::new(&place);
    let mut document = parse_strictly(file, &mut |part| listed.take(part))?;
    let system = system_of(&document, &place)?;
    let refuse = |what: String| -> Refusal {
        Problem::at(place.clone(), what)
            .allowed("a FeatureCollection, a Feature or a geometry (RFC 7946)")
            .hint("export it again as GeoJSON")
            .into()
    };
    let kind = document.get("type").and_then(Value::as_str).map(str::to_owned);
    let gathered = match kind.as_deref() {
        Some("FeatureCollection") if matches!(document.get("features"), Some(Value::Array(_))) => {
            listed
        }
        Some("FeatureCollection") => {
            return Err(refuse("the FeatureCollection has no list `features`".into()));
        }
        Some(kind) => {
            // Its system was read with that of the document; a list of features in it is foreign.
            document.as_object_mut().and_then(|object| object.remove("crs"));
            let part = if kind == "Feature" {
                document
            } else {
                let parts = [("type", Value::from("Feature")), ("geometry", document)];
                Value::Object(parts.map(|(key, part)| (key.to_owned(), part)).into_iter().collect())
            };
            let mut alone = Gathered::new(&place);
            alone.take(part)?;
            alone
        }
        None => {
            return Err(refuse("the file is JSON without a `type`, so it is not GeoJSON".into()));
        }
    };
    let (columns, features) = gathered.finish()?;
    Ok(Parsed { file: file.name.clone(), system, columns, features, findings: Vec::new() })
}

/// A feature with its number in the file, and its texts with the columns that they are of.
type Taken = (usize, RawGeometry, Vec<(usize, String)>);

/// The features that were read so far, with no more memory than they need.
struct Gathered<'p> {
    place: &'p Place,
    /// The number of each column, by its name.
    columns: BTreeMap<String, usize>,
    read: Vec<Taken>,
    problems: Vec<Problem>,
    count: usize,
}

impl<'p> Gathered<'p> {
    fn new(place: &'p Place) -> Self {
        let (columns, read, problems) = (BTreeMap::new(), Vec::new(), Vec::new());
        Self { place, columns, read, problems, count: 0 }
    }

    fn take(&mut self, part: Value) -> Result<(), Refusal> {
        self.count += 1;
        if self.count > LIMITS.features {
            let what = format!("the file holds more than {} features", LIMITS.features);
            return Err(Problem::at(self.place.clone(), what)
                .allowed(format!("{} features", LIMITS.features))
                .hint("export only what belongs to the field")
                .into());
        }
        let place = Place { feature: Some(self.count), ..self.place.clone() };
        let (geometry, properties) = match read_feature(part, self.count, &place) {
            Ok(read) => read,
            Err(problem) => {
                self.problems.push(problem);
                return Ok(());
            }
        };
        let mut attributes = Vec::with_capacity(properties.len());
        for (name, value) in properties {
            let next = self.columns.len();
            let column = *self.columns.entry(name).or_insert(next);
            attributes.push((column, text_of(value)));
        }
        refuse_too_many_attributes(0, self.columns.len(), self.place)?;
        self.read.push((self.count, geometry, attributes));
        Ok(())
    }

    /// The names of the columns in their order, and the features.
    fn finish(self) -> Result<(Vec<String>, Vec<Feature>), Refusal> {
        Refusal::unless_clean(self.problems, ())?;
        refuse_too_many_attributes(self.read.len(), self.columns.len(), self.place)?;
        let mut place_of = vec![0; self.columns.len()];
        for (place, &column) in self.columns.values().enumerate() {
            place_of[column] = place;
        }
        let features = self.read.into_iter().map(|(number, geometry, texts)| {
            let mut attributes = vec![String::new(); place_of.len()];
            for (column, text) in texts {
                attributes[place_of[column]] = text;
            }
            Feature { number, geometry, attributes }
        });
        Ok((self.columns.keys().cloned().collect(), features.collect()))
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

fn text_of(value: Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::String(text) => text,
        other => other.to_string(),
    }
}
