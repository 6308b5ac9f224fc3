//! Reading GeoParquet (OGC GeoParquet 1.0 and 1.1; field boundaries as the fiboa specification
//! publishes them): a table stored by columns, with one of geometry.
//!
//! The reader is our own and reads plain columns only. It is small because nothing else is needed
//! here, and it counts every byte before it takes it: the library for the format stops the program
//! where a damaged file contradicts itself.

mod chunk;
mod encoding;
mod footer;
mod kind;
mod thrift;
mod unpack;

use serde_json::Value;

use self::chunk::read_chunk;
use self::footer::{Footer, read_footer};
use self::kind::{Cell, Kind, text_of};
use super::choose::{refuse_too_many_attributes, the_only_layer};
use super::model::{Feature, MapFile, OwnSystem, Parsed, RawGeometry};
use super::read::Wanted;
use super::system::system_named;
use super::wkb::read_wkb;
use crate::findings::{Finding, Place, Problem, Refusal, clean};
use crate::inputs::CoordinateSystem;
use crate::units::LIMITS;

/// Reads all features of the file. Nested attributes and those of bytes are left out.
///
/// # Errors
/// Refuses what is no GeoParquet, is damaged, cut off or packed in a way that is not read; geometry
/// that is not read; and what is beyond the limits.
pub(super) fn read_geoparquet(file: &MapFile, wanted: &Wanted) -> Result<Parsed, Refusal> {
    the_only_layer(&file.name, wanted)?;
    let place = Place::in_file(&file.name);
    let refuse = |what: String| -> Refusal {
        Problem::at(place.clone(), format!("the file cannot be read as GeoParquet: {what}"))
            .allowed(
                "GeoParquet 1.0 or 1.1 with geometry as WKB, not packed or by Snappy, gzip, Brotli or \
                 Zstandard",
            )
            .hint("copy or download it again, or export it in that way or as GeoPackage")
            .into()
    };
    let footer = read_footer(&file.bytes).map_err(refuse)?;
    let (geometry_name, system) = geometry_of(&footer).map_err(refuse)?;
    let rows = footer.groups.iter().map(|(rows, _)| *rows).fold(0, usize::saturating_add);
    if rows > LIMITS.features {
        return Err(Problem::at(place, format!("the file holds {rows} features"))
            .allowed(format!("{} features", LIMITS.features))
            .hint("export only what belongs to the field")
            .into());
    }
    refuse_too_many_attributes(rows, footer.columns.len(), &place)?;
    let is_attribute = |kind| !matches!(kind, Kind::Bytes | Kind::NotRead);
    let columns: Vec<String> = footer
        .columns
        .iter()
        .filter(|column| is_attribute(column.kind) && column.name != geometry_name)
        .map(|column| column.name.clone())
        .collect();
    let blank = |number| Feature {
        number,
        geometry: RawGeometry::default(),
        attributes: vec![String::new(); columns.len()],
    };
    let mut features: Vec<Feature> = (1..=rows).map(blank).collect();
    let mut problems = Vec::new();
    let mut damaged_texts = 0;
    let mut left = LIMITS.unpacked_bytes;
    let mut first = 0;
    for (rows, chunks) in &footer.groups {
        let mut attribute = 0;
        for (column, chunk) in footer.columns.iter().zip(chunks) {
            let is_geometry = column.name == geometry_name;
            if !is_geometry && !is_attribute(column.kind) {
                continue;
            }
            let what = |what| refuse(format!("column `{}`: {what}", clean(&column.name)));
            let cells = read_chunk(&file.bytes, *chunk, column, *rows, &mut left).map_err(what)?;
            for (feature, cell) in features[first..first + rows].iter_mut().zip(cells) {
                match cell {
                    None => {}
                    Some(Cell::Bytes(bytes)) if is_geometry => {
                        match read_wkb(&bytes, feature.number) {
                            Ok(geometry) => feature.geometry = geometry,
                            Err(what) => problems.push(wrong(&file.name, feature.number, what)),
                        }
                    }
                    Some(cell) => {
                        feature.attributes[attribute] =
                            text_of(&cell, column.kind, &mut damaged_texts);
                    }
                }
            }
            attribute += usize::from(!is_geometry);
        }
        first += rows;
    }
    Refusal::unless_clean(problems, ())?;
    let mut findings = Vec::new();
    if damaged_texts > 0 {
        let text = format!("{damaged_texts} attributes hold characters that cannot be read.");
        findings.push(Finding::at("damaged_texts", place, text));
    }
    Ok(Parsed { file: file.name.clone(), system, columns, features, findings })
}

fn wrong(file: &str, feature: usize, what: String) -> Problem {
    Problem::at(Place { feature: Some(feature), ..Place::in_file(file) }, what)
        .allowed("points, lines and polygons as WKB")
        .hint("export the file again, or leave the feature out")
}

/// The name of the column of geometry and its system, as the `geo` text has them.
fn geometry_of(footer: &Footer) -> Result<(String, OwnSystem), String> {
    let geo = footer.geo.as_deref().ok_or("it is Parquet without the description `geo`")?;
    let not_understood = || String::from("its description `geo` is not understood");
    let geo: Value = serde_json::from_str(geo).ok().ok_or_else(not_understood)?;
    let version = geo["version"].as_str().ok_or_else(not_understood)?;
    if !version.starts_with("1.") && !version.starts_with("0.") {
        return Err(format!("it is of version {}", clean(version)));
    }
    let name = geo["primary_column"].as_str().ok_or_else(not_understood)?;
    let described = geo["columns"].get(name).ok_or_else(not_understood)?;
    let encoding = described["encoding"].as_str().ok_or_else(not_understood)?;
    if encoding != "WKB" {
        return Err(format!("its geometry is encoded as `{}`", clean(encoding)));
    }
    let is_it = |column: &&footer::Column| column.name == name && column.kind == Kind::Bytes;
    if footer.columns.iter().filter(is_it).count() != 1 {
        return Err(format!("it has no column of geometry `{}`", clean(name)));
    }
    let system = match described.get("crs") {
        None => OwnSystem::Named(CoordinateSystem::Wgs84Degrees),
        Some(Value::Null) => OwnSystem::NotSaid,
        // Before version 1.0 it was well-known text.
        Some(Value::String(text)) => OwnSystem::Named(system_named(text)),
        Some(crs) => {
            let code = match (&crs["id"]["authority"], &crs["id"]["code"]) {
                (Value::String(authority), Value::Number(code)) => format!("{authority}:{code}"),
                (Value::String(authority), Value::String(code)) => format!("{authority}:{code}"),
                _ => String::new(),
            };
            OwnSystem::Named(match system_named(&code) {
                CoordinateSystem::Wgs84Degrees => CoordinateSystem::Wgs84Degrees,
                CoordinateSystem::Declared(_) => CoordinateSystem::Declared(crs.to_string()),
            })
        }
    };
    Ok((name.to_owned(), system))
}
