//! GeoJSON: systems, what is refused and where, geometry in three dimensions.

use super::{data, read, read_as, read_wanted, said};
use crate::inputs::CoordinateSystem;
use crate::inputs::features::Wanted;
use crate::units::LIMITS;

const RING: &str = "[[[-89,40],[-88.99,40],[-88.99,40.01],[-89,40]]]";

fn polygon() -> String {
    format!("{{\"type\":\"Polygon\",\"coordinates\":{RING}}}")
}

fn collection(members: &str, features: &[&str]) -> String {
    format!("{{\"type\":\"FeatureCollection\",{members}\"features\":[{}]}}", features.join(","))
}

#[test]
fn the_old_crs_member_is_honoured() {
    let read = read(&data("pain/p21_crs_member.geojson")).unwrap();
    let system = CoordinateSystem::Declared("urn:ogc:def:crs:EPSG::32616".to_owned());
    assert_eq!(read.layer.system, system);
    for name in ["urn:ogc:def:crs:OGC:1.3:CRS84", "EPSG:4326", "urn:ogc:def:crs:EPSG::4326"] {
        let crs = format!("\"crs\":{{\"type\":\"name\",\"properties\":{{\"name\":\"{name}\"}}}},");
        let read = read_as("a.json", collection(&crs, &[]).as_bytes()).unwrap();
        assert_eq!(read.layer.system, CoordinateSystem::Wgs84Degrees, "{name}");
    }
}

#[test]
fn a_crs_member_that_is_not_understood_is_refused() {
    for crs in [
        "\"EPSG:32616\"",
        "{\"type\":\"link\",\"properties\":{\"href\":\"http://example.com\"}}",
        "{\"type\":\"name\",\"properties\":{\"name\":\" \"}}",
        "{\"type\":\"name\"}",
    ] {
        let text = collection(&format!("\"crs\":{crs},"), &[]);
        assert!(said(read_as("a.json", text.as_bytes())).contains("`crs` member"), "{crs}");
    }
    let inner = format!(
        "{{\"type\":\"Feature\",\"crs\":{{}},\"properties\":null,\"geometry\":{}}}",
        polygon()
    );
    let said = said(read_as("a.json", collection("", &[&inner]).as_bytes()));
    assert!(said.contains("feature 1") && said.contains("of its own"), "{said}");
}

#[test]
fn a_stated_system_counts_where_the_file_takes_degrees_for_granted() {
    let wanted = Wanted { system: Some("EPSG:32616".to_owned()), ..Wanted::default() };
    let read = read_wanted(&data("pain/square.geojson"), &wanted).unwrap();
    assert_eq!(read.layer.system, CoordinateSystem::Declared("EPSG:32616".to_owned()));
    let both = read_wanted(&data("pain/p21_crs_member.geojson"), &wanted).unwrap();
    assert_eq!(both.stated, Some(CoordinateSystem::Declared("EPSG:32616".to_owned())));
}

#[test]
fn wrong_types_are_refused_with_the_feature() {
    let good = format!("{{\"type\":\"Feature\",\"properties\":null,\"geometry\":{}}}", polygon());
    for bad in [
        "1",
        "null",
        "{\"type\":\"feature\"}",
        "{\"geometry\":null}",
        "{\"type\":\"Feature\",\"geometry\":[]}",
        "{\"type\":\"Feature\",\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[[[\"1\",2]]]}}",
        "{\"type\":\"Feature\",\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[[[1]]]}}",
        "{\"type\":\"Feature\",\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[]}}",
        "{\"type\":\"Feature\",\"geometry\":{\"type\":\"Polygone\",\"coordinates\":[]}}",
        "{\"type\":\"Feature\",\"geometry\":null,\"properties\":[]}",
    ] {
        let text = collection("", &[&good, bad, bad]);
        let said = said(read_as("a.json", text.as_bytes()));
        assert!(said.contains("feature 2") && said.contains("feature 3"), "{bad}: {said}");
    }
}

#[test]
fn a_key_that_stands_twice_is_refused_with_its_line() {
    let text = "{\"type\":\"Polygon\",\n\"coordinates\":[],\n\"coordinates\":[]}";
    let said = said(read_as("a.json", text.as_bytes()));
    assert!(said.contains("line 3") && said.contains("`coordinates` stands twice"), "{said}");
}

#[test]
fn deep_nesting_is_refused() {
    for depth in [LIMITS.nesting + 1, 200_000] {
        let text = "[".repeat(depth);
        assert!(said(read_as("a.json", text.as_bytes())).contains("nested more than 64"));
    }
    let mut geometry = polygon();
    for _ in 0..25 {
        geometry = format!("{{\"type\":\"GeometryCollection\",\"geometries\":[{geometry}]}}");
    }
    assert_eq!(
        read_as("a.json", geometry.as_bytes()).unwrap().layer.features[0].geometry.areas.len(),
        1
    );
}

#[test]
fn heights_are_left_out_and_attributes_become_texts() {
    let feature = "{\"type\":\"Feature\",\"properties\":{\"b\":\" x \",\"a\":7,\"c\":null,\"d\":true},\
        \"geometry\":{\"type\":\"Point\",\"coordinates\":[1.5,2.5,300]}}";
    let other = "{\"type\":\"Feature\",\"properties\":{\"e\":[1]},\"geometry\":null}";
    let layer = read_as("a.json", collection("", &[feature, other]).as_bytes()).unwrap().layer;
    assert_eq!(layer.columns, ["a", "b", "c", "d", "e"]);
    assert_eq!(layer.features[0].attributes, ["7", " x ", "", "true", ""]);
    assert_eq!(layer.features[0].geometry.points, [[1.5, 2.5]]);
    assert_eq!(layer.features[1].attributes, ["", "", "", "", "[1]"]);
    assert!(layer.features[1].geometry.is_empty());
}
