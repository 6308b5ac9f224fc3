//! Rates in the polygons of a map file, whatever its format.

use super::open::FoundExport;
use super::rates::{ExportAsked, number, rate_column};
use super::{ReadArea, ReadExport, ReadGround, ReadMap};
use crate::findings::{Finding, Place, Refusal, clean};
use crate::inputs::CoordinateSystem;
use crate::inputs::features::{
    Bundle, Feature, ReadFeatures, Wanted, extension_of, read_map_member,
};

/// Reads the map file `member` of a folder or an archive.
pub(super) fn read_vector(
    bundle: &mut Bundle,
    member: &str,
    asked: &ExportAsked,
) -> Result<FoundExport, Refusal> {
    let missing = missing_parts(bundle, member);
    let said_in = "the job; where there is none, in the file itself".to_owned();
    let wanted = Wanted { layer: asked.layer.clone(), said_in, ..Wanted::default() };
    let ReadFeatures { layer, mut findings, .. } =
        read_map_member(bundle, member, "export", &wanted)?;
    let place = Place::in_file(&layer.file);
    findings.extend(missing.map(|text| Finding::at("missing_parts", place.clone(), text)));
    let system = match &layer.system {
        CoordinateSystem::Declared(text) if is_wgs84_degrees(text) => {
            CoordinateSystem::Wgs84Degrees
        }
        other => other.clone(),
    };
    findings.extend(not_wgs84(&system, &place));
    let cell = |row: usize, column: usize| layer.features[row].attributes[column].as_str();
    let column = rate_column(&layer.columns, layer.features.len(), cell, asked, place.clone())?;
    let name = column.map_or_else(String::new, |column| layer.columns[column].clone());
    let unit = column.and_then(|_| asked.unit_of(&name));
    if column.is_some() && is_text_in_table(bundle, member, &name) {
        let text = format!(
            "Its rates stand in a column of text, `{}`; controllers take columns of numbers alone.",
            clean(&name)
        );
        findings.push(Finding::at("rates_as_text", place.clone(), text));
    }
    let others = layer.features.iter().filter(|feature| feature.geometry.areas.is_empty()).count();
    if others > 0 {
        let text = format!("{others} of its features are no areas and were left out.");
        findings.push(Finding::at("not_areas", place, text));
    }
    let rate_of = |feature: &Feature| number(&feature.attributes[column?]);
    let areas = layer
        .features
        .iter()
        .filter(|feature| !feature.geometry.areas.is_empty())
        .map(|feature| ReadArea { polygons: polygons_of(feature), rate: rate_of(feature) })
        .collect();
    let map = ReadMap { name, unit, ground: ReadGround::Areas(areas) };
    let format = match extension_of(member).as_str() {
        "shp" => "shapefile",
        "kml" => "KML",
        "gpkg" => "GeoPackage",
        "parquet" | "geoparquet" => "GeoParquet",
        _ => "GeoJSON",
    };
    let export = ReadExport { format: format.to_owned(), maps: vec![map], faults: findings };
    Ok(FoundExport { file: layer.file, system, export })
}

/// Whether the text of a `.prj` file is of WGS 84 longitude and latitude in degrees.
fn is_wgs84_degrees(text: &str) -> bool {
    let text = text.trim().to_uppercase();
    let is_of_degrees = ["GEOGCS[", "GEOGCRS["].iter().any(|start| text.starts_with(start));
    let is_wgs84 = ["DATUM[\"D_WGS_1984\"", "DATUM[\"WGS_1984\"", "WORLD GEODETIC SYSTEM 1984"];
    is_of_degrees && text.contains("\"DEGREE\"") && is_wgs84.iter().any(|mark| text.contains(mark))
}

/// What there is to say of coordinates in another system.
pub(super) fn not_wgs84(system: &CoordinateSystem, place: &Place) -> Option<Finding> {
    let CoordinateSystem::Declared(text) = system else { return None };
    // The text of a .prj file starts with a name in quotes.
    let name = text.split('"').nth(1).unwrap_or(text);
    let text = format!(
        "Its coordinates are in another system, `{}`; most controllers take WGS 84 longitude and \
         latitude alone.",
        clean(name)
    );
    Some(Finding::at("not_wgs84", place.clone(), text))
}

fn polygons_of(feature: &Feature) -> Vec<Vec<Vec<[f64; 2]>>> {
    let rings = |area: &crate::inputs::RawPolygon| {
        std::iter::once(&area.outer).chain(&area.holes).cloned().collect()
    };
    feature.geometry.areas.iter().map(rings).collect()
}

/// Whether the column `name` of the table of a shapefile is one of text: its description has the
/// name in 11 bytes, filled up with zeros, and then the letter of its type.
fn is_text_in_table(bundle: &mut Bundle, member: &str, name: &str) -> bool {
    const DESCRIPTION: usize = 32;
    if extension_of(member) != "shp" {
        return false;
    }
    let table = bundle.beside(member, "dbf");
    let Some(Ok(table)) = table.map(|table| bundle.read(&table, &mut Vec::new())) else {
        return false;
    };
    let descriptions = table.bytes.chunks_exact(DESCRIPTION).skip(1);
    let mut columns = descriptions.take_while(|column| column[0] != 0x0d);
    columns.any(|column| {
        let end = column[..11].iter().position(|byte| *byte == 0).unwrap_or(11);
        column[..end].eq_ignore_ascii_case(name.trim().as_bytes()) && column[11] == b'C'
    })
}

/// What a shapefile should have beside its shapes and has not.
fn missing_parts(bundle: &Bundle, member: &str) -> Option<String> {
    if extension_of(member) != "shp" {
        return None;
    }
    let needed = ["shx", "dbf", "prj"].into_iter();
    let missing: Vec<String> = needed
        .filter(|ending| bundle.beside(member, ending).is_none())
        .map(|ending| format!(".{ending}"))
        .collect();
    (!missing.is_empty()).then(|| {
        format!(
            "The shapefile lacks {}; many controllers do not load it so. Copy all its files \
             together.",
            missing.join(" and ")
        )
    })
}
