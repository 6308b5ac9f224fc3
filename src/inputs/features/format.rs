//! Which format a map file has: by its content first, by its name where the content does not tell.

use std::path::Path;

use super::geopackage::SQLITE_MAGIC;
use super::model::MapFile;
use crate::findings::{Place, Problem, Refusal};
use crate::inputs::job::NamedFile;
use crate::inputs::open::first_bytes;

/// The formats that are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Format {
    /// RFC 7946 and what came before it.
    GeoJson,
    /// The main file of a shapefile.
    Shapefile,
    /// KML, unpacked.
    Kml,
    /// A layer of features in a database.
    GeoPackage,
    /// Features in a table stored by columns.
    GeoParquet,
    /// A zip archive of any of these.
    Archive,
}

/// What a shapefile starts with: the file code 9994, most significant byte first (ESRI Shapefile
/// Technical Description, 1998, table 1).
pub(super) const SHAPEFILE_CODE: &[u8] = &[0, 0, 0x27, 0x0a];

/// What a Parquet file starts and ends with (Apache Parquet format, "File format").
pub(super) const PARQUET_MAGIC: &[u8] = b"PAR1";

/// What users may hand over.
pub(super) const ALLOWED: &str = "GeoJSON; a shapefile (its folder, its .shp file, or both in a .zip); KML or KMZ; GeoPackage; GeoParquet";

/// Whether a file is a map file rather than a table: a folder, and what by its content can only be
/// one. A zip archive may be a spreadsheet, so there the name counts.
pub(in crate::inputs) fn is_map_file(named: &NamedFile) -> bool {
    if named.path.is_dir() {
        return true;
    }
    let bytes = first_bytes(&named.path);
    let extension = extension_of(&named.given);
    let by_name = matches!(
        extension.as_str(),
        "geojson" | "json" | "shp" | "kml" | "kmz" | "zip" | "gpkg" | "parquet" | "geoparquet"
    );
    by_name
        || [SQLITE_MAGIC, PARQUET_MAGIC, SHAPEFILE_CODE].iter().any(|mark| bytes.starts_with(mark))
        || matches!(first_sign(&bytes), Some(b'{' | b'<'))
}

/// The first byte of a text that is no blank, behind a byte order mark.
fn first_sign(bytes: &[u8]) -> Option<u8> {
    let text = [&b"\xef\xbb\xbf"[..], b"\xff\xfe", b"\xfe\xff"]
        .iter()
        .find_map(|mark| bytes.strip_prefix(*mark))
        .unwrap_or(bytes);
    // Text in UTF-16 has a zero byte beside each of these.
    text.iter().copied().find(|byte| !byte.is_ascii_whitespace() && *byte != 0)
}

/// The format of the file.
///
/// # Errors
/// Refuses a file that is none of the formats.
pub(super) fn format_of(file: &MapFile) -> Result<Format, Refusal> {
    let bytes = &file.bytes;
    let extension = extension_of(&file.name);
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06") {
        return Ok(Format::Archive);
    }
    if bytes.starts_with(SQLITE_MAGIC) || extension == "gpkg" {
        return Ok(Format::GeoPackage);
    }
    if bytes.starts_with(PARQUET_MAGIC) || matches!(extension.as_str(), "parquet" | "geoparquet") {
        return Ok(Format::GeoParquet);
    }
    if bytes.starts_with(SHAPEFILE_CODE) || extension == "shp" {
        return match extension.as_str() {
            "shp" => Ok(Format::Shapefile),
            // The index of a shapefile starts as its main file does.
            _ => Err(refuse(
                file,
                "is a part of a shapefile, but not its .shp file",
                "name the .shp file",
            )),
        };
    }
    match (first_sign(bytes), extension.as_str()) {
        (Some(b'{' | b'['), _) | (_, "geojson" | "json") => Ok(Format::GeoJson),
        (Some(b'<'), _) | (_, "kml") => Ok(Format::Kml),
        (_, "dbf" | "prj" | "cpg") => Err(refuse(
            file,
            "is a part of a shapefile, but not its .shp file",
            "name the .shp file",
        )),
        (_, "zip" | "kmz") => Err(refuse(file, "is no zip archive", "pack it again")),
        _ => Err(refuse(
            file,
            "is no map file that this program knows",
            "export it again in one of these formats",
        )),
    }
}

fn refuse(file: &MapFile, what: &str, hint: &str) -> Refusal {
    Problem::at(Place::in_file(&file.name), format!("the {} file {what}", file.role))
        .allowed(ALLOWED)
        .hint(hint)
        .into()
}

/// The extension of a file name in small letters; empty where it has none.
pub(in crate::inputs) fn extension_of(name: &str) -> String {
    Path::new(name).extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default()
}
