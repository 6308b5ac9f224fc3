//! KML and KMZ.

use super::{read_as, said, zip_of};
use crate::inputs::CoordinateSystem;
use crate::units::LIMITS;

const FIELDS: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<kml xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2"><Document>
<name>All</name>
<Folder><name>Home farm</name>
<Placemark><name>North &amp; south &#233;</name>
 <ExtendedData><Data name="crop"><value>corn</value></Data>
 <SchemaData schemaUrl="s"><SimpleData name="no">7</SimpleData></SchemaData></ExtendedData>
 <MultiGeometry>
  <Polygon><outerBoundaryIs><LinearRing><coordinates>
    -89.0,40.0,200 -88.99,40.0,200 -88.99,40.01,200 -89.0,40.0,200
  </coordinates></LinearRing></outerBoundaryIs>
  <innerBoundaryIs><LinearRing><coordinates>-88.995,40.001 -88.994,40.001 -88.994,40.002 -88.995,40.001</coordinates></LinearRing></innerBoundaryIs></Polygon>
  <Point><coordinates>-88.995,40.005</coordinates></Point>
  <LineString><coordinates>-89,40 -88.99,40.01</coordinates></LineString>
 </MultiGeometry></Placemark></Folder>
<Placemark><name><![CDATA[Lone <field>]]></name><gx:Track><gx:coord>1 2 3</gx:coord></gx:Track></Placemark>
</Document></kml>"#;

fn placemark(inner: &str) -> String {
    format!("<kml><Placemark>\n{inner}</Placemark></kml>")
}

#[test]
fn placemarks_give_geometry_and_attributes() {
    let read = read_as("a.kml", FIELDS.as_bytes()).unwrap();
    let layer = &read.layer;
    assert_eq!(layer.system, CoordinateSystem::Wgs84Degrees);
    assert_eq!(layer.columns, ["name", "folder", "crop", "no"]);
    let [field, lone] = layer.features.as_slice() else { panic!() };
    assert_eq!(field.attributes, ["North & south é", "Home farm", "corn", "7"]);
    let [area] = field.geometry.areas.as_slice() else { panic!() };
    assert_eq!((area.outer.len(), area.holes.len()), (4, 1));
    assert_eq!(area.outer[1], [-88.99, 40.0]);
    assert_eq!(field.geometry.points, [[-88.995, 40.005]]);
    assert_eq!(field.geometry.lines.len(), 1);
    assert_eq!(lone.attributes, ["Lone <field>", "", "", ""]);
    assert!(read.findings.iter().any(|found| found.text.starts_with("1 tracks")));
}

#[test]
fn a_packed_file_and_other_encodings_read_the_same() {
    let plain = read_as("a.kml", FIELDS.as_bytes()).unwrap().layer.features;
    let packed = zip_of(&[("files/x.png", b"x"), ("doc.kml", FIELDS.as_bytes()), ("old.kml", b"")]);
    assert_eq!(read_as("a.kmz", &packed).unwrap().layer.features, plain);
    let utf16: Vec<u8> =
        [0xff, 0xfe].into_iter().chain(FIELDS.encode_utf16().flat_map(u16::to_le_bytes)).collect();
    assert_eq!(read_as("a.kml", &utf16).unwrap().layer.features, plain);
    let latin = placemark("<name>Nørd</name>").replacen(
        "<kml>",
        "<?xml version='1.0' encoding='ISO-8859-1'?><kml>",
        1,
    );
    let latin: Vec<u8> = latin.chars().map(|c| c as u8).collect();
    assert_eq!(read_as("a.kml", &latin).unwrap().layer.features[0].attributes[0], "Nørd");
}

#[test]
fn what_is_not_whole_is_refused_with_its_line() {
    for (inner, words) in [
        ("<Point><coordinates>1,2,3,4</coordinates></Point>", "no position"),
        ("<Point><coordinates>1, 2</coordinates></Point>", "no position"),
        ("<Point><coordinates>1,NaN</coordinates></Point>", "no position"),
        ("<Polygon></Polygon>", "no outer ring"),
        ("<Polygon><Polygon>", "a polygon lies in another"),
        ("<Placemark>", "a placemark lies in another"),
        ("<name>&nbsp;</name>", "entity"),
        ("<name>", "not XML"),
    ] {
        let said = said(read_as("a.kml", placemark(inner).as_bytes()));
        assert!(said.contains(words) && said.contains("line 2"), "{inner}: {said}");
    }
    for (text, words) in [
        ("<gpx/>", "outermost element is `gpx`"),
        ("<kml><Document>", "ends before"),
        ("<kml><NetworkLink/></kml>", "only links"),
        ("<kml></kml>", "no placemark"),
        ("<?xml version=\"1.0\" encoding=\"klingon\"?><kml/>", "not known"),
    ] {
        let said = said(read_as("a.kml", text.as_bytes()));
        assert!(said.contains(words), "{text}: {said}");
    }
}

#[test]
fn hostile_documents_are_refused_in_bounded_time() {
    let deep = "<kml>".to_owned() + &"<Folder>".repeat(1_000_000);
    assert!(said(read_as("a.kml", deep.as_bytes())).contains("nested more than 64"));
    let laughs = "<!DOCTYPE k [<!ENTITY a \"aaaa\"><!ENTITY b \"&a;&a;\">]>".to_owned()
        + &placemark("<name>&b;</name>");
    assert!(said(read_as("a.kml", laughs.as_bytes())).contains("entity `&b;`"));
    let columns: Vec<String> =
        (0..=LIMITS.columns).map(|n| format!("<SimpleData name=\"c{n}\">1</SimpleData>")).collect();
    assert!(said(read_as("a.kml", placemark(&columns.concat()).as_bytes())).contains("columns"));
}
