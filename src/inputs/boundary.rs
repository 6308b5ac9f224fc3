//! Reading a field boundary from GeoJSON (RFC 7946).

use geojson::{Feature, GeoJson, Geometry, GeometryValue, PolygonType};

use super::job::NamedFile;
use super::open::{InputFile, read_text};
use super::{CoordinateSystem, RawBoundary, RawPoint, RawPolygon, RingsSorted};
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::units::LIMITS;

/// A boundary, what was found while reading it, and the file it came from.
#[derive(Debug)]
pub struct ReadBoundary {
    /// The boundary.
    pub boundary: RawBoundary,
    /// What was found.
    pub findings: Vec<Finding>,
    /// The file.
    pub file: InputFile,
}

/// Reads a boundary: a Polygon, a `MultiPolygon`, or features that hold them.
///
/// # Errors
/// Refuses a file that cannot be read, is no GeoJSON, holds other geometries or none, or declares
/// a coordinate system other than WGS 84 longitude and latitude.
pub fn read_boundary(named: &NamedFile) -> Result<ReadBoundary, Refusal> {
    let (text, file) = read_text(&named.path, &named.given, "boundary", LIMITS.data_file_bytes)?;
    let given = &named.given;
    let document: serde_json::Value = serde_json::from_str(&text).map_err(|error| {
        let place = Place {
            line: Some(error.line()),
            character: Some(error.column()),
            ..Place::in_file(given)
        };
        Problem::at(place, format!("the boundary is not JSON: {error}"))
            .allowed("GeoJSON (RFC 7946)")
            .hint("export the boundary again as GeoJSON")
    })?;
    refuse_other_system(&document, given)?;
    let parsed: GeoJson = serde_json::from_value(document).map_err(|error| {
        Problem::at(Place::in_file(given), format!("the boundary is not GeoJSON: {error}"))
            .allowed("a Feature, FeatureCollection, Polygon or MultiPolygon (RFC 7946)")
            .hint("export the boundary again as GeoJSON")
    })?;
    let mut reader = Reader { given, polygons: Vec::new(), problems: Vec::new(), vertices: 0 };
    let features = reader.read(&parsed);
    let Reader { polygons, mut problems, vertices, .. } = reader;
    if vertices > LIMITS.boundary_vertices {
        problems.push(
            Problem::at(Place::in_file(given), format!("the boundary has {vertices} vertices"))
                .allowed(format!("{} vertices", LIMITS.boundary_vertices))
                .hint("simplify it"),
        );
    }
    if polygons.is_empty() && problems.is_empty() {
        let what = "the file holds no polygon, so there is no field";
        problems.push(
            Problem::at(Place::in_file(given), what)
                .allowed("at least one Polygon or MultiPolygon")
                .hint("check that it is the boundary file"),
        );
    }
    let mut findings = Vec::new();
    if features > 1 {
        findings.push(Finding::at(
            "boundary_of_several_features",
            Place::in_file(given),
            format!("The {features} features of the file were taken together as one field."),
        ));
    }
    let boundary =
        RawBoundary { file: given.clone(), system: CoordinateSystem::Wgs84Degrees, polygons };
    Refusal::unless_clean(problems, ReadBoundary { boundary, findings, file })
}

/// The old `crs` member (not part of RFC 7946) may only repeat what RFC 7946 says anyway.
fn refuse_other_system(document: &serde_json::Value, given: &str) -> Result<(), Refusal> {
    let Some(member) = document.get("crs").filter(|member| !member.is_null()) else {
        return Ok(());
    };
    let name = member.pointer("/properties/name").and_then(serde_json::Value::as_str);
    let is_degrees = name.is_some_and(|name| {
        name.ends_with("CRS84") || name == "EPSG:4326" || name.ends_with(":EPSG::4326")
    });
    if is_degrees {
        return Ok(());
    }
    let found = name.map_or_else(|| member.to_string(), str::to_owned);
    Err(Problem::at(
        Place::in_file(given),
        format!("the boundary declares the coordinate system {found} in a `crs` member"),
    )
    .allowed("WGS 84 longitude and latitude in degrees, as RFC 7946 has it")
    .hint("export it again in WGS 84 (EPSG:4326)")
    .into())
}

struct Reader<'f> {
    given: &'f str,
    polygons: Vec<RawPolygon>,
    problems: Vec<Problem>,
    vertices: usize,
}

impl Reader<'_> {
    /// Reads all there is, and returns how many features it came from.
    fn read(&mut self, document: &GeoJson) -> usize {
        match document {
            GeoJson::Geometry(geometry) => {
                self.geometry(geometry, 1);
                1
            }
            GeoJson::Feature(feature) => {
                self.feature(feature, 1);
                1
            }
            GeoJson::FeatureCollection(collection) => {
                for (index, feature) in collection.features.iter().enumerate() {
                    self.feature(feature, index + 1);
                }
                collection.features.len()
            }
        }
    }

    fn feature(&mut self, feature: &Feature, number: usize) {
        match &feature.geometry {
            Some(geometry) => self.geometry(geometry, number),
            None => self.refuse(number, "the feature has no geometry"),
        }
    }

    fn geometry(&mut self, geometry: &Geometry, number: usize) {
        match &geometry.value {
            GeometryValue::Polygon { coordinates } => self.polygon(coordinates, number),
            GeometryValue::MultiPolygon { coordinates } => {
                for polygon in coordinates {
                    self.polygon(polygon, number);
                }
            }
            other => {
                let what = format!("the feature is a {}, not an area", other.type_name());
                self.refuse(number, &what);
            }
        }
    }

    fn polygon(&mut self, rings: &PolygonType, number: usize) {
        let mut read = rings.iter().map(|ring| -> Option<Vec<RawPoint>> {
            ring.iter()
                .map(|position| match position.as_slice() {
                    [x, y, ..] if x.is_finite() && y.is_finite() => Some([*x, *y]),
                    _ => None,
                })
                .collect()
        });
        let outer = read.next();
        let holes: Option<Vec<Vec<RawPoint>>> = read.collect();
        match (outer, holes) {
            (Some(Some(outer)), Some(holes)) => {
                self.vertices += outer.len() + holes.iter().map(Vec::len).sum::<usize>();
                let sorted = RingsSorted::ByTheFile;
                self.polygons.push(RawPolygon { feature: number, outer, holes, sorted });
            }
            (None, _) => self.refuse(number, "the polygon has no ring"),
            _ => self.refuse(number, "a position of the polygon is no pair of numbers"),
        }
    }

    fn refuse(&mut self, number: usize, what: &str) {
        let place = Place { feature: Some(number), ..Place::in_file(self.given) };
        self.problems.push(
            Problem::at(place, what)
                .allowed("a Polygon or MultiPolygon")
                .hint("leave the feature out of the boundary file"),
        );
    }
}
